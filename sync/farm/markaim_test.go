package farm_test

import (
	"strings"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/message"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// marked is a crew whose grain box has marks, with a plan for it.
func marked(t *testing.T, live units.RatePerArea) *crew {
	c := setUp(t)
	c.own.write(&entry.DialMarked{Box: c.grain, Marks: []string{"A", "B", "C"}})
	for dial := range 3 { // the chart of numbers is gone
		c.own.write(&entry.ChartPointSet{Box: c.grain, Species: "oat", Dial: units.Dial(20_000 * (dial + 1))})
	}
	c.own.write(&entry.PlanSet{Ground: c.bench, Components: []entry.Component{{Lot: c.oat, Box: c.grain, Live: live}}})
	return c
}

func (c *crew) box(t *testing.T) farm.Box {
	b, ok := c.own.state.View().BoxOf(c.grain)
	if !ok {
		t.Fatal("no box")
	}
	return b
}

// A dial with marks is never told to stand between two: the aim names the marks
// on either side and what each gives.
func TestMarksAroundTheAim(t *testing.T) {
	aim, _ := units.RateFromLbPerAcre(22)
	c := marked(t, aim) // 24.9 lb/ac of bulk seed at 88.2 % live
	for i, lb := range []float64{12, 20, 30} {
		r, _ := units.RateFromLbPerAcre(lb)
		c.own.write(&entry.ChartPointSet{Box: c.grain, Species: "oat", Dial: farm.MarkedDial(i), Rate: r})
	}
	b := c.box(t)
	if len(b.AimMarks) != 2 || b.Mark(0, b.AimMarks[0].Dial) != message.Text("B") || b.Mark(0, b.AimMarks[1].Dial) != message.Text("C") {
		t.Fatalf("marks around the aim are %+v", b.AimMarks)
	}
	if lb := b.AimMarks[0].Rate.Rate.LbPerAcre(); lb < 19.9 || lb > 20.1 {
		t.Errorf("B gives %v lb/ac, want the chart's 20", lb)
	}
	if f := b.ForAim; f == nil || f.Dial%1000 != 0 || f.Next == rate.Go {
		t.Errorf("for the aim: %+v", f)
	}
}

// Without a chart a catch at one mark says nothing of another.
func TestMarksWithoutAChart(t *testing.T) {
	aim, _ := units.RateFromLbPerAcre(22)
	c := marked(t, aim)
	caught, _ := units.MassFromGrams(100)
	c.own.write(&entry.Caught{Box: c.grain, Lot: c.oat, Dial: farm.MarkedDial(1), Turns: 20_000, Rows: 4, Masses: []units.Mass{caught}, Resolution: 1000})
	c.own.write(&entry.DialMoved{Box: c.grain, To: farm.MarkedDial(1), Why: "try"})
	b := c.box(t)
	if b.Rate == nil {
		t.Fatal("what was caught at B is not known")
	}
	c.own.write(&entry.DialMoved{Box: c.grain, To: farm.MarkedDial(2), Why: "try"})
	if b := c.box(t); b.Rate != nil || len(b.AimMarks) != 1 || b.AimMarks[0].Dial != farm.MarkedDial(1) {
		t.Errorf("at C, where nothing was caught: %+v, marks %+v", b.Rate, b.AimMarks)
	}
}

// Beyond the chart's last mark a gear may begin anew: 2-1 is not one more than
// 1-2, so that nothing is known there until seed is caught at it.
func TestMarksBeyondTheChart(t *testing.T) {
	aim, _ := units.RateFromLbPerAcre(26)
	c := marked(t, aim) // 29.5 lb/ac of bulk seed
	c.own.write(&entry.DialMarked{Box: c.grain, Marks: []string{"1-1", "1-2", "2-1", "2-2"}})
	for i, lb := range []float64{12, 20} {
		r, _ := units.RateFromLbPerAcre(lb)
		c.own.write(&entry.ChartPointSet{Box: c.grain, Species: "oat", Dial: farm.MarkedDial(i), Rate: r})
	}
	for _, place := range []int{2, 3} {
		c.own.write(&entry.DialMoved{Box: c.grain, To: farm.MarkedDial(place), Why: "try"})
		if b := c.box(t); b.Rate != nil {
			t.Errorf("%s gives %v, which no chart says", b.Mark(0, b.Dial), *b.Rate)
		}
	}
	if b := c.box(t); b.ForAim == nil || b.ForAim.Dial != farm.MarkedDial(1) || b.ForAim.Next == rate.Go {
		t.Errorf("for the aim: %+v", b.ForAim)
	}
	caught := c.caught(170)
	caught.Dial = farm.MarkedDial(3)
	c.own.write(caught)
	b := c.box(t)
	if b.Rate == nil || len(b.AimMarks) != 2 || b.AimMarks[1].Dial != farm.MarkedDial(3) {
		t.Fatalf("caught at 2-2: gives %v, around the aim %+v", b.Rate, b.AimMarks)
	}
	if half := b.AimMarks[1].Rate.Half(); half > 0.12 {
		t.Errorf("a catch at the mark itself is known to ±%.0f %%", 100*half)
	}
}

// What is advised names the mark, never its place or one between two.
func TestAdviceNamesMarks(t *testing.T) {
	aim, _ := units.RateFromLbPerAcre(22)
	c := marked(t, aim)
	for i, lb := range []float64{12, 20, 30} {
		r, _ := units.RateFromLbPerAcre(lb)
		c.own.write(&entry.ChartPointSet{Box: c.grain, Species: "oat", Dial: farm.MarkedDial(i), Rate: r})
	}
	b := c.caught(50)
	b.Dial = farm.MarkedDial(0)
	c.own.write(b)
	f := c.box(t).ForAim
	if f == nil || f.Next != rate.CatchAgain || !strings.Contains(f.Why, "catch at mark C") && !strings.Contains(f.Why, "catch at mark B") {
		t.Errorf("for the aim: %+v", f)
	}
}
