package main

import (
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

type memberAnswer struct {
	Person  string         `json:"person"`
	Role    string         `json:"role"`
	Stopped bool           `json:"stopped"`
	Devices []deviceAnswer `json:"devices"`
}

type deviceAnswer struct {
	Device  string `json:"device"`
	Name    string `json:"name"`
	Joined  bool   `json:"joined"`
	Stopped bool   `json:"stopped"`
	Entries uint64 `json:"entries"`
}

func newCrewCommand(g *globals) *cobra.Command {
	c := task{use: "crew", short: "Show people and their devices", example: "  turnrow crew\n  turnrow crew --json", work: showCrew}.command(g)
	c.AddCommand(
		task{use: "role PERSON ROLE", short: "Change what a person may do", args: exactly(2), completes: crewNames,
			example: "  turnrow crew role Cal operator", work: changeRole}.command(g),
		task{use: "stop PERSON --why T", short: "End a person's part in the crew, and their devices'", args: exactly(1), completes: crewNames,
			example: `  turnrow crew stop Cal --why "season over"`,
			flags:   func(f *pflag.FlagSet) { f.String("why", "", "why") }, work: stopMember}.command(g),
	)
	return c
}

func showCrew(k *call) error {
	answers := []memberAnswer{}
	var rows [][]string
	for _, m := range k.view.Crew {
		a := memberAnswer{m.Name, m.Role.String(), m.Stopped, k.devicesOf(m.ID)}
		answers = append(answers, a)
		role := a.Role
		if m.Stopped {
			role += ", stopped"
		}
		if len(a.Devices) == 0 {
			rows = append(rows, []string{m.Name, role, "no device yet", "", ""})
		}
		for _, d := range a.Devices {
			rows = append(rows, []string{m.Name, role, d.Name, d.Device, deviceStanding(d)})
		}
	}
	return k.show(answers, append(table([]string{"who", "role", "device", "", ""}, rows), k.onlyHere()...))
}

func (k *call) devicesOf(person entry.ID) []deviceAnswer {
	out := []deviceAnswer{}
	for _, d := range k.view.Devices {
		if d.Person == person {
			out = append(out, deviceAnswer{d.ID.String(), d.Name, d.Joined, d.Stopped, d.Entries})
		}
	}
	return out
}

func deviceStanding(d deviceAnswer) string {
	text := counted(d.Entries, "entry")
	switch {
	case d.Stopped:
		text += ", stopped"
	case !d.Joined:
		text += ", its place is another's"
	}
	return text
}

func changeRole(k *call) error {
	role, ok := entry.ParseRole(k.args[1])
	if !ok {
		return wrongCall{fmt.Errorf("%q is no role: owner, operator, helper or viewer is wanted", k.args[1])}
	}
	id, err := k.member(k.args[0])
	if err != nil {
		return err
	}
	if role < entry.Owner {
		if err := k.lastOwner(id, entry.DeviceID{}, k.view.NameOf(id)+" becomes "+a(role.String())); err != nil {
			return err
		}
	}
	return k.write(&entry.MemberChanged{Member: id, Role: role})
}

func stopMember(k *call) error {
	k.need("why")
	if err := k.wrong(); err != nil {
		return err
	}
	id, err := k.member(k.args[0])
	if err != nil {
		return err
	}
	if err := k.lastOwner(id, entry.DeviceID{}, k.view.NameOf(id)+" is stopped"); err != nil {
		return err
	}
	return k.write(&entry.MemberStopped{Member: id, Why: k.text("why")})
}

func newStopCommand(g *globals) *cobra.Command {
	return task{
		use: "stop DEVICE --why T", short: "End a lost or replaced device",
		long: `End a lost or replaced device. What it wrote up to what is known here counts;
whatever comes from it later is kept apart, until an owner takes it in with
"turnrow take-in". DEVICE is its name, or its number as "turnrow crew" shows it.`,
		example: `  turnrow stop "Cal's phone" --why "fell into the creek"`, args: exactly(1),
		flags: func(f *pflag.FlagSet) { f.String("why", "", "why") },
		work: func(k *call) error {
			d, err := k.device()
			if err != nil {
				return err
			}
			if err := k.lastOwner(entry.ID{}, d.ID, d.Name+" is stopped"); err != nil {
				return err
			}
			return k.write(&entry.DeviceStopped{Known: entry.ID{Device: d.ID, Seq: d.Entries}, Why: k.text("why")})
		},
	}.command(g)
}

func newTakeInCommand(g *globals) *cobra.Command {
	return task{
		use: "take-in DEVICE --why T", short: "Take in what a stopped device wrote after its stop, as far as it is here",
		example: `  turnrow take-in "Cal's phone" --why "found it in the barn; what it says is right"`,
		args:    exactly(1), flags: func(f *pflag.FlagSet) { f.String("why", "", "why") },
		work: func(k *call) error {
			d, err := k.device()
			if err != nil {
				return err
			}
			if !d.Stopped {
				return fmt.Errorf("device %s is not stopped", d.Name)
			}
			return k.write(&entry.DeviceTakenIn{Known: entry.ID{Device: d.ID, Seq: d.Entries}, Why: k.text("why")})
		},
	}.command(g)
}

// device finds a device by its name or its UUID, and asks for --why.
func (k *call) device() (farm.Device, error) {
	k.need("why")
	if err := k.wrong(); err != nil {
		return farm.Device{}, err
	}
	if id, err := entry.ParseDevice(k.args[0]); err == nil {
		for _, d := range k.view.Devices {
			if d.ID == id {
				return d, nil
			}
		}
	}
	found, err := byName("device", "devices", k.args[0], k.view.Devices, func(d *farm.Device) string { return d.Name })
	for _, d := range k.view.Devices {
		if err == nil && d.Name == found.Name && d.ID != found.ID {
			return found, fmt.Errorf("more than one device is called %s: give its number, as turnrow crew shows it", d.Name)
		}
	}
	return found, err
}
