package farm_test

import (
	"slices"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// keeps fails unless a doubt of a kind is settled, and none is open, at each phone
// and at one that gets all that was written at once.
func (c *crew) keeps(kind farm.DoubtKind, what string, is func(*farm.View) bool) {
	c.own.t.Helper()
	c.merge()
	late := newPhone(c.own.t, 9, c.own.head.Farm, c.own.wall)
	meet(late, c.own)
	for _, p := range []*phone{c.own, c.op, c.help, late} {
		if open := kinds(p, false); len(open) != 0 || kind != "" && !slices.Contains(kinds(p, true), kind) {
			p.t.Fatalf("%s: open %v, settled %v", what, open, kinds(p, true))
		}
		if !is(p.state.View()) {
			p.t.Fatalf("%s: it has lost its say", what)
		}
		if p.state.Digest() != late.state.Digest() || reloaded(p.t, p.state).Digest() != late.state.Digest() {
			p.t.Fatalf("%s: digests differ", what)
		}
	}
}

// What somebody read on the dial stands, whatever becomes of the words that were
// apart, as long as two of them are there.
func TestAReadDialOutlivesChangesOfWhatWasApart(t *testing.T) {
	c := setUp(t)
	dan := c.join(c.own, 4, "Dan", entry.Operator)
	c.merge()
	var moves []entry.ID
	for i, p := range []*phone{c.own, c.op, dan} {
		moves = append(moves, p.write(&entry.DialMoved{Box: c.grain, To: units.Dial(40_000 + 2_000*i)}))
	}
	meet(c.own, dan)
	c.merge()
	c.op.write(&entry.Settled{Doubt: string(farm.TwoSettings), Entries: moves, Dial: entry.Some(units.Dial(43_000)), Why: "read it"})
	dial := func(v *farm.View) bool { box, _ := v.BoxNamed(entry.ID{}, "grain"); return box.Dial == 43_000 }
	c.keeps(farm.TwoSettings, "settled", dial)
	c.own.write(&entry.Amended{Entry: moves[0], Body: &entry.DialMoved{Box: c.grain, To: 46_000}})
	c.keeps(farm.TwoSettings, "one amended", dial)
	c.own.write(&entry.Struck{Entry: moves[2], Why: "never moved"})
	c.keeps(farm.TwoSettings, "one struck", dial)
}

// Who said which of two fills was poured is heard, however the fills are worded
// later: what was set aside does not come back.
func TestAFillThatWasSetAsideStaysAside(t *testing.T) {
	c := setUp(t)
	fill := &entry.Filled{Box: c.grain, Lot: c.oat, Bags: 2_000}
	c.merge()
	a, b := c.own.write(fill), c.help.write(fill)
	c.merge()
	c.op.write(&entry.Settled{Doubt: string(farm.DoubleEntry), Entries: []entry.ID{a, b}, Stands: []entry.ID{a}, Why: "one fill"})
	holds := func(bags float64) func(*farm.View) bool {
		return func(v *farm.View) bool {
			box, _ := v.BoxNamed(entry.ID{}, "grain")
			return max(box.Left.Pounds()-50*bags, 50*bags-box.Left.Pounds()) < 0.1
		}
	}
	c.keeps(farm.DoubleEntry, "settled", holds(2))
	c.help.write(&entry.Amended{Entry: b, Body: &entry.Filled{Box: c.grain, Lot: c.oat, Bags: 3_000}})
	c.keeps("", "the one set aside is amended", holds(2))
	c.own.write(&entry.Amended{Entry: a, Body: &entry.Filled{Box: c.grain, Lot: c.oat, Bags: 1_000}})
	c.keeps("", "the one that stands is amended", holds(1))
	c.help.write(&entry.Struck{Entry: b, Why: "never poured"})
	c.keeps("", "the one set aside is struck", holds(1))
}

// A name that was chosen of two stands when the other is reworded or struck.
func TestAChosenNameOutlivesChangesOfTheOther(t *testing.T) {
	c := setUp(t)
	dan := c.join(c.own, 4, "Dan", entry.Operator)
	c.merge()
	var named []entry.ID
	for i, p := range []*phone{c.own, c.op, dan} {
		named = append(named, p.write(&entry.GroundSet{Ground: c.bench, Name: entry.Some([]string{"bench", "the bench", "long bench"}[i])}))
	}
	meet(c.own, dan)
	c.merge()
	c.op.write(&entry.Settled{Doubt: string(farm.TwoPlans), Entries: named, Stands: named[1:2], Why: "as on the map"})
	is := func(v *farm.View) bool {
		return slices.ContainsFunc(v.Grounds, func(g farm.Ground) bool { return g.ID == c.bench && g.Name == "the bench" })
	}
	c.keeps(farm.TwoPlans, "settled", is)
	c.own.write(&entry.Amended{Entry: named[0], Body: &entry.GroundSet{Ground: c.bench, Name: entry.Some("low bench")}})
	c.keeps(farm.TwoPlans, "one amended", is)
	c.own.write(&entry.Struck{Entry: named[2], Why: "another field"})
	c.keeps(farm.TwoPlans, "one struck", is)
}
