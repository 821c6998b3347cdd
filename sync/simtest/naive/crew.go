package naive

import (
	"math"
	"slices"

	"turnrow/sync/entry"
)

// standing works out who belongs to the farm and which entries count.
//
// Stops, takings-in and settlements of a place each change which entries
// count, and so which stops do. They are taken up one by one: first those that
// none of the others would undo; where they would undo each other in a circle,
// that of the device which has belonged for longest. One that would undo
// another which is taken up already, or itself, is passed over.
func (f *Fold) standing() {
	for _, it := range f.items {
		if _, settles := it.Body.(*entry.Settled); settles || aboutCrew(it.Body) {
			f.crew = append(f.crew, it)
		}
	}
	var passed []*item
	for f.judge(nil); ; {
		var open []*item
		for _, it := range f.crew {
			if it.left == "" && changesStanding(it.Body) && !slices.Contains(f.taken, it) && !slices.Contains(passed, it) {
				open = append(open, it)
			}
		}
		if len(open) == 0 {
			return
		}
		next := f.next(open)
		if f.undoes(next, append(slices.Clone(f.taken), next)) {
			passed = append(passed, next)
			continue
		}
		f.judge(append(slices.Clone(f.taken), next))
	}
}

func changesStanding(b entry.Body) bool {
	switch b := b.(type) {
	case *entry.DeviceStopped, *entry.DeviceTakenIn, *entry.MemberStopped:
		return true
	case *entry.Settled:
		return b.Doubt == "one-invite" && says(b)
	}
	return false
}

// next is the first of the open ones that no other open one would undo.
func (f *Fold) next(open []*item) *item {
	for _, it := range open {
		free := true
		for _, o := range open {
			free = free && (o == it || !f.undoes(o, []*item{it}))
		}
		if free {
			return it
		}
	}
	oldest := open[0]
	for _, it := range open {
		if f.beginning(it).Compare(&f.beginning(oldest).Entry) < 0 {
			oldest = it
		}
	}
	return oldest
}

// beginning is the first entry of an item's device.
func (f *Fold) beginning(it *item) *item {
	_, d := f.signer(it.Device)
	return f.byID[entry.ID{Device: d, Seq: 1}]
}

// undoes says whether, with it taken up too, any of the others would not count
// any more.
func (f *Fold) undoes(it *item, others []*item) bool {
	before := f.taken
	f.judge(append(slices.Clone(before), it))
	undone := false
	for _, o := range others {
		undone = undone || o.left != ""
	}
	f.judge(before)
	return undone
}

// judge says for each entry whether it counts, given the stops, takings-in and
// settlements of places that are taken up.
func (f *Fold) judge(taken []*item) {
	f.taken = taken
	f.joins = map[entry.DeviceID]*place{}
	for _, it := range f.items {
		it.left = "not yet judged"
	}
	for _, it := range f.causal {
		if it.Seq == 1 {
			f.enrol(it)
		} else if _, d := f.signer(it.Device); d != it.Device {
			f.joins[it.Device] = f.joins[d] // a branch belongs as its device does
		}
		it.who = it.Person
		if it.who.IsZero() {
			it.who = f.joins[it.Device].person
		}
		it.left = f.reason(it)
	}
}

// enrol says how a device belongs by its first entry: by founding, or by an
// enrolment on an invite that counts. Of several on one invite the first by
// total order has the place, or the one that a settlement chose.
func (f *Fold) enrol(it *item) {
	p := &place{}
	f.joins[it.Device] = p
	signer, _ := f.signer(it.Device)
	switch b := it.Body.(type) {
	case *entry.FarmFounded:
		if entry.FoundedBy(signer, b.Key) == f.farm {
			p.joined, p.person = true, it.ID
		}
	case *entry.DeviceEnrolled:
		inv, ok := f.invites(it, b)
		if !ok {
			return
		}
		p.person, p.invite = inv.Person, b.Invite
		p.joined = true
		for _, o := range f.takers(b.Invite) {
			p.joined = p.joined && o == it
			break
		}
		if chosen := f.chosen(b.Invite); chosen != nil {
			p.joined = chosen == it
		}
	}
}

// takers are the enrolments that take up an invite, in total order.
func (f *Fold) takers(invite entry.ID) []*item {
	var ts []*item
	for _, it := range f.items {
		if b, ok := it.Body.(*entry.DeviceEnrolled); ok && it.Seq == 1 && b.Invite == invite {
			if _, fits := f.invites(it, b); fits {
				ts = append(ts, it)
			}
		}
	}
	return ts
}

// chosen is the enrolment that a settlement lets have an invite's place.
func (f *Fold) chosen(invite entry.ID) *item {
	var chosen *item
	var latest *item
	for _, s := range f.taken {
		b, ok := s.Body.(*entry.Settled)
		if !ok || latest != nil && s.Compare(&latest.Entry) < 0 {
			continue
		}
		for _, t := range f.takers(invite) {
			if t.ID == b.Stands[0] {
				chosen, latest = t, s
			}
		}
	}
	return chosen
}

// limitOf is the last entry of a device that counts. A stop's limit is raised
// by those takings-in that knew it.
func (f *Fold) limitOf(d entry.DeviceID) uint64 {
	limit := uint64(math.MaxUint64)
	for _, s := range f.taken {
		var n uint64
		switch b := s.Body.(type) {
		case *entry.DeviceStopped:
			known, _ := f.signer(b.Known.Device)
			if signer, _ := f.signer(d); signer != known {
				continue
			}
			// Who stops one branch stops all, each at what he had seen of it.
			if n = s.knew[d]; b.Known.Device == d {
				n = b.Known.Seq
			}
		case *entry.MemberStopped:
			if p := f.joins[d]; p == nil || p.person != b.Member {
				continue
			}
			n = s.knew[d]
		default:
			continue
		}
		if s.Device == d {
			n = max(n, s.Seq)
		}
		for _, t := range f.taken {
			if b, ok := t.Body.(*entry.DeviceTakenIn); ok && b.Known.Device == d && t.knows(s) {
				n = max(n, b.Known.Seq)
			}
		}
		limit = min(limit, n)
	}
	return limit
}

// invites is the invite that an enrolment takes up.
func (f *Fold) invites(it *item, b *entry.DeviceEnrolled) (*entry.Invited, bool) {
	of := f.byID[b.Invite]
	if of == nil || of.left != "" {
		return nil, false
	}
	inv, ok := of.Body.(*entry.Invited)
	if !ok || it.Clock.Millis() > inv.Expires {
		return nil, false
	}
	signer, _ := f.signer(it.Device)
	good, checked := f.proofs[it.ID]
	if !checked {
		good = entry.VerifyEnrolment(inv.Key, f.farm, signer, b.Key, b.Proof) == nil
		f.proofs[it.ID] = good
	}
	return inv, good
}

// reason is why an entry is left out; "" where it counts. It looks only at
// what its writer had seen, which has been judged already.
func (f *Fold) reason(it *item) string {
	p := f.joins[it.Device]
	if p == nil || !p.joined {
		return NotJoined
	}
	if it.Seq > f.limitOf(it.Device) {
		return AfterStop
	}
	switch it.Body.(type) {
	case *entry.Unknown:
		return NotKnown
	case *entry.FarmFounded, *entry.DeviceEnrolled:
		if it.Seq > 1 {
			return NoForce // a device begins once
		}
		return ""
	}
	if min(f.roleKnown(it, p.person), f.roleKnown(it, it.who)) < f.needed(it) {
		return NoRight
	}
	if !f.force(it) || !f.fits(it.Body) {
		return NoForce
	}
	return ""
}

// roleKnown is a person's role by the entries that a writer had seen.
func (f *Fold) roleKnown(by *item, person entry.ID) entry.Role {
	return f.roleBy(person, func(it *item) bool { return it == by || by.knows(it) })
}

// roleNow is a person's role by all entries.
func (f *Fold) roleNow(person entry.ID) entry.Role {
	return f.roleBy(person, func(*item) bool { return true })
}

func (f *Fold) roleBy(person entry.ID, seen func(*item) bool) entry.Role {
	role := entry.NoRole
	for _, it := range f.crew {
		if it.left != "" || !seen(it) {
			continue
		}
		switch b := it.Body.(type) {
		case *entry.FarmFounded:
			if it.ID == person {
				role = entry.Owner
			}
		case *entry.MemberAdded:
			if it.ID == person {
				role = b.Role
			}
		case *entry.MemberChanged:
			if b.Member == person && b.Role != entry.NoRole {
				role = b.Role
			}
		case *entry.Settled:
			if r, ok := f.roleChosen(b, person); ok {
				role = r
			}
		case *entry.MemberStopped:
			if b.Member == person {
				return entry.NoRole
			}
		}
	}
	return role
}

// roleChosen is the role that a settlement lets stand, where two or more of
// its entries set that person's role.
func (f *Fold) roleChosen(b *entry.Settled, person entry.ID) (entry.Role, bool) {
	if b.Dial.Set || b.Doubt != "two-plans" || !says(b) {
		return 0, false
	}
	set := map[entry.ID]entry.Role{}
	for _, id := range b.Entries {
		it := f.byID[id]
		if it == nil || it.left != "" {
			continue
		}
		switch c := it.Body.(type) {
		case *entry.MemberChanged:
			if c.Member == person && c.Role != entry.NoRole {
				set[id] = c.Role
			}
		case *entry.MemberAdded:
			if id == person {
				set[id] = c.Role
			}
		case *entry.Settled:
			if r, ok := f.roleChosen(c, person); ok {
				set[id] = r
			}
		}
	}
	r, ok := set[b.Stands[0]]
	return r, ok && len(set) > 1
}

// needed is the role that an entry asks for.
func (f *Fold) needed(it *item) entry.Role {
	switch b := it.Body.(type) {
	case *entry.Amended:
		return f.wordsOf(it, b.Entry)
	case *entry.Struck:
		return f.wordsOf(it, b.Entry)
	case *entry.Settled:
		if f.settlesCrew(b) {
			return entry.Owner
		}
		if f.ownSlip(it, b) {
			return entry.Helper
		}
	}
	return kindNeeds(it.Body)
}

// ownSlip says whether a settlement is about what its own writer wrote, that
// was unlikely to be so.
func (f *Fold) ownSlip(it *item, b *entry.Settled) bool {
	own := slices.Contains(slips, b.Doubt) || b.Doubt == "mixed-lots" && b.Choice == "as-written" ||
		b.Doubt == "two-seeds" || b.Doubt == "counter-begin"
	for _, id := range b.Entries {
		of := f.byID[id]
		own = own && of != nil && it.knows(of) && of.who == it.who
	}
	return own
}

// kindNeeds is the weakest role that may write such an entry.
func kindNeeds(b entry.Body) entry.Role {
	switch b.(type) {
	case *entry.HoldRaised:
		return entry.NoRole // anyone
	case *entry.Filled, *entry.Drained, *entry.LevelRead, *entry.MeterRead, *entry.BagsIn, *entry.BagsOut,
		*entry.Noted, *entry.StandCounted, *entry.Caught, *entry.Amended, *entry.Struck,
		*entry.CounterStood, *entry.GroundFinished, *entry.VolumeWeighed, *entry.VolumeFilled:
		return entry.Helper
	}
	if aboutCrew(b) {
		return entry.Owner
	}
	return entry.Operator
}

// settlesCrew says whether a settlement decides who belongs or what somebody
// may do, rather than that somebody looked.
func (f *Fold) settlesCrew(b *entry.Settled) bool {
	if b.Doubt != "two-plans" && b.Doubt != "one-invite" {
		return false
	}
	for _, id := range b.Entries {
		if o := f.byID[id]; o != nil && aboutCrew(o.Body) {
			return true
		}
	}
	return false
}

// wordsOf: whoever may write such an entry may change his own, and an operator
// anybody's.
func (f *Fold) wordsOf(it *item, target entry.ID) entry.Role {
	if o := f.byID[target]; o != nil && o.who == it.who {
		return max(entry.Helper, kindNeeds(o.Body))
	}
	return entry.Operator
}

func aboutCrew(b entry.Body) bool {
	switch b.(type) {
	case *entry.FarmFounded, *entry.Invited, *entry.DeviceEnrolled, *entry.MemberAdded, *entry.MemberChanged,
		*entry.MemberStopped, *entry.DeviceStopped, *entry.DeviceTakenIn:
		return true
	}
	return false
}

// force says whether an amendment or a strike may do what it asks: what keeps
// people safe, and who belongs to the farm, is not edited away.
func (f *Fold) force(it *item) bool {
	var target entry.ID
	var to entry.Body
	switch b := it.Body.(type) {
	case *entry.Amended:
		target, to = b.Entry, b.Body
	case *entry.Struck:
		target = b.Entry
	default:
		return true
	}
	of := f.byID[target]
	if of == nil || aboutCrew(of.Body) {
		return false
	}
	switch b := of.Body.(type) {
	case *entry.Unknown, *entry.HoldRaised, *entry.HitchBegun, *entry.Unhitched, *entry.ChecksSet:
		return false
	case *entry.ItemSigned, *entry.HoldReleased, *entry.DrillMoved:
		return to == nil // may be taken back, not reworded
	case *entry.Settled:
		if f.settlesCrew(b) {
			return false
		}
	}
	// A thing is the entry that made it: other words make the same, or none.
	return to == nil || to.Kind() == of.Body.Kind() && making(to) == making(of.Body) && f.fits(to)
}

// Role is a person's role by all entries; none where stopped.
func (f *Fold) Role(person entry.ID) entry.Role { return f.roleNow(person) }
