package crew

import (
	"bytes"
	"cmp"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
)

// Membership is who belongs to the farm, and what each device may do, worked out
// from the entries about the crew alone.
//
// Owners' devices stand in a tree by who made them owners': at its root the
// codes on paper, then the founding device. One walk goes from the eldest down,
// and what a device's entries do depends on those of its elders, and its own
// before, alone: so nobody can undo what an elder did, and no clock decides.
type Membership struct {
	s      *Crew
	Posts  map[*order.Log]*Post // by the log that has the device's name
	Order  []*Post              // the same, sorted by the device's ID
	people map[entry.ID]*people
	names  []*people                   // the same, as they were first named
	acts   map[*order.Log][]*order.Rec // the entries about the crew of each, in total order
	does   map[*order.Rec]bool         // those that count
	heard  int                         // how many devices were walked
	codes  []code                      // on paper
	refuse []entry.Mark                // first entries of devices that stay out
}

// code is a code on paper, by its public half.
type code struct {
	key   entry.Key
	after []entry.Key // the codes that it follows, at whatever remove
}

// MembershipNow works out who belongs by all that is here.
func (s *Crew) MembershipNow() *Membership {
	st := &Membership{
		s: s, Posts: map[*order.Log]*Post{}, people: map[entry.ID]*people{}, acts: map[*order.Log][]*order.Rec{}, does: map[*order.Rec]bool{},
	}
	st.begin()
	st.papers()
	for again := true; again; {
		for p := st.next(); p != nil; p = st.next() {
			st.walk(p)
		}
		again = st.porters()
	}
	for _, p := range st.Order {
		st.close(p)
	}
	for _, p := range st.names {
		p.given, p.taken = st.ofPerson(p)
	}
	return st
}

// begin collects each device's entries about the crew, and gives the founding
// device its rank.
func (st *Membership) begin() {
	for _, r := range st.s.CrewRecs {
		d := r.Log.Signer()
		p := st.Posts[d]
		if p == nil {
			p = &Post{dev: d}
			st.Posts[d] = p
			st.Order = append(st.Order, p)
		}
		st.acts[d] = append(st.acts[d], r)
		if r.Seq == 1 {
			p.Firsts = append(p.Firsts, r)
		}
	}
	slices.SortFunc(st.Order, func(a, b *Post) int { return a.dev.ID.Compare(b.dev.ID) })
	for _, p := range st.Order {
		slices.SortFunc(st.acts[p.dev], (*order.Rec).Compare)
		slices.SortFunc(p.Firsts, func(a, b *order.Rec) int { return bytes.Compare(a.Hash[:], b.Hash[:]) })
		for _, r := range p.Firsts {
			if b, ok := r.Body.(*entry.FarmFounded); ok && entry.FoundedBy(p.dev.ID.Device(), b.Key, b.Paper) == st.s.FarmID {
				p.owner = true
				st.given(p, r, entry.Owner, r.ID())
				who := st.person(r.ID())
				who.grants = append(who.grants, grant{By: r, role: entry.Owner})
			}
		}
	}
}

// person is what is said of a person.
func (st *Membership) person(id entry.ID) *people {
	p := st.people[id]
	if p == nil {
		p = &people{id: id}
		st.people[id] = p
		st.names = append(st.names, p)
	}
	return p
}

// given lets a device in, or gives it a role anew.
func (st *Membership) given(p *Post, by *order.Rec, role entry.Role, who entry.ID) {
	if p.Person.IsZero() && !who.IsZero() {
		p.Person, p.crew = who, st.person(who)
	}
	p.Grants = append(p.Grants, grant{By: by, role: role})
	st.does[by] = true
}

// papers gives the devices that a code on paper let in their ranks: above the
// founding device, and above those of the codes that their own follows.
func (st *Membership) papers() {
	founder := st.founder()
	if founder == nil {
		return
	}
	st.codes = []code{{key: founder.Body.(*entry.FarmFounded).Paper}}
	for i := 0; i < len(st.codes); i++ {
		for _, p := range st.Order {
			for _, r := range p.Firsts {
				if b, ok := r.Body.(*entry.Recovered); ok && !p.onPaper() && st.s.proves(r, st.codes[i].key) {
					p.owner, p.paper = true, st.codes[i].key
					st.given(p, r, entry.Owner, founder.ID())
					st.code(b.Next)
				}
			}
		}
	}
	st.follow()
}

// founder is the founding entry: of several, under one farm's ID, that of the
// least hash.
func (st *Membership) founder() *order.Rec {
	for _, p := range st.Order {
		if p.owner {
			return p.Grants[0].By
		}
	}
	return nil
}

func (st *Membership) code(key entry.Key) {
	if !slices.ContainsFunc(st.codes, func(c code) bool { return c.key == key }) {
		st.codes = append(st.codes, code{key: key})
	}
}

// follow works out which code follows which: what a device that one let in made
// follows that one, and all that it follows.
func (st *Membership) follow() {
	for again := true; again; {
		again = false
		for _, p := range st.Order {
			for _, r := range p.Firsts {
				b, ok := r.Body.(*entry.Recovered)
				if !ok || !p.onPaper() || !st.does[r] {
					continue
				}
				i := slices.IndexFunc(st.codes, func(c code) bool { return c.key == b.Next })
				before := slices.Concat([]entry.Key{p.paper}, st.after(p.paper))
				for _, k := range before {
					if c := &st.codes[i]; k != c.key && !slices.Contains(c.after, k) {
						c.after, again = append(c.after, k), true
					}
				}
			}
		}
	}
	for _, p := range st.Order {
		p.depth = len(st.after(p.paper))
	}
}

func (st *Membership) after(key entry.Key) []entry.Key {
	for _, c := range st.codes {
		if c.key == key {
			return c.after
		}
	}
	return nil
}

// follows says whether a code follows another.
func (st *Membership) follows(a, b entry.Key) bool { return slices.Contains(st.after(a), b) }

// lower notes a stop of a device.
func (st *Membership) lower(of entry.DeviceID, x grant) {
	if p := st.posted(of); p != nil {
		p.lowers = append(p.lowers, x)
	}
}

// posted is the post of a device; nil where no entry of it is here.
func (st *Membership) posted(id entry.DeviceID) *Post { return st.Posts[st.s.Known(id.Log())] }

// next is the eldest owner's device that was not walked yet.
func (st *Membership) next() *Post {
	var eldest *Post
	for _, p := range st.Order {
		if p.owner && p.heard == 0 && (eldest == nil || p.earlier(eldest)) {
			eldest = p
		}
	}
	return eldest
}

// earlier says whether a is walked before b: those of a code on paper first,
// and of these those that have most codes before their own; then the founding
// device, and those below it by their ranks.
func (a *Post) earlier(b *Post) bool {
	if a.onPaper() != b.onPaper() {
		return a.onPaper()
	}
	return cmp.Or(cmp.Compare(b.depth, a.depth), cmp.Compare(len(a.rank), len(b.rank)),
		slices.CompareFunc(a.rank, b.rank, rung.compare)) < 0
}

// hears notes that a device is walked now.
func (st *Membership) hears(p *Post) {
	st.heard++
	p.heard = st.heard
}

// walk lets a device's entries about the crew take effect.
func (st *Membership) walk(p *Post) {
	st.hears(p)
	for _, r := range st.acts[p.dev] {
		if st.right(p, r) < entry.Owner {
			continue
		}
		switch b := r.Body.(type) {
		case *entry.FarmFounded, *entry.DeviceEnrolled: // its place was given by it
		case *entry.Recovered:
			if st.does[r] {
				for _, m := range b.Stops {
					st.lower(m.Log.Device(), grant{By: r, cut: m, cuts: true})
				}
			}
		case *entry.Admitted:
			st.admit(p, r, b)
		case *entry.MemberChanged:
			st.does[r] = true
			if b.Role != entry.NoRole {
				st.change(p, r, b.Member, b.Role)
			}
		case *entry.Settled:
			st.does[r] = true
			if who, role := st.s.roleSettled(r); role != entry.NoRole {
				st.change(p, r, who, role)
			}
		case *entry.MemberStopped:
			st.does[r] = true
			who := st.person(b.Member)
			who.lowers = append(who.lowers, grant{By: r})
		case *entry.MemberAdded:
			st.does[r] = true
			who := st.person(r.ID())
			who.grants = append(who.grants, grant{By: r, role: b.Role})
		case *entry.DeviceStopped:
			st.does[r] = true
			st.lower(b.Last.Log.Device(), grant{By: r, cut: b.Last, cuts: true})
		case *entry.DeviceTakenIn:
			st.does[r] = true
			if w := st.posted(b.Last.Log.Device()); w != nil {
				w.takenIn = append(w.takenIn, r)
			}
		default:
			st.does[r] = true
		}
	}
}

// right is what a device's entry about the crew may do, by what was walked.
func (st *Membership) right(p *Post, r *order.Rec) entry.Role {
	role, _ := p.roleBy(r, st.granted(p), st.lowered(p))
	who := order.PersonID(r)
	if r.Own || who == p.Person {
		return role
	}
	q := st.people[who]
	if q == nil {
		return entry.NoRole
	}
	given, taken := st.ofPerson(q)
	return min(role, roleOfPerson(r, given, taken))
}

// personRole is what the person who wrote an entry may do, on whichever device.
func (st *Membership) personRole(r *order.Rec) entry.Role {
	p := st.people[order.PersonID(r)]
	if p == nil {
		return entry.NoRole
	}
	if len(p.given) == 1 && len(p.taken) == 0 && r.Knew(p.given[0].By) {
		return p.given[0].role
	}
	return roleOfPerson(r, p.given, p.taken)
}

func roleOfPerson(r *order.Rec, given, taken []grant) entry.Role {
	role, _ := least(given, taken, func(g grant) bool { return g.By == r || r.Knew(g.By) })
	for _, x := range taken {
		if x.By != r && !r.Knew(x.By) && !x.By.Knew(r) {
			role = min(role, x.role)
		}
	}
	return role
}

// change gives a person another role, and with it the devices that were let in
// as far as its writer knew.
func (st *Membership) change(p *Post, r *order.Rec, who entry.ID, role entry.Role) {
	of := st.person(who)
	g := grant{By: r, role: role}
	of.grants, of.lowers = append(of.grants, g), append(of.lowers, g)
	if role < entry.Owner {
		return
	}
	for _, w := range st.Order {
		knew := slices.ContainsFunc(w.Grants, func(a grant) bool { return r.Knew(a.By) })
		if w.crew == of && w != p && knew && st.says(g, w) {
			st.raise(p, r, w)
		}
	}
}

// raise gives a device a rank below p's, by an entry of that. Of several the
// eldest counts.
func (st *Membership) raise(p *Post, r *order.Rec, w *Post) {
	rank := append(slices.Clone(p.rank), rung{r.Seq, r.Hash, p.dev.ID.Device()})
	made := &Post{rank: rank}
	if w.onPaper() || w.heard > 0 || w.owner && !made.earlier(w) {
		return
	}
	w.owner, w.rank = true, rank
}

// admit lets a device in, or has it stay out.
func (st *Membership) admit(p *Post, r *order.Rec, b *entry.Admitted) {
	if b.Refused {
		st.does[r] = true
		st.refuse = append(st.refuse, entry.Mark{Log: b.Device.Log(), Seq: 1, Hash: b.Hash})
	}
	w := st.named(b)
	switch {
	case w == nil:
		st.does[r] = true // its first entry is not here yet
	case b.Refused:
		w.refuse = r
	case !st.begins(w, b):
	case st.force(r, w) && st.mayGive(grant{By: r, role: b.Role}, w) && st.mayEnter(r, b, w):
		st.given(w, r, b.Role, b.Person)
		if b.Role == entry.Owner {
			st.raise(p, r, w)
		} else {
			st.raisedBefore(p, r, w)
		}
	}
}

// begins says whether the first entry that an admission names is one that may be
// let in: an enrolment that carries its invite's signature, or has no invite, as
// a server's; or a founding or a recovery that counts, again.
func (st *Membership) begins(w *Post, b *entry.Admitted) bool {
	first := w.Firsts[slices.IndexFunc(w.Firsts, func(r *order.Rec) bool { return r.Hash == b.Hash })]
	e, ok := first.Body.(*entry.DeviceEnrolled)
	if !ok {
		return st.does[first]
	}
	return b.Porter || e.Invite == entry.Key{} || st.s.proves(first, e.Invite)
}

// mayEnter says whether a first admission gives a device its role: what an elder
// took from its person, it does not give back.
func (st *Membership) mayEnter(r *order.Rec, b *entry.Admitted, w *Post) bool {
	who := st.people[b.Person]
	if w.crew != nil || who == nil {
		return true
	}
	g := grant{By: r, role: b.Role}
	return !slices.ContainsFunc(who.lowers, func(x grant) bool { return st.force(x.By, w) && st.took(x, g) })
}

// raisedBefore gives a device that is let in only now, in the walk, a rank where
// its person was made an owner by somebody who knew that it is let in.
func (st *Membership) raisedBefore(p *Post, r *order.Rec, w *Post) {
	if w.crew == nil {
		return
	}
	for _, g := range w.crew.grants {
		if g.role == entry.Owner && g.By.Knew(r) && st.says(g, w) && g.By.Body.Kind() != entry.KindMemberAdded {
			if p.owner {
				st.raise(p, r, w)
			} else {
				st.raise(st.by(g.By), g.By, w)
			}
		}
	}
}

// named is the device that an admission names; nil where its first entry is
// not here.
func (st *Membership) named(b *entry.Admitted) *Post {
	p := st.posted(b.Device)
	if p == nil || !slices.ContainsFunc(p.Firsts, func(r *order.Rec) bool { return r.Hash == b.Hash }) {
		return nil
	}
	return p
}

// porters lets the admissions of porters' devices take effect, and says whether
// there is more to walk since.
func (st *Membership) porters() bool {
	more := false
	for _, p := range st.Order {
		if !p.porter() {
			continue
		}
		if p.heard == 0 {
			st.hears(p)
		}
		for _, r := range st.acts[p.dev] {
			if b, ok := r.Body.(*entry.Admitted); ok && !st.does[r] && st.mayAdmit(p, r, b) {
				st.admit(p, r, b)
				more = more || st.does[r]
			}
		}
	}
	return more
}

// mayAdmit says whether a porter's admission is one that it may write: of an
// enrolment that fits an invite which it knew, in time by its own wall clock, to
// the person's role or less, and never of an owner.
func (st *Membership) mayAdmit(p *Post, r *order.Rec, b *entry.Admitted) bool {
	role, stopped := p.roleBy(r, st.granted(p), st.lowered(p))
	is := slices.ContainsFunc(p.Grants, func(g grant) bool { return g.porter() && r.Knew(g.By) })
	w := st.named(b)
	if !is || stopped || role > entry.NoRole || w == nil || b.Refused || b.Porter || b.Role >= entry.Owner {
		return false
	}
	first := w.Firsts[slices.IndexFunc(w.Firsts, func(r *order.Rec) bool { return r.Hash == b.Hash })]
	e, ok := first.Body.(*entry.DeviceEnrolled)
	if !ok || !st.s.proves(first, e.Invite) {
		return false
	}
	for _, o := range st.s.CrewRecs {
		inv, ok := o.Body.(*entry.Invited)
		if ok && st.does[o] && inv.Key == e.Invite && r.Knew(o) && inv.Person == b.Person && r.Wall <= inv.Expires {
			given, taken := st.ofPerson(st.person(b.Person))
			role, _ := least(given, taken, func(g grant) bool { return r.Knew(g.By) })
			return b.Role <= role
		}
	}
	return false
}

// left says why an entry about the crew is left out.
func (st *Membership) left(r *order.Rec) order.LeftOut {
	p := st.by(r)
	if st.does[r] {
		if !st.s.hasForce(r) || !st.s.Fits(r.Body) || !st.bites(r) {
			return order.HasNoForce
		}
		return order.Counts
	}
	if st.right(p, r) >= entry.Owner {
		return order.HasNoForce
	}
	return order.NoRight
}

// bites says whether a stop, or another role, has force on anybody.
func (st *Membership) bites(r *order.Rec) bool {
	switch b := r.Body.(type) {
	case *entry.DeviceStopped:
		p := st.posted(b.Last.Log.Device())
		return p == nil || st.force(r, p)
	case *entry.MemberStopped:
		return st.bitesPerson(r, b.Member)
	case *entry.MemberChanged:
		return b.Role == entry.NoRole || st.bitesPerson(r, b.Member)
	case *entry.Settled:
		who, role := st.s.roleSettled(r)
		return role == entry.NoRole || st.bitesPerson(r, who)
	}
	return true
}

func (st *Membership) bitesPerson(r *order.Rec, id entry.ID) bool {
	who := st.people[id]
	if who == nil {
		return true
	}
	is := func(g grant) bool { return g.By == r }
	if slices.ContainsFunc(who.given, is) || slices.ContainsFunc(who.taken, is) {
		return true
	}
	return slices.ContainsFunc(st.Order, func(p *Post) bool {
		return p.crew == who && (slices.ContainsFunc(p.given, is) || slices.ContainsFunc(p.taken, is))
	})
}

// SamePeople says whether two memberships say the same of every person.
func (st *Membership) SamePeople(o *Membership) bool {
	return slices.EqualFunc(st.names, o.names, func(p, q *people) bool {
		return p.id == q.id && slices.EqualFunc(p.given, q.given, grant.equal) && slices.EqualFunc(p.taken, q.taken, grant.equal)
	})
}

// proves says whether a device's first entry carries the signature of a key: of
// the invite that it names, or of a code on paper.
func (s *Crew) proves(r *order.Rec, key entry.Key) bool {
	d := r.Log
	if d.Proved == nil {
		d.Proved = map[entry.Key]bool{}
	}
	fits, looked := d.Proved[key]
	if !looked {
		switch b := r.Body.(type) {
		case *entry.DeviceEnrolled:
			fits = entry.VerifyEnrolment(key, s.FarmID, d.Signs(), b.Key, b.Proof) == nil
		case *entry.Recovered:
			fits = entry.VerifyRecovery(key, s.FarmID, d.Signs(), b.Key, b.Next, b.Proof) == nil
		}
		d.Proved[key] = fits
	}
	return fits
}
