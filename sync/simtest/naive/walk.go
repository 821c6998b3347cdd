package naive

import (
	"bytes"
	"cmp"
	"slices"
	"sync"

	"turnrow/sync/entry"
)

// post is a device as the farm knows it: all its logs together, on whatever
// branch.
type post struct {
	device   entry.DeviceID // that signs
	firsts   []*item        // its first entries, in total order; more than one where it forked there
	founding bool
	papers   []entry.Key // codes on paper that let it in
	place    []step      // of an owner's device that neither founded nor came by paper
	placed   bool
	walked   int // when it had its say, from 1; 0: it has none
	admits   []*act
}

// step is an act that made an owner's device, in its device's log.
type step struct {
	seq  uint64
	hash entry.Brief
}

func comparePlaces(a, b []step) int {
	return cmp.Or(cmp.Compare(len(a), len(b)), slices.CompareFunc(a, b, func(x, y step) int {
		return cmp.Or(cmp.Compare(x.seq, y.seq), bytes.Compare(x.hash[:], y.hash[:]))
	}))
}

// level is what a device may do: a role, or a porter's one right, which is less
// than any role's.
type level int

const (
	nothing level = iota
	porting
	_ // a viewer's
	_
	_
	owning
)

func levelOf(r entry.Role) level {
	if r == entry.NoRole {
		return nothing
	}
	return level(r) + 1
}

func (l level) role() entry.Role {
	if l <= porting {
		return entry.NoRole
	}
	return entry.Role(l - 1)
}

// act is what an entry about the crew does to a device, or to a person with
// each of his devices.
type act struct {
	it      *item
	level   level
	grants  bool           // gives the level
	lowers  bool           // stands against what its target writes apart from it
	device  entry.DeviceID // whom it is about: a device
	person  entry.ID       // or a person
	stopsAt *entry.Mark    // of a device's stop: the last entry that stands
}

// by is the device that wrote an act.
func (f *Fold) by(a *act) entry.DeviceID { return f.dev(a.it) }

// dev is the device that signed an entry.
func (f *Fold) dev(it *item) entry.DeviceID {
	signer, _ := f.signer(it.Log)
	return signer
}

// settlePosts settles the posts: who founded the farm, and whom a paper let in.
func (f *Fold) settlePosts() {
	f.posts = map[entry.DeviceID]*post{}
	for _, it := range f.items {
		d := f.dev(it)
		if f.posts[d] == nil {
			f.posts[d] = &post{device: d}
		}
		if it.Seq == 1 {
			f.posts[d].firsts = append(f.posts[d].firsts, it)
		}
	}
	for _, it := range f.items {
		if f.founds(it) {
			f.posts[f.dev(it)].founding = true
			if f.founder == nil || bytes.Compare(it.Hash[:], f.founder.Hash[:]) < 0 {
				f.founder = it
			}
		}
	}
	if f.founder != nil {
		f.readPapers(f.founder.Body.(*entry.FarmFounded).Paper)
	}
}

// founds says whether an entry founded the farm.
func (f *Fold) founds(it *item) bool {
	b, ok := it.Body.(*entry.FarmFounded)
	return ok && it.Seq == 1 && entry.FoundedBy(f.dev(it), b.Key, b.Paper) == f.farm
}

// readPapers finds the devices that a code let in, and by the codes that they
// made, further ones.
func (f *Fold) readPapers(code entry.Key) {
	if _, done := f.follow[code]; done {
		return
	}
	f.follow[code] = nil
	for _, it := range f.items {
		b, ok := it.Body.(*entry.Recovered)
		if !ok || it.Seq != 1 || entry.VerifyRecovery(code, f.farm, f.dev(it), b.Key, b.Next, b.Proof) != nil {
			continue
		}
		f.recovers[it] = true
		p := f.posts[f.dev(it)]
		p.papers = append(p.papers, code)
		f.follow[code] = append(f.follow[code], b.Next)
		f.readPapers(b.Next)
	}
}

// follows says whether one code was made, by however many between, by a device
// that another let in.
func (f *Fold) follows(later, earlier entry.Key) bool {
	seen := map[entry.Key]bool{}
	var look func(entry.Key) bool
	look = func(k entry.Key) bool {
		for _, n := range f.follow[k] {
			if n == later {
				return true
			}
			if !seen[n] {
				seen[n] = true
				if look(n) {
					return true
				}
			}
		}
		return false
	}
	return look(earlier)
}

// elder says whether a device stands above another.
func (f *Fold) elder(a, b entry.DeviceID) bool {
	p, q := f.posts[a], f.posts[b]
	switch {
	case p == nil || p.walked == 0 || a == b:
		return false
	case q == nil:
		return true
	case len(p.papers) > 0 && len(q.papers) > 0:
		return f.above(p, q) && !f.above(q, p)
	case q.walked == 0:
		return true
	case len(p.papers) > 0 || len(q.papers) > 0:
		return len(p.papers) > 0
	}
	return p.walked < q.walked
}

// above says whether one of a device's codes follows on one of another's.
func (f *Fold) above(p, q *post) bool {
	for _, k := range p.papers {
		for _, l := range q.papers {
			if f.follows(k, l) {
				return true
			}
		}
	}
	return false
}

// walk hears each device that has a place, from the eldest down, then the
// porters, and whoever has a place by them.
func (f *Fold) walk() {
	for n := 1; ; n++ {
		p := f.nextPost()
		if p == nil {
			if !f.hearPorters() {
				return
			}
			n--
			continue
		}
		p.walked = n
		for _, it := range f.items {
			if f.dev(it) == p.device {
				f.hear(it)
			}
		}
	}
}

// nextPost is the eldest device that was not heard yet.
func (f *Fold) nextPost() *post {
	var best *post
	for _, d := range f.devices() {
		p := f.posts[d]
		if p.walked == 0 && f.hasPlace(p) && (best == nil || f.sooner(p, best)) {
			best = p
		}
	}
	return best
}

func (f *Fold) hasPlace(p *post) bool { return p.founding || p.placed || len(p.papers) > 0 }

// sooner says whether a post is heard before another: papers first, those of
// later codes before those that they follow on.
func (f *Fold) sooner(p, q *post) bool {
	switch {
	case len(p.papers) > 0 && len(q.papers) > 0:
		return f.depth(p) > f.depth(q)
	case len(p.papers) > 0 || len(q.papers) > 0:
		return len(p.papers) > 0
	}
	return comparePlaces(p.place, q.place) < 0
}

// depth is the number of devices let in by paper that a device stands above.
func (f *Fold) depth(p *post) int {
	n := 0
	for _, q := range f.posts {
		if len(q.papers) > 0 && f.above(p, q) && !f.above(q, p) {
			n++
		}
	}
	return n
}

// devices are all devices, by their names.
func (f *Fold) devices() []entry.DeviceID {
	var out []entry.DeviceID
	for d := range f.posts {
		out = append(out, d)
	}
	slices.SortFunc(out, entry.DeviceID.Compare)
	return out
}

// hear notes what an entry of an owner's device does to the crew, where its
// writer may.
func (f *Fold) hear(e *item) {
	d := f.dev(e)
	if !f.aboutRights(e) || !f.fits(e.Body) || f.levelAt(e) != owning {
		return
	}
	if p := f.whose(e); !f.isOwn(d, p) && f.personAt(p, e) != owning {
		return
	}
	f.heard[e] = true
	switch b := e.Body.(type) {
	case *entry.Recovered:
		for i := range b.Stops {
			if f.recovers[e] {
				f.note(&act{it: e, lowers: true, device: f.markDevice(b.Stops[i]), stopsAt: &b.Stops[i]})
			}
		}
	case *entry.DeviceStopped:
		f.note(&act{it: e, lowers: true, device: f.markDevice(b.Last), stopsAt: &b.Last})
	case *entry.MemberStopped:
		f.note(&act{it: e, lowers: true, person: b.Member})
	case *entry.DeviceTakenIn:
		f.takings = append(f.takings, e)
	case *entry.Admitted:
		f.heard[e] = f.admit(e, b)
	default:
		if p, r := f.givesRole(e); r != entry.NoRole {
			a := &act{it: e, grants: true, lowers: true, person: p, level: levelOf(r)}
			f.note(a)
			f.raise(a)
		}
	}
}

func (f *Fold) note(a *act) { f.acts = append(f.acts, a) }

func (f *Fold) markDevice(m entry.Mark) entry.DeviceID {
	signer, _ := f.signer(m.Log)
	return signer
}

// givesRole is whose role an entry sets, and to what, besides the entry that
// made the person.
func (f *Fold) givesRole(e *item) (entry.ID, entry.Role) {
	switch b := e.Body.(type) {
	case *entry.MemberChanged:
		return b.Member, b.Role
	case *entry.Settled:
		return f.roleChosen(e, b)
	}
	return entry.ID{}, entry.NoRole
}

// admit lets a device in, or refuses it. It says whether it has force.
func (f *Fold) admit(e *item, b *entry.Admitted) bool {
	if b.Refused {
		f.refused[entry.Mark{Log: f.markDevice(entry.Mark{Log: b.Device.Log()}).Log(), Seq: 1, Hash: b.Hash}] = true
		return true
	}
	first := f.marked(entry.Mark{Log: b.Device.Log(), Seq: 1, Hash: b.Hash})
	if first == nil {
		return true // its log may come yet
	}
	if !f.canBeLetIn(first, b) {
		return false
	}
	a := &act{it: e, grants: true, device: f.dev(first), level: levelOf(b.Role)}
	if b.Porter {
		a.level = porting
	}
	w := f.posts[a.device]
	w.admits = append(w.admits, a) // what was taken from its person is taken from it
	if !f.onDevice(a, a.device) || f.blocked(a, a.device) {
		w.admits = w.admits[:len(w.admits)-1]
		return false
	}
	f.note(a)
	if a.level == owning {
		f.give(w, a)
	}
	for _, x := range f.acts {
		if x.person.IsZero() || !f.raises(x, w, a.it) {
			continue
		}
		if f.posts[f.by(a)].walked == 0 { // a porter
			f.give(w, x)
		} else {
			f.give(w, a)
		}
	}
	return true
}

func (f *Fold) canBeLetIn(first *item, b *entry.Admitted) bool {
	enrol, ok := first.Body.(*entry.DeviceEnrolled)
	if !ok {
		return f.founds(first) || f.recovers[first]
	}
	return b.Porter || enrol.Invite == (entry.Key{}) || f.proved(first, enrol)
}

// proved says whether an enrolment carries the signature of the invite that it
// names.
func (f *Fold) proved(it *item, b *entry.DeviceEnrolled) bool {
	if good, said := f.proofs[it.Mark()]; said {
		return good
	}
	of := proof{f.farm, f.dev(it), b.Invite, b.Key, b.Proof}
	if good, checked := proofs.Load(of); checked {
		return good.(bool)
	}
	good := entry.VerifyEnrolment(of.invite, of.farm, of.device, of.key, of.proof) == nil
	proofs.Store(of, good)
	return good
}

// proof is what a check of an enrolment's signature goes by. Nothing else is
// kept from one replay to the next.
type proof struct {
	farm        entry.FarmID
	device      entry.DeviceID
	invite, key entry.Key
	proof       entry.Signature
}

var proofs sync.Map // proof to whether it fits

// raise gives a place to each device of somebody who was made an owner, that
// was let in already and known.
func (f *Fold) raise(a *act) {
	for _, d := range f.devices() {
		if w := f.posts[d]; slices.ContainsFunc(w.admits, func(g *act) bool { return f.raises(a, w, g.it) }) {
			f.give(w, a)
		}
	}
}

// raises says whether an act makes a device an owner's through its person,
// knowing that it was let in.
func (f *Fold) raises(a *act, w *post, let *item) bool {
	return a.grants && a.level == owning && f.isOwn(w.device, a.person) && a.it.knows(let) && !f.blocked(a, w.device)
}

// give gives a device a place below an act's writer, unless it has an elder one
// or was heard already.
func (f *Fold) give(w *post, a *act) {
	if w.walked > 0 || w.founding || len(w.papers) > 0 {
		return
	}
	at := append(slices.Clone(f.posts[f.by(a)].place), step{a.it.Seq, a.it.Hash})
	if !w.placed || comparePlaces(at, w.place) < 0 {
		w.place, w.placed = at, true
	}
}

// hearPorters lets porters admit, and says whether one did.
func (f *Fold) hearPorters() bool {
	any := false
	for _, d := range f.devices() {
		if !slices.ContainsFunc(f.posts[d].admits, func(a *act) bool { return a.level == porting }) {
			continue
		}
		for _, e := range f.items {
			b, ok := e.Body.(*entry.Admitted)
			if ok && f.dev(e) == d && !f.heard[e] && f.mayPort(e, b) && f.admit(e, b) {
				f.heard[e] = true
				any = true
			}
		}
	}
	return any
}

// mayPort says whether a porter may let a device in: on an owner's invite that
// it knew, in time, as the invite's person, and never as an owner.
func (f *Fold) mayPort(e *item, b *entry.Admitted) bool {
	isOne := func(a *act) bool { return a.level == porting && e.knows(a.it) }
	if !slices.ContainsFunc(f.posts[f.dev(e)].admits, isOne) {
		return false // it did not know yet that it is a porter
	}
	if f.levelAt(e) != porting || b.Refused || b.Porter || b.Role >= entry.Owner || !f.fits(b) {
		return false
	}
	first := f.marked(entry.Mark{Log: b.Device.Log(), Seq: 1, Hash: b.Hash})
	if first == nil {
		return false
	}
	enrol, ok := first.Body.(*entry.DeviceEnrolled)
	if !ok || levelOf(b.Role) > f.personKnown(b.Person, e) {
		return false
	}
	for _, o := range f.items {
		inv, ok := o.Body.(*entry.Invited)
		if ok && f.heard[o] && e.knows(o) && inv.Key == enrol.Invite && inv.Person == b.Person && e.Wall <= inv.Expires {
			return true
		}
	}
	return false
}
