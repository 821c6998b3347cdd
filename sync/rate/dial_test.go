package rate

import (
	"errors"
	"testing"

	"turnrow/sync/units"
)

func choose(t *testing.T, f Fit, target units.RatePerArea) DialChoice {
	t.Helper()
	c, err := f.DialFor(target)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestAdvice(t *testing.T) {
	good := caught(40_000, 5_000_000, 0.02)
	cases := []struct {
		name     string
		measured []Measured
		target   units.RatePerArea
		want     Decision
	}{
		{"nothing caught", nil, 5_000_000, CatchAgain},
		{"one good catch near the dial", []Measured{good}, 5_100_000, Go},
		{"one good catch far from the dial", []Measured{good}, 6_500_000, CatchAgain},
		{"beyond chart and catch", []Measured{good}, 9_000_000, CatchElsewhere},
		{"one poor catch", []Measured{caught(40_000, 5_000_000, 0.06)}, 5_000_000, CatchAgain},
		{"a poor catch four times over", []Measured{caught(40_000, 5_000_000, 0.05), caught(40_000, 5_000_000, 0.05),
			caught(40_000, 5_000_000, 0.05), caught(40_000, 5_000_000, 0.05)}, 5_000_000, Go},
		{"catches that disagree", []Measured{good, caught(40_000, 6_000_000, 0.02)}, 5_000_000, CatchAgain},
		{"more than the dial gives", []Measured{good}, 20_000_000, OutOfReach},
	}
	for _, c := range cases {
		if got := choose(t, fitted(t, grainBox, c.measured...), c.target); got.Next != c.want || got.Why == "" {
			t.Errorf("%s: %s, %s; want %s", c.name, got.Next, got.Why, c.want)
		}
	}
}

func TestNearestRateAtTheEndsOfTheDial(t *testing.T) {
	box := Box{From: 10_000, To: 60_000, Chart: printed}
	f := fitted(t, box, caught(40_000, 4_595_000, 0.02))
	for target, end := range map[units.RatePerArea]units.Dial{9_000_000: 60_000, 500_000: 10_000} {
		c := choose(t, f, target)
		want, err := f.RateAt(end)
		if err != nil {
			t.Fatal(err)
		}
		if c.Reached || c.Dial != end || c.Next != OutOfReach || c.Rate != want {
			t.Errorf("for %v: got %+v, want the rate at the dial's end %v", target, c, end)
		}
	}
}

func TestDialsAndTargetsThatAreRefused(t *testing.T) {
	f := fitted(t, grainBox, caught(40_000, 5_000_000, 0.02))
	for _, dial := range []units.Dial{-1, 100_001, 0} {
		if _, err := f.RateAt(dial); !errors.Is(err, units.ErrRange) {
			t.Errorf("dial %v: got %v", dial, err)
		}
	}
	for _, target := range []units.RatePerArea{0, -5} {
		if _, err := f.DialFor(target); !errors.Is(err, units.ErrRange) {
			t.Errorf("target %v: got %v", target, err)
		}
	}
}

// Fits of whatever a person may type must refuse or answer, never panic, and
// never go beyond the dial.
func FuzzFit(f *testing.F) {
	f.Add(int64(20_000), int64(2_000_000), int64(40_000), int64(5_000_000), int64(30_000), int64(3_000_000), 0.05, 3.0, int64(4_000_000))
	f.Add(int64(0), int64(0), int64(1), int64(1), int64(1), int64(1), 1.0, 1.0, int64(1))
	f.Fuzz(func(t *testing.T, d1, r1, d2, r2, dial, rate int64, relative, freedom float64, target int64) {
		box := Box{From: 0, To: 100_000, Chart: []ChartPoint{
			{units.Dial(d1), units.RatePerArea(r1)}, {units.Dial(d2), units.RatePerArea(r2)}}}
		fit, err := FitBox(box, []Measured{
			{Dial: units.Dial(dial), Rate: units.RatePerArea(rate), Relative: relative, Freedom: freedom},
			{Dial: units.Dial(dial / 2), Rate: units.RatePerArea(rate / 3), Relative: relative, Freedom: freedom}})
		if err != nil {
			return
		}
		choice, err := fit.DialFor(units.RatePerArea(target))
		if err != nil {
			return
		}
		if choice.Dial < box.From || choice.Dial > box.To || choice.Rate.Low < 0 {
			t.Errorf("beyond the dial: %+v", choice)
		}
	})
}

func BenchmarkFit(b *testing.B) {
	measured := []Measured{caught(30_000, 3_000_000, 0.04), caught(40_000, 4_600_000, 0.04), caught(50_000, 6_000_000, 0.04)}
	for b.Loop() {
		if _, err := FitBox(grainBox, measured); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRateAt(b *testing.B) {
	f, err := FitBox(grainBox, []Measured{caught(40_000, 4_600_000, 0.04)})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := f.RateAt(45_000); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDialFor(b *testing.B) {
	f, err := FitBox(grainBox, []Measured{caught(40_000, 4_600_000, 0.04)})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := f.DialFor(5_000_000); err != nil {
			b.Fatal(err)
		}
	}
}
