package rate

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/units"
)

// oneCatch is a rate from one catch of all rows: repeats that differ by 2.5 %,
// as four earlier ones say, the roll by 1 %.
func oneCatch(lbPerAc float64) Crank {
	s := sumOf(Spread{0.025 * 0.025, 4}, known(0.01), known(0.0036))
	return Crank{Standing: want(estimateAt(ln(float64(lbPerAcre(lbPerAc))), s)), Caught: true}
}

// weighedOut is 1 % of uncertainty for the stretch, and what masses say.
func weighedOut(lbPerAc, massStd float64) Out {
	return Out{Mass: pounds(100), Rate: want(estimateAt(ln(float64(lbPerAcre(lbPerAc))), sumOf(known(massStd), known(0.01))))}
}

// between holds a rate and its ends to a tenth of a pound.
func between(t *testing.T, name string, r RateEstimate, low, rate, high float64) {
	t.Helper()
	for _, x := range []struct{ got, want float64 }{{r.Low.LbPerAcre(), low}, {r.Rate.LbPerAcre(), rate}, {r.High.LbPerAcre(), high}} {
		if math.Abs(x.got-x.want) > 0.07 {
			t.Errorf("%s: %.2f (%.2f to %.2f) lb/ac, want %.1f (%.1f to %.1f)", name, r.Rate.LbPerAcre(), r.Low.LbPerAcre(), r.High.LbPerAcre(), rate, low, high)
			return
		}
	}
}

// 96 % of 24.0 lb/ac, 7 % and the catch's own uncertainty in squares.
func TestFieldBeforeARunIsWeighed(t *testing.T) {
	f, err := FieldOf(oneCatch(24), nil, false)
	if err != nil {
		t.Fatal(err)
	}
	between(t, "caught", f.crank.Standing, 22.7, 24.0, 25.3)
	between(t, "in the field", f.Ground, 20.3, 23.0, 26.1)
	if f.Counter.Rate != f.Ground.Rate || f.Counter.Relative <= f.Ground.Relative || f.Gain != 0 {
		t.Errorf("by the counter %+v: the same rate, with the counter's doubt", f.Counter)
	}
	chart := Crank{Standing: oneCatch(24).Standing}
	if g := want(FieldOf(chart, nil, false)); g.Ground.Rate != chart.Standing.Rate {
		t.Errorf("a chart is of the field: %v", g.Ground.Rate)
	}
}

// A catch of 22.9 lb/ac, then 30 lb/ac weighed: the figure goes over to what
// was weighed at once, to within what the counter allows.
func TestWeighedRunTakesOver(t *testing.T) {
	out := weighedOut(30, 0.003)
	f, err := FieldOf(oneCatch(22.9), []Out{out}, false)
	if err != nil {
		t.Fatal(err)
	}
	between(t, "weighed", f.Ground, 28.1, 29.8, 31.6)
	d, err := want(FieldOf(oneCatch(22.9), nil, false)).Drift(out)
	if err != nil {
		t.Fatal(err)
	}
	agree(t, "over", d.Change, 30/22.9-1, 1e-6)
	if !d.Sure() {
		t.Errorf("31 %% over is sure: %+v", d)
	}
	checked := want(FieldOf(oneCatch(22.9), []Out{out}, true))
	if checked.Ground.Relative >= f.Ground.Relative/1.5 {
		t.Errorf("a counter that was checked leaves less doubt: %g, unchecked %g", checked.Ground.Relative, f.Ground.Relative)
	}
	if f.Counter.Relative >= f.Ground.Relative/2 {
		t.Errorf("the counter's own error drops out of its own acres: %g", f.Counter.Relative)
	}
}

// Common practice of joining: a moving catch pulls the figure towards itself,
// and leaves it surer; equal ones leave it where it is.
func TestMovingCatchJoins(t *testing.T) {
	c := oneCatch(24)
	alone := want(FieldOf(c, nil, false))
	moving := oneCatch(25).Standing
	c.Moving = &moving
	f := want(FieldOf(c, nil, false))
	if f.Ground.Rate <= alone.Ground.Rate || f.Ground.Rate >= moving.Rate || f.Ground.Relative >= moving.Relative {
		t.Errorf("standing %v, moving %v: %v ± %g", alone.Ground.Rate, moving.Rate, f.Ground.Rate, f.Ground.Relative)
	}
	if f.Ground.Rate < moving.Rate-(moving.Rate-alone.Ground.Rate)/4 {
		t.Errorf("a catch on the move has no doubt of the field in it: it counts for most, got %v", f.Ground.Rate)
	}
}

func TestFieldProperties(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		caught := rapid.Float64Range(2, 120).Draw(r, "caught")
		ratio := rapid.Float64Range(0.5, 2).Draw(r, "weighed to caught")
		doubt := rapid.Float64Range(0.001, 0.2).Draw(r, "uncertainty of the masses")
		out := weighedOut(caught*ratio, doubt)
		bare, f := want(FieldOf(oneCatch(caught), nil, false)), want(FieldOf(oneCatch(caught), []Out{out}, false))
		// Between guess and measurement, and never less sure by the counter than the masses are.
		low, high := min(bare.Ground.Rate, out.Rate.Rate), max(bare.Ground.Rate, out.Rate.Rate)
		for _, x := range []RateEstimate{f.Ground, f.Counter} {
			if x.Rate < low-1 || x.Rate > high+1 || x.Low > x.Rate || x.Rate > x.High {
				r.Errorf("%+v lies outside %v and %v", x, low, high)
			}
			if float64(x.High)/float64(x.Rate) < 1.0169 {
				r.Errorf("%+v claims more than 1.7 %%", x)
			}
		}
		if f.Counter.Relative > out.Rate.Relative*1.0001 {
			r.Errorf("joined %g, the stretch alone %g", f.Counter.Relative, out.Rate.Relative)
		}
		// Scale: twice the seed is twice the rate.
		twice := want(FieldOf(oneCatch(2*caught), []Out{weighedOut(2*caught*ratio, doubt)}, false))
		if math.Abs(float64(twice.Ground.Rate)/float64(f.Ground.Rate)-2) > 1e-4 {
			r.Errorf("%v, of twice the seed %v", f.Ground.Rate, twice.Ground.Rate)
		}
	})
}

// A level between two runs drops out where they are joined: one stretch from
// end to end says the same as if nobody had looked in between.
func TestRunsJoinEndToEnd(t *testing.T) {
	level := Weighed{60 * kilogram, kilogram}
	first := Stretch{Poured: Weighed{100 * kilogram, kilogram / 2}, Left: level, Area: 2 * hectare}
	second := Stretch{Start: level, Left: Weighed{10 * kilogram, kilogram / 5}, Area: 2 * hectare}
	joined := first.Join(second)
	if joined.Start.Mass != 0 || joined.Poured != first.Poured || joined.Left != second.Left || joined.Area != 4*hectare || joined.Runs != 2 {
		t.Fatalf("joined %+v", joined)
	}
	o := want(joined.Out())
	if o.Mass != 90*kilogram || o.Rate.Rate != 2_250_000 {
		t.Errorf("%v at %v, want 90 kg at 22.5 kg/ha", o.Mass, o.Rate.Rate)
	}
	agree(t, "uncertainty", o.Rate.Relative, math.Sqrt((0.25+0.04)/8100+0.0001/2), 1e-9)
}

// A reading that ends one run and begins the next makes one too great and the
// other too small: two runs that differ by it alone are less of a drift than if
// each had its own reading.
func TestSharedLevelCountsOnce(t *testing.T) {
	level := Weighed{60 * kilogram, 2 * kilogram}
	before := want(Stretch{Poured: Weighed{Mass: 100 * kilogram}, Left: level, Area: 2 * hectare}.Out())
	now := want(Stretch{Start: level, Left: Weighed{Mass: 14 * kilogram}, Area: 2 * hectare}.Out())
	apart, shared := want(DriftFrom(before.Rate, now.Rate)), want(DriftBetween(before, now, level))
	if shared.Change != apart.Change || shared.Certainty >= apart.Certainty || !apart.Likely() || shared.Likely() {
		t.Errorf("shared %+v, apart %+v", shared, apart)
	}
}

func TestFieldRefusesWhatIsNoRate(t *testing.T) {
	for _, c := range []Crank{{}, {Standing: steady(0, 0.1)}, {Standing: steady(2_000_000, 0.9)}, {Standing: RateEstimate{Rate: 5}}} {
		if _, err := FieldOf(c, nil, false); !errors.Is(err, units.ErrRange) {
			t.Errorf("%+v: %v", c, err)
		}
	}
	if _, err := FieldOf(oneCatch(20), []Out{{}}, false); !errors.Is(err, units.ErrRange) {
		t.Errorf("a stretch of nothing: %v", err)
	}
}

// 100 lb, known to 3 %, over 4 acres of a counter known to 3 %: 25 lb/ac, with
// both in squares (1.645 standard deviations).
func TestRateOnTheGround(t *testing.T) {
	r, err := OnGround(Weighed{pounds(100), pounds(3)}, 4*acre(), false)
	if err != nil {
		t.Fatal(err)
	}
	reach := 1.6448536 * math.Hypot(0.03, 0.03)
	for name, x := range map[string][2]float64{"rate": {r.Rate.LbPerAcre(), 25}, "low": {r.Low.LbPerAcre(), 25 * math.Exp(-reach)}, "high": {r.High.LbPerAcre(), 25 * math.Exp(reach)}} {
		agree(t, name, x[0], x[1], 1e-5)
	}
	exact := want(OnGround(Weighed{Mass: pounds(100)}, 4*acre(), true))
	if half := float64(exact.High)/float64(exact.Rate) - 1; half < 0.0169 || half > 0.0172 {
		t.Errorf("nothing is known to less than 1.7 %%: %g", half)
	}
	for _, bad := range []Weighed{{}, {Mass: -1}, {Mass: 1, Std: -1}} {
		if _, err := OnGround(bad, acre(), false); !errors.Is(err, units.ErrRange) {
			t.Errorf("%+v: %v", bad, err)
		}
	}
	if _, err := OnGround(Weighed{Mass: 1}, 0, false); !errors.Is(err, units.ErrRange) {
		t.Errorf("no ground: %v", err)
	}
}

// day is one simulated day, worked out apart from the engine: how far this
// drill's catches, field and counter lie from what they are taken to be.
type day struct {
	caught, truth float64 // lb/ac: by one catch, and to the counter's acre
	poured, left  float64 // lb: as it really is
	read          float64 // what is read of left
}

func (d *day) draw(source *rand.Rand, field, fieldSpread float64) {
	repeat := 0.003 + 0.052*source.Float64()
	d.caught = 24 * (1 + repeat*source.NormFloat64()) * (1 + 0.01*source.NormFloat64())
	d.truth = 24 * field * (1 + fieldSpread*source.NormFloat64()) * (1 + 0.03*source.NormFloat64())
	d.poured = 250 * (1 + 0.005*source.NormFloat64())
	d.left = d.poured - 4*d.truth*(1+0.01*source.NormFloat64())
	d.read = d.left * (1 + 0.02*source.NormFloat64())
}

// Over drills that differ as published, what is said of a day holds as often as
// it says: dry within its 8 in 10 before and after a run was weighed, seed left
// within its 9 in 10, balance off in 1 of 100.
func TestFieldHoldsAsOftenAsItSays(t *testing.T) {
	source := rand.New(rand.NewPCG(60, 61))
	const days = 2000
	counts := map[string]int{}
	count := func(name string, is bool) {
		if is {
			counts[name]++
		}
	}
	acre := float64(acre())
	for range days {
		var d day
		d.draw(source, 0.96, 0.07)
		crank := oneCatch(d.caught)
		f := want(FieldOf(crank, nil, false))
		m := f.Metering(false)
		events := []BoxEvent{{Kind: Poured, Lot: "O-1", Mass: pounds(250), Std: pounds(1.25)},
			{Kind: Sown, Area: 4 * units.Area(acre), Rate: m.Rate, RateSpread: m.Spread()}}
		s := want(SeedIn([]int{16}, events))
		dry, _, err := s.UntilDry(m)
		if err != nil {
			t.Fatal(err)
		}
		really := d.left / (d.truth * (1 + 0.01*source.NormFloat64())) * acre
		count("dry", float64(dry[0].P10) <= really && really <= float64(dry[0].P90))
		low, high := s.Left(Confidence)
		count("left", low.Pounds() <= d.left && d.left <= high.Pounds())
		level := BoxEvent{Kind: LevelRead, Mass: pounds(d.read), Std: pounds(d.read * 0.02)}
		s = want(SeedIn([]int{16}, append(events, level)))
		count("balance", s.Balances[0].Off)
		count("likely", s.Balances[0].Likely)
		out := want(Stretch{Poured: Weighed{pounds(250), pounds(1.25)}, Left: Weighed{level.Mass, level.Std}, Area: events[1].Area}.Out())
		drift := want(f.Drift(out))
		count("drift", drift.Likely())
		after := want(FieldOf(crank, []Out{out}, false)).Metering(true)
		dry, _, err = s.UntilDry(after)
		if err != nil {
			t.Fatal(err)
		}
		count("dry after", float64(dry[0].P10) <= really && really <= float64(dry[0].P90))
		s2 := want(SeedIn([]int{16}, append(events, level, BoxEvent{Kind: Sown, Area: 3 * units.Area(acre), Rate: after.Rate, RateSpread: after.Spread(), RateLevel: after.Level})))
		low, high = s2.Left(Confidence)
		count("left after", low.Pounds() <= d.left-3*d.truth && d.left-3*d.truth <= high.Pounds())
	}
	for name, want := range map[string][2]float64{
		"dry": {0.77, 0.86}, "dry after": {0.76, 0.88}, "left": {0.87, 0.94}, "left after": {0.87, 0.95},
		"balance": {0.002, 0.02}, "likely": {0.05, 0.13}, "drift": {0.05, 0.13},
	} {
		share := float64(counts[name]) / days
		t.Logf("%s: %.3f", name, share)
		if share < want[0] || share > want[1] {
			t.Errorf("%s in %.3f of days, want %.3f to %.3f", name, share, want[0], want[1])
		}
	}
}
