package naive

import (
	"flag"
	"fmt"
	"maps"
	"math/rand"
	"slices"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/hlc"
)

var wildly = flag.Bool("wild", false, "hold the two folds against each other on 200 wild farms (20,000 with -exhaustive)")

// TestTheFoldAgainstThisOne holds package farm's fold against this one, on
// farms where anybody writes anything at all: acts with and without right, on
// branches, with papers and a porter, settled, taken in, stopped and let in.
func TestTheFoldAgainstThisOne(t *testing.T) {
	if !*wildly {
		t.Skip("does not apply: -wild is not set")
	}
	worlds := 150
	if *exhaustive {
		worlds = 20_000
	}
	bad := 0
	for seed := range worlds {
		w := newWild(int64(seed))
		if differs := against(w.ada.w, holding(w.all...), int64(seed)); len(differs) > 0 {
			t.Errorf("world %d:", seed)
			for _, d := range differs {
				t.Log("   ", d)
			}
			if bad++; bad == 5 {
				return
			}
		}
	}
}

// TestFarmsOnWhichTheTwoOnceDiffered has settlements that name the roles of two
// people: these are about nobody's role, and are judged as any other.
func TestFarmsOnWhichTheTwoOnceDiffered(t *testing.T) {
	for _, seed := range []int64{7063, 10410, 10781, 12874, 14015} {
		w := newWild(seed)
		for _, d := range against(w.ada.w, holding(w.all...), seed) {
			t.Errorf("world %d: %s", seed, d)
		}
	}
}

// wild is a farm whose devices write at random.
type wild struct {
	*rand.Rand
	ada                *device
	all                []*device
	codes              []string
	list, drill, hitch *raw
}

func newWild(seed int64) *wild {
	w := &wild{Rand: rand.New(rand.NewSource(seed)), codes: []string{"paper"}}
	a := found("Ada")
	w.ada = a
	w.list = a.put("list", said(&entry.ChecksSet{Items: []entry.CheckItem{{Name: "pin", Required: true}}}))
	w.drill = a.put("drill", said(&entry.DrillSet{Name: entry.Opt[string]{Set: true, Val: "D"}}))
	w.hitch = a.put("hitch", func(n name) entry.Body { return &entry.HitchBegun{Checks: n(w.list), Drill: n(w.drill)} })
	w.all = []*device{a}
	for i, r := range []entry.Role{entry.Owner, entry.Operator, entry.Owner, entry.Helper} {
		by := a
		if i > 1 && w.Intn(2) == 0 {
			by = w.all[1]
		}
		w.all = append(w.all, by.letIn(fmt.Sprint("D", i), r))
		meet(w.all...)
	}
	w.all = append(w.all, a.porter())
	meet(w.all...)
	for n := range 15 + w.Intn(25) {
		w.write(n)
		if w.Intn(3) == 0 {
			meet(one(w, w.all), one(w, w.all))
		}
	}
	return w
}

func one[T any](w *wild, of []T) T { return of[w.Intn(len(of))] }

// write has some device write something.
func (w *wild) write(n int) {
	d := one(w, w.all)
	if w.Intn(8) == 0 {
		w.join(d, n)
		return
	}
	prev := d.top
	if w.Intn(6) == 0 {
		prev = one(w, ownOf(d))
	}
	seen := without(d.has, d)
	slices.SortFunc(seen, compareRaw)
	if w.Intn(2) == 0 { // not all of it
		some := seen[:0:0]
		for range 1 + w.Intn(4) {
			if len(seen) > 0 {
				some = append(some, one(w, seen))
			}
		}
		seen = some
	}
	known := map[*raw]bool{prev: true}
	maps.Copy(known, prev.past)
	for _, s := range seen {
		known[s] = true
		maps.Copy(known, s.past)
	}
	k := sorted(known)
	hows := []how{after(prev), seeing(seen...), clock(one(w, []hlc.Time{0, 1, hour, 3 * hour, ^hlc.Time(0)})), wall(int64(w.Intn(3)))}
	if people := peopleIn(k); w.Intn(6) == 0 && len(people) > 0 {
		hows = append(hows, as(one(w, people)))
	}
	w.act(d, n, k, hows)
}

// join makes a device that asks to join, or that a code on paper lets in.
func (w *wild) join(d *device, n int) {
	called := fmt.Sprint("N", n)
	if w.Intn(3) == 0 {
		code, next := one(w, w.codes), fmt.Sprint("code ", w.Intn(4))
		var stops []entry.Mark
		for range w.Intn(3) {
			stops = append(stops, one(w, ownOf(one(w, w.all))).mark())
		}
		w.codes = append(w.codes, next)
		w.all = append(w.all, d.recover(called, code, next, stops...))
		return
	}
	var invites []*invite
	for _, o := range w.all {
		if o.invited != nil {
			invites = append(invites, o.invited)
		}
	}
	w.all = append(w.all, d.w.enrol(called, one(w, invites)))
}

func peopleIn(known []*raw) []*raw {
	return bodiesIn(known, func(b entry.Body) bool { return making(b) == "person" })
}

func bodiesIn(known []*raw, is func(entry.Body) bool) (out []*raw) {
	for _, r := range known {
		if is(r.body(func(*raw) entry.ID { return entry.ID{Seq: 1} })) {
			out = append(out, r)
		}
	}
	return out
}

func kindIn[B entry.Body](known []*raw) []*raw {
	return bodiesIn(known, func(b entry.Body) bool { _, ok := b.(B); return ok })
}

// act writes a body that names what its writer knew.
func (w *wild) act(d *device, n int, known []*raw, hows []how) {
	roles := []entry.Role{entry.Viewer, entry.Helper, entry.Operator, entry.Owner, entry.Owner}
	people, o := peopleIn(known), one(w, w.all)
	if len(people) == 0 {
		d.note(hows...)
		return
	}
	who := one(w, people)
	switch w.Intn(16) {
	case 0:
		d.member(fmt.Sprint("P", n), one(w, roles), hows...)
	case 1:
		if o.invited != nil {
			i := o.invited
			d.put("invite", func(n name) entry.Body {
				return &entry.Invited{Person: n(who), Key: public(i.secret), Expires: int64(1)}
			}, hows...)
		}
	case 2, 3, 4:
		role := one(w, roles)
		d.admitAs(o, who, role, hows...)
	case 5:
		porter := w.Intn(3) == 0
		d.put("refuse", said(&entry.Admitted{Device: o.id, Hash: o.first.hash.Brief(), Refused: !porter, Porter: porter}), hows...)
	case 6, 7:
		d.stopAt(one(w, ownOf(o)).mark(), hows...)
	case 8:
		d.stopPerson(who, hows...)
	case 9, 10:
		d.role(who, one(w, roles), hows...)
	case 11:
		d.takeIn(one(w, ownOf(o)).mark(), hows...)
	case 12:
		w.settle(d, known, hows)
	case 13, 14:
		w.hitchAct(d, known, hows)
	default:
		d.note(hows...)
	}
}

func (w *wild) settle(d *device, known []*raw, hows []how) {
	of := append(kindIn[*entry.MemberChanged](known), kindIn[*entry.Settled](known)...)
	if len(of) == 0 {
		d.note(hows...)
		return
	}
	x, y := one(w, of), one(w, of)
	if x == y {
		d.note(hows...)
		return
	}
	d.put("settle", func(n name) entry.Body {
		return &entry.Settled{Doubt: "two-plans", Entries: []entry.ID{n(x), n(y)}, Stands: []entry.ID{n(x)}}
	}, hows...)
}

func (w *wild) hitchAct(d *device, known []*raw, hows []how) {
	holds := kindIn[*entry.HoldRaised](known)
	switch {
	case !slices.Contains(known, w.hitch):
		d.note(hows...)
	case w.Intn(3) == 0:
		d.put("hold", func(n name) entry.Body { return &entry.HoldRaised{Drill: n(w.drill)} }, hows...)
	case len(holds) > 0 && w.Intn(3) > 0:
		h := one(w, holds)
		d.put("release", func(n name) entry.Body {
			return &entry.HoldReleased{Drill: n(w.drill), Holds: []entry.ID{n(h)}, Why: "x"}
		}, hows...)
	default:
		d.put("sign", func(n name) entry.Body { return &entry.ItemSigned{Hitch: n(w.hitch), Item: 1} }, hows...)
	}
}

// state is package farm's fold of entries, in some order of arrival.
func state(w *world, es []entry.Entry, branches []Branch, f *Fold, seed int64) *farm.State {
	s := farm.New(w.farm)
	told := map[entry.LogID]bool{}
	for len(told) < len(branches) {
		for _, b := range branches {
			of := slices.ContainsFunc(branches, func(o Branch) bool { return o.Name == b.Of.Log })
			if !told[b.Name] && (!of || told[b.Of.Log]) {
				s.Branch(b.Name, b.Of)
				told[b.Name] = true
			}
		}
	}
	rng := rand.New(rand.NewSource(seed))
	given := map[entry.ID]bool{}
	for len(given) < len(es) {
		for _, e := range es {
			if b := f.before(e.ID); !given[e.ID] && (b.Seq == 0 || given[b]) && rng.Intn(2) == 0 {
				given[e.ID] = true
				s.Apply(e)
			}
		}
	}
	return s
}

// against is where the two folds differ.
func against(w *world, all map[*raw]bool, seed int64) (differs []string) {
	defer func() {
		if r := recover(); r != nil {
			differs = append(differs, fmt.Sprint("panic: ", r))
		}
	}()
	say := func(format string, a ...any) { differs = append(differs, fmt.Sprintf(format, a...)) }
	n, es, branches := entries(all)
	slices.SortFunc(es, func(a, b entry.Entry) int { return a.ID.Compare(b.ID) })
	called := map[entry.ID]string{}
	for r := range all {
		called[n(r)] = fmt.Sprintf("%s/%d %s", r.dev.called, r.seq, r.body(n).Kind())
	}
	f := Replay(w.farm, es, branches...)
	s := state(w, es, branches, f, seed)
	if state(w, es, branches, f, ^seed).Digest() != s.Digest() {
		say("another digest in another order")
	}
	if s.Waiting() != f.Waiting {
		say("%d wait, plainly %d", s.Waiting(), f.Waiting)
	}
	for _, it := range f.items {
		l, ok := s.Line(it.ID)
		if joined := it.left != NotJoined; joined != ok && joined || ok && (l.LeftOut == "") != (it.left == "") {
			say("%s left out for %q (shown %t), plainly for %q", called[it.ID], l.LeftOut, ok, it.left)
		}
	}
	v := s.View()
	for _, d := range v.Devices {
		if d.Joined != f.Joined(d.ID) || d.Joined && d.Stopped != f.Stopped(d.ID) {
			say("%s joined %t stopped %t, plainly %t %t", called[entry.ID{Log: d.ID.Log(), Seq: 1}], d.Joined, d.Stopped, f.Joined(d.ID), f.Stopped(d.ID))
		}
	}
	for _, m := range v.Crew {
		role := m.Role
		if m.Stopped {
			role = entry.NoRole
		}
		if role != f.Role(m.ID) {
			say("%s is %s, plainly %s", called[m.ID], role, f.Role(m.ID))
		}
	}
	for _, d := range v.Drills {
		h := f.Hitch(d.ID)
		h.Holds = slices.DeleteFunc(h.Holds, func(id entry.ID) bool { return !f.Joined(id.Log.Device()) }) // shown elsewhere
		if h.Ready != d.Hitch.Ready || len(h.Holds) != len(d.Hitch.Holds) {
			say("ready %t (%v, %d holds), plainly %t (%s, %d)", d.Hitch.Ready, d.Hitch.Missing, len(d.Hitch.Holds), h.Ready, h.Why, len(h.Holds))
		}
	}
	differs = append(differs, doubtsAgainst(v, f, called)...)
	return differs
}

func doubtsAgainst(v *farm.View, f *Fold, called map[entry.ID]string) (differs []string) {
	told := func(kind string, es []entry.ID) string {
		var names []string
		for _, id := range es {
			names = append(names, called[id])
		}
		slices.Sort(names)
		return fmt.Sprint(kind, " ", names)
	}
	got, want := map[string]bool{}, map[string]bool{}
	for d := range v.Doubts() {
		crewKinds := []farm.DoubtKind{farm.NoRight, farm.AfterStop, farm.TwoPlans, farm.OneInvite}
		if !d.Settled && slices.Contains(crewKinds, d.Kind) {
			got[told(string(d.Kind), d.Entries)] = true
		}
	}
	for _, d := range f.Doubts() {
		want[told(d.Kind, d.Entries)] = true
	}
	for k := range got {
		if !want[k] {
			differs = append(differs, "plainly no doubt: "+k)
		}
	}
	for k := range want {
		if !got[k] {
			differs = append(differs, "plainly a doubt: "+k)
		}
	}
	slices.Sort(differs)
	return differs
}
