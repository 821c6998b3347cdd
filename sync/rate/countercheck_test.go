package rate

import (
	"errors"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/units"
)

func acres(x float64) units.Area { return want(units.AreaFromAcres(x)) }

// The wheel of a drawn planter skidded by 4.53 % (Nirala, International Journal
// of Agricultural Engineering 4(2), 2011): 100 acres by its turns were 104.745.
func TestCounterOfAWheelThatSkids(t *testing.T) {
	c, err := CheckCounter(acres(104.745), acres(100), true)
	if err != nil {
		t.Fatal(err)
	}
	if c.Verdict != CounterOff || c.Correction != 1047 || c.Low > 1014 || c.High < 1081 {
		t.Errorf("got %+v, want a correction of 1.047, known to 3.3 %%", c)
	}
}

func TestVerdictsOnACounter(t *testing.T) {
	for _, x := range []struct {
		piece, counted float64
		mapped         bool
		want           CounterVerdict
	}{
		{7.5, 7.4, true, CounterAgrees},
		{7.5, 7.1, true, CounterOff},
		{7.5, 6.4, true, CounterFar},     // 17 % off a mapped piece: half of it sown twice, or the map is of more
		{7.5, 6.8, false, CounterOff},    // 10 % off a stated area may be a round figure
		{7.5, 18.5, true, CounterFar},    // hectares for acres
		{1.2, 1.1, true, CounterUnclear}, // a tenth of an acre either way is all of it
	} {
		c, err := CheckCounter(acres(x.piece), acres(x.counted), x.mapped)
		if err != nil || c.Verdict != x.want {
			t.Errorf("%+v: %+v, %v", x, c, err)
		}
	}
	for _, bad := range []units.Area{0, -1, 2e15} {
		if _, err := CheckCounter(bad, acres(1), true); !errors.Is(err, units.ErrRange) {
			t.Errorf("piece of %v: %v", bad, err)
		}
		if _, err := CheckCounter(acres(1), bad, true); !errors.Is(err, units.ErrRange) {
			t.Errorf("counted %v: %v", bad, err)
		}
	}
}

// A correction brings the counter to the piece, and its ends hold it.
func TestCorrectionBringsTheCounterToThePiece(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		counted := rapid.Float64Range(3, 300).Draw(r, "counted")
		ratio := rapid.Float64Range(0.8, 1.25).Draw(r, "ratio")
		c := want(CheckCounter(acres(counted*ratio), acres(counted), true))
		if c.Correction == 0 {
			r.Fatalf("no correction for %g", ratio)
		}
		if off := float64(c.Correction)/1000 - ratio; off > 0.0006 || off < -0.0006 || c.Low >= c.Correction || c.High <= c.Correction {
			r.Errorf("%g: %+v", ratio, c)
		}
		stated := want(CheckCounter(acres(counted*ratio), acres(counted), false))
		if stated.Low > c.Low || stated.High < c.High {
			r.Errorf("a stated area says more than a mapped one: %+v, %+v", stated, c)
		}
	})
}
