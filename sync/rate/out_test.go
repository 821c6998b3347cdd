package rate

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"turnrow/sync/units"
)

// By hand: 50 − 8 − 2 = 40 kg on 2 ha is 20 kg/ha; 0.5 kg of uncertainty on each
// mass, and 1 % from one stretch of ground to another.
func TestWhatWentOut(t *testing.T) {
	half := kilogram / 2
	o, err := Stretch{
		Start:   Weighed{30 * kilogram, half},
		Poured:  Weighed{20 * kilogram, half},
		Left:    Weighed{8 * kilogram, half},
		Drained: Weighed{2 * kilogram, half},
		Area:    2 * hectare,
	}.Out()
	if err != nil {
		t.Fatal(err)
	}
	if o.Mass != 40*kilogram || o.Rate.Rate != 2_000_000 {
		t.Errorf("got %v at %v, want 40 kg at 20 kg/ha", o.Mass, o.Rate.Rate)
	}
	agree(t, "uncertainty", o.Rate.Relative, math.Hypot(0.5*2/40, 0.01), 1e-12)
	agree(t, "of the level", o.Level, 0.5/40, 1e-12)
	other := want(o.OfAnotherLot())
	agree(t, "of another lot", other.Rate.Relative, math.Hypot(o.Rate.Relative, 0.09), 1e-12)
	there := want(o.AtDial(steady(2_200_000, 0.05), steady(4_400_000, 0.05)))
	if d := there.Rate.Rate - 4_000_000; d < -1 || d > 1 {
		t.Errorf("at a dial that gives twice as much: %v", there.Rate.Rate)
	}
	agree(t, "at another dial", there.Rate.Relative, math.Hypot(o.Rate.Relative, 0.1*math.Ln2), 1e-9)
}

func TestStretchesThatAreRefused(t *testing.T) {
	good := Stretch{Poured: Weighed{Mass: 50 * kilogram}, Area: hectare}
	cases := map[string]func(*Stretch){
		"mass poured -0.001 g: it must be from 0 to 1,000,000 t":                             func(s *Stretch) { s.Poured.Mass = -1 },
		"uncertainty of the mass left -0.001 g: it must be from 0 to 1,000,000 t":            func(s *Stretch) { s.Left.Std = -1 },
		"mass that went out (start + poured − drained − left) -1 kg: it must be more than 0": func(s *Stretch) { s.Left.Mass = 51 * kilogram },
		"area sown 0 m2: it must be more than 0 and up to 10,000,000 ha":                     func(s *Stretch) { s.Area = 0 },
		"stretches joined -1: it must be 0 or more":                                          func(s *Stretch) { s.Runs = -1 },
	}
	for want, change := range cases {
		s := good
		change(&s)
		if _, err := s.Out(); !errors.Is(err, units.ErrRange) || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
	good.Area = 1
	if _, err := good.Out(); !errors.Is(err, units.ErrRange) {
		t.Errorf("more than any drill gives: %v", err)
	}
}

func TestDriftAndItsCertainty(t *testing.T) {
	d, err := DriftFrom(steady(2_000_000, 0.02), steady(2_200_000, 0.02))
	if err != nil {
		t.Fatal(err)
	}
	agree(t, "change", d.Change, 0.10, 1e-12)
	// ln 1.1 ÷ √(0.02² + 0.02²) = 3.37 standard uncertainties; referee: math.Erf.
	agree(t, "certainty", d.Certainty, math.Erf(math.Log(1.1)/math.Hypot(0.02, 0.02)/math.Sqrt2), 1e-9)
	if !d.Likely() || !d.Sure() || d.Low > 0.10 || d.High < 0.10 || d.Low < 0 {
		t.Errorf("got %+v", d)
	}
	same, err := DriftFrom(steady(2_000_000, 0.05), steady(2_040_000, 0.05))
	if err != nil || same.Likely() {
		t.Errorf("2 %% apart with 7 %% of doubt: %+v, %v", same, err)
	}
	aim, err := AgainstAim(2_000_000, steady(2_000_000, 0.05))
	if err != nil || aim.Change != 0 || aim.Certainty != 0 {
		t.Errorf("on the aim: %+v, %v", aim, err)
	}
	exact, err := DriftFrom(steady(2_000_000, 0), steady(2_000_001, 0))
	if err != nil || exact.Certainty != 1 {
		t.Errorf("two exact rates that differ: %+v, %v", exact, err)
	}
	for _, bad := range []RateEstimate{{}, {Rate: 1}, {Rate: 1, Relative: math.NaN(), Freedom: Known}} {
		if _, err := DriftFrom(bad, steady(1, 0)); !errors.Is(err, units.ErrRange) {
			t.Errorf("%+v: %v", bad, err)
		}
	}
}

// Where nothing moved, "likely" is said one time in ten and "sure" one in a
// hundred, also with few degrees of freedom.
func TestDriftIsNotCriedInVain(t *testing.T) {
	source := rand.New(rand.NewPCG(40, 41))
	const trials = 10_000
	likely, sure := 0, 0
	measure := func() RateEstimate {
		values := make([]float64, 5)
		for i := range values {
			values[i] = 2e6 * (1 + 0.05*source.NormFloat64())
		}
		r, err := rateOf(meanEstimate(values))
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	for range trials {
		d, err := DriftFrom(measure(), measure())
		if err != nil {
			t.Fatal(err)
		}
		if d.Likely() {
			likely++
		}
		if d.Sure() {
			sure++
		}
	}
	if l, s := float64(likely)/trials, float64(sure)/trials; math.Abs(l-0.10) > 0.015 || s < 0.004 || s > 0.015 {
		t.Errorf("likely in %.3f, sure in %.3f of trials without drift; want 0.10 and 0.01", l, s)
	}
}
