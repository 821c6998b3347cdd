package farm

import (
	"bytes"
	"cmp"
	"slices"

	"turnrow/sync/entry"
)

// post is how a device belongs to the farm: who let it in, what it may do, and
// what stands against it. All branches of its log have one post.
type post struct {
	dev    *device // the log that has the device's name
	firsts []*rec  // its first entries: one, or several where its log forks there
	person entry.ID
	refuse *rec // that an owner has it stay out

	owner bool      // it has a rank
	paper entry.Key // the code that let it in; zero where none did
	depth int       // of that, how many codes came before it
	rank  []rung    // otherwise: from the founding device down
	heard int       // when it was walked, from 1; 0 where it was not

	grants []grant // of the device: its founding, recovery or admissions
	lowers []grant // of the device: its stops
	crew   *people // what was said of its person

	// What is asked of it often, once all of the record was walked.
	given, taken []grant
	takenIn      []*rec
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
	by   *rec
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
	return g.by == o.by && g.role == o.role && g.cut == o.cut && g.cuts == o.cuts && slices.Equal(g.lifted, o.lifted)
}

func (p *post) joined() bool { return len(p.grants) > 0 }

// refused says whether an owner has the device stay out.
func (p *post) refused() bool { return !p.joined() && (p.refuse != nil || len(p.lowers) > 0) }

// porter says whether the device may admit others.
func (p *post) porter() bool {
	return slices.ContainsFunc(p.grants, grant.porter)
}

func (g grant) porter() bool {
	b, ok := g.by.body.(*entry.Admitted)
	return ok && b.Porter
}

// lotNow is what the device may do by all that is here.
func (p *post) now() entry.Role {
	role, _ := least(p.given, p.taken, everything)
	return role
}

// stopped says whether the device was stopped, by all that is here.
func (p *post) stopped() bool {
	return slices.ContainsFunc(p.taken, func(x grant) bool {
		return x.stops() && !slices.ContainsFunc(p.given, func(g grant) bool { return g.overtakes(x) })
	})
}

// elder says whether a's device is the elder of b's: closer to the paper, or to
// the founding device, by who let whom in. Nobody is the elder of a device that
// one code let in with his own.
func (st *standing) elder(a, b *post) bool {
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

func (p *post) onPaper() bool { return p.paper != entry.Key{} }

// by is the post of the device that wrote an entry.
func (st *standing) by(r *rec) *post { return st.posts[r.dev.signer()] }

// force says whether what an entry says of p's device, it says with force.
func (st *standing) force(r *rec, p *post) bool {
	return st.by(r) == p || !p.owner || st.elder(st.by(r), p)
}

// forceOn is force, on a person: of whoever is no elder, nobody above him speaks
// for the person.
func (st *standing) forceOn(r *rec, who *people) bool {
	by := st.by(r)
	for _, w := range st.order {
		if w.crew == who && w.heard > 0 && w.owner && w != by && !st.elder(by, w) {
			own := by != nil && by.crew == who
			return own
		}
	}
	return true
}

// granted is what gives the device of p a role: its own grants, and what was
// said of its person by whoever knew that it was let in.
func (st *standing) granted(p *post) []grant {
	if p.crew == nil {
		return p.grants
	}
	all := slices.Clone(p.grants)
	for _, g := range p.crew.grants {
		if _, added := g.by.body.(*entry.MemberAdded); added {
			continue // the admission says what the device may do
		}
		knew := slices.ContainsFunc(p.grants, func(a grant) bool { return g.by.knew(a.by) })
		if knew && st.says(g, p) {
			all = append(all, g)
		}
	}
	return all
}

// lowered is what takes a role from the device of p.
func (st *standing) lowered(p *post) []grant {
	var all []grant
	for _, x := range p.lowers {
		if st.force(x.by, p) {
			all = append(all, x)
		}
	}
	if p.crew == nil {
		return all
	}
	for _, x := range p.crew.lowers {
		if st.force(x.by, p) && (x.stops() || st.says(x, p)) {
			all = append(all, x)
		}
	}
	return all
}

// says whether another role of its person is one of p's device, too: less only
// with force, and none that gives back what an elder of its writer took.
func (st *standing) says(g grant, p *post) bool {
	return (g.role >= entry.Owner || st.force(g.by, p)) && st.mayGive(g, p)
}

// mayGive says whether a grant may give the device of p its role: what an elder
// of its writer took, knowing which he wrote, he does not give back.
func (st *standing) mayGive(g grant, p *post) bool {
	blocks := func(x grant) bool { return st.force(x.by, p) && st.took(x, g) }
	return !slices.ContainsFunc(p.lowers, blocks) && (p.crew == nil || !slices.ContainsFunc(p.crew.lowers, blocks))
}

// took says whether x, of an elder, took what g would give.
func (st *standing) took(x, g grant) bool {
	less := x.role < g.role || x.stops() && g.porter()
	return g.by.knew(x.by) && less && st.by(x.by) != st.by(g.by) && st.elder(st.by(x.by), st.by(g.by))
}

// ofPerson is what was said of a person that counts wherever the person writes.
func (st *standing) ofPerson(p *people) (given, taken []grant) {
	for _, g := range p.grants {
		if _, added := g.by.body.(*entry.MemberAdded); added || g.by.seq == 1 || st.forceOn(g.by, p) && !slices.ContainsFunc(p.lowers, func(x grant) bool {
			return st.forceOn(x.by, p) && st.took(x, g)
		}) {
			given = append(given, g)
		}
	}
	for _, x := range p.lowers {
		if st.forceOn(x.by, p) && (x.stops() || !slices.ContainsFunc(p.lowers, func(o grant) bool {
			return st.forceOn(o.by, p) && st.took(o, x)
		})) {
			taken = append(taken, x)
		}
	}
	return given, taken
}

// close works out what is asked of a post often.
func (st *standing) close(p *post) {
	p.given, p.taken = st.granted(p), st.lowered(p)
	st.lift(p, p.given)
	st.lift(p, p.taken)
	p.plain = len(p.given) == 1 && len(p.taken) == 0
}

// lift notes up to where facts were taken in, that a grant had taken.
func (st *standing) lift(p *post, all []grant) {
	for i := range all {
		x := &all[i]
		x.lifted = nil
		if _, admits := x.by.body.(*entry.Admitted); admits || x.by.seq == 1 && !x.cuts {
			continue
		}
		for _, t := range p.takenIn {
			m := t.body.(*entry.DeviceTakenIn).Last
			last := p.dev.marked(m)
			if by, of := st.by(t), st.by(x.by); t.knew(x.by) && last != nil && t.knew(last) && (by == of || st.elder(by, of)) {
				x.lifted = append(x.lifted, m)
			}
		}
	}
}

// same says whether two posts judge a device's entries alike.
func (p *post) same(o *post) bool {
	return p.dev == o.dev && p.person == o.person && p.refuse == o.refuse && p.refused() == o.refused() && p.owner == o.owner &&
		slices.EqualFunc(p.given, o.given, grant.equal) && slices.EqualFunc(p.taken, o.taken, grant.equal)
}

// role is what an entry of the device may do, and whether it may do nothing
// since the device, or its person, was stopped.
func (p *post) role(r *rec) (role entry.Role, stopped bool) {
	if p.plain {
		return p.given[0].role, false
	}
	return p.roleBy(r, p.given, p.taken)
}

// roleBy is role by lists that are not finished.
func (p *post) roleBy(r *rec, given, taken []grant) (role entry.Role, stopped bool) {
	knew := func(g grant) bool { return (g.by == r || r.knew(g.by)) && !p.revived(r, g) }
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
		if x.by != r && !r.knew(x.by) && x.by.dev.signer() != p.dev && !p.before(r, x) && !p.revived(r, x) {
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
	if !o.by.knew(g.by) {
		return false
	}
	switch o.by.body.(type) {
	case *entry.MemberChanged, *entry.Settled, *entry.MemberStopped:
		return !g.cuts
	}
	return true
}

// stops says whether a grant is a stop, of a device or of its person.
func (g grant) stops() bool {
	switch g.by.body.(type) {
	case *entry.DeviceStopped, *entry.MemberStopped:
		return true
	case *entry.Recovered:
		return g.cuts
	}
	return false
}

// before says whether an entry of the device stands before what x takes. A stop
// says that by an entry that its writer knew, and on whose branch: what comes
// here later changes nothing. Where he did not know it, of what he knew stands
// what is numbered no higher.
func (p *post) before(r *rec, x grant) bool {
	if !x.cuts {
		return x.by.knew(r)
	}
	last := p.dev.marked(x.cut)
	if last == nil || !x.by.knew(last) {
		return x.by.knew(r) && r.seq <= x.cut.Seq
	}
	return r.upTo(last)
}

// revived says whether an entry, of which x took effect, was taken in again.
func (p *post) revived(r *rec, x grant) bool {
	if !fact(r) {
		return false
	}
	return slices.ContainsFunc(x.lifted, func(m entry.Mark) bool {
		last := p.dev.marked(m)
		return last != nil && r.upTo(last)
	})
}

// fact says whether an entry says what happened, not what anybody may do.
func fact(r *rec) bool {
	switch r.body.(type) {
	case *entry.ItemSigned, *entry.HoldReleased, *entry.Settled:
		return false
	}
	return !aboutCrew(r.body.Kind())
}

// upTo says whether r is o or comes before it in the same log.
func (r *rec) upTo(o *rec) bool { return r.seq <= o.seq && o.dev.at(r.seq) == r }

// marked is the entry of a device's log that a mark names, on whichever branch;
// nil where it is not here.
func (d *device) marked(m entry.Mark) *rec {
	for _, l := range append([]*device{d}, d.branches...) {
		if m.Seq > l.base && m.Seq <= l.held() && l.at(m.Seq).hash == m.Hash {
			return l.at(m.Seq)
		}
	}
	return nil
}

// trusted is what an entry's device, and its writer, may do by all that is here;
// by what had been written up to an entry, in total order, where last is one.
func (s *crewSt) trusted(r, last *rec) entry.Role {
	p := s.post(r.dev)
	if p == nil {
		return entry.NoRole
	}
	by := func(g grant) bool { return last == nil || g.by.compare(last) <= 0 }
	role, _ := least(p.given, p.taken, by)
	if !r.byOther() {
		return role
	}
	q := s.stand.people[personID(r)]
	if q == nil {
		return entry.NoRole
	}
	other, _ := least(q.given, q.taken, by)
	return min(role, other)
}

// personNow is what a person may do by all that is here.
func (st *standing) personNow(id entry.ID) (role entry.Role, stopped bool) {
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
