package client

import (
	"errors"

	"turnrow/client/syncer"
	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Held is an entry of a device's log that is here, whether the device belongs or
// not: the last one where seq is 0.
func (f *Farm) Held(id entry.DeviceID, seq uint64) (m entry.Mark, ok bool) {
	f.read(func(s *farm.State) { m, ok = s.Held(id, seq) })
	return m, ok
}

// Copied says whether this device writes nothing more under its name, as a copy
// of it does: it takes a new identity, by an invite (Join).
func (f *Farm) Copied() bool {
	return f.me != nil && errors.Is(f.original(), syncer.ErrCopied)
}

// Founding is how the farm was founded: its name, time zone, units and money.
// It is all zero until the record is here.
func (f *Farm) Founding() (b entry.FarmFounded) {
	f.read(func(s *farm.State) {
		if first, ok := s.Founding(); ok {
			b = *first
		}
	})
	return b
}

// Devices are the devices that the record names, as in a view of the farm.
func (f *Farm) Devices() (all []farm.Device) {
	f.read(func(s *farm.State) { all = s.Devices() })
	return all
}

// Own is this device as the record here names it; zero where it does not.
func (f *Farm) Own() (own farm.Device) {
	me := f.Device()
	f.read(func(s *farm.State) { own, _ = s.Device(me) })
	return own
}
