package rate

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// agree reports a figure that differs from the referee's by more than the
// relative tolerance.
func agree(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Max(math.Abs(want), 1e-12)) {
		t.Errorf("%s: got %.16g, want %.16g (relative difference %.2g)", what, got, want, math.Abs(got-want)/math.Abs(want))
	}
}

var degrees = []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 15, 20, 29, 30, 50, 99, 100, 194, 299, 300, 301, 400, 1000, 1e5}

// Referee: gonum's distuv, an independent implementation.
func TestStudentQuantilesAgainstGonum(t *testing.T) {
	for _, df := range degrees {
		referee := distuv.StudentsT{Sigma: 1, Nu: df}
		for _, p := range []float64{0.001, 0.05, 0.1, 0.6, 0.75, 0.9, 0.95, 0.975, 0.99, 0.995, 0.99865, 0.9995} {
			agree(t, "quantile", studentT(p, df), referee.Quantile(p), 1e-9)
		}
	}
}

func TestStudentProbabilityAgainstGonum(t *testing.T) {
	for _, df := range degrees {
		referee := distuv.StudentsT{Sigma: 1, Nu: df}
		for _, x := range []float64{0, 0.1, 0.5, 1, 1.5, 2, 3, 5, 8, 20, 200} {
			want := 1 - 2*referee.CDF(-x)
			tolerance := 1e-10
			if df > largeFreedom {
				tolerance = 5e-6 // the expansion for many degrees of freedom
			}
			if got := studentWithin(x, df); math.Abs(got-want) > tolerance {
				t.Errorf("within ±%g, df %g: got %.14g, want %.14g", x, df, got, want)
			}
		}
	}
}

func TestNormalAgainstGonum(t *testing.T) {
	referee := distuv.UnitNormal
	for _, p := range []float64{0.0001, 0.05, 0.5, 0.500001, 0.8, 0.9, 0.95, 0.975, 0.995, 0.9999, 0.999999} {
		got, want := normalQuantile(p), referee.Quantile(p)
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("normal quantile %g: got %.14g, want %.14g", p, got, want)
		}
	}
	agree(t, "reach of a balance", 2.5758293035489004, referee.Quantile(0.995), 1e-15)
	for _, x := range []float64{0, 0.3, 1, 1.96, 3, 5, 8, 9} {
		if got, want := normalWithin(x), 1-2*referee.CDF(-x); math.Abs(got-want) > 1e-13 {
			t.Errorf("normal within ±%g: got %.14g, want %.14g", x, got, want)
		}
	}
}

// Between whole degrees of freedom too. Referee: gonum.
func TestStudentBetweenWholeDegrees(t *testing.T) {
	for df := 1.1; df < 320; df += 0.7 {
		for _, p := range []float64{0.6, 0.95, 0.9995} {
			agree(t, "quantile", studentT(p, df), distuv.StudentsT{Sigma: 1, Nu: df}.Quantile(p), 1e-8)
		}
	}
}

func TestStudentOutsideItsRange(t *testing.T) {
	nan := math.NaN()
	for _, c := range [][2]float64{{0, 5}, {1, 5}, {-1, 5}, {0.95, 0}, {0.95, 0.5}, {nan, 5}, {0.95, nan}} {
		if got := studentT(c[0], c[1]); !math.IsNaN(got) {
			t.Errorf("studentT(%g, %g) = %g, want NaN", c[0], c[1], got)
		}
	}
	if got := studentT(0.975, Known); math.Abs(got-1.959963984540054) > 1e-8 {
		t.Errorf("with known uncertainty: got %g", got)
	}
}

// Referee: package math on this processor, which is right to an ulp or two.
func TestElementaryAgainstMath(t *testing.T) {
	for x := -700.0; x < 700; x += 0.737 {
		agree(t, "exp", exp(x), math.Exp(x), 1e-13)
	}
	for x := -math.Pi / 2; x <= math.Pi/2; x += 0.0011 {
		agree(t, "sin", sin(x), math.Sin(x), 2e-15)
	}
}

func FuzzStudentStaysFinite(f *testing.F) {
	f.Add(0.95, 3.0)
	f.Add(0.9999, 1.0)
	f.Fuzz(func(t *testing.T, p, df float64) {
		got := studentT(p, df)
		if p >= 1e-9 && p <= 1-1e-9 && df >= 1 && (math.IsNaN(got) || math.IsInf(got, 0)) {
			t.Errorf("studentT(%g, %g) = %g", p, df, got)
		}
		_ = studentWithin(got, df)
	})
}
