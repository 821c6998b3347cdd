package farm

import (
	"maps"
	"math"
	"slices"

	"turnrow/sync/entry"
)

// crew is who belongs to the farm, and what the fold needs to judge entries.
type crew struct {
	founded  *rec                  // the farm's first entry, where it fits the farm's ID
	crewRecs ordered[*rec]         // the entries about the crew, whether they count or not
	crewCome []*rec                // the same, as they came
	stops    bool                  // some entry stops, takes in, or settles a place
	joins    map[entry.ID]entry.ID // things that a settlement says are one with another
	rejoin   bool                  // joins may be out of date
}

// enrolment is how a device belongs to the farm.
type enrolment struct {
	key    entry.Key
	name   string
	person *thing
	invite *rec   // that it took up; nil for the founding device
	joined bool   // its proof fits and no other device has its place
	limit  uint64 // the last of its entries that counts
	proof  proofState
}

// proofState is what checking an enrolment's proof came to: a log has one
// first entry, and that names one invite.
type proofState uint8

const (
	unchecked proofState = iota
	fits
	fitsNot
)

// Fields of a person.
const (
	memberName = 2
	memberRole = 3
	memberStop = 4
)

// enrol gives a device its place by its first entry, while nothing speaks
// against it.
func (s *State) enrol(r *rec) {
	d := r.dev
	d.limit = math.MaxUint64
	switch b := r.body.(type) {
	case *entry.FarmFounded:
		d.key, d.name = b.Key, b.DeviceName
		if entry.FoundedBy(d.signs(), b.Key) == s.id {
			d.joined, s.founded = true, r
			d.person = s.thing(r.id(), person)
		}
	case *entry.DeviceEnrolled:
		d.key, d.name = b.Key, b.Name
		if inv := s.find(b.Invite); inv != nil && inv.left == counts && s.takesUp(r, b, inv) {
			d.invite, d.joined = inv, true
			d.person = s.thing(inv.body.(*entry.Invited).Person, person)
		}
	}
}

// takesUp says whether an enrolment fits an invite: in time, and countersigned
// with its key.
func (s *State) takesUp(r *rec, b *entry.DeviceEnrolled, inv *rec) bool {
	offer, ok := inv.body.(*entry.Invited)
	if !ok || r.clock.Millis() > offer.Expires {
		return false
	}
	if d := r.dev; d.proof == unchecked {
		d.proof = fits
		if entry.VerifyEnrolment(offer.Key, s.id, d.signs(), b.Key, b.Proof) != nil {
			d.proof = fitsNot
		}
	}
	return r.dev.proof == fits
}

// takers is the enrolments on an invite, in total order.
func (s *State) takers(inv *rec) []*rec {
	var rs []*rec
	for _, d := range s.devices {
		if d.invite == inv && d.rooted() == d {
			rs = append(rs, d.recs[0])
		}
	}
	slices.SortFunc(rs, (*rec).compare)
	return rs
}

// aboutCrew says whether an entry bears on who belongs to the farm.
func (s *State) aboutCrew(r *rec) bool {
	k := r.body.Kind()
	if _, unknown := r.body.(*entry.Unknown); unknown {
		return false
	}
	return needs(k) == entry.Owner || k == entry.KindDeviceEnrolled || s.settlesCrew(r.body)
}

// unsettled says whether an entry may change the standing of others that are
// in their place already: once somebody was stopped, or two took one place,
// each entry about the crew may.
func (s *State) unsettled(r *rec) bool {
	switch r.body.(type) {
	case *entry.DeviceEnrolled:
		return r.dev.invite != nil && len(s.takers(r.dev.invite)) > 1 || s.stops
	}
	s.stops = s.stops || changesStanding(r.body)
	return s.stops
}

// restand works out the standing anew, and reads all entries over where it
// changed for any that is in its place already. It says whether it did.
func (s *State) restand(r *rec) bool {
	st := s.stand()
	changed := false
	for _, d := range s.devices {
		seat, ok := st.seat(d)
		if !ok || len(d.recs) == 0 {
			continue // its first entry is not here yet, or names no key
		}
		held := d.held()
		if d == r.dev {
			held--
		}
		was, is := entry.ID{}, seat.person
		if d.person != nil {
			was = d.person.id
		}
		changed = changed || was != is || d.joined != seat.joined || d.invite != seat.invite ||
			min(d.limit, held) != min(seat.limit, held)
		d.limit, d.joined, d.invite = seat.limit, seat.joined, seat.invite
	}
	for _, c := range st.crew {
		changed = changed || c != r && st.left[c] != c.left
	}
	if changed {
		s.rebuild(st)
	}
	return changed
}

// rebuild reads all entries over.
func (s *State) rebuild(st *standing) {
	const rounds = 3 // things that are joined come to rest in two
	for range rounds {
		s.reset()
		for _, d := range s.devices {
			d.person = nil
			if seat, _ := st.seat(d); !seat.person.IsZero() {
				d.person = s.thing(seat.person, person)
			}
		}
		for _, r := range s.order {
			r.eff, r.edits = nil, nil
			if r.own {
				r.by = r.dev.person
			} else if r.by != nil {
				r.by = s.thing(r.by.id, person)
			}
			s.judgeAndPut(r)
		}
		if !s.rejoined() {
			return
		}
	}
}

// rejoined takes things together as settlements say and says whether that
// changed anything.
func (s *State) rejoined() bool {
	s.rejoin = false
	joins := map[entry.ID]entry.ID{}
	for _, r := range s.settles.all() {
		b := r.eff.(*entry.Settled)
		if !joinsThings(b) {
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
func (t *thing) roleNow() entry.Role { return t.roleAt(nil) }

// roleAt is what a person may do by the entries up to one in total order; by
// all that is here where last is nil.
func (t *thing) roleAt(last *rec) entry.Role {
	if t == nil {
		return entry.NoRole
	}
	if g := t.reg(field{num: memberStop}, false); g != nil {
		if _, stopped := g.upTo(last); stopped {
			return entry.NoRole
		}
	}
	g := t.reg(field{num: memberRole}, false)
	if g == nil {
		return entry.NoRole
	}
	v, _ := g.upTo(last)
	return entry.Role(v.n)
}
