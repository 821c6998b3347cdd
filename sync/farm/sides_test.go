package farm_test

import (
	"math"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// splitBox is a box in two halves with a dial each and a straight chart: dial
// 20 gives 7 lb/ac, dial 10 gives 3.5.
func splitBox(t *testing.T) (c *crew, box, clover entry.ID) {
	c = setUp(t)
	box = c.own.write(&entry.BoxSet{Drill: c.drill, Name: entry.Some("legume"), Sides: []string{"left", "right"}, RowsFed: []int64{5, 5},
		OwnDials: entry.Some(int64(1)), DialFrom: entry.Some(units.Dial(0)), DialTo: entry.Some(units.Dial(60_000))})
	clover = c.own.write(&entry.LotSet{Name: entry.Some("R-7"), Species: entry.Some("red clover")})
	for dial, lb := range map[int]float64{10: 3.5, 20: 7, 40: 14} {
		r, _ := units.RateFromLbPerAcre(lb)
		c.own.write(&entry.ChartPointSet{Box: box, Species: "red clover", Dial: units.Dial(dial * 1000), Rate: r})
	}
	return c, box, clover
}

func boxNow(t *testing.T, p *phone, id entry.ID) farm.Box {
	t.Helper()
	b, ok := p.state.View().BoxOf(id)
	if !ok {
		t.Fatal("no such box")
	}
	return b
}

// Each side gives what its own dial says on its own rows: 7 and 3.5 lb/ac on
// half of the rows each are 5.25 lb/ac, and the side at the wider dial is dry
// first though it is no emptier.
func TestEachSideByItsOwnDial(t *testing.T) {
	c, box, clover := splitBox(t)
	for _, side := range []int64{1, 2} {
		c.own.write(&entry.Filled{Box: box, Side: side, Lot: clover, Mass: 5_443_108}) // 12 lb
	}
	c.own.write(&entry.DialMoved{Box: box, Side: 1, To: 10_000})
	if b := boxNow(t, c.own, box); b.Rate != nil || b.AcresLeft != nil || b.SidesNow[1].DialSet {
		t.Errorf("the right dial was never written: rate %v, lasts %v", b.Rate, b.AcresLeft)
	}
	c.own.write(&entry.DialMoved{Box: box, Side: 2, To: 20_000})
	b := boxNow(t, c.own, box)
	if b.Rate == nil || math.Abs(b.Rate.Rate.LbPerAcre()-5.25) > 0.05 {
		t.Fatalf("the box gives %+v, want 5.25 lb/ac", b.Rate)
	}
	if b.DryFirst != 2 {
		t.Errorf("side %d is dry first", b.DryFirst)
	}
	left, right := b.SidesNow[0].AcresLeft.P50.Acres(), b.SidesNow[1].AcresLeft.P50.Acres()
	if math.Abs(left/right-2) > 0.1 || math.Abs(b.AcresLeft.P50.Acres()-right) > 0.001 {
		t.Errorf("left lasts %.2f ac, right %.2f, the box %.2f", left, right, b.AcresLeft.P50.Acres())
	}
}

// A box that is split later keeps its dial for both its sides.
// Where nobody said how many rows each side feeds, they feed alike.
func TestSidesFeedAlikeWhereNobodySays(t *testing.T) {
	for rows, each := range map[int64]int{16: 8, 15: 0} {
		c := setUp(t)
		c.own.write(&entry.DrillSet{Drill: c.drill, Rows: entry.Some(rows)})
		box := c.own.write(&entry.BoxSet{Drill: c.drill, Name: entry.Some("legume"), Sides: []string{"left", "right"}})
		for _, n := range boxNow(t, c.own, box).SidesNow {
			if n.Rows != each {
				t.Errorf("of %d rows a side feeds %d, want %d", rows, n.Rows, each)
			}
		}
	}
}

func TestASplitBoxKeepsItsDial(t *testing.T) {
	c := setUp(t)
	c.own.write(&entry.DialMoved{Box: c.grain, To: 40_000})
	c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 4000})
	c.own.write(&entry.BoxSet{Box: c.grain, Sides: []string{"left", "right"}, OwnDials: entry.Some(int64(1))})
	c.own.write(&entry.DialMoved{Box: c.grain, Side: 1, To: 20_000})
	b := boxNow(t, c.own, c.grain)
	if n := b.SidesNow; len(n) != 2 || n[0].Dial != 20_000 || n[1].Dial != 40_000 || !n[1].DialSet {
		t.Errorf("sides stand at %+v", n)
	}
	c.own.write(&entry.DialMoved{Box: c.grain, To: 30_000})
	if n := boxNow(t, c.own, c.grain).SidesNow; n[0].Dial != 30_000 || n[1].Dial != 30_000 {
		t.Errorf("the box's dial was moved, and its sides stand at %v and %v", n[0].Dial, n[1].Dial)
	}
}

// Nothing is known of what went out at a dial that nobody wrote: that is not
// none, and the dial not 0. What was weighed since is known.
func TestADialThatNobodyWrote(t *testing.T) {
	c := setUp(t)
	c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 4000})
	c.own.write(&entry.MeterRead{Drill: c.drill, Ground: c.bench})
	c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 2000, Ground: c.bench})
	sown := func() farm.Sown {
		g, _ := c.own.state.View().GroundOf(c.bench)
		if len(g.Sown) != 1 {
			t.Fatalf("sown %+v", g.Sown)
		}
		return g.Sown[0]
	}
	if s := sown(); s.Unknown == 0 || s.Rate != 0 {
		t.Errorf("%+v, want it not known", s)
	}
	if o := boxNow(t, c.own, c.grain).Out; len(o) != 1 || o[0].DialSet || o[0].Rate != nil {
		t.Errorf("out %+v", o)
	}
	for _, d := range openDoubts(c.own, farm.UnprovedRate) {
		if d.About.String() != "box.lot-no-dial(grain, O-1)" {
			t.Errorf("in doubt: %s", d.About)
		}
	}
	c.own.write(&entry.LevelRead{Box: c.grain, Mass: entry.Some(units.Mass(60_000_000))})
	if s := sown(); s.Unknown != 0 || s.Mass == 0 || s.Rate == 0 {
		t.Errorf("%+v, want what was weighed", s)
	}
}
