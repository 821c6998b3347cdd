package order

import (
	"slices"

	"turnrow/sync/entry"
)

// Held is the number of the log's last entry that took effect.
func (d *Log) Held() uint64 { return d.Base + uint64(len(d.Recs)) }

// Holds says whether the log's entry of a number took effect.
func (d *Log) Holds(seq uint64) bool { return seq > 0 && seq <= d.Held() }

// At is the log's entry of a number that it holds.
func (d *Log) At(seq uint64) *Rec {
	if seq <= d.Base {
		return d.Root.At(seq)
	}
	return d.Recs[seq-1-d.Base]
}

// Signer is the log that has the name of the device which signs this one.
func (d *Log) Signer() *Log {
	for d.Root != nil {
		d = d.Root
	}
	return d
}

// Signs is the device that signs the log.
func (d *Log) Signs() entry.DeviceID { return d.Signer().ID.Device() }

// Rooted is the device whose first entry says how d belongs.
func (d *Log) Rooted() *Log {
	if d.Base > 0 {
		return d.Root.Rooted()
	}
	return d
}

// Begin gives a branch what its device is, and what its writer had seen.
func (s *Order) Begin(d *Log) {
	if d.Base == 0 {
		return
	}
	d.Key, d.Name, d.Person, d.Joined = d.Root.Key, d.Root.Name, d.Root.Person, d.Root.Joined
	v := slices.Clone(*d.Root.At(d.Base).Vec).raised(d.Root.Nr, d.Base)
	d.Vec = &v
}

// Named is, of a forked log, the last entry of each branch that is here, and what
// entries which wait named of it.
func (s *Order) Named(id entry.DeviceID) (held, wanted []entry.Mark) {
	of := s.Known(id.Log())
	for _, d := range s.Logs {
		switch {
		case of == nil || d.Signer() != of:
			wanted = append(wanted, d.wants(id)...)
		case len(d.Wait) > 0:
			held = append(held, d.Wait[len(d.Wait)-1].Mark())
		case len(d.Recs) > 0:
			held = append(held, d.Recs[len(d.Recs)-1].Mark())
		}
	}
	return held, wanted
}

// wants are the entries of a device that entries which wait here named, or may
// have: of a branch that is not here the name does not tell.
func (d *Log) wants(of entry.DeviceID) (wanted []entry.Mark) {
	for _, e := range d.Wait {
		for _, m := range e.Seen {
			if m.Log == of.Log() || m.Log.IsBranch() {
				wanted = append(wanted, m)
			}
		}
	}
	return wanted
}
