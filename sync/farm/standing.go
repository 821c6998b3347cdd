package farm

import (
	"cmp"
	"math"
	"slices"

	"turnrow/sync/entry"
)

// standing is who belongs to the farm and whose entries count, worked out from
// the entries about the crew alone.
//
// A stop, a taking-in and a settlement of a place each change which entries
// count, and so which of them do. They are taken up one by one: first those
// that no other would undo; where they would undo each other in a circle, that
// of the device which has belonged to the farm for longest, since a thief can
// set a clock back but not that. One that would undo another which is taken up
// already, or itself, is passed over.
type standing struct {
	s     *State
	crew  []*rec // in total order
	cause []*rec // the same, causes first: a device that joins by a slow clock begins before its invite
	taken []*rec
	left  map[*rec]leftOut
	seats map[*device]seat
}

// seat is how a device belongs.
type seat struct {
	person entry.ID
	invite *rec // that it takes up, where it fits
	joined bool
	limit  uint64
}

// stand works out the standing by all that is here.
func (s *State) stand() *standing {
	st := &standing{s: s, crew: s.crewRecs.all(), cause: s.crewCome}
	passed := map[*rec]bool{}
	for st.judge(nil); ; {
		var open []*rec
		for _, r := range st.crew {
			if changesStanding(r.body) && st.left[r] == counts && !slices.Contains(st.taken, r) && !passed[r] {
				open = append(open, r)
			}
		}
		if len(open) == 0 {
			return st
		}
		next := st.next(open)
		if st.undoes(next, append(slices.Clone(st.taken), next)) {
			passed[next] = true
			continue
		}
		st.judge(append(slices.Clone(st.taken), next))
	}
}

func changesStanding(b entry.Body) bool {
	switch b := b.(type) {
	case *entry.DeviceStopped, *entry.DeviceTakenIn, *entry.MemberStopped:
		return true
	case *entry.Settled:
		return b.Doubt == string(OneInvite) && says(b)
	}
	return false
}

// next is the first of the open ones that no other of them would undo.
func (st *standing) next(open []*rec) *rec {
	for _, r := range open {
		if !slices.ContainsFunc(open, func(o *rec) bool { return o != r && st.undoes(o, []*rec{r}) }) {
			return r
		}
	}
	return slices.MinFunc(open, func(a, b *rec) int {
		return cmp.Or(a.dev.at(1).compare(b.dev.at(1)), a.compare(b))
	})
}

// undoes says whether, with r taken up too, any of the others would not count.
func (st *standing) undoes(r *rec, others []*rec) bool {
	before := st.taken
	st.judge(append(slices.Clone(before), r))
	undone := slices.ContainsFunc(others, func(o *rec) bool { return st.left[o] != counts })
	st.judge(before)
	return undone
}

// judge judges the crew's entries with some of them taken up.
func (st *standing) judge(taken []*rec) {
	st.taken, st.left, st.seats = taken, map[*rec]leftOut{}, map[*device]seat{}
	for _, r := range st.cause {
		st.left[r] = notJoined
		if r.seq == 1 {
			st.enrol(r)
		}
		st.left[r] = st.reason(r)
	}
}

// enrol gives a device its place by its first entry.
func (st *standing) enrol(r *rec) {
	var seat seat
	switch b := r.body.(type) {
	case *entry.FarmFounded:
		if entry.FoundedBy(r.dev.signs(), b.Key) == st.s.id {
			seat.person, seat.joined = r.id(), true
		}
	case *entry.DeviceEnrolled:
		if inv := st.offer(r, b); inv != nil {
			seat.person, seat.invite = inv.body.(*entry.Invited).Person, inv
			seat.joined = st.chosen(inv) == r
		}
	}
	seat.limit = st.limit(r.dev, seat.person)
	st.seats[r.dev] = seat
}

// seat is how a device belongs; a branch of a log belongs as its device does,
// but for what a stop leaves of it.
func (st *standing) seat(d *device) (seat, bool) {
	seat, ok := st.seats[d.rooted()]
	if ok && d.rooted() != d {
		seat.limit = st.limit(d, seat.person)
	}
	return seat, ok
}

// offer is the invite that an enrolment takes up, where it may.
func (st *standing) offer(r *rec, b *entry.DeviceEnrolled) *rec {
	inv := st.s.find(b.Invite)
	if inv == nil {
		return nil
	}
	if left, ok := st.left[inv]; !ok || left != counts || !st.s.takesUp(r, b, inv) {
		return nil
	}
	return inv
}

// chosen is the enrolment that has an invite's place: the first by total
// order, or the one that the latest settlement lets stand.
func (st *standing) chosen(inv *rec) *rec {
	var takers []*rec
	for _, r := range st.crew {
		if b, ok := r.body.(*entry.DeviceEnrolled); ok && r.seq == 1 && b.Invite == inv.id() && st.s.takesUp(r, b, inv) {
			takers = append(takers, r)
		}
	}
	if len(takers) == 0 {
		return nil
	}
	chosen, by := takers[0], (*rec)(nil)
	for _, s := range st.taken {
		b, ok := s.body.(*entry.Settled)
		if !ok || by != nil && s.compare(by) < 0 {
			continue
		}
		if i := slices.IndexFunc(takers, func(t *rec) bool { return t.id() == b.Stands[0] }); i >= 0 {
			chosen, by = takers[i], s
		}
	}
	return chosen
}

// limit is the last entry of a device that counts. A stop's limit is raised
// by the takings-in that knew it: as with a hold, what stands against a device
// is lifted only by who knew of it.
func (st *standing) limit(d *device, who entry.ID) uint64 {
	limit := uint64(math.MaxUint64)
	for _, r := range st.taken {
		n, ok := st.stopped(r, d, who)
		if !ok {
			continue
		}
		for _, t := range st.taken {
			if b, ok := t.body.(*entry.DeviceTakenIn); ok && b.Known.Device == d.id && t.knew(r) {
				n = max(n, b.Known.Seq)
			}
		}
		limit = min(limit, n)
	}
	return limit
}

// stopped is the last entry of a device, of some person, that a stop lets
// count. Whoever stops the device that he writes on may still say so. Who stops
// one branch of a log stops all, each at what he had seen of it: nobody outlives
// a stop by going on from a copy.
func (st *standing) stopped(r *rec, d *device, who entry.ID) (n uint64, ok bool) {
	switch b := r.body.(type) {
	case *entry.DeviceStopped:
		if n, ok = b.Known.Seq, b.Known.Device == d.id; !ok {
			n, ok = r.vec.at(d.place), st.s.sameLog(b.Known.Device, d)
		}
	case *entry.MemberStopped:
		n, ok = r.vec.at(d.place), b.Member == who && !who.IsZero()
	}
	if r.dev == d {
		n = max(n, r.seq)
	}
	return n, ok
}

// reason is State.judge for the crew's entries, by this standing.
func (st *standing) reason(r *rec) leftOut {
	seat, ok := st.seat(r.dev)
	switch {
	case !ok || !seat.joined:
		return notJoined
	case r.seq > seat.limit:
		return afterStop
	}
	switch r.body.(type) {
	case *entry.FarmFounded, *entry.DeviceEnrolled:
		if r.seq > 1 {
			return hasNoForce
		}
		return counts
	}
	who := seat.person
	if !r.own {
		who = personID(r)
	}
	if min(st.role(seat.person, r), st.role(who, r)) < st.s.needed(r) {
		return noRight
	}
	if !st.s.hasForce(r) || !st.s.fits(r.body) {
		return hasNoForce
	}
	return counts
}

// role is a person's role by the entries that r's writer had seen.
func (st *standing) role(person entry.ID, r *rec) entry.Role {
	role := entry.NoRole
	for _, c := range st.crew {
		if left, judged := st.left[c]; !judged || left != counts || !r.knew(c) {
			continue
		}
		switch b := c.body.(type) {
		case *entry.FarmFounded:
			if c.id() == person {
				role = entry.Owner
			}
		case *entry.MemberAdded:
			if c.id() == person {
				role = b.Role
			}
		case *entry.MemberChanged:
			if b.Member == person && b.Role != entry.NoRole {
				role = b.Role
			}
		case *entry.Settled:
			if got := st.settled(b, person); got != entry.NoRole {
				role = got
			}
		case *entry.MemberStopped:
			if b.Member == person {
				return entry.NoRole
			}
		}
	}
	return role
}

// settled is the role that a settlement chose for a person, of two or more
// that its entries gave.
func (st *standing) settled(b *entry.Settled, person entry.ID) entry.Role {
	if b.Doubt != string(TwoPlans) || !says(b) {
		return entry.NoRole
	}
	var given []entry.ID
	role := entry.NoRole
	for _, id := range b.Entries {
		r := st.s.find(id)
		if r == nil || st.left[r] != counts || slices.Contains(given, id) {
			continue
		}
		got := st.gives(r, person)
		if got == entry.NoRole {
			continue
		}
		if given = append(given, id); id == b.Stands[0] {
			role = got
		}
	}
	if len(given) < 2 {
		return entry.NoRole
	}
	return role
}

// gives is the role that an entry gives a person.
func (st *standing) gives(r *rec, person entry.ID) entry.Role {
	switch b := r.body.(type) {
	case *entry.MemberAdded:
		if r.id() == person {
			return b.Role
		}
	case *entry.MemberChanged:
		if b.Member == person {
			return b.Role
		}
	case *entry.Settled:
		return st.settled(b, person)
	}
	return entry.NoRole
}
