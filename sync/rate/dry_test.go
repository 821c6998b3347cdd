package rate

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/units"
)

func steady(rate units.RatePerArea, relative float64) RateEstimate {
	return RateEstimate{Rate: rate, Low: rate, High: rate, Relative: relative, Freedom: Known}
}

// metered is a rate that books go by, known to so much of it.
func metered(rate units.RatePerArea, relative float64) Metering {
	return Metering{RateEstimate: steady(rate, relative)}
}

// A box whose true rate is drawn anew runs dry before P10 in one of ten
// simulated days, before P50 in one of two, and before P90 in nine of ten.
func TestRunsDryAsOftenAsItSays(t *testing.T) {
	const days, relative, fillStd = 20_000, 0.12, 0.5e6
	sown := BoxEvent{Kind: Sown, Area: hectare, Rate: 2_000_000, RateSpread: known(relative)}
	filled := pour(0, "O-1", 60*kilogram)
	filled.Std = units.Mass(fillStd)
	dry, _, err := seedIn(t, []int{16}, filled, sown).UntilDry(metered(2_000_000, relative))
	if err != nil {
		t.Fatal(err)
	}
	source := rand.New(rand.NewPCG(30, 31))
	before := map[units.Area]float64{}
	for range days {
		perArea := 0.2 * math.Exp(relative*source.NormFloat64()) // mg/cm²
		left := 60e6 + fillStd*source.NormFloat64() - perArea*float64(hectare)
		area := left / perArea
		for _, p := range []units.Area{dry[0].P10, dry[0].P50, dry[0].P90} {
			if area < float64(p) {
				before[p]++
			}
		}
	}
	for p, want := range map[units.Area]float64{dry[0].P10: 0.10, dry[0].P50: 0.50, dry[0].P90: 0.90} {
		if got := before[p] / days; math.Abs(got-want) > 0.015 {
			t.Errorf("dry before %v in %.3f of days, want %.2f", p, got, want)
		}
	}
}

// More in the box goes further, at every end; more uncertainty never makes it surer.
func TestMoreSeedGoesFurther(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		mass := units.Mass(rapid.Int64Range(1e6, 300e6).Draw(r, "mass"))
		more := units.Mass(rapid.Int64Range(1, 50e6).Draw(r, "more"))
		gone := units.Area(rapid.Int64Range(0, 4*int64(hectare)).Draw(r, "worked"))
		relative := rapid.Float64Range(0, 0.3).Draw(r, "uncertainty")
		dry := func(m units.Mass, relative float64) Dry {
			m += want(units.RatePerArea(2_000_000).On(gone))
			events := []BoxEvent{pour(0, "O-1", m), {Kind: Sown, Area: gone, Rate: 2_000_000, RateSpread: known(relative)}}
			d, _, err := want(SeedIn([]int{16}, events)).UntilDry(metered(2_000_000, relative))
			if err != nil {
				r.Fatal(err)
			}
			return d[0]
		}
		a, b, wider := dry(mass, relative), dry(mass+more, relative), dry(mass, relative*1.3)
		if b.P10 < a.P10 || b.P50 < a.P50 || b.P90 < a.P90 {
			r.Errorf("%v: %+v; %v more: %+v", mass, a, more, b)
		}
		if wider.P10 > a.P10 || wider.P90 < a.P90 {
			r.Errorf("doubt %g: %+v; a third more doubt: %+v", relative, a, wider)
		}
		if a.P50-a.P10 < min(acresFloor, a.P50) || a.P90-a.P50 < acresFloor {
			r.Errorf("%+v claims a tenth of an acre", a)
		}
	})
}

// The side that was filled too little runs dry first.
func TestUnevenlyFilledSideRunsDryFirst(t *testing.T) {
	s := seedIn(t, []int{8, 8}, pour(0, "C-1", 3*kilogram), pour(1, "C-1", 2*kilogram))
	dry, first, err := s.UntilDry(metered(400_000, 0.05))
	if err != nil {
		t.Fatal(err)
	}
	if first != 1 || dry[1].P50 != hectare || dry[0].P50 != hectare*3/2 {
		t.Errorf("first %d, %+v; want side 1 after 1 ha, side 0 after 1.5 ha", first, dry)
	}
	for _, d := range dry {
		if !(d.P10 < d.P50 && d.P50 < d.P90) {
			t.Errorf("%+v is not in order", d)
		}
	}
}

// 20 minutes at 3 ha an hour, each end by its own distance and the pace's 10 %
// (1.2816 standard deviations), whole and outwards.
func TestMinutesUntilDry(t *testing.T) {
	low, middle, high, err := Dry{P10: hectare / 2, P50: hectare, P90: 2 * hectare}.Minutes(3 * hectare)
	if err != nil || low != math.Floor(20-math.Hypot(10, 20*(1-math.Exp(-0.12816)))) || middle != 20 ||
		high != math.Ceil(20+math.Hypot(20, 20*(math.Exp(0.12816)-1))) {
		t.Errorf("got %g, %g, %g, %v", low, middle, high, err)
	}
	// A surer answer than five minutes either way is never given.
	low, middle, high, err = Dry{P10: hectare, P50: hectare, P90: hectare}.Minutes(2 * hectare)
	if err != nil || low != 25 || middle != 30 || high != 35 {
		t.Errorf("got %g, %g, %g, %v, want 25, 30 and 35", low, middle, high, err)
	}
	if _, _, _, err := (Dry{}).Minutes(0); !errors.Is(err, units.ErrRange) {
		t.Errorf("no pace: %v", err)
	}
}

func TestEmptyBoxIsDryNow(t *testing.T) {
	dry, _, err := seedIn(t, []int{16}).UntilDry(metered(400_000, 0.05))
	if err != nil || dry[0] != (Dry{}) {
		t.Errorf("got %+v, %v", dry, err)
	}
}

func TestRatesTooUncertainToSay(t *testing.T) {
	s := seedIn(t, []int{16}, pour(0, "O-1", kilogram))
	for _, r := range []RateEstimate{steady(0, 0.1), steady(400_000, 0.6), steady(400_000, math.NaN()), {Rate: 5}} {
		if _, _, err := s.UntilDry(Metering{RateEstimate: r}); !errors.Is(err, units.ErrRange) {
			t.Errorf("%+v: got %v", r, err)
		}
	}
	if _, _, err := s.UntilDry(metered(1, 0), metered(1, 0)); !errors.Is(err, units.ErrRange) {
		t.Errorf("two rates for one compartment: %v", err)
	}
}

// By hand: 2 ha at 20 kg/ha take 40 kg, 10 kg of them in the box.
func TestWhatToPourToFinish(t *testing.T) {
	s := seedIn(t, []int{8, 8}, pour(0, "O-1", 6*kilogram), pour(1, "O-1", 4*kilogram))
	f, err := s.ToFinish(2*hectare, []Metering{metered(2_000_000, 0.10)}, 30*kilogram, 20*kilogram)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(f.Likely, []units.Mass{14 * kilogram, 16 * kilogram}) {
		t.Errorf("likely %v, want 14 and 16 kg", f.Likely)
	}
	// 1.281551566 is the normal quantile of 0.9 (any table): 20 kg × e^0.128 on each side.
	for i, want := range []float64{14e6 + 20e6*(math.Exp(0.1281551566)-1), 16e6 + 20e6*(math.Exp(0.1281551566)-1)} {
		agree(t, "sure", float64(f.Sure[i]), want, 1e-7)
	}
	if !slices.Equal(f.Now, []units.Mass{9 * kilogram, 11 * kilogram}) {
		t.Errorf("now %v, want what 15 kg a side leave room for", f.Now)
	}
	if f.Later != f.Sure[0]+f.Sure[1]-20*kilogram || f.Bags != 2 {
		t.Errorf("later %v, bags %d; want the rest and 2 bags for 35.1 kg", f.Later, f.Bags)
	}
	agree(t, "left over", float64(f.Over), 2*20e6*(math.Exp(0.1281551566)-1), 1e-6)
}

func TestNothingToPourWhereEnoughIsIn(t *testing.T) {
	s := seedIn(t, []int{16}, pour(0, "O-1", 50*kilogram))
	f, err := s.ToFinish(hectare, []Metering{metered(2_000_000, 0.10)}, 0, 20*kilogram)
	if err != nil || f.Likely[0] != 0 || f.Sure[0] != 0 || f.Bags != 0 || f.Over != 30*kilogram {
		t.Errorf("got %+v, %v; want nothing, and 30 kg over", f, err)
	}
	for _, bad := range []units.Area{-1, 2e15} {
		if _, err := s.ToFinish(bad, []Metering{metered(2_000_000, 0.1)}, 0, 0); !errors.Is(err, units.ErrRange) {
			t.Errorf("area %v: %v", bad, err)
		}
	}
}

// Oat left at a setting for wheat: 32 lb to the bushel against 60 (Indiana
// Code 24-6-1-1), so it goes out at 32/60 of the rate.
func TestBurnOffByBushelWeight(t *testing.T) {
	r, err := RateByBushel(steady(9_000_000, 0.05), pounds(60), pounds(32))
	if err != nil {
		t.Fatal(err)
	}
	if r.Rate != 4_800_000 {
		t.Errorf("rate %v, want 48 kg/ha", r.Rate)
	}
	agree(t, "uncertainty", r.Relative, math.Hypot(0.25, 0.05), 1e-12)
	dry, err := BurnOff(Weighed{Mass: 24 * kilogram, Std: kilogram}, r)
	if err != nil || dry.P50 != hectare/2 || !(dry.P10 < dry.P50 && dry.P50 < dry.P90) {
		t.Errorf("got %+v, %v; want about half a hectare", dry, err)
	}
	for _, w := range []Weighed{{}, {Mass: -1}, {Mass: 1, Std: -1}} {
		if _, err := BurnOff(w, r); !errors.Is(err, units.ErrRange) {
			t.Errorf("%+v: %v", w, err)
		}
	}
	if _, err := RateByBushel(r, 0, pounds(60)); !errors.Is(err, units.ErrRange) {
		t.Errorf("no bushel weight: %v", err)
	}
}

// aDay is 3 boxes and 500 events, one side read now and then.
func aDay() [][]BoxEvent {
	boxes := make([][]BoxEvent, 3)
	for i := range 500 {
		e := BoxEvent{Kind: Sown, Side: AllSides, Area: hectare / 50, Rate: 2_000_000, RateSpread: known(0.05)}
		switch i / 3 % 10 {
		case 0:
			e = BoxEvent{Kind: Poured, Side: AllSides, Lot: "L-" + string(rune('1'+i%4)), Mass: 4 * kilogram, Std: 10_000}
		case 5:
			e = BoxEvent{Kind: LevelRead, Side: i / 30 % 2, Mass: 2 * kilogram, Std: kilogram}
		}
		boxes[i%3] = append(boxes[i%3], e)
	}
	return boxes
}

func BenchmarkBoxes(b *testing.B) {
	day := aDay()
	catches := []Measured{caught(40_000, 4_600_000, 0.04), caught(45_000, 5_300_000, 0.04)}
	for b.Loop() {
		for _, events := range day {
			f, err := FitBox(grainBox, catches)
			if err != nil {
				b.Fatal(err)
			}
			r, err := f.RateAt(42_000)
			if err != nil {
				b.Fatal(err)
			}
			s, err := SeedIn([]int{8, 8}, events)
			if err != nil {
				b.Fatal(err)
			}
			if _, _, err := s.UntilDry(Metering{RateEstimate: r}); err != nil {
				b.Fatal(err)
			}
			if _, err := s.ToFinish(hectare, []Metering{Metering{RateEstimate: r}}, 0, 20*kilogram); err != nil {
				b.Fatal(err)
			}
		}
	}
}
