package naive

import (
	"testing"

	"turnrow/sync/entry"
)

// porter makes a server's device a porter.
func (d *device) porter() *device {
	o := d.w.device("server")
	o.first = o.put("enrol", said(&entry.DeviceEnrolled{Key: o.key, Name: "server"}))
	d.put("porter", said(&entry.Admitted{Device: o.id, Hash: o.first.hash.Brief(), Porter: true}))
	o.learn(d.top)
	return o
}

func TestAPorterAdmitsInTimeAndNeverAnOwner(t *testing.T) {
	a := found("Ada")
	s := a.porter()
	p := a.member("Ron", entry.Operator)
	owner := a.member("Bob", entry.Owner)
	in, late, much, other, unknown := a.inviteTill(p, entry.Operator, 100), a.inviteTill(p, entry.Operator, 100), a.inviteTill(owner, entry.Owner, 100),
		a.inviteTill(p, entry.Operator, 100), (*invite)(nil)
	s.learn(a.top)
	unknown = a.inviteTill(p, entry.Operator, 100)
	w := a.w
	ron, tom, bob, eve, una := w.enrol("Ron", in), w.enrol("Tom", late), w.enrol("Bob", much), w.enrol("Eve", other), w.enrol("Una", unknown)
	s.admit(ron, wall(100))
	s.admit(tom, wall(101))
	s.admit(bob, wall(100))
	s.admitAs(eve, owner, entry.Operator, wall(100)) // as somebody else
	s.admit(una, wall(100))
	more := w.enrol("More", in)
	s.admitAs(more, p, entry.Operator, wall(100)) // on an invite that was used
	note := s.note()
	meet(a, s)
	ds := []*device{a, s, ron, tom, bob, eve, una, more}
	roles(t, ds, is{ron: entry.Operator, more: entry.Operator, tom: entry.NoRole, bob: entry.NoRole, eve: entry.NoRole, una: entry.NoRole, s: entry.NoRole})
	f, n := farmOf(t, ds...)
	left(t, f, n, note, NoRight)
	if !f.Joined(s.id) || f.Stopped(s.id) {
		t.Error("the porter does not stand")
	}
	var doubt *Doubt
	for _, d := range f.Doubts() {
		if d.Kind == "one-invite" {
			doubt = &d
		}
	}
	if doubt == nil || len(doubt.Entries) != 2 {
		t.Fatalf("two devices on one invite: doubt %v", doubt)
	}
	a.stop(more)
	f, _ = farmOf(t, ds...)
	for _, d := range f.Doubts() {
		if d.Kind == "one-invite" {
			t.Error("the doubt stands though the wrong one was stopped")
		}
	}
}

func TestAStoppedPorterAdmitsNobody(t *testing.T) {
	c := crew(t, "Bob", entry.Owner)
	a, b := c[0], c[1]
	s := a.porter()
	i := a.invite(a.member("Ron", entry.Operator), entry.Operator)
	meet(a, b, s)
	b.stop(s)
	ron := a.w.enrol("Ron", i)
	s.admit(ron)
	roles(t, []*device{a, b, s, ron}, is{ron: entry.NoRole})
	a.admit(ron)
	roles(t, []*device{a, b, s, ron}, is{ron: entry.Operator})
}

func TestWhoAPorterLetInAndAnOwnerRaises(t *testing.T) {
	a := found("Ada")
	s := a.porter()
	p := a.member("Ron", entry.Operator)
	i := a.invite(p, entry.Operator)
	s.learn(a.top)
	ron := a.w.enrol("Ron", i)
	s.admit(ron)
	meet(a, s, ron)
	a.role(p, entry.Owner)
	b := a.letIn("Bob", entry.Owner)
	meet(a, s, ron, b)
	ds := []*device{a, s, ron, b}
	roles(t, ds, is{ron: entry.Owner, b: entry.Owner})
	ron.stop(b, seeing(b.top)) // Ada raised Ron before she let Bob in, but Bob was heard first
	b.admit(a.w.enrol("Cara", b.invite(b.member("Cara", entry.Helper), entry.Helper)), seeing())
	roles(t, ds, is{b: entry.Owner, ron: entry.Owner})
	b.stop(ron)
	roles(t, ds, is{b: entry.Owner, ron: entry.NoRole})
}

func TestTwoWhomAPorterLetInStandAsTheyWereRaised(t *testing.T) {
	c := crew(t, "Bob", entry.Owner)
	a, b := c[0], c[1]
	s := a.porter()
	var ds []*device
	for _, n := range []string{"Ron", "Tom"} {
		p := a.member(n, entry.Operator)
		i := a.invite(p, entry.Operator)
		meet(a, b, s)
		d := a.w.enrol(n, i)
		s.admit(d)
		ds = append(ds, d)
	}
	ron, tom := ds[0], ds[1]
	meet(a, b, s, ron, tom)
	b.role(ron.person, entry.Owner)
	a.role(tom.person, entry.Owner)
	all := []*device{a, b, s, ron, tom}
	meet(all...)
	ron.stop(tom)
	roles(t, all, is{tom: entry.Owner, ron: entry.Owner})
	tom.stop(ron)
	roles(t, all, is{tom: entry.Owner, ron: entry.NoRole})
}

func TestPlacesGoByTheWholeWayFromTheRoot(t *testing.T) {
	c := crew(t, "Bob", entry.Owner, "Cara", entry.Owner)
	b, cara := c[1], c[2]
	dan := b.letIn("Dan", entry.Owner) // by a lower number of Bob's than Cara by Ada's
	c = append(c, dan)
	meet(c...)
	dan.stop(cara)
	roles(t, c, is{cara: entry.Owner, dan: entry.Owner})
	cara.stop(dan, seeing())
	roles(t, c, is{cara: entry.Owner, dan: entry.NoRole})
}

func TestACopyStopsItsOwnDevice(t *testing.T) {
	c := crew(t, "Bob", entry.Owner, "Cara", entry.Operator)
	a := c[0]
	note := a.note()
	a.stopAt(a.first.mark(), after(a.first), seeing())
	f, n := farmOf(t, c...)
	left(t, f, n, note, "")
	roles(t, c, is{c[1]: entry.Owner, c[2]: entry.Operator})
}

func TestTwoDevicesByOneCodeHaveOneRank(t *testing.T) {
	c := crew(t, "Bob", entry.Owner)
	a, b := c[0], c[1]
	p := a.recover("P", "paper", "p 2", a.last(a))
	q := a.recover("Q", "paper", "q 2", a.last(a), p.first.mark())
	p.admit(b)
	p.stop(q)
	meet(p, q, b)
	q.stop(p)
	ds := []*device{a, b, p, q}
	roles(t, ds, is{p: entry.Owner, q: entry.Owner, a: entry.NoRole, b: entry.Owner})
	meet(ds...)
	r := a.recover("R", "p 2", "p 3", p.last(p), q.last(q)) // above P, whom it follows on, and its equals by the same code
	ds = append(ds, r)
	roles(t, ds, is{p: entry.NoRole, r: entry.Owner})
	roles(t, ds, is{q: entry.NoRole}) // by the same code as P
	x := a.recover("X", "q 2", "q 3", r.first.mark())
	roles(t, append(ds, x), is{r: entry.Owner, x: entry.Owner}) // the other line's
	x.stop(r)
	roles(t, append(ds, x), is{r: entry.Owner, x: entry.Owner})
	y := a.recover("Y", "q 3", "q 2", x.first.mark()) // each follows on the other now
	x.stop(y)
	z := a.recover("Z", "q 2", "q 4", x.first.mark())
	roles(t, append(ds, x, y, z), is{x: entry.Owner, y: entry.Owner, z: entry.Owner})
	fake := a.recover("Fake", "no such code", "f", a.last(a))
	roles(t, append(ds, fake), is{fake: entry.NoRole, r: entry.Owner})
}

func TestAThiefWhoNamesTheNextCodeAsHisOwn(t *testing.T) {
	a := found("Ada")
	p := a.recover("P", "paper", "p 2", a.last(a))
	r := p.recover("R", "p 2", "p 3", p.last(p))
	ds := []*device{a, p, r}
	roles(t, ds, is{p: entry.NoRole, r: entry.Owner})
	long := a.recover("T1", "paper", "t 2")
	more := long.recover("T2", "t 2", "p 2") // whoever has the first code knows the public half of each
	last := long.recover("T3", "paper", "p 3")
	ds = append(ds, long, more, last)
	roles(t, ds, is{p: entry.NoRole, r: entry.Owner})
	r.learn(long.top, more.top, last.top)
	r.stop(long)
	r.stop(last)
	roles(t, ds, is{r: entry.Owner, long: entry.NoRole, last: entry.NoRole})
}

func TestATakingInRevivesFactsOnly(t *testing.T) {
	c := crew(t, "Bob", entry.Operator)
	a, b := c[0], c[1]
	list := a.put("list", said(&entry.ChecksSet{Items: []entry.CheckItem{{Name: "pin", Required: true}}}))
	drill := a.put("drill", said(&entry.DrillSet{Name: entry.Opt[string]{Set: true, Val: "D"}}))
	hitch := a.put("hitch", func(n name) entry.Body { return &entry.HitchBegun{Checks: n(list), Drill: n(drill)} })
	hold := a.put("hold", func(n name) entry.Body { return &entry.HoldRaised{Drill: n(drill)} })
	meet(a, b)
	a.stop(b)
	note := b.note()
	sign := b.put("sign", func(n name) entry.Body { return &entry.ItemSigned{Hitch: n(hitch), Item: 1} })
	release := b.put("release", func(n name) entry.Body {
		return &entry.HoldReleased{Drill: n(drill), Holds: []entry.ID{n(hold)}}
	})
	settle := b.put("settle", func(n name) entry.Body { return &entry.Settled{Doubt: "no-right", Entries: []entry.ID{n(hold)}} })
	b.learn(a.top)
	knowing := b.note()
	beyond := b.note()
	a.learn(knowing)
	f, n := farmOf(t, a, b)
	for _, r := range []*raw{note, sign, release, settle, knowing, beyond} {
		left(t, f, n, r, AfterStop)
	}
	a.takeIn(knowing.mark())
	f, n = farmOf(t, a, b)
	left(t, f, n, note, "")
	left(t, f, n, knowing, "")
	for _, r := range []*raw{sign, release, settle, beyond} {
		left(t, f, n, r, AfterStop)
	}
	if h := f.Hitch(n(drill)); h.Ready || len(h.Holds) != 1 || len(h.Signed) != 0 {
		t.Errorf("the drill: %+v", h)
	}
}

func TestATakingInThatDidNotKnowOfTheStopLiftsNothing(t *testing.T) {
	c := crew(t, "Bob", entry.Operator)
	a, b := c[0], c[1]
	note := b.note()
	a.learn(note)
	a.takeIn(note.mark())
	a.stopAt(entry.Mark{Log: b.id.Log()})
	f, n := farmOf(t, a, b)
	left(t, f, n, note, AfterStop)
}

func TestWhoWritesOnAnothersDeviceHasTheLesserRight(t *testing.T) {
	c := crew(t, "Tablet", entry.Helper, "Bob", entry.Owner)
	a, tab, b := c[0], c[1], c[2]
	dial := func(d *device, who *raw) *raw {
		return d.put("dial", said(&entry.DrillSet{Name: entry.Opt[string]{Set: true, Val: "D"}}), as(who))
	}
	byAda := dial(tab, a.person) // an owner, on a helper's device
	byHelper := dial(b, tab.person)
	byBob := dial(a, b.person)
	invite := a.put("member", said(&entry.MemberAdded{Name: "X", Role: entry.Owner}), as(tab.person))
	nobody := a.put("drill", said(&entry.DrillSet{}), func(_ *device, r *raw) { r.person = byBob })
	f, n := farmOf(t, c...)
	left(t, f, n, byAda, NoRight)
	left(t, f, n, byHelper, NoRight)
	left(t, f, n, byBob, "")
	left(t, f, n, invite, NoRight)
	left(t, f, n, nobody, NoRight)
	meet(c...)
	a.stopPerson(b.person)
	apartFrom := dial(tab, b.person)
	onAdas := dial(a, b.person)
	f, n = farmOf(t, c...)
	left(t, f, n, byBob, "")
	left(t, f, n, apartFrom, NoRight)
	left(t, f, n, onAdas, NoRight)
}

func TestAYoungerOwnerShutsNoElderOut(t *testing.T) {
	c := crew(t, "Bob", entry.Owner, "Cara", entry.Owner)
	a, b, cara := c[0], c[1], c[2]
	acts := []*raw{cara.stopPerson(a.person), cara.stop(b), cara.role(b.person, entry.Helper), cara.admitAs(b, b.person, entry.Viewer)}
	meet(c...)
	byAda := b.put("list", said(&entry.ChecksSet{}), as(a.person)) // knowing all that
	byBob := b.put("list", said(&entry.ChecksSet{}))
	f, n := farmOf(t, c...)
	for _, r := range acts {
		left(t, f, n, r, NoForce)
	}
	left(t, f, n, byAda, "")
	left(t, f, n, byBob, "")
	roles(t, c, is{a: entry.Owner, b: entry.Owner, cara: entry.Owner})
	if f.Role(n(a.person)) != entry.Owner || f.Role(n(b.person)) != entry.Owner {
		t.Error("a younger owner lowered an elder")
	}
}

func TestAPersonWithSeveralDevices(t *testing.T) {
	c := crew(t, "Bob", entry.Operator, "Cara", entry.Owner)
	a, b, cara := c[0], c[1], c[2]
	second := a.w.enrol("Bob's tablet", a.invite(b.person, entry.Helper))
	a.admit(second)
	meet(append(c, second)...)
	ds := append(c, second)
	cara.role(b.person, entry.Owner) // both are below Cara now, who let neither in
	roles(t, ds, is{b: entry.Owner, second: entry.Owner})
	meet(ds...)
	b.stop(cara)
	roles(t, ds, is{cara: entry.Owner, b: entry.Owner})
	cara.stop(second)
	roles(t, ds, is{b: entry.Owner, second: entry.NoRole})
	cara.role(b.person, entry.Operator) // what becomes of Bob brings back no lost tablet
	roles(t, ds, is{b: entry.Operator, second: entry.NoRole})
	f, _ := farmOf(t, ds...)
	if !f.Stopped(second.id) || f.Stopped(b.id) || !f.Joined(second.id) {
		t.Error("the tablet is not stopped, or Bob's phone is")
	}
	a.learn(cara.top)
	a.stopPerson(b.person)
	roles(t, ds, is{b: entry.NoRole, second: entry.NoRole})
	cara.learn(a.top)
	cara.role(b.person, entry.Helper) // what Ada took, Cara does not give back
	roles(t, ds, is{b: entry.NoRole})
	if f, n := farmOf(t, ds...); f.Role(n(b.person)) != entry.NoRole {
		t.Error("a younger owner gave Bob back what Ada took")
	}
	a.role(b.person, entry.Helper)
	roles(t, ds, is{b: entry.Helper, second: entry.NoRole})
	a.admitAs(second, b.person, entry.Helper)
	roles(t, ds, is{b: entry.Helper, second: entry.Helper})
	third := a.w.enrol("Bob's third", a.invite(b.person, entry.Operator))
	cara.admit(third, seeing()) // knowing that Ada stopped Bob, and not what she said later
	roles(t, append(ds, third), is{third: entry.NoRole})
}

func TestHostileSinceAnEntry(t *testing.T) {
	c := crew(t, "Mal", entry.Owner)
	a, m := c[0], c[1]
	good := m.note()
	was := m.top
	thief := m.enter("Thief", entry.Operator)
	meet(a, m, thief)
	roles(t, append(c, thief), is{thief: entry.Operator})
	a.stopAt(was.mark())
	other := m.note(after(was.prev), seeing())
	f, n := farmOf(t, append(c, thief)...)
	left(t, f, n, good, "")
	left(t, f, n, other, AfterStop)
	roles(t, append(c, thief), is{m: entry.NoRole, thief: entry.NoRole})
	if f.Joined(thief.id) {
		t.Error("the thief belongs")
	}
}

func TestTheFoundersKeyWritesTheFoundingAgain(t *testing.T) {
	c := crew(t, "Bob", entry.Owner)
	a := c[0]
	for i := range 4 { // until its hash is less, and on
		r := a.put("found again", said(&entry.FarmFounded{Name: string(rune('A' + i)), Owner: "Thief", Key: a.key, Paper: public(secret("paper"))}),
			after(nil), seeing())
		a.note(after(r), seeing())
	}
	roles(t, c, is{a: entry.Owner, c[1]: entry.Owner})
	p := a.recover("New", "paper", "2", a.last(a))
	r := a.put("found again", said(&entry.FarmFounded{Name: "Z", Owner: "Thief", Key: a.key, Paper: public(secret("paper"))}), after(nil), seeing())
	thief := a.enter("T", entry.Owner, after(r), seeing())
	roles(t, append(c, p, thief), is{a: entry.NoRole, p: entry.Owner, thief: entry.NoRole})
}

func TestWhatWasWrittenKnowingALowerRoleAlone(t *testing.T) {
	a := found("Ada")
	p := a.member("Bob", entry.Helper)
	a.role(p, entry.Operator)
	raised := a.top
	tab := a.w.enrol("Tablet", a.invite(p, entry.Viewer))
	a.admitAs(tab, p, entry.Viewer)
	tab.learn(raised)
	list := tab.put("list", said(&entry.ChecksSet{}))
	f, n := farmOf(t, a, tab)
	left(t, f, n, list, NoRight)
}

func TestSettlingARole(t *testing.T) {
	c := crew(t, "Bob", entry.Owner, "Eve", entry.Helper, "Hal", entry.Operator)
	a, b, eve, hal := c[0], c[1], c[2], c[3]
	x := a.role(eve.person, entry.Viewer)
	y := b.role(eve.person, entry.Operator)
	roles(t, c, is{eve: entry.Viewer})
	meet(c...)
	settle := func(d *device, pick *raw) *raw {
		return d.put("settle", func(n name) entry.Body {
			return &entry.Settled{Doubt: "two-plans", Entries: []entry.ID{n(x), n(y)}, Stands: []entry.ID{n(pick)}}
		})
	}
	no := settle(hal, y)
	settle(b, y) // gives back what Ada took
	roles(t, c, is{eve: entry.Viewer})
	settle(a, y)
	roles(t, c, is{eve: entry.Operator})
	f, n := farmOf(t, c...)
	left(t, f, n, no, NoRight)
	if f.Role(n(eve.person)) != entry.Operator {
		t.Error("the settlement does not say what Eve may do")
	}
}

func TestHoldsOfWhoDoesNotStand(t *testing.T) {
	c := crew(t, "Hal", entry.Helper, "Opa", entry.Operator)
	a, hal, opa := c[0], c[1], c[2]
	list := a.put("list", said(&entry.ChecksSet{Items: []entry.CheckItem{{Name: "pin", Required: true}}}))
	drill := a.put("drill", said(&entry.DrillSet{Name: entry.Opt[string]{Set: true, Val: "D"}}))
	hitch := a.put("hitch", func(n name) entry.Body { return &entry.HitchBegun{Checks: n(list), Drill: n(drill)} })
	meet(c...)
	a.put("sign", func(n name) entry.Body { return &entry.ItemSigned{Hitch: n(hitch), Item: 1} })
	meet(c...)
	ready := func(want bool, ds ...*device) {
		t.Helper()
		f, n := farmOf(t, append(c, ds...)...)
		if h := f.Hitch(n(drill)); h.Ready != want {
			t.Errorf("ready %t: %+v, %d wait", h.Ready, h, f.Waiting)
		}
	}
	hold := func(d *device, hows ...how) *raw {
		return d.put("hold", func(n name) entry.Body { return &entry.HoldRaised{Drill: n(drill)} }, hows...)
	}
	release := func(d *device, h *raw) {
		d.put("release", func(n name) entry.Body { return &entry.HoldReleased{Drill: n(drill), Holds: []entry.ID{n(h)}} })
	}
	ready(true)
	// A log that waits: until it is refused.
	new := a.w.enrol("New", a.invite(hal.person, entry.Helper))
	hold(new)
	ready(false, new)
	a.refuse(new)
	ready(true, new)
	// Past a stop the first counts until it is released, and no more after it.
	a.stop(hal)
	first := hold(hal)
	ready(false)
	meet(a, hal)
	release(a, first)
	ready(true)
	hold(hal)
	ready(true)
	hold(hal, after(hal.first)) // before the first, on another branch
	ready(true)
	// What waits for what nobody has.
	lie := opa.note()
	lie.seen = append(lie.seen, &raw{dev: hal, seq: 99})
	ready(false)
	a.stop(opa)
	ready(true)
}

func TestASignaturePastAForkCountsForNothing(t *testing.T) {
	c := crew(t, "Opa", entry.Operator)
	a, opa := c[0], c[1]
	list := a.put("list", said(&entry.ChecksSet{Items: []entry.CheckItem{{Name: "pin", Required: true}}}))
	drill := a.put("drill", said(&entry.DrillSet{Name: entry.Opt[string]{Set: true, Val: "D"}}))
	hitch := a.put("hitch", func(n name) entry.Body { return &entry.HitchBegun{Checks: n(list), Drill: n(drill)} })
	meet(c...)
	was := opa.top
	sign := opa.put("sign", func(n name) entry.Body { return &entry.ItemSigned{Hitch: n(hitch), Item: 1} })
	f, n := farmOf(t, c...)
	left(t, f, n, sign, "")
	fact := opa.note(after(was))
	f, n = farmOf(t, c...)
	left(t, f, n, sign, NoForce)
	left(t, f, n, fact, "")
	if f.Hitch(n(drill)).Ready {
		t.Error("ready by a signature past a fork")
	}
}

func TestAnEntryWaitsForTheVeryCauseThatItNames(t *testing.T) {
	c := crew(t, "Bob", entry.Helper)
	a, b := c[0], c[1]
	x := b.note()
	a.learn(x)
	y := a.note()
	es := func(change bool) *Fold {
		_, es, br := entries(holding(c...))
		for i := range es {
			if change && es[i].Hash == y.hash.Brief() {
				es[i].Seen[0].Hash[0] ^= 1
			}
		}
		return Replay(a.w.farm, es, br...)
	}
	if f := es(false); f.Waiting != 0 {
		t.Errorf("%d wait", f.Waiting)
	}
	if f := es(true); f.Waiting != 1 {
		t.Errorf("%d wait for another entry under that number, want 1", f.Waiting)
	}
}

func TestAnEnrolmentWithoutItsInvitesSignature(t *testing.T) {
	a := found("Ada")
	p := a.member("Ron", entry.Operator)
	i := a.invite(p, entry.Operator)
	forged := a.w.enrol("Forged", &invite{secret: secret("another"), person: p, role: entry.Operator})
	forged.first.body = said(&entry.DeviceEnrolled{Invite: public(i.secret), Key: forged.key, Name: "Forged",
		Proof: entry.Countersign(secret("another"), a.w.farm, forged.id, forged.key)})
	a.admit(forged)
	roles(t, []*device{a, forged}, is{forged: entry.NoRole})
}

// An accomplice's stop names an entry that is shown only once the founder has
// acted: it must not bring back what it seemed to void.
func TestAStopThatNamesWhatItsWriterNeverSaw(t *testing.T) {
	c := crew(t, "Eve", entry.Owner, "Mal", entry.Owner)
	a, eve, mal := c[0], c[1], c[2]
	thief := mal.enter("Thief", entry.Owner)
	shown := mal.top
	hidden := mal.note()
	eve.stopAt(hidden.mark(), seeing())
	a.learn(shown, eve.top)
	a.has[thief.first] = true
	a.stop(mal)
	a.stop(eve)
	roles(t, []*device{a}, is{thief: entry.NoRole})
	roles(t, []*device{a, mal}, is{thief: entry.NoRole})
}
