package farm_test

import (
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// whole is a catch of all ten rows at dial 33, by its repeats.
func (c *crew) whole(g ...float64) *entry.Caught {
	b := &entry.Caught{Box: c.grain, Lot: c.oat, Dial: 33_000, Turns: 20_000, Rows: 10, Resolution: 1000}
	for _, m := range g {
		b.Masses = append(b.Masses, grams(m))
	}
	return b
}

// curveBy is what a crew's curve says at dial 33 after some catches.
func curveBy(t *testing.T, catches func(*crew) []*entry.Caught) (farm.Curve, rate.RateEstimate) {
	t.Helper()
	c := setUp(t)
	for _, b := range catches(c) {
		c.own.write(b)
	}
	curve, err := c.own.state.Curve(c.grain, c.oat)
	if err != nil {
		t.Fatal(err)
	}
	r, err := curve.Fit.RateAt(33_000)
	if err != nil {
		t.Fatal(err)
	}
	return curve, r
}

// Three own entries within ±4 % are the same as three repeats of one, and a go.
func TestOwnEntriesAreRepeats(t *testing.T) {
	_, apart := curveBy(t, func(c *crew) []*entry.Caught { return []*entry.Caught{c.whole(346), c.whole(333), c.whole(358)} })
	curve, once := curveBy(t, func(c *crew) []*entry.Caught { return []*entry.Caught{c.whole(358, 346, 333)} })
	if apart != once {
		t.Errorf("apart %+v, as repeats %+v", apart, once)
	}
	choice, err := curve.Fit.DialFor(once.Rate)
	if err != nil || choice.Next != rate.Go {
		t.Errorf("three catches within ±4 %%: %s, %s, %v", choice.Next, choice.Why, err)
	}
}

func TestStandingAndMovingShareNoMean(t *testing.T) {
	standing := func(c *crew) []*entry.Caught { return []*entry.Caught{c.whole(346, 350)} }
	_, alone := curveBy(t, standing)
	driven := func(c *crew) *entry.Caught {
		b := c.whole(300)
		b.Way = entry.Moving
		return b
	}
	curve, both := curveBy(t, func(c *crew) []*entry.Caught { return append(standing(c), driven(c)) })
	if both != alone || curve.Fit.Way() != rate.Standing || len(curve.Catches) != 2 {
		t.Errorf("with a moving catch %+v, without %+v", both, alone)
	}
	curve, moving := curveBy(t, func(c *crew) []*entry.Caught { return []*entry.Caught{driven(c)} })
	if curve.Fit.Way() != rate.Moving || moving.Rate > alone.Rate {
		t.Errorf("moving alone: %v by %v", moving.Rate, curve.Fit.Way())
	}
	// What goes out in the field joins the two.
	fieldOf := func(catches ...*entry.Caught) units.RatePerArea {
		c := setUp(t)
		for _, b := range catches {
			b.Box, b.Lot = c.grain, c.oat
			c.own.write(b)
		}
		c.own.write(&entry.DialMoved{Box: c.grain, To: 33_000, Why: "aim"})
		c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Mass: grams(20_000)})
		b, _ := c.own.state.View().BoxOf(c.grain)
		if b.Field == nil {
			t.Fatal("nothing is known of the field")
		}
		return b.Field.Rate
	}
	c := setUp(t)
	if without, with := fieldOf(c.whole(346, 350)), fieldOf(c.whole(346, 350), driven(c)); with >= without {
		t.Errorf("a moving catch of less leaves the field at %v, without it %v", with, without)
	}
}

// A slip among good catches does not bend them, and is told.
func TestASlipIsSetAside(t *testing.T) {
	good := func(c *crew) []*entry.Caught { return []*entry.Caught{c.whole(346), c.whole(350), c.whole(341)} }
	_, alone := curveBy(t, good)
	curve, with := curveBy(t, func(c *crew) []*entry.Caught { return append(good(c), c.whole(3480), c.whole(0)) })
	if with != alone {
		t.Errorf("with a slip and a plugged meter %+v, without %+v", with, alone)
	}
	for i, c := range curve.Catches {
		if (len(c.Aside) > 0) != (i >= 3) {
			t.Errorf("catch %d (%v): set aside %+v", i+1, c.Rate.Rate, c.Aside)
		}
	}
	if a := curve.Catches[3].Aside[0]; a.Slip.Factor != 10 || a.Slip.Likely == "" {
		t.Errorf("the slip is %+v", a.Slip)
	}
}

// A catch's width, weighings and rows reach the arithmetic.
func TestCatchAsWritten(t *testing.T) {
	c := farm.CatchOf(&entry.Caught{Distance: 45_720_000, Width: 762_000, Weighings: 2, RowNumbers: nil,
		Masses: []units.Mass{grams(100), grams(0)}}, farm.Drill{Rows: 16, Spacing: 190_500})
	r, err := c.Rate()
	if err != nil || c.Way != rate.Moving || r.Std.Rows == 0 || c.Weighings != 2 || len(r.Aside) != 1 {
		t.Errorf("%+v, %v", r, err)
	}
}
