package farm

import (
	"maps"
	"math"
	"slices"

	"turnrow/sync/entry"
)

// crew is who belongs to the farm, and what the fold needs to judge entries.
type crew struct {
	founded *rec // the farm's first entry, where it fits the farm's ID
	stops   ordered
	seats   map[*rec]*rec         // the enrolment that a settlement lets have an invite's place
	joins   map[entry.ID]entry.ID // things that a settlement says are one with another
}

// enrolment is how a device belongs to the farm.
type enrolment struct {
	key    entry.Key
	name   string
	person *thing
	invite *rec   // that it took up; nil for the founding device
	joined bool   // its proof fits and no earlier device has its place
	rival  bool   // its proof fits, and another device took the place first
	limit  uint64 // the last of its entries that counts
}

// Fields of a person.
const (
	memberName = 2
	memberRole = 3
	memberStop = 4
)

// enrol judges a device's first entry.
func (s *State) enrol(r *rec) {
	d := r.dev
	d.limit, d.joined, d.rival, d.invite, d.person = math.MaxUint64, false, false, nil, nil
	switch b := r.body.(type) {
	case *entry.FarmFounded:
		d.key, d.name = b.Key, b.DeviceName
		if entry.FoundedBy(d.id, b.Key) == s.id {
			d.joined, s.founded = true, r
			d.person = s.thing(r.id(), person)
		}
	case *entry.DeviceEnrolled:
		d.key, d.name = b.Key, b.Name
		if inv := s.offer(r, b); inv != nil {
			d.invite = inv
			d.person = s.thing(inv.body.(*entry.Invited).Person, person)
			s.seat(inv)
		}
	}
}

// offer is the invite that an enrolment takes up, where it may.
func (s *State) offer(r *rec, b *entry.DeviceEnrolled) *rec {
	inv := s.find(b.Invite)
	if inv == nil || inv.left != counts {
		return nil
	}
	offer, ok := inv.body.(*entry.Invited)
	if !ok || r.clock.Millis() > offer.Expires {
		return nil
	}
	if entry.VerifyEnrolment(offer.Key, s.id, r.dev.id, b.Key, b.Proof) != nil {
		return nil
	}
	return inv
}

// seat gives an invite's place to the first, by total order, of the devices
// that took it up; a settlement may give it to another.
func (s *State) seat(inv *rec) {
	takers := s.takers(inv)
	chosen := takers[0]
	if t := s.seats[inv]; t != nil {
		chosen = t
	}
	for _, r := range takers {
		r.dev.joined, r.dev.rival = r == chosen, r != chosen
	}
}

// takers is the enrolments on an invite, in total order.
func (s *State) takers(inv *rec) []*rec {
	var rs []*rec
	for _, d := range s.devices {
		if d.invite == inv {
			rs = append(rs, d.recs[0])
		}
	}
	slices.SortFunc(rs, (*rec).compare)
	return rs
}

// limits works out, stop by stop in total order, the last entry of each device
// that counts. A stop whose own device was stopped before it has no say.
func (s *State) limits() []uint64 {
	ends := make([]uint64, len(s.devices))
	for i := range ends {
		ends[i] = math.MaxUint64
	}
	for _, r := range s.stops.all() {
		if r.seq > ends[r.dev.place] {
			continue
		}
		switch b := r.body.(type) {
		case *entry.DeviceStopped:
			if d, ok := s.index[b.Known.Device]; ok {
				ends[d.place] = min(ends[d.place], b.Known.Seq)
			}
		case *entry.DeviceTakenIn:
			if d, ok := s.index[b.Known.Device]; ok && ends[d.place] < b.Known.Seq {
				ends[d.place] = b.Known.Seq
			}
		case *entry.MemberStopped:
			for _, d := range s.devices {
				if d.person != nil && d.person.id == b.Member {
					ends[d.place] = min(ends[d.place], max(r.vec.at(d.place), ownSeq(r, d)))
				}
			}
		}
	}
	return ends
}

func ownSeq(r *rec, d *device) uint64 {
	if r.dev == d {
		return r.seq
	}
	return 0
}

// relimit sets each device's limit anew and says whether any changed.
func (s *State) relimit() bool {
	changed := false
	for i, end := range s.limits() {
		d := s.devices[i]
		changed = changed || d.limit != end
		d.limit = end
	}
	return changed
}

// rebuild reads all entries over. Only a change of who belongs to the farm
// asks for it, and only where a device was stopped or two took one place.
func (s *State) rebuild() {
	const rounds = 6 // stops that undo stops, and settlements of places, come to rest in two or three
	for _, d := range s.devices {
		d.limit = math.MaxUint64
	}
	s.seats, s.joins = nil, nil
	order := s.order
	for range rounds {
		s.reset()
		for _, r := range order {
			r.eff, r.edits = nil, nil
			if r.seq == 1 {
				limit := r.dev.limit
				s.enrol(r)
				r.dev.limit = limit
			}
			if r.by != nil {
				r.by = s.thing(r.by.id, person)
			}
			s.judgeAndPut(r)
		}
		limited, seated, joined := s.relimit(), s.reseat(), s.rejoin()
		if !limited && !seated && !joined {
			return
		}
	}
}

// reseat gives places as settlements say and says whether any changed.
func (s *State) reseat() bool {
	seats := map[*rec]*rec{}
	for _, r := range s.settles.all() {
		b := r.eff.(*entry.Settled)
		if b.Doubt != string(OneInvite) || len(b.Stands) != 1 {
			continue
		}
		if t := s.find(b.Stands[0]); t != nil && t.dev.invite != nil {
			seats[t.dev.invite] = t
		}
	}
	changed := len(seats) != len(s.seats)
	for _, d := range s.devices {
		changed = changed || seats[d.invite] != s.seats[d.invite]
	}
	s.seats = seats
	return changed
}

// rejoin takes things together as settlements say and says whether that
// changed anything.
func (s *State) rejoin() bool {
	joins := map[entry.ID]entry.ID{}
	for _, r := range s.settles.all() {
		b := r.eff.(*entry.Settled)
		if b.Doubt != string(SameName) || len(b.Stands) != 1 || !slices.Contains(b.Entries, b.Stands[0]) {
			continue
		}
		for _, id := range b.Entries {
			if to := b.Stands[0]; id != to && s.alikeThings(id, to) && joins[to].IsZero() {
				joins[id] = to
			}
		}
	}
	changed := !maps.Equal(joins, s.joins)
	s.joins = joins
	return changed
}

// alikeThings says whether two IDs name things of one kind.
func (s *State) alikeThings(a, b entry.ID) bool {
	ra, rb := s.find(a), s.find(b)
	if ra == nil || rb == nil {
		return false
	}
	ka, okA := makes(ra.body)
	kb, okB := makes(rb.body)
	return okA && okB && ka == kb && ka != person
}

// canon is the thing that an ID stands for: itself, or the one that it was
// joined to.
func (s *State) canon(id entry.ID) entry.ID {
	for range len(s.joins) {
		to, ok := s.joins[id]
		if !ok {
			break
		}
		id = to
	}
	return id
}

// roleKnown is what a person may do by the entries that r's writer had seen.
func (t *thing) roleKnown(r *rec) entry.Role {
	if t == nil {
		return entry.NoRole
	}
	if g := t.reg(field{num: memberStop}, false); g != nil {
		if _, stopped := g.known(r); stopped {
			return entry.NoRole
		}
	}
	g := t.reg(field{num: memberRole}, false)
	if g == nil {
		return entry.NoRole
	}
	v, _ := g.known(r)
	return entry.Role(v.n)
}

// roleNow is what a person may do by all that is here.
func (t *thing) roleNow() entry.Role {
	if t == nil {
		return entry.NoRole
	}
	if _, stopped := t.num(memberStop); stopped {
		return entry.NoRole
	}
	n, _ := t.num(memberRole)
	return entry.Role(n)
}
