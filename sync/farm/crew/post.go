package crew

import (
	"bytes"
	"cmp"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/rule"
)

// Post is how a device belongs to the farm: who let it in, what it may do, and
// what stands against it. All branches of its log have one post.
type Post struct {
	dev    *order.Log   // the log that has the device's name
	Firsts []*order.Rec // its first entries: one, or several where its log forks there
	Person entry.ID
	refuse *order.Rec // that an owner has it stay out

	owner bool      // it has a rank
	paper entry.Key // the code that let it in; zero where none did
	depth int       // of that, how many codes came before it
	rank  []rung    // otherwise: from the founding device down
	heard int       // when it was walked, from 1; 0 where it was not. Its rank does not change after that

	Grants []grant // of the device: its founding, recovery or admissions
	lowers []grant // of the device: its stops
	crew   *people // what was said of its person

	// What is asked of it often, once all of the record was walked.
	given, taken []grant
	takenIn      []*order.Rec
	plain        bool // there is one grant and nothing else
}

// rung is one of those that made a device an owner's: the entry of the device
// above it, by number and hash.
type rung struct {
	seq  uint64
	hash entry.Brief
	dev  entry.DeviceID
}

func (a rung) compare(b rung) int {
	return cmp.Or(cmp.Compare(a.seq, b.seq), bytes.Compare(a.hash[:], b.hash[:]), a.dev.Compare(b.dev))
}

// grant is an entry that gives a role, or takes all above it.
type grant struct {
	By   *order.Rec
	role entry.Role
	cut  entry.Mark // of a device's stop: its last entry that stands
	cuts bool       // cut is set; otherwise what the entry's writer knew stands

	lifted []entry.Mark // up to where facts were taken in again
}

// people is what the crew's entries that count say of a person.
type people struct {
	id             entry.ID
	grants, lowers []grant
	given, taken   []grant // those that count for the person, on whichever device
}

func (g grant) equal(o grant) bool {
	return g.By == o.By && g.role == o.role && g.cut == o.cut && g.cuts == o.cuts && slices.Equal(g.lifted, o.lifted)
}

// Joined says whether somebody let the device in, or it founded the farm.
func (p *Post) Joined() bool { return len(p.Grants) > 0 }

// refused says whether an owner has the device stay out.
func (p *Post) refused() bool { return !p.Joined() && (p.refuse != nil || len(p.lowers) > 0) }

// porter says whether the device may admit others.
func (p *Post) porter() bool {
	return slices.ContainsFunc(p.Grants, grant.porter)
}

func (g grant) porter() bool {
	b, ok := g.By.Body.(*entry.Admitted)
	return ok && b.Porter
}

// now is what the device may do by all that is here.
func (p *Post) now() entry.Role {
	role, _ := least(p.given, p.taken, everything)
	return role
}

// Stopped says whether the device was stopped, by all that is here.
func (p *Post) Stopped() bool {
	return slices.ContainsFunc(p.taken, func(x grant) bool {
		return x.stops() && !slices.ContainsFunc(p.given, func(g grant) bool { return g.overtakes(x) })
	})
}

// elder says whether a's device is the elder of b's: closer to the paper, or to
// the founding device, by who let whom in. Nobody is the elder of a device that
// one code let in with his own.
func (st *Membership) elder(a, b *Post) bool {
	switch {
	case a == nil || !a.owner:
		return false
	case !b.owner:
		return true
	case a.onPaper() && b.onPaper():
		return st.follows(a.paper, b.paper) && !st.follows(b.paper, a.paper)
	case a.onPaper() || b.onPaper():
		return a.onPaper()
	}
	return a.heard > 0 && (b.heard == 0 || a.heard < b.heard)
}

func (p *Post) onPaper() bool { return p.paper != entry.Key{} }

// by is the post of the device that wrote an entry.
func (st *Membership) by(r *order.Rec) *Post { return st.Posts[r.Log.Signer()] }

// force says whether what an entry says of p's device, it says with force.
func (st *Membership) force(r *order.Rec, p *Post) bool {
	return st.by(r) == p || !p.owner || st.elder(st.by(r), p)
}

// forceOn is force, on a person: of whoever is no elder, nobody above him speaks
// for the person.
func (st *Membership) forceOn(r *order.Rec, who *people) bool {
	by := st.by(r)
	for _, w := range st.Order {
		if w.crew == who && w.heard > 0 && w.owner && w != by && !st.elder(by, w) {
			own := by != nil && by.crew == who
			return own
		}
	}
	return true
}

// granted is what gives the device of p a role: its own grants, and what was
// said of its person by whoever knew that it was let in.
func (st *Membership) granted(p *Post) []grant {
	if p.crew == nil {
		return p.Grants
	}
	all := slices.Clone(p.Grants)
	for _, g := range p.crew.grants {
		if _, added := g.By.Body.(*entry.MemberAdded); added {
			continue // the admission says what the device may do
		}
		knew := slices.ContainsFunc(p.Grants, func(a grant) bool { return g.By.Knew(a.By) })
		if knew && st.says(g, p) {
			all = append(all, g)
		}
	}
	return all
}

// lowered is what takes a role from the device of p.
func (st *Membership) lowered(p *Post) []grant {
	var all []grant
	for _, x := range p.lowers {
		if st.force(x.By, p) {
			all = append(all, x)
		}
	}
	if p.crew == nil {
		return all
	}
	for _, x := range p.crew.lowers {
		if st.force(x.By, p) && (x.stops() || st.says(x, p)) {
			all = append(all, x)
		}
	}
	return all
}

// says whether another role of its person is one of p's device, too: less only
// with force, and none that gives back what an elder of its writer took.
func (st *Membership) says(g grant, p *Post) bool {
	return (g.role >= entry.Owner || st.force(g.By, p)) && st.mayGive(g, p)
}

// mayGive says whether a grant may give the device of p its role: what an elder
// of its writer took, knowing which he wrote, he does not give back.
func (st *Membership) mayGive(g grant, p *Post) bool {
	blocks := func(x grant) bool { return st.force(x.By, p) && st.took(x, g) }
	return !slices.ContainsFunc(p.lowers, blocks) && (p.crew == nil || !slices.ContainsFunc(p.crew.lowers, blocks))
}

// took says whether x, of an elder, took what g would give.
func (st *Membership) took(x, g grant) bool {
	less := x.role < g.role || x.stops() && g.porter()
	return g.By.Knew(x.By) && less && st.by(x.By) != st.by(g.By) && st.elder(st.by(x.By), st.by(g.By))
}

// ofPerson is what was said of a person that counts wherever the person writes.
func (st *Membership) ofPerson(p *people) (given, taken []grant) {
	for _, g := range p.grants {
		if _, added := g.By.Body.(*entry.MemberAdded); added || g.By.Seq == 1 || st.forceOn(g.By, p) && !slices.ContainsFunc(p.lowers, func(x grant) bool {
			return st.forceOn(x.By, p) && st.took(x, g)
		}) {
			given = append(given, g)
		}
	}
	for _, x := range p.lowers {
		if st.forceOn(x.By, p) && (x.stops() || !slices.ContainsFunc(p.lowers, func(o grant) bool {
			return st.forceOn(o.By, p) && st.took(o, x)
		})) {
			taken = append(taken, x)
		}
	}
	return given, taken
}

// close works out what is asked of a post often.
func (st *Membership) close(p *Post) {
	p.given, p.taken = st.granted(p), st.lowered(p)
	st.lift(p, p.given)
	st.lift(p, p.taken)
	p.plain = len(p.given) == 1 && len(p.taken) == 0
}

// lift notes up to where facts were taken in, that a grant had taken.
func (st *Membership) lift(p *Post, all []grant) {
	for i := range all {
		x := &all[i]
		x.lifted = nil
		if _, admits := x.By.Body.(*entry.Admitted); admits || x.By.Seq == 1 && !x.cuts {
			continue
		}
		for _, t := range p.takenIn {
			m := t.Body.(*entry.DeviceTakenIn).Last
			last := p.dev.Marked(m)
			if by, of := st.by(t), st.by(x.By); t.Knew(x.By) && last != nil && t.Knew(last) && (by == of || st.elder(by, of)) {
				x.lifted = append(x.lifted, m)
			}
		}
	}
}

// Same says whether two posts judge a device's entries alike.
func (p *Post) Same(o *Post) bool {
	return p.dev == o.dev && p.Person == o.Person && p.refuse == o.refuse && p.refused() == o.refused() && p.owner == o.owner &&
		slices.EqualFunc(p.given, o.given, grant.equal) && slices.EqualFunc(p.taken, o.taken, grant.equal)
}

// role is what an entry of the device may do, and whether it may do nothing
// since the device, or its person, was stopped.
func (p *Post) role(r *order.Rec) (role entry.Role, stopped bool) {
	if p.plain {
		return p.given[0].role, false
	}
	return p.roleBy(r, p.given, p.taken)
}

// roleBy is role by lists that are not finished.
func (p *Post) roleBy(r *order.Rec, given, taken []grant) (role entry.Role, stopped bool) {
	knew := func(g grant) bool { return (g.By == r || r.Knew(g.By)) && !p.revived(r, g) }
	role, stopped = least(given, taken, knew)
	if len(given) > 0 && !slices.ContainsFunc(given, knew) {
		// What was written before the device was let in counts from then on.
		role = given[0].role
		if slices.ContainsFunc(taken, knew) {
			lower, _ := least(nil, taken, knew)
			role = min(role, lower)
		}
	}
	for _, x := range taken {
		if x.By != r && !r.Knew(x.By) && x.By.Log.Signer() != p.dev && !p.before(r, x) && !p.revived(r, x) {
			role, stopped = min(role, x.role), stopped || x.stops()
		}
	}
	return role, stopped
}

func everything(grant) bool { return true }

// least is the least role of those grants, of those that count, which no other
// of them overtook, and whether a stop is among them.
func least(given, taken []grant, counts func(grant) bool) (role entry.Role, stopped bool) {
	role, some := entry.Owner, false
	for _, list := range [2][]grant{given, taken} {
		for _, g := range list {
			if !counts(g) {
				continue
			}
			some = true
			over := func(o grant) bool { return counts(o) && o.overtakes(g) }
			if !slices.ContainsFunc(given, over) && !slices.ContainsFunc(taken, over) {
				role, stopped = min(role, g.role), stopped || g.stops()
			}
		}
	}
	if !some {
		return entry.NoRole, false
	}
	return role, stopped
}

// overtakes says whether o was said knowing g, and in its place: a device that
// was stopped is let in again by an admission, and not because its person has
// another role.
func (o grant) overtakes(g grant) bool {
	if !o.By.Knew(g.By) {
		return false
	}
	switch o.By.Body.(type) {
	case *entry.MemberChanged, *entry.Settled, *entry.MemberStopped:
		return !g.cuts
	}
	return true
}

// stops says whether a grant is a stop, of a device or of its person.
func (g grant) stops() bool {
	switch g.By.Body.(type) {
	case *entry.DeviceStopped, *entry.MemberStopped:
		return true
	case *entry.Recovered:
		return g.cuts
	}
	return false
}

// before says whether an entry of the device stands before what x takes:
//
//	T   1 ─── 2 ─── 3 ─── 4 ─── 5 ─── 6
//	                       \         /
//	O                       x ───────
//
// Here x, of a writer who had seen T up to 4, stops T after 3. 1 to 3 stand,
// whenever they come. 4 and 5 do not, though T had not heard of x; 6 does not
// because it had (roleBy sees to that). Were x a stop of T's person, without a
// cut, 4 would stand too: its writer had seen it. A stop
// says that by an entry that its writer knew, and on whose branch: what comes
// here later changes nothing. Where he did not know it, of what he knew stands
// what is numbered no higher.
func (p *Post) before(r *order.Rec, x grant) bool {
	if !x.cuts {
		return x.By.Knew(r)
	}
	last := p.dev.Marked(x.cut)
	if last == nil || !x.By.Knew(last) {
		return x.By.Knew(r) && r.Seq <= x.cut.Seq
	}
	return r.UpTo(last)
}

// revived says whether an entry, of which x took effect, was taken in again.
func (p *Post) revived(r *order.Rec, x grant) bool {
	if !fact(r) {
		return false
	}
	return slices.ContainsFunc(x.lifted, func(m entry.Mark) bool {
		last := p.dev.Marked(m)
		return last != nil && r.UpTo(last)
	})
}

// fact says whether an entry says what happened, not what anybody may do.
func fact(r *order.Rec) bool {
	switch r.Body.(type) {
	case *entry.ItemSigned, *entry.HoldReleased, *entry.Settled:
		return false
	}
	return !rule.AboutCrew(r.Body.Kind())
}

// Trusted is what an entry's device, and its writer, may do by all that is here;
// by what had been written up to an entry, in total order, where last is one.
func (s *Crew) Trusted(r, last *order.Rec) entry.Role {
	p := s.Post(r.Log)
	if p == nil {
		return entry.NoRole
	}
	by := func(g grant) bool { return last == nil || g.By.Compare(last) <= 0 }
	role, _ := least(p.given, p.taken, by)
	if !r.ByOther() {
		return role
	}
	q := s.Membership.people[order.PersonID(r)]
	if q == nil {
		return entry.NoRole
	}
	other, _ := least(q.given, q.taken, by)
	return min(role, other)
}

// PersonNow is what a person may do by all that is here.
func (st *Membership) PersonNow(id entry.ID) (role entry.Role, stopped bool) {
	if st == nil || st.people[id] == nil {
		return entry.NoRole, false
	}
	p := st.people[id]
	role, stopped = least(p.given, p.taken, everything)
	if stopped { // what it was
		role, _ = least(p.given, p.taken, func(g grant) bool { return !g.stops() })
	}
	return role, stopped
}

// WaitingNow is the entries that wait and that may stop work: those of devices
// that stand, and holds of any device that was not refused. A stop of their
// device ends that.
func (s *Crew) WaitingNow() (n int) {
	for _, d := range s.Logs {
		post := s.postOf(d)
		if len(d.Wait) == 0 || post != nil && post.Stopped() || s.outcast(d) {
			continue
		}
		for i := range d.Wait {
			if _, hold := d.Wait[i].Body.(*entry.HoldRaised); hold || post != nil && post.Joined() {
				n++
			}
		}
	}
	return n
}

// postOf is the post of the device that signs a log, of which nothing but what
// waits may be here.
func (s *Crew) postOf(d *order.Log) *Post {
	if p := s.Post(d); p != nil || s.Membership == nil {
		return p
	}
	return s.Membership.Posts[d.Signer()]
}

// Refused says whether an owner has the device of an entry stay out.
func (s *Crew) Refused(r *order.Rec) bool { return s.outcast(r.Log) }

// outcast says whether an owner has a device stay out, of which nothing but
// what waits may be here.
func (s *Crew) outcast(d *order.Log) bool {
	if post := s.postOf(d); post != nil {
		return post.refused()
	}
	return s.Membership != nil && len(d.Wait) > 0 && slices.Contains(s.Membership.refuse, d.Wait[0].Mark())
}

// OnWhose is the device that an entry was written on, where it is another
// person's than its writer's own.
func OnWhose(r *order.Rec) On {
	owner := r.Log.Person
	if owner == nil || owner == r.By {
		return On{}
	}
	return On{Device: DeviceName(r.Log), Whose: *owner}
}
