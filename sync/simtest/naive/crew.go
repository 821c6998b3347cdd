package naive

import (
	"slices"

	"turnrow/sync/entry"
)

// standing works out who belongs to the farm and which entries count. Owners'
// devices are heard from the eldest down; what one may do hangs on its elders
// alone.
func (f *Fold) standing() {
	f.heard, f.recovers = map[*item]bool{}, map[*item]bool{}
	f.follow, f.refused = map[entry.Key][]entry.Key{}, map[entry.Mark]bool{}
	f.settlePosts()
	f.walk()
	for _, it := range f.items {
		it.who = f.whose(it)
	}
	for _, it := range f.causal {
		it.left = f.reason(it)
	}
}

// onDevice says whether an act has force on a device: it is its own, or a
// younger owner's, or no owner's.
func (f *Fold) onDevice(a *act, w entry.DeviceID) bool {
	p := f.posts[w]
	return f.by(a) == w || p == nil || p.walked == 0 && len(p.papers) == 0 || f.elder(f.by(a), w)
}

// blocked says whether an act would give back on a device what an elder of its
// writer took, as far as it knew.
func (f *Fold) blocked(a *act, w entry.DeviceID) bool {
	for _, x := range f.acts {
		if x.lowers && a.it.knows(x.it) && x.level < a.level && f.elder(f.by(x), f.by(a)) && f.lowersDevice(x, w) {
			return true
		}
	}
	return false
}

// concerns says whether an act is about a device, or about its person.
func (f *Fold) concerns(a *act, w entry.DeviceID) bool {
	return a.device == w && a.person.IsZero() || !a.person.IsZero() && f.isOwn(w, a.person)
}

// lowersDevice says whether an act stands against what a device writes.
func (f *Fold) lowersDevice(a *act, w entry.DeviceID) bool {
	return a.lowers && f.concerns(a, w) && f.onDevice(a, w) && (a.person.IsZero() || !f.blocked(a, w))
}

// grantsDevice says whether an act gives a device what it may do.
func (f *Fold) grantsDevice(a *act, w entry.DeviceID) bool {
	if !a.grants || !f.concerns(a, w) {
		return false
	}
	if a.person.IsZero() {
		return true // judged as it was heard
	}
	p := f.posts[w]
	knewIt := slices.ContainsFunc(p.admits, func(g *act) bool { return a.it.knows(g.it) }) ||
		slices.ContainsFunc(p.firsts, func(o *item) bool { return (f.founds(o) || f.recovers[o]) && a.it.knows(o) })
	return knewIt && (f.onDevice(a, w) || a.level == owning) && !f.blocked(a, w)
}

// lists are the acts that give a device what it may do, and that take from it.
func (f *Fold) lists(w entry.DeviceID) (acts []*act) {
	p := f.posts[w]
	if p == nil {
		return nil
	}
	for _, it := range p.firsts {
		if f.founds(it) || f.recovers[it] {
			acts = append(acts, &act{it: it, grants: true, level: owning, device: w})
		}
	}
	for _, a := range f.acts {
		gives, takes := f.grantsDevice(a, w), f.lowersDevice(a, w)
		if gives || takes {
			c := *a
			c.grants, c.lowers = gives, takes
			acts = append(acts, &c)
		}
	}
	return acts
}

// answers says whether a later act knew an earlier one and takes its place. A
// device's own stop is answered by letting the device in again, and not by what
// becomes of its person.
func answers(later, earlier *act) bool {
	return later.it.knows(earlier.it) && (earlier.stopsAt == nil || later.person.IsZero())
}

// least is the least level of those acts that no other answers.
func least(acts []*act) level {
	l := owning
	for _, a := range acts {
		if !slices.ContainsFunc(acts, func(b *act) bool { return answers(b, a) }) {
			l = min(l, a.level)
		}
	}
	return l
}

// levelAt is what an entry's device might do as it wrote it: by what it knew,
// and by what stands against that apart from it.
func (f *Fold) levelAt(r *item) level {
	w := f.dev(r)
	var known []*act
	l, granted := owning, false
	acts := f.lists(w)
	for _, a := range acts {
		if a.lowers && f.lifted(a, r) {
			continue
		}
		if r.knows(a.it) || a.it == r && a.grants && r.Seq == 1 { // founded, or came by paper
			known = append(known, a)
			granted = granted || a.grants
		} else if a.lowers && f.by(a) != w && !f.beforeCut(a, r) {
			l = min(l, a.level)
		}
	}
	if !granted { // what it wrote before it was let in counts from then on
		p := f.posts[w]
		if len(p.admits) == 0 {
			return nothing
		}
		l = min(l, p.admits[0].level)
	}
	return min(l, least(known))
}

// beforeCut says whether an entry stands though its device was stopped, or its
// person's role lowered, apart from it.
func (f *Fold) beforeCut(a *act, r *item) bool {
	if a.stopsAt == nil {
		return a.it.knows(r)
	}
	if last := f.marked(*a.stopsAt); last != nil && a.it.knows(last) {
		return f.onPath(r, last)
	}
	return a.it.knows(r) && r.Seq <= a.stopsAt.Seq // whatever comes later
}

// onPath says whether an entry is another, or before it in the same branch of
// the same log.
func (f *Fold) onPath(r, last *item) bool {
	for last != nil && last.Seq > r.Seq {
		last = f.byID[f.before(last.ID)]
	}
	return r == last
}

// marked is the entry that a mark names, on whatever branch it is here.
func (f *Fold) marked(m entry.Mark) *item {
	m.Log = f.markDevice(m).Log()
	return f.byMark[m]
}

// lifted says whether an owner took in a fact in spite of a stop or a lowered
// role.
func (f *Fold) lifted(a *act, r *item) bool {
	switch r.Body.(type) {
	case *entry.ItemSigned, *entry.HoldReleased, *entry.Settled:
		return false
	}
	if aboutCrew(r.Body) {
		return false
	}
	for _, t := range f.takings {
		b := t.Body.(*entry.DeviceTakenIn)
		if !t.knows(a.it) || f.dev(t) != f.by(a) && !f.elder(f.dev(t), f.by(a)) {
			continue
		}
		if last := f.marked(b.Last); last != nil && t.knows(last) && f.onPath(r, last) {
			return true
		}
	}
	return false
}

// isOwn says whether somebody is a device's own person.
func (f *Fold) isOwn(w entry.DeviceID, person entry.ID) bool {
	p := f.posts[w]
	if p == nil || person.IsZero() {
		return false
	}
	if p.founding && slices.ContainsFunc(p.firsts, func(it *item) bool { return f.founds(it) && it.ID == person }) {
		return true
	}
	return f.personOf(p) == person
}

// personOf is a device's person, who signs where an entry names nobody.
func (f *Fold) personOf(p *post) entry.ID {
	if p.founding || len(p.papers) > 0 {
		return f.founder.ID
	}
	for _, a := range p.admits {
		if who := a.it.Body.(*entry.Admitted).Person; !who.IsZero() {
			return who
		}
	}
	return entry.ID{}
}

// whose is who wrote an entry.
func (f *Fold) whose(it *item) entry.ID {
	if !it.Person.IsZero() {
		return it.Person
	}
	p := f.posts[f.dev(it)]
	_, begins := f.signer(it.Log)
	if first := f.byID[entry.ID{Log: begins, Seq: 1}]; first != nil && f.founds(first) {
		return first.ID
	}
	return f.personOf(p)
}

// onPerson says whether an act has force on a person, apart from his devices:
// he has no device that is elder than its writer, or it is his own.
func (f *Fold) onPerson(a *act) bool {
	if f.isOwn(f.by(a), a.person) {
		return true
	}
	for _, w := range f.devices() {
		if f.isOwn(w, a.person) && f.posts[w].walked > 0 && !f.elder(f.by(a), w) {
			return false
		}
	}
	for _, x := range f.acts {
		if x.lowers && x.person == a.person && a.it.knows(x.it) && x.level < a.level &&
			f.elder(f.by(x), f.by(a)) && f.onPerson(x) {
			return false
		}
	}
	return true
}

// personActs are the acts that say what a person may do.
func (f *Fold) personActs(person entry.ID) (acts []*act) {
	made := f.byID[person]
	if made == nil {
		return nil
	}
	switch b := made.Body.(type) {
	case *entry.FarmFounded:
		if f.founds(made) {
			acts = append(acts, &act{it: made, grants: true, level: owning})
		}
	case *entry.MemberAdded:
		if f.heard[made] {
			acts = append(acts, &act{it: made, grants: true, level: levelOf(b.Role)})
		}
	}
	for _, a := range f.acts {
		if a.person == person && f.onPerson(a) {
			acts = append(acts, a)
		}
	}
	return acts
}

// personKnown is what a person might do by what an entry's writer knew.
func (f *Fold) personKnown(person entry.ID, r *item) level {
	var known []*act
	for _, a := range f.personActs(person) {
		if r.knows(a.it) {
			known = append(known, a)
		}
	}
	if len(known) == 0 {
		return nothing
	}
	return least(known)
}

// personAt is the same, and by what stands against it apart from it.
func (f *Fold) personAt(person entry.ID, r *item) level {
	l := f.personKnown(person, r)
	for _, a := range f.personActs(person) {
		if a.lowers && a.it != r && !r.knows(a.it) && !a.it.knows(r) {
			l = min(l, a.level)
		}
	}
	return l
}

// Role is what a person may do by all that is here; none where stopped.
func (f *Fold) Role(person entry.ID) entry.Role {
	acts := f.personActs(person)
	if len(acts) == 0 {
		return entry.NoRole
	}
	return least(acts).role()
}

// Joined says whether a device belongs to the farm, stopped or not.
func (f *Fold) Joined(d entry.DeviceID) bool {
	return slices.ContainsFunc(f.lists(f.markDevice(entry.Mark{Log: d.Log()})), func(a *act) bool { return a.grants })
}

// DeviceRole is what a device may do by all that is here; none where it does
// not belong, is stopped, or is a porter.
func (f *Fold) DeviceRole(d entry.DeviceID) entry.Role {
	if !f.Joined(d) {
		return entry.NoRole
	}
	return least(f.lists(f.markDevice(entry.Mark{Log: d.Log()}))).role()
}

// Stopped says whether a stop of a device, or of its person, stands unanswered.
func (f *Fold) Stopped(d entry.DeviceID) bool {
	acts := f.lists(f.markDevice(entry.Mark{Log: d.Log()}))
	return slices.ContainsFunc(acts, func(x *act) bool {
		return x.lowers && x.level == nothing &&
			!slices.ContainsFunc(acts, func(g *act) bool { return g.grants && answers(g, x) })
	})
}

// Refused says whether a device that does not belong was refused.
func (f *Fold) Refused(d entry.DeviceID) bool {
	d = f.markDevice(entry.Mark{Log: d.Log()})
	if f.Joined(d) {
		return false
	}
	for m := range f.refused {
		if m.Log == d.Log() && f.held[m] {
			return true
		}
	}
	return false
}

// reason is why an entry is left out; "" where it counts.
func (f *Fold) reason(it *item) string {
	if f.founds(it) {
		return "" // the farm's ID vouches for it
	}
	if !f.Joined(it.Log.Device()) {
		return NotJoined
	}
	switch it.Body.(type) {
	case *entry.ItemSigned, *entry.HoldReleased:
		if f.pastFork(it) {
			return NoForce
		}
	}
	l := f.levelAt(it)
	rights := f.aboutRights(it)
	if l == nothing && !(rights && f.heard[it]) {
		return AfterStop
	}
	switch it.Body.(type) {
	case *entry.Unknown:
		return NotKnown
	case *entry.DeviceEnrolled, *entry.FarmFounded:
		if it.Seq > 1 {
			return NoForce // a log begins once
		}
		return ""
	case *entry.Recovered:
		if !f.recovers[it] {
			return NoForce
		}
		return ""
	}
	if rights && f.heard[it] {
		if !f.works(it) {
			return NoForce
		}
		return ""
	}
	may := l.role()
	if !f.isOwn(f.dev(it), it.who) {
		may = min(may, f.personAt(it.who, it).role())
	}
	if may < f.needed(it) {
		return NoRight
	}
	if rights || !f.force(it) || !f.fits(it.Body) {
		return NoForce
	}
	return ""
}

// works says whether a stop or a role has force on anybody.
func (f *Fold) works(it *item) bool {
	none := true
	for _, a := range f.acts {
		if a.it != it || !a.lowers {
			continue
		}
		none = false
		if !a.person.IsZero() && f.onPerson(a) {
			return true
		}
		for _, w := range f.devices() {
			if f.lowersDevice(a, w) || f.grantsDevice(a, w) {
				return true
			}
		}
		if a.person.IsZero() && f.posts[a.device] == nil {
			return true // nothing of the device is here
		}
	}
	return none
}

// pastFork says whether an entry is on a branch of a forked log.
func (f *Fold) pastFork(it *item) bool {
	return slices.ContainsFunc(f.branches, func(b Branch) bool { return b.Name == it.Log })
}

// aboutRights says whether an entry says who belongs or what somebody may do.
func (f *Fold) aboutRights(it *item) bool {
	if b, ok := it.Body.(*entry.Settled); ok {
		_, r := f.roleChosen(it, b)
		return r != entry.NoRole
	}
	return aboutCrew(it.Body)
}

// roleChosen is whose role a settlement picks, and which: of two or more of its
// entries that set that person's role, known to its writer.
func (f *Fold) roleChosen(s *item, b *entry.Settled) (person entry.ID, role entry.Role) {
	if c, asked := f.chosen[s]; asked { // its writer knew all of it, and it may name others that name others
		return c.person, c.role
	}
	person, role = f.chooses(s, b)
	if f.chosen == nil {
		f.chosen = map[*item]choice{}
	}
	f.chosen[s] = choice{person, role}
	return person, role
}

// choice is a role that a settlement picked for a person.
type choice struct {
	person entry.ID
	role   entry.Role
}

func (f *Fold) chooses(s *item, b *entry.Settled) (person entry.ID, role entry.Role) {
	if b.Doubt != "two-plans" || b.Dial.Set || !says(b) {
		return person, role
	}
	set := map[entry.ID]entry.ID{}
	for _, id := range b.Entries {
		it := f.byID[id]
		if it == nil || !s.knows(it) {
			continue
		}
		p, r := f.givesRole(it)
		if made, ok := it.Body.(*entry.MemberAdded); ok {
			p, r = id, made.Role
		}
		if r != entry.NoRole {
			set[id] = p
		}
		if id == b.Stands[0] {
			person, role = p, r
		}
	}
	others := 0
	for _, p := range set {
		if p == person {
			others++
		}
	}
	if others < 2 {
		return entry.ID{}, entry.NoRole
	}
	return person, role
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
	case *entry.Unknown, *entry.HoldRaised, *entry.HoldSeen, *entry.HitchBegun, *entry.Unhitched, *entry.ChecksSet:
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
