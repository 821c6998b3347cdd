package rate

import (
	"errors"
	"math"
	"testing"

	"turnrow/sync/units"
)

var printed = []ChartPoint{{20_000, 2_017_000}, {40_000, 4_595_000}, {60_000, 7_397_000}}

var grainBox = Box{From: 0, To: 100_000, Chart: printed}

func fitted(t *testing.T, box Box, measured ...Measured) Fit {
	t.Helper()
	f, err := FitBox(box, measured)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func caught(dial units.Dial, rate units.RatePerArea, relative float64) Measured {
	return Measured{Dial: dial, Rate: rate, Relative: relative, Freedom: Known}
}

// rateAt gives the rate and its 90 % interval, which must hold together.
func rateAt(t *testing.T, f Fit, dial units.Dial) RateEstimate {
	t.Helper()
	r, err := f.RateAt(dial)
	if err != nil {
		t.Fatal(err)
	}
	if !(r.Low <= r.Rate && r.Rate <= r.High) || !(r.Relative > 0) {
		t.Errorf("at %v: %+v does not hold together", dial, r)
	}
	return r
}

func TestChartAloneIsLoose(t *testing.T) {
	f := fitted(t, grainBox)
	r := rateAt(t, f, 40_000)
	if r.Rate != 4_595_000 || f.Basis() != FromChart {
		t.Errorf("got %v from %v, want the chart's own 45.95 kg/ha", r.Rate, f.Basis())
	}
	// 1.644853627 is the normal quantile of 0.95 (any table).
	agree(t, "low", float64(r.Low), 4_595_000*math.Exp(-0.25*1.644853627), 1e-6)
	agree(t, "high", float64(r.High), 4_595_000*math.Exp(0.25*1.644853627), 1e-6)
}

// By hand, on the logarithm: a catch 20 % above the chart with 5 % uncertainty
// against the chart's 25 %.
func TestOneCatchMovesTheScale(t *testing.T) {
	f := fitted(t, grainBox, caught(40_000, 5_514_000, 0.05))
	k, s := f.Scale()
	catch, chart := 1/(0.05*0.05), 1/(0.25*0.25)
	agree(t, "scale", math.Log(k), math.Log(1.2)*catch/(catch+chart), 1e-7)
	agree(t, "uncertainty", s.Var, 1/(catch+chart), 1e-9)
	r := rateAt(t, f, 60_000)
	agree(t, "rate elsewhere follows the shape", float64(r.Rate), 7_397_000*k, 1e-6)
	step := math.Log(7_397_000 / 4_595_000.0)
	agree(t, "and is as uncertain as the bend", r.Relative, math.Sqrt(s.Var+step*step*0.1*0.1), 1e-6)
}

func TestMoreCatchesNarrowTheInterval(t *testing.T) {
	last := math.Inf(1)
	var measured []Measured
	for range 5 {
		measured = append(measured, caught(40_000, 5_000_000, 0.05))
		r := rateAt(t, fitted(t, grainBox, measured...), 40_000)
		if !(r.Relative < last) {
			t.Errorf("doubt %g after %d catches, %g before", r.Relative, len(measured), last)
		}
		last = r.Relative
	}
}

func TestBetterCatchCountsForMore(t *testing.T) {
	f := fitted(t, Box{To: 100_000}, caught(50_000, 5_000_000, 0.04), caught(50_000, 5_300_000, 0.08))
	agree(t, "weights 4 to 1", float64(rateAt(t, f, 50_000).Rate), 5_058_610, 1e-6) // 5.0⁰·⁸ × 5.3⁰·²
}

// Two good catches at different dials bend the curve through themselves.
func TestCatchesBendTheShape(t *testing.T) {
	f := fitted(t, grainBox, caught(20_000, 4_000_000, 0.02), caught(60_000, 5_000_000, 0.02))
	if !f.Agree() || len(f.Aside()) != 0 {
		t.Fatalf("agree %v, aside %v", f.Agree(), f.Aside())
	}
	agree(t, "first catch", float64(rateAt(t, f, 20_000).Rate), 4_000_000, 0.01)
	agree(t, "second", float64(rateAt(t, f, 60_000).Rate), 5_000_000, 0.01)
}

func TestCatchesThatContradictOneAnother(t *testing.T) {
	f := fitted(t, grainBox, PlainCatch(40_000, 4_000_000), PlainCatch(40_000, 6_500_000))
	r := rateAt(t, f, 40_000)
	if r.Low > 4_000_000 || r.High < 6_500_000 {
		t.Errorf("interval %v to %v leaves out a catch", r.Low, r.High)
	}
	falling := fitted(t, grainBox, caught(20_000, 5_000_000, 0.02), caught(60_000, 4_000_000, 0.02))
	if falling.Agree() {
		t.Errorf("a rate that falls as the dial opens must not be believed: %v", falling.Basis())
	}
}

func TestWithoutChartInProportion(t *testing.T) {
	f := fitted(t, Box{To: 100_000}, caught(40_000, 4_000_000, 0.05))
	if r := rateAt(t, f, 80_000); r.Rate != 8_000_000 || f.Basis() != FromProportional {
		t.Errorf("got %v, %v, want 80 kg/ha in proportion", r.Rate, f.Basis())
	}
}

func TestAnotherLotIsLooser(t *testing.T) {
	m := caught(40_000, 4_000_000, 0.05).OfAnotherLot("L-2")
	agree(t, "uncertainty", m.Relative, math.Hypot(0.05, 0.09), 1e-12)
	few := Measured{Dial: 40_000, Rate: 4_000_000, Relative: 0.05, Freedom: 2}.OfAnotherLot("L-2")
	if !(few.Freedom > 2 && few.Freedom < Known) {
		t.Errorf("degrees of freedom %g", few.Freedom)
	}
}

// The rate rises with the dial, and the dial for a rate undoes the rate at a
// dial, on every basis.
func TestRateRisesAndDialUndoesIt(t *testing.T) {
	fits := map[string]Fit{
		"chart":        fitted(t, grainBox),
		"scaled":       fitted(t, grainBox, caught(40_000, 5_500_000, 0.04)),
		"bent":         fitted(t, grainBox, caught(20_000, 4_000_000, 0.02), caught(60_000, 5_000_000, 0.02)),
		"proportional": fitted(t, Box{To: 100_000}, caught(40_000, 4_000_000, 0.05)),
	}
	for name, f := range fits {
		var before units.RatePerArea
		for dial := units.Dial(1_000); dial <= 100_000; dial += 1_000 {
			r := rateAt(t, f, dial)
			if r.Rate <= before {
				t.Errorf("%s: rate %v at %v is not above %v", name, r.Rate, dial, before)
			}
			before = r.Rate
			choice, err := f.DialFor(r.Rate)
			if err != nil {
				t.Fatal(err)
			}
			if choice.Dial != dial || !choice.Reached || choice.Low > dial || choice.High < dial {
				t.Errorf("%s: for %v got %+v, want dial %v", name, r.Rate, choice, dial)
			}
		}
	}
}

func TestInputsThatFitsRefuse(t *testing.T) {
	ok := caught(40_000, 4_000_000, 0.05)
	with := func(change func(*Measured)) []Measured {
		m := ok
		change(&m)
		return []Measured{ok, m}
	}
	cases := []struct {
		want     string
		box      Box
		measured []Measured
	}{
		{"end of the dial 0: it must be other than its start, 0", Box{}, []Measured{ok}},
		{"start of the dial -1: it must be 0 or more", Box{From: -1_000, To: 5_000}, []Measured{ok}},
		{"chart dial 60: it must be from 0 to 50", Box{To: 50_000, Chart: printed}, nil},
		{"dial of a catch 101: it must be from 0 to 100", grainBox, with(func(m *Measured) { m.Dial = 101_000 })},
		{"caught rate 0 kg/ha: it must be more than 0", grainBox, with(func(m *Measured) { m.Rate = 0 })},
		{"dial of a catch 0: it must be where the box gives seed", grainBox, with(func(m *Measured) { m.Dial = 0 })},
		{"relative uncertainty of a catch 0: it must be more than 0 and up to 1", grainBox, with(func(m *Measured) { m.Relative = 0 })},
		{"relative uncertainty of a catch NaN: it must be more than 0 and up to 1", grainBox, with(func(m *Measured) { m.Relative = math.NaN() })},
		{"degrees of freedom of a catch 0.5: it must be 1 or more", grainBox, with(func(m *Measured) { m.Freedom = 0.5 })},
	}
	for _, c := range cases {
		_, err := FitBox(c.box, c.measured)
		if !errors.Is(err, units.ErrRange) || err.Error() != c.want {
			t.Errorf("got %v, want %s", err, c.want)
		}
	}
	if _, err := FitBox(Box{To: 100_000}, nil); !errors.Is(err, ErrNothingKnown) {
		t.Errorf("no chart, no catch: got %v", err)
	}
}

// A catch and what went out later can be held against each other.
func TestCatchAsMeasurement(t *testing.T) {
	c := Catch{Run: Run{Roll: feet(8), Turns: turns(40), Rows: 4, Spacing: inches(7.5), Drill: 16}, Caught: []units.Mass{400_000}}
	r, err := c.Rate()
	if err != nil {
		t.Fatal(err)
	}
	m := r.Measured(40_000)
	agree(t, "relative uncertainty", m.Relative, math.Sqrt(r.Spread.Var), 1e-15)
	e, err := m.RateEstimate()
	if err != nil {
		t.Fatal(err)
	}
	if e.Rate != r.Rate || math.Abs(float64(e.Low-r.Low)) > 1 || math.Abs(float64(e.High-r.High)) > 1 {
		t.Errorf("as a measurement %+v, as a catch %v (%v to %v)", e, r.Rate, r.Low, r.High)
	}
	if _, err := (Measured{}).RateEstimate(); !errors.Is(err, units.ErrRange) {
		t.Errorf("no rate: %v", err)
	}
}
