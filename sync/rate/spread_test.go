package rate

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// The GUM, JCGM 100:2008, example H.1 (end gauge), as in interval_test.go: five
// uncertainties in nm combine to 32 with 16 degrees of freedom, 93 nm at 99 %.
func TestSumOfTheEndGauge(t *testing.T) {
	square := func(sd, df float64) Spread { return Spread{sd * sd, df} }
	s := sumOf(square(25, 18), square(9.7, 25.6), square(2.9, 50), square(16.6, 2))
	if math.Abs(math.Sqrt(s.Var)-32) > 0.5 || math.Floor(s.DF) != 16 {
		t.Errorf("%.1f nm with %.1f degrees of freedom, want 32 with 16", math.Sqrt(s.Var), s.DF)
	}
	if got := (Spread{32 * 32, 16}).half(0.99); math.Abs(got-93) > 0.6 {
		t.Errorf("expanded uncertainty %.1f nm, want 93", got)
	}
}

// Between whole degrees of freedom too. Referee: gonum.
func TestHalfAtFractionalFreedom(t *testing.T) {
	for df := 1.0; df < 60; df += 0.317 {
		agree(t, "half", Spread{0.0004, df}.half(0.9), 0.02*distuv.StudentsT{Sigma: 1, Nu: df}.Quantile(0.95), 1e-8)
	}
	agree(t, "known", known(0.02).half(0.9), 0.02*1.6448536269514722, 1e-8)
	if (Spread{0, Known}).half(0.9) != 0 {
		t.Error("a figure without doubt has a half")
	}
}

func TestPool(t *testing.T) {
	if got := pool(4, 0.01, 0, 0); got != (Spread{0.01, 4}) {
		t.Errorf("nothing of one's own: %+v", got)
	}
	if got := pool(4, 0.01, 0.01, 1); math.Abs(got.Var-0.01) > 1e-15 || got.DF != 5 {
		t.Errorf("one square as guessed: %+v", got)
	}
	got := pool(4, 0.01, 0.8, 2) // mean 0.4, 40 times the guess: it counts for 4 × 2 ÷ 40
	agree(t, "weight left", got.DF, 2.2, 1e-12)
	agree(t, "variance", got.Var, (0.2*0.01+0.8)/2.2, 1e-12)
}

// More squares of one's own bring the pool nearer to their mean, and it never
// lies outside the two.
func TestPoolLiesBetween(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		guess := rapid.Float64Range(1e-6, 1e-2).Draw(t, "guess")
		k := float64(rapid.IntRange(1, 40).Draw(t, "k"))
		own := rapid.Float64Range(0, 1).Draw(t, "own")
		got := pool(4, guess, own*k, k).Var
		if got < min(own, guess)*(1-1e-12) || got > max(own, guess)*(1+1e-12) {
			t.Fatalf("%g lies outside %g and %g", got, own, guess)
		}
		if more := pool(4, guess, own*(k+1), k+1).Var; math.Abs(more-own) > math.Abs(got-own)*(1+1e-9) {
			t.Fatalf("%g after %g squares, %g after one more, of %g", got, k, more, own)
		}
	})
}

func TestYield(t *testing.T) {
	if got := yield(0.04, 0.3, 0); got != 0.04 {
		t.Errorf("within two spreads: %g", got)
	}
	agree(t, "four spreads off", yield(0.04, 0.8, 0), 0.04*16, 1e-12) // (16 ÷ 4)²
	agree(t, "the rest counts too", yield(0.04, 0.8, 0.12), 0.04, 1e-12)
}

// Shrinking is the join by inverse variance.
func TestShrunk(t *testing.T) {
	got := Spread{0.01, 5}.shrunk(0.03)
	agree(t, "variance", got.Var, 1/(1/0.01+1/0.03), 1e-12)
	agree(t, "degrees of freedom", got.DF, 5*(4.0/3)*(4.0/3), 1e-12)
	if far := (Spread{0.01, 5}).shrunk(math.Inf(1)); far != (Spread{0.01, 5}) {
		t.Errorf("no guess: %+v", far)
	}
}

// Referees: gonum, and for whole counts the exact Poisson limits that are
// printed (Garwood, Biometrika 28, 1936: a count of 1 lies between 0.0253 and
// 5.57, of 10 between 4.795 and 18.39).
func TestGammaQuantile(t *testing.T) {
	for _, shape := range []float64{0.3, 0.5, 1, 2.7, 10, 44.4, 1000} {
		for _, p := range []float64{0.001, 0.025, 0.5, 0.975, 0.999} {
			agree(t, "gamma", gammaQuantile(p, shape), distuv.Gamma{Alpha: shape, Beta: 1}.Quantile(p), 1e-8)
		}
	}
	agree(t, "1, low", gammaQuantile(0.025, 1), 0.0253, 1e-3)
	agree(t, "1, high", gammaQuantile(0.975, 2), 5.572, 1e-3)
	agree(t, "10, low", gammaQuantile(0.025, 10), 4.795, 1e-3)
	agree(t, "10, high", gammaQuantile(0.975, 11), 18.39, 1e-3)
	if !math.IsNaN(gammaQuantile(0, 1)) || !math.IsNaN(gammaQuantile(0.5, 0)) {
		t.Error("outside its range it must be no number")
	}
	if got := gammaBelow(1e6, 2); got != 1 {
		t.Errorf("far up: %g", got)
	}
}

// Referee: package math on this processor.
func TestLogarithmsAgainstMath(t *testing.T) {
	for x := 1e-300; x < 1e300; x *= 1.7 {
		agree(t, "ln", ln(x), math.Log(x), 2e-15)
	}
	for x := 0.9; x < 1.1; x += 0.0003 {
		agree(t, "ln near 1", ln(x), math.Log(x), 4e-15)
	}
	for x := 0.01; x < 400; x *= 1.07 {
		want, _ := math.Lgamma(x)
		if got := lnGamma(x); math.Abs(got-want) > 1e-14*math.Max(1, math.Abs(want)) {
			t.Errorf("lnGamma(%g): %.17g, want %.17g", x, got, want)
		}
	}
	for _, x := range []float64{0, -1, math.Inf(1), math.NaN()} {
		if !math.IsNaN(ln(x)) {
			t.Errorf("ln(%g) is a number", x)
		}
	}
}
