package main

import (
	"fmt"
	"strings"
	"time"

	"turnrow/client/report"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// apart says of the devices that are no person's how they stand.
func (k *call) apart() (lines []string) {
	for _, d := range k.report().Apart() {
		switch d.State {
		case report.IsPorter:
			lines = append(lines, porterLine(d.Device))
		case report.IsWaiting:
			lines = append(lines, k.waitingLine(d.Device, d.Asks))
		case report.IsRefused:
			lines = append(lines, fmt.Sprintf("%s (%s) was refused: nothing that it wrote counts. turnrow crew admit %q lets it in all the same.", d.Name, d.ID, d.Name))
		}
	}
	return lines
}

func porterLine(d farm.Device) string {
	line := fmt.Sprintf("%s (%s) is the farm's porter: it lets in, at once, whoever has an invite in time, never as an owner.", orDevice(d.Name), d.ID)
	if d.Stopped {
		return line + " It was stopped: only owners' devices let people in."
	}
	named := d.Name
	if named == "" {
		named = d.ID.String()
	}
	return line + fmt.Sprintf(" turnrow stop %q --why T ends that.", named)
}

// orDevice is a device's name, or what stands for one.
func orDevice(name string) string {
	if name == "" {
		return "the server"
	}
	return name
}

// waitingLine says which device waits to be let in, and on what ground.
func (k *call) waitingLine(d farm.Device, a farm.Asker) string {
	on := "asks to join on no invite that is here"
	if inv := a.Invite; !inv.ID.IsZero() {
		by, _ := k.farm.Line(inv.ID)
		on = fmt.Sprintf("asks to join on %s's invite for %s", by.By, k.view().NameOf(inv.Person))
		switch {
		case !inv.Used.IsZero():
			on += ", on which " + k.deviceNamed(inv.Used) + " was let in already"
		case time.Now().UnixMilli() > inv.Expires:
			on += ", which ended " + k.clock(inv.Expires)
		}
	}
	if d.ID == k.farm.Device() {
		return fmt.Sprintf("%s (%s), this device, waits to be let in.", d.Name, d.ID)
	}
	return fmt.Sprintf("%s (%s) waits to be let in: %s, %s. An owner says: turnrow crew admit %q, or turnrow crew refuse %q.",
		d.Name, d.ID, on, counted(a.Entries, "note"), d.Name, d.Name)
}

// atTheDoor says to an owner which devices wait for a word of an owner's.
func (k *call) atTheDoor() []string {
	var names []string
	for _, a := range k.farm.Asking() {
		names = append(names, a.Name)
	}
	if len(names) == 0 || k.ownRole() != entry.Owner {
		return nil
	}
	if len(names) == 1 {
		return []string{names[0] + " waits to be let in: turnrow crew says on what ground."}
	}
	return []string{strings.Join(names, ", ") + " wait to be let in: turnrow crew says on what ground."}
}

// deviceNamed is what the crew calls a device.
func (k *call) deviceNamed(id entry.DeviceID) string { return report.DeviceNamed(k.devices(), id) }
