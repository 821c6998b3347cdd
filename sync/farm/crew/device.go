package crew

import (
	"turnrow/sync/entry"
)

// Device is a device of the farm.
type Device struct {
	ID      entry.DeviceID
	Name    string
	Key     entry.Key
	Person  entry.ID
	Role    entry.Role // of its person, now
	Joined  bool       // it was let in
	Refused bool       // an owner has it stay out
	Porter  bool       // it lets in whoever has an invite
	Stopped bool
	Forked  bool // it wrote on from an old copy, and needs a new identity
	Entries uint64
	Last    entry.Mark // the last of its entries that is here
}

// On is a device that somebody wrote on and that is another person's; zero
// where they wrote on their own.
type On struct {
	Device string // its name
	Whose  entry.ID
}

// Founding is the farm's first entry; false until it is here.
func (s *Crew) Founding() (*entry.FarmFounded, bool) {
	if s.founded == nil {
		return nil, false
	}
	return s.founded.Body.(*entry.FarmFounded), true
}

// Devices are the devices that the record names, in order of their IDs.
func (s *Crew) Devices() (all []Device) {
	for _, d := range s.LogsInOrder() {
		if dv, ok := s.Device(d.ID.Device()); ok {
			all = append(all, dv)
		}
	}
	return all
}

// Device is a device that the record names, whether its place stands or not.
func (s *Crew) Device(id entry.DeviceID) (Device, bool) {
	d, ok := s.Index[id.Log()]
	if !ok || d.Rooted() != d || len(d.Recs) == 0 || d.Key == (entry.Key{}) {
		return Device{}, false
	}
	out := Device{ID: d.ID.Device(), Name: d.Name, Key: d.Key, Joined: d.Joined, Entries: uint64(len(d.Recs))}
	out.Last, _ = s.Held(id, 0)
	if p := s.Post(d); p != nil {
		out.Stopped, out.Refused, out.Porter = p.Stopped(), p.refused(), p.porter()
		out.Role = p.now()
	}
	out.Forked = d.Full
	for _, b := range s.Branches {
		if b.Signer() == d {
			out.Forked = true
			out.Entries += uint64(len(b.Recs))
		}
	}
	if d.Person != nil {
		out.Person = *d.Person
	}
	return out, true
}
