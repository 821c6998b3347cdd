package rate

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"
)

// Referee: gonum's stat package on random points.
func TestLineAgainstGonum(t *testing.T) {
	source := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		n := 2 + source.IntN(30)
		x, y, w := make([]float64, n), make([]float64, n), make([]float64, n)
		for i := range x {
			x[i], y[i], w[i] = 100*source.Float64(), source.NormFloat64(), 0.1+source.Float64()
		}
		got, err := fitLine(x, y, w)
		if err != nil {
			t.Fatal(err)
		}
		intercept, slope := stat.LinearRegression(x, y, w, false)
		agree(t, "intercept", got.intercept, intercept, 1e-8)
		agree(t, "slope", got.slope, slope, 1e-8)
		if n > 2 {
			agree(t, "R²", got.rSquared(), stat.RSquared(x, y, w, intercept, slope), 1e-6)
		}
		origin, err := throughOrigin(x, y, w)
		if err != nil {
			t.Fatal(err)
		}
		_, slope = stat.LinearRegression(x, y, w, true)
		agree(t, "slope through the origin", origin.slope, slope, 1e-10)
		m, deviation := stat.MeanStdDev(y, nil)
		agree(t, "mean", 1+mean(y), 1+m, 1e-14)
		agree(t, "sd", sd(y), deviation, 1e-11)
	}
}

// A whole-number weight is that point written down so many times.
func TestWeightIsRepetition(t *testing.T) {
	x, y, w := []float64{10, 20, 40, 70}, []float64{8, 19, 42, 66}, []float64{3, 1, 2, 5}
	var xs, ys []float64
	for i := range x {
		for range int(w[i]) {
			xs, ys = append(xs, x[i]), append(ys, y[i])
		}
	}
	weighted, err := fitLine(x, y, w)
	if err != nil {
		t.Fatal(err)
	}
	repeated, err := fitLine(xs, ys, nil)
	if err != nil {
		t.Fatal(err)
	}
	agree(t, "intercept", weighted.intercept, repeated.intercept, 1e-12)
	agree(t, "slope", weighted.slope, repeated.slope, 1e-13)
	agree(t, "variance at 50", weighted.varianceAt(50), repeated.varianceAt(50), 1e-12)
	agree(t, "squares", weighted.squares, repeated.squares, 1e-12)
}

// The intercept's variance is the line's variance at zero; the variance is
// least at the weighted mean of x, where it is one over the sum of weights.
func TestLineVariance(t *testing.T) {
	l, err := fitLine([]float64{10, 20, 60}, []float64{1, 2, 3}, []float64{1, 1, 2})
	if err != nil {
		t.Fatal(err)
	}
	agree(t, "at zero", l.varianceAt(0), l.varIntercept, 1e-15)
	agree(t, "at the middle", l.varianceAt(37.5), 0.25, 1e-12)
	agree(t, "height", l.at(60), l.intercept+60*l.slope, 1e-15)
}

func TestNoLine(t *testing.T) {
	cases := map[string][2][]float64{
		"no points":       {nil, nil},
		"one point":       {{3}, {4}},
		"one place":       {{3, 3, 3}, {4, 5, 6}},
		"not even finite": {{math.NaN(), 1}, {1, 2}},
	}
	for name, c := range cases {
		if _, err := fitLine(c[0], c[1], nil); !errors.Is(err, ErrNoLine) {
			t.Errorf("%s: got %v, want ErrNoLine", name, err)
		}
	}
	if _, err := throughOrigin([]float64{0}, []float64{1}, nil); !errors.Is(err, ErrNoLine) {
		t.Errorf("only the origin: got %v, want ErrNoLine", err)
	}
}

// NIST's univariate sets are built so that a one-pass formula loses all its
// digits: here ten million and a thousand and one values a tenth apart (StRD
// NumAcc4, from memory: mean 10000000.2, standard deviation 0.1 exactly).
func TestSpreadOfNearlyEqualValues(t *testing.T) {
	values := []float64{10000000.2}
	for i := range 1000 {
		values = append(values, 10000000.1+0.2*float64(i%2))
	}
	agree(t, "mean", mean(values), 10000000.2, 1e-15)
	agree(t, "sd", sd(values), 0.1, 1e-7)
	if !math.IsNaN(sd([]float64{1})) || !math.IsNaN(mean(nil)) {
		t.Error("a spread of one value or a mean of none must not be a number")
	}
}
