package farm

import (
	"slices"

	"turnrow/sync/chain"
	"turnrow/sync/entry"
)

// A device that goes on from an old copy writes two logs under one name. What
// they have in common stays the device's own; each branch beyond it is a
// device of its own here, under the name that package chain gives it, whose
// entries are numbered on. Both count; only who stops one stops all.

// Branch makes known that a log is a branch of another, which it leaves after
// an entry. It must be told before the branch's first entry is applied, and
// before any of the device's own beyond that. The name chain.Full says that the
// device's log has more branches than are kept, so that no more of it counts than
// what others named.
func (s *State) Branch(name entry.DeviceID, of entry.ID) {
	if name == chain.Full(of.Device) {
		s.device(of.Device).full = true
		return
	}
	d := s.device(name)
	d.root, d.base = s.device(of.Device), of.Seq
	s.branches = append(s.branches, d)
	d.signer().branches = append(d.signer().branches, d)
	s.changed()
}

// held is the number of the log's last entry that took effect.
func (d *device) held() uint64 { return d.base + uint64(len(d.recs)) }

// holds says whether the log's entry of a number took effect.
func (d *device) holds(seq uint64) bool { return seq > 0 && seq <= d.held() }

// at is the log's entry of a number that it holds.
func (d *device) at(seq uint64) *rec {
	if seq <= d.base {
		return d.root.at(seq)
	}
	return d.recs[seq-1-d.base]
}

// signer is the log that has the name of the device which signs this one.
func (d *device) signer() *device {
	for d.root != nil {
		d = d.root
	}
	return d
}

// signs is the device that signs the log.
func (d *device) signs() entry.DeviceID { return d.signer().id }

// rooted is the device whose first entry says how d belongs.
func (d *device) rooted() *device {
	if d.base > 0 {
		return d.root.rooted()
	}
	return d
}

// begin gives a branch what its device is, and what its writer had seen.
func (s *orderSt) begin(d *device) {
	if d.base == 0 {
		return
	}
	d.key, d.name, d.person, d.joined = d.root.key, d.root.name, d.root.person, d.root.joined
	v := slices.Clone(*d.root.at(d.base).vec).raised(d.root.nr, d.base)
	d.vec = &v
}

// forks is a doubt for each device whose log is forked: the first entries of
// its branches.
func (s *crewSt) forks() []finding {
	var out []finding
	for _, d := range s.devicesInOrder() {
		if !d.joined && !s.anyJoined(d) {
			continue
		}
		var firsts []*rec
		for _, b := range s.branches {
			if b.root == d && len(b.recs) > 0 {
				firsts = append(firsts, b.recs[0])
			}
		}
		if d.full && len(firsts) < 2 && len(d.recs) > 0 {
			firsts = d.recs[:1]
		}
		if len(firsts) > 1 || d.full && len(firsts) > 0 {
			slices.SortFunc(firsts, (*rec).compare)
			out = append(out, finding{Forked, "device " + deviceName(firsts[0].dev), firsts})
		}
	}
	return out
}

// anyJoined says whether a branch of a log that forks at its first entry
// belongs.
func (s *crewSt) anyJoined(d *device) bool {
	return slices.ContainsFunc(s.branches, func(b *device) bool { return b.root == d && b.joined })
}

// Named is, of a forked log, the last entry of each branch that is here, and what
// entries which wait named of it.
func (s *orderSt) Named(id entry.DeviceID) (held, wanted []entry.Mark) {
	of := s.known(id)
	for _, d := range s.devices {
		switch {
		case of == nil || d.signer() != of:
			wanted = append(wanted, d.wants(id)...)
		case len(d.wait) > 0:
			held = append(held, d.wait[len(d.wait)-1].Mark())
		case len(d.recs) > 0:
			held = append(held, d.recs[len(d.recs)-1].mark())
		}
	}
	return held, wanted
}

// wants are the entries of a device that entries which wait here named, or may
// have: of a branch that is not here the name does not tell.
func (d *device) wants(of entry.DeviceID) (wanted []entry.Mark) {
	for _, e := range d.wait {
		for _, m := range e.Seen {
			if m.Device == of || chain.IsBranch(m.Device) {
				wanted = append(wanted, m)
			}
		}
	}
	return wanted
}
