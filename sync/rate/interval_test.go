package rate

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The GUM, JCGM 100:2008, example H.1 (end gauge): five standard uncertainties
// in nm with their degrees of freedom combine to 32 nm with 16 (G.4.1 rounds
// down from 16.7), and t at 99 % is 2.92, so the expanded uncertainty is 93 nm.
// From memory of the Guide.
func TestEndGaugeOfTheGuide(t *testing.T) {
	std, freedom := combine(part{25, 18}, part{9.7, 25.6}, part{2.9, 50}, part{16.6, 2})
	if math.Abs(std-32) > 0.5 || math.Floor(freedom) != 16 {
		t.Errorf("combined: got %.1f nm with %.1f degrees of freedom, want 32 with 16", std, freedom)
	}
	if got := twoSidedT(0.99, math.Floor(freedom)); math.Abs(got-2.92) > 0.005 {
		t.Errorf("t: got %.3f, want 2.92", got)
	}
}

// Sums, differences, products and quotients held against a simulation of
// normal values (fixed seed), to the first order that the Guide's rule is.
func TestCombinationAgainstSimulation(t *testing.T) {
	a := Estimate{Value: 20, Std: 0.4, Freedom: Known}
	b := Estimate{Value: 7, Std: 0.2, Freedom: Known}
	source := rand.New(rand.NewPCG(3, 4))
	draw := func(e Estimate) float64 { return e.Value + e.Std*source.NormFloat64() }
	cases := []struct {
		name   string
		got    Estimate
		combed func(x, y float64) float64
	}{
		{"plus", a.Plus(b), func(x, y float64) float64 { return x + y }},
		{"minus", a.Minus(b), func(x, y float64) float64 { return x - y }},
		{"times", a.Times(b), func(x, y float64) float64 { return x * y }},
		{"over", a.Over(b), func(x, y float64) float64 { return x / y }},
		{"scaled", a.Scaled(-3), func(x, _ float64) float64 { return -3 * x }},
	}
	for _, c := range cases {
		values := make([]float64, 20000)
		for i := range values {
			values[i] = c.combed(draw(a), draw(b))
		}
		agree(t, c.name+" value", c.got.Value, mean(values), 0.005)
		agree(t, c.name+" std", c.got.Std, sd(values), 0.03)
	}
}

// meanEstimate returns the mean of two or more values with its standard
// uncertainty sd/√n and n − 1 degrees of freedom (NIST/SEMATECH e-Handbook of
// Statistical Methods, 1.3.5.2).
func meanEstimate(values []float64) Estimate {
	n := float64(len(values))
	return Estimate{Value: mean(values), Std: sd(values) / math.Sqrt(n), Freedom: n - 1}
}

func TestIntervalOfAMean(t *testing.T) {
	e := meanEstimate([]float64{9, 11, 10, 10})
	low, high := e.Interval(0.95)
	// t for three degrees of freedom: 3.182446305 (NIST TN 1297, table B.1, 3.18).
	half := 3.182446305 * math.Sqrt(2.0/3) / 2
	agree(t, "low", low, 10-half, 1e-9)
	agree(t, "high", high, 10+half, 1e-9)
	agree(t, "half", e.Half(0.95), half/10, 1e-9)
}

func TestExactFiguresHaveNoDoubt(t *testing.T) {
	exactly := func(x float64) Estimate { return Estimate{Value: x, Freedom: Known} }
	e := exactly(5).Plus(exactly(2)).Times(exactly(3))
	if low, high := e.Interval(0.9); low != 21 || high != 21 || e.Freedom != Known {
		t.Errorf("got %g to %g with %g degrees of freedom, want exactly 21", low, high, e.Freedom)
	}
}

// An estimate without stated degrees of freedom must not look certain.
func TestForgottenFreedomIsNotANumber(t *testing.T) {
	low, high := Estimate{Value: 5, Std: 1}.Interval(0.9)
	if !math.IsNaN(low) || !math.IsNaN(high) {
		t.Errorf("got %g to %g, want not a number", low, high)
	}
}
