package trial_test

import (
	"math"
	"testing"

	"turnrow/sync/simtest/trial"
)

// Means and variances are those of the textbook laws, to within four standard
// errors (those of a variance from the law's fourth moment, or a safe bound).
func TestDrawsFollowTheirLaws(t *testing.T) {
	const n = 200_000
	for _, c := range []struct {
		name           string
		draw           func(trial.Draw) float64
		mean, variance float64
		fourth         float64 // central moment
	}{
		{"flat", func(d trial.Draw) float64 { return d.Flat(2, 8) }, 5, 3, 81.0 / 5},
		{"normal", func(d trial.Draw) float64 { return d.Normal(3, 2) }, 3, 4, 3 * 16},
		{"whole", func(d trial.Draw) float64 { return float64(d.Whole(1, 6)) }, 3.5, 35.0 / 12, 14.7292},
		{"poisson, few", func(d trial.Draw) float64 { return float64(d.Poisson(0.7)) }, 0.7, 0.7, 0.7 + 3*0.49},
		{"poisson, many", func(d trial.Draw) float64 { return float64(d.Poisson(95)) }, 95, 95, 95 + 3*95*95},
		{"gamma", func(d trial.Draw) float64 { return d.Gamma(2, 3) }, 6, 18, 3*18*18 + 6*2*81},
		{"clumped", func(d trial.Draw) float64 { return float64(d.Clumped(4, 2)) }, 4, 12, 1400},
	} {
		d := trial.NewDraw(1, 1)
		sum, squares := 0.0, 0.0
		for range n {
			x := c.draw(d) - c.mean
			sum, squares = sum+x, squares+x*x
		}
		if off := sum / n; math.Abs(off) > 4*math.Sqrt(c.variance/n) {
			t.Errorf("%s: mean %v, want %v", c.name, c.mean+off, c.mean)
		}
		if v := squares / n; math.Abs(v-c.variance) > 4*math.Sqrt((c.fourth-c.variance*c.variance)/n) {
			t.Errorf("%s: variance %v, want %v", c.name, v, c.variance)
		}
	}
}
