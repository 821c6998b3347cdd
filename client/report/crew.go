package report

import (
	"turnrow/client/answer"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Where a device that belongs to no person yet stands.
const (
	IsPorter  = "porter"  // lets in whoever has an invite
	IsWaiting = "waits"   // to be let in
	IsRefused = "refused" // an owner has it stay out
)

// Crew are the people with their devices, and behind them, with no name, the
// devices that are nobody's.
func (r Report) Crew() []answer.Member {
	all := []answer.Member{}
	for _, m := range r.View().Crew {
		all = append(all, answer.Member{Person: m.Name, Role: m.Role.String(), Stopped: m.Stopped, Devices: r.devicesOf(m.ID)})
	}
	for _, a := range r.Apart() {
		d := device(a.Device, entry.NoRole)
		d.State = a.State
		all = append(all, answer.Member{Person: r.View().NameOf(a.Asks.Invite.Person), Role: entry.NoRole.String(), Devices: []answer.Device{d}})
	}
	return all
}

func (r Report) devicesOf(person entry.ID) []answer.Device {
	out := []answer.Device{}
	for _, d := range r.Farm.Devices() {
		if d.Person == person && d.Joined && !d.Porter {
			out = append(out, device(d, d.Role))
		}
	}
	return out
}

func device(d farm.Device, as entry.Role) answer.Device {
	return answer.Device{Device: d.ID.String(), Name: d.Name, Joined: d.Joined, Stopped: d.Stopped, Role: as.String(), Entries: d.Entries}
}

// Apart is a device that is no person's.
type Apart struct {
	farm.Device
	State string     // IsPorter, IsWaiting or IsRefused
	Asks  farm.Asker // what it asks, where it waits
}

// Apart are the devices that are no person's: the porter, those that wait to be
// let in, and those that were refused.
func (r Report) Apart() (all []Apart) {
	asks := map[entry.DeviceID]farm.Asker{}
	for _, a := range r.Farm.Asking() {
		asks[a.Device()] = a
	}
	for _, d := range r.Farm.Devices() {
		asker, waits := asks[d.ID]
		switch {
		case d.Porter:
			all = append(all, Apart{Device: d, State: IsPorter})
		case waits:
			all = append(all, Apart{Device: d, State: IsWaiting, Asks: asker})
		case d.Refused:
			all = append(all, Apart{Device: d, State: IsRefused})
		}
	}
	return all
}
