package naive

import (
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/hlc"
)

type is = map[*device]entry.Role

// crew is a farm of Ada's, with others let in in order.
func crew(t *testing.T, others ...any) []*device {
	t.Helper()
	out := []*device{found("Ada")}
	for i := 0; i < len(others); i += 2 {
		out = append(out, out[0].letIn(others[i].(string), others[i+1].(entry.Role)))
	}
	meet(out...)
	return out
}

// enter is a thief who makes a person and lets a device of his own in.
func (d *device) enter(called string, role entry.Role, hows ...how) *device {
	p := d.member(called, role, hows...)
	o := d.w.enrol(called, &invite{secret: secret(called), person: p, role: role})
	d.admit(o)
	o.learn(d.top)
	return o
}

func TestAnOwnerStopsAHelperInvitedBefore(t *testing.T) {
	c := crew(t, "Hal", entry.Helper, "Bob", entry.Owner)
	c[2].stop(c[1])
	roles(t, c, is{c[1]: entry.NoRole, c[2]: entry.Owner})
}

func TestADemotionIsAStop(t *testing.T) {
	c := crew(t, "Bob", entry.Owner)
	c[0].role(c[1].person, entry.Helper)
	thief := c[1].enter("Thief", entry.Owner)
	roles(t, append(c, thief), is{c[1]: entry.Helper, thief: entry.NoRole})
}

func TestAnInviteMadeBeforeAStopLetsNobodyIn(t *testing.T) {
	c := crew(t, "Bob", entry.Owner)
	i := c[1].invite(c[1].person, entry.Owner)
	meet(c...)
	c[0].stop(c[1])
	thief := c[0].w.enrol("Thief", i)
	note := thief.note()
	f, n := farmOf(t, c[0], thief)
	if f.Joined(thief.id) {
		t.Error("the thief belongs")
	}
	left(t, f, n, note, NotJoined)
}

func TestAStoppedOwnerForksUnderHisInvite(t *testing.T) {
	c := crew(t, "Bob", entry.Owner)
	before := c[1].top
	cara := c[1].letIn("Cara", entry.Operator)
	c = append(c, cara)
	meet(c...)
	c[0].stop(c[1])
	roles(t, c, is{cara: entry.Operator, c[1]: entry.NoRole})
	c[1].note(after(before), seeing())
	roles(t, c, is{cara: entry.Operator, c[1]: entry.NoRole})
}

func TestAFirstDayCopyOfTheFoundersPhone(t *testing.T) {
	c := crew(t, "Bob", entry.Owner, "Cara", entry.Operator)
	note := c[0].note(after(c[0].first), seeing())
	roles(t, c, is{c[0]: entry.Owner, c[1]: entry.Owner, c[2]: entry.Operator})
	f, n := farmOf(t, c...)
	left(t, f, n, note, "")
}

func TestRolesSetApartTheLeastStands(t *testing.T) {
	c := crew(t, "Bob", entry.Owner, "Eve", entry.Helper)
	c[0].stopPerson(c[2].person)
	c[1].role(c[2].person, entry.Owner, clock(^hlc.Time(0)))
	meet(c...)
	c[2].note()
	roles(t, c, is{c[2]: entry.NoRole})
}

func TestACopyOfAUsedInvite(t *testing.T) {
	a := found("Ada")
	i := a.invite(a.member("Ron", entry.Operator), entry.Operator)
	ron, thief := a.w.enrol("Ron", i), a.w.enrol("Thief", i)
	a.admit(ron)
	a.note()
	roles(t, []*device{a, ron, thief}, is{ron: entry.Operator, thief: entry.NoRole})
}

func TestWhoWasPutOutLetsNobodyIn(t *testing.T) {
	c := crew(t, "Bob", entry.Owner)
	a, b := c[0], c[1]
	i := b.invite(b.member("Ron", entry.Operator), entry.Operator)
	meet(c...)
	ron := a.w.enrol("Ron", i)
	a.admit(ron)
	a.role(b.person, entry.Viewer)
	thief := a.w.enrol("Thief", i)
	b.admit(thief)
	roles(t, []*device{a, b, ron, thief}, is{ron: entry.Operator, thief: entry.NoRole, b: entry.Viewer})
}

func TestATakingInGivesNoRights(t *testing.T) {
	c := crew(t, "Bob", entry.Owner, "Cara", entry.Owner)
	a, b, cara := c[0], c[1], c[2]
	a.stop(b)
	cara.learn(a.top)
	fact := b.note()
	thief := b.enter("Thief", entry.Owner)
	cara.learn(b.top)
	cara.takeIn(b.top.mark())
	ds := append(c, thief)
	roles(t, ds, is{thief: entry.NoRole, b: entry.NoRole})
	f, n := farmOf(t, ds...)
	left(t, f, n, fact, AfterStop) // younger Cara gives nothing back that Ada took
	a.learn(cara.top)
	a.takeIn(b.top.mark())
	f, n = farmOf(t, ds...)
	left(t, f, n, fact, "")
	left(t, f, n, b.top, AfterStop)
	roles(t, ds, is{thief: entry.NoRole, b: entry.NoRole})
}

func TestBranchesOfLessHashTakeNothingOut(t *testing.T) {
	c := crew(t, "Hal", entry.Helper)
	h := c[1].note()
	meet(c...)
	for range 8 {
		c[1].note(after(c[1].first), seeing())
	}
	f, n := farmOf(t, c...)
	left(t, f, n, h, "")
}

func TestAYoungerOwnersHelperIsNoElder(t *testing.T) {
	c := crew(t, "Hal", entry.Helper, "Bob", entry.Owner)
	hal, b := c[1], c[2]
	eve := b.letIn("Eve", entry.Owner)
	c = append(c, eve)
	meet(c...)
	eve.role(hal.person, entry.Owner)
	hal.learn(eve.top)
	hal.stop(b)
	roles(t, c, is{b: entry.Owner, hal: entry.Owner, eve: entry.Owner})
	f, n := farmOf(t, c...)
	left(t, f, n, hal.top, NoForce)
}

func TestASecondFoundingWithAPaperOfItsOwn(t *testing.T) {
	c := crew(t, "Bob", entry.Owner)
	thief := c[0].w.device("Ada") // her key, and another paper
	forged := thief.put("found", said(&entry.FarmFounded{Name: "Farm", Owner: "Ada", Key: thief.key, Paper: public(secret("thief's"))}))
	thief.dev2(c[0], forged)
	f, n := foldOf(c...)
	left(t, f, n, c[0].first, "")
	if got, _ := f.Left(n(forged)); got == "" {
		t.Error("the forged founding counts")
	}
	rec := c[0].recover("Rec", "thief's", "next")
	f, _ = foldOf(append(c, rec)...)
	rolesIn(t, f, is{rec: entry.NoRole, c[1]: entry.Owner, c[0]: entry.Owner})
}

// dev2 has a device's key write an entry in another's log.
func (d *device) dev2(of *device, r *raw) {
	r.dev = of
	of.learn(r)
}

func TestOrderHealsAfterAForgedClock(t *testing.T) {
	const h = hour
	c := crew(t, "Bob", entry.Owner, "Mal", entry.Viewer)
	a, b, mal := c[0], c[1], c[2]
	meet(c...)
	mal.note(clock(1_000_000 * h))
	meet(c...)
	a.note(clock(11 * h))
	b.note(clock(11 * h))
	meet(a, b)
	var last *raw
	for range 5 {
		last = a.note(clock(20 * h))
	}
	late := b.note(clock(30 * h))
	f, n := farmOf(t, c...)
	if f.byID[n(last)].Compare(f.byID[n(late)]) >= 0 {
		t.Error("30 hours come before 20")
	}
	for _, it := range f.items {
		for _, o := range f.items {
			if it.knows(o) && o.Compare(it) >= 0 {
				t.Errorf("%s comes before %s, which it knew", it.ID.Short(), o.ID.Short())
			}
		}
	}
}

func TestALateStopAndOneAdmissionBringsBackALog(t *testing.T) {
	c := crew(t, "Bob", entry.Owner)
	a, b := c[0], c[1]
	a.stop(b)
	cara := b.letIn("Cara", entry.Operator)
	note := cara.note()
	ds := append(c, cara)
	roles(t, ds, is{cara: entry.NoRole})
	meet(ds...)
	a.admitAs(cara, a.member("Cara", entry.Operator), entry.Operator)
	cara.learn(a.top)
	roles(t, ds, is{cara: entry.Operator, b: entry.NoRole})
	f, n := farmOf(t, ds...)
	left(t, f, n, note, "")
}

func TestOnlyThePaperEndsTheFoundersPhone(t *testing.T) {
	c := crew(t, "Bob", entry.Owner)
	a, b := c[0], c[1]
	b.stop(a)
	a.stop(b)
	meet(c...)
	roles(t, c, is{a: entry.Owner, b: entry.NoRole})
	p := a.recover("New", "paper", "paper 2", a.last(a))
	p.admit(b)
	ds := append(c, p)
	meet(ds...)
	a.stop(p, seeing())
	roles(t, ds, is{a: entry.NoRole, p: entry.Owner, b: entry.Owner})
}
