package client

import (
	"fmt"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// LetIn is that a device comes in: one that waits, or that was kept out or
// stopped. Only an owner's device can say so.
type LetIn struct {
	Device entry.DeviceID
	Person entry.ID   // whose it is; zero is the one whom its invite names
	Name   string     // of a new person whose it is, in place of Person
	Role   entry.Role // what it may do, at most the person's own; NoRole is that. Of a new person, their role
}

func (l LetIn) bodies(on *Farm, look Look, next func(int) entry.ID) ([]entry.Body, error) {
	var r refusing
	first := r.atTheDoor(on, look(), l.Device)
	b := &entry.Admitted{Device: l.Device, Hash: first.Hash, Person: l.Person, Role: l.Role}
	if l.Name != "" {
		r.because(l.Role == entry.NoRole, "role", Missing, l.Name)
		b.Person = next(0)
		return r.or(&entry.MemberAdded{Name: l.Name, Role: l.Role}, b)
	}
	if b.Person.IsZero() {
		b.Person = on.askerOf(l.Device).Invite.Person
	}
	m, ok := memberOf(look(), b.Person)
	switch {
	case r.because(!ok, "person", NobodyMeant, ""):
	case r.because(m.Stopped, "person", PersonStopped, m.Name):
	case r.because(l.Role > m.Role, "role", AboveRole, m.Name):
	case l.Role == entry.NoRole:
		b.Role = m.Role
	}
	return r.or(b)
}

// KeepOut is that a device that asks to join stays out. LetIn lets it in all the
// same, some day.
type KeepOut struct{ Device entry.DeviceID }

func (k KeepOut) bodies(on *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	var r refusing
	first := r.atTheDoor(on, look(), k.Device)
	return r.or(&entry.Admitted{Device: k.Device, Hash: first.Hash, Refused: true})
}

// atTheDoor is the first entry of a device that an owner lets in or keeps out.
func (r *refusing) atTheDoor(on *Farm, v *farm.View, device entry.DeviceID) entry.Mark {
	r.failed(on.owner(), "", NotOwner, "")
	first, here := on.Held(device, 1)
	if !here {
		r.failed(fmt.Errorf("%w: %s", ErrNoDevice, device), "device", NothingOfIt, deviceName(v, device))
	}
	return first
}

func deviceName(v *farm.View, id entry.DeviceID) string {
	for _, d := range v.Devices {
		if d.ID == id {
			return d.Name
		}
	}
	return ""
}

// askerOf is what a device asks to join on; the zero value where it does not.
func (f *Farm) askerOf(device entry.DeviceID) (asks farm.Asker) {
	f.read(func(s *farm.State) {
		for _, a := range s.Askers() {
			if a.Device() == device {
				asks = a
			}
		}
	})
	return asks
}

// SetRole is that somebody on the crew may do something else from here on. It takes
// one who was stopped into the crew again.
type SetRole struct {
	Member entry.ID
	Role   entry.Role
}

func (o SetRole) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	var r refusing
	_, here := memberOf(look(), o.Member)
	r.because(!here, "person", NotHere, "")
	r.because(o.Role == entry.NoRole, "role", Missing, "")
	return r.or(&entry.MemberChanged{Member: o.Member, Role: o.Role})
}

// TakeIn is that what a stopped device wrote after its stop is taken in, as far
// as it is here.
type TakeIn struct {
	Device entry.DeviceID
	Why    string
}

func (t TakeIn) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	var r refusing
	for _, d := range look().Devices {
		if d.ID == t.Device {
			r.because(!d.Stopped, "device", NotStopped, d.Name)
			return r.or(&entry.DeviceTakenIn{Last: d.Last, Why: t.Why})
		}
	}
	r.because(true, "device", NotHere, "")
	return r.or()
}
