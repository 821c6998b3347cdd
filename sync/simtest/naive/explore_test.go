package naive

import (
	"fmt"
	"maps"
	"math/rand"
	"slices"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/hlc"
)

// TestRandomWorlds lets honest and hostile devices do as they like. Then the
// founder, who has met all honest ones, stops every hostile one and lets the
// honest ones in again. Nothing that hostile devices show later, withheld,
// forked, backdated or new, changes who belongs.
func TestRandomWorlds(t *testing.T) {
	worlds := 150
	if *exhaustive {
		worlds = 60_000
	}
	for seed := range worlds {
		randomWorld(t, rand.New(rand.NewSource(int64(seed))), seed)
		if t.Failed() {
			return
		}
	}
}

type random struct {
	*rand.Rand
	honest, hostile []*device
	thieves         []*device
	pool            map[*raw]bool // what hostile devices wrote
	n               int
}

func randomWorld(t *testing.T, rng *rand.Rand, seed int) {
	r := &random{Rand: rng, pool: map[*raw]bool{}}
	a := found("Ada")
	all := map[string]*device{"Ada": a}
	type who struct {
		name string
		role entry.Role
	}
	order := []who{{"Mal", entry.Owner}, {"Eve", pick(r, entry.Helper, entry.Owner)}, {"Bob", entry.Owner}, {"Cara", entry.Operator}}
	r.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
	for _, w := range order {
		by := a
		if b := all["Bob"]; b != nil && r.Intn(3) == 0 {
			by = b
		}
		all[w.name] = by.letIn(w.name, w.role)
		meet(a, by, all[w.name])
	}
	s := a.porter()
	r.honest = []*device{a, all["Bob"], all["Cara"]}
	r.hostile = []*device{all["Mal"], all["Eve"], s}
	meet(append(r.honest, r.hostile...)...)
	for range 3 + r.Intn(10) {
		switch x := r.Float64(); {
		case x < .55:
			r.harm(false)
		case x < .7:
			r.show(r.honest[r.Intn(3)])
		case x < .8:
			r.honest[r.Intn(3)].note()
		default:
			p, q := r.honest[r.Intn(3)], r.honest[r.Intn(3)]
			meet(p, q)
		}
	}
	meet(r.honest...)
	bob := all["Bob"]
	for _, d := range append(slices.Clone(r.hostile), r.thieves...) {
		if !knows(a, d) {
			continue
		}
		if d.person != nil && r.Intn(4) == 0 {
			a.stopPerson(d.person)
		}
		a.stop(d)
	}
	for _, d := range r.honest[1:] {
		a.admit(d)
		a.role(d.person, d.invited.role)
	}
	meet(r.honest...)
	want := a.w.crewOf(a.has)
	if want["Ada"] != entry.Owner || want["Bob"] != entry.Owner || want["Cara"] != entry.Operator {
		t.Fatalf("world %d: the founder did not put it right: %v", seed, want)
	}
	for _, d := range append(slices.Clone(r.hostile), r.thieves...) {
		if want[d.called] != entry.NoRole {
			t.Fatalf("world %d: %s still belongs: %v", seed, d.called, want)
		}
	}
	for range 1 + r.Intn(8) {
		r.harm(true)
	}
	r.show(a)
	r.show(bob)
	meet(r.honest...)
	if got := a.w.crewOf(a.has); !maps.Equal(got, want) {
		t.Fatalf("world %d: %v belong, before %v", seed, got, want)
	}
	for _, d := range r.hostile {
		a.has[d.first] = true
	}
	sound(t, a, seed)
}

// sound checks that no act counted by a right that its writer turned out not to
// have, and that places agree with what was known.
func sound(t *testing.T, a *device, seed int) {
	_, es, branches := entries(a.has)
	f := &Fold{farm: a.w.farm, branches: branches, proofs: a.w.proofs}
	f.order(es)
	f.standing()
	for it := range f.heard {
		if l := f.levelAt(it); f.heard[it] && l != owning && !f.founds(it) && f.posts[f.dev(it)].walked > 0 {
			t.Fatalf("world %d: %s counted, and its device may not", seed, it.ID.Short())
		}
	}
	for _, it := range f.items {
		for _, m := range it.Seen {
			if f.marked(m).Compare(it) >= 0 {
				t.Fatalf("world %d: %s is not after what it knew", seed, it.ID.Short())
			}
		}
	}
}

func pick[T any](r *random, of ...T) T { return of[r.Intn(len(of))] }

// knows says whether a device heard of another: holds something of its log, or
// an entry that let it in.
func knows(d, o *device) bool {
	for x := range d.has {
		if x.dev == o {
			return true
		}
		if b, ok := x.body(func(*raw) entry.ID { return entry.ID{} }).(*entry.Admitted); ok && b.Device == o.id {
			return true
		}
	}
	return false
}

// show gives a device some of what hostile ones wrote.
func (r *random) show(d *device) {
	for _, x := range sorted(r.pool) {
		if r.Intn(2) == 0 {
			d.learn(x)
		}
	}
}

func sorted(of map[*raw]bool) []*raw {
	out := slices.Collect(maps.Keys(of))
	slices.SortFunc(out, compareRaw)
	return out
}

// harm is one hostile thing.
func (r *random) harm(late bool) {
	r.n++
	d := pick(r, append(slices.Clone(r.hostile), r.thieves...)...)
	maps.Copy(d.has, r.pool)
	if !late && r.Intn(2) == 0 {
		maps.Copy(d.has, pick(r, r.honest...).has)
	}
	own := ownOf(d)
	prev := own[len(own)-1]
	if r.Intn(3) == 0 {
		prev = pick(r, own...)
	}
	others := without(d.has, d)
	slices.SortFunc(others, compareRaw)
	var seen []*raw
	for range pick(r, 0, 1, 2, 4) {
		if len(others) > 0 {
			seen = append(seen, pick(r, others...))
		}
	}
	hows := []how{after(prev), seeing(seen...), clock(pick(r, 0, 1, hour, ^hlc.Time(0))), wall(int64(r.Intn(3)))}
	var people []*raw
	for _, h := range append(slices.Clone(r.honest), r.hostile[:2]...) {
		people = append(people, h.person)
	}
	target := pick(r, append(append(slices.Clone(r.honest), r.hostile...), r.thieves...)...)
	switch r.Intn(9) {
	case 0:
		d.invite(pick(r, people...), entry.Owner, hows...)
	case 1:
		thief := d.w.enrol(fmt.Sprint("T", r.n), pick(r, r.honest[1:]...).invited)
		r.thieves = append(r.thieves, thief)
		r.pool[thief.first], d.has[thief.first] = true, true
		d.admitAs(thief, pick(r, people...), pick(r, entry.Owner, entry.Helper), hows...)
	case 2:
		d.stop(target, hows...)
	case 3:
		d.stopPerson(pick(r, people...), hows...)
	case 4, 5:
		d.role(pick(r, people...), pick(r, entry.Owner, entry.Helper, entry.Viewer), hows...)
	case 6:
		if x := pick(r, ownOf(target)...); d.has[x] {
			d.takeIn(x.mark(), hows...)
		}
	case 7:
		if target.invited != nil {
			d.admitAs(target, pick(r, people...), pick(r, entry.Owner, entry.Helper), hows...)
		}
	default:
		d.note(hows...)
	}
	for _, x := range ownOf(d) {
		r.pool[x] = true
	}
	if late {
		for x := range d.top.past {
			r.pool[x] = true
		}
	}
}
