package rate

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/interp"

	"turnrow/sync/units"
)

// randomRise returns n points that rise in x and y, some steps very uneven.
func randomRise(source *rand.Rand, n int) (x, y []float64) {
	step := func() float64 { return math.Pow(10, 3*source.Float64()-1.5) }
	for i := range n {
		if i == 0 {
			x, y = append(x, step()), append(y, step())
			continue
		}
		x, y = append(x, x[i-1]+step()), append(y, y[i-1]+step())
	}
	return x, y
}

// Referee: gonum's interp.FritschButland.
func TestCurveAgainstGonum(t *testing.T) {
	source := rand.New(rand.NewPCG(5, 6))
	for range 300 {
		x, y := randomRise(source, 2+source.IntN(9))
		c := newCurve(x, y)
		var referee interp.FritschButland
		if err := referee.Fit(x, y); err != nil {
			t.Fatal(err)
		}
		for range 40 {
			at := x[0] + (x[len(x)-1]-x[0])*source.Float64()
			agree(t, "curve", c.at(at), referee.Predict(at), 1e-11)
		}
	}
}

// Between, at and beyond its points the curve never falls, whatever the points.
func TestCurveNeverFalls(t *testing.T) {
	source := rand.New(rand.NewPCG(8, 9))
	for range 300 {
		x, y := randomRise(source, 2+source.IntN(9))
		c := newCurve(x, y)
		for i := range x {
			agree(t, "point", c.at(x[i]), y[i], 1e-14)
		}
		top := 1.2 * x[len(x)-1]
		before := c.at(0)
		for step := range 500 {
			now := c.at(top * float64(step+1) / 500)
			if now < before-1e-12*before {
				t.Fatalf("falls from %.17g to %.17g, points %v %v", before, now, x, y)
			}
			before = now
		}
	}
}

// Finding the dial for a rate undoes finding the rate at a dial.
func TestBisectionInvertsTheCurve(t *testing.T) {
	source := rand.New(rand.NewPCG(10, 11))
	for range 200 {
		x, y := randomRise(source, 2+source.IntN(6))
		c := newCurve(x, y)
		want := x[0] + (x[len(x)-1]-x[0])*source.Float64()
		got := bisect(0, 2*x[len(x)-1], c.at(want), c.at)
		agree(t, "height at the dial found", c.at(got), c.at(want), 1e-9)
	}
}

func TestCurveBeyondItsPoints(t *testing.T) {
	c, err := chartCurve([]ChartPoint{{20_000, 2_000_000}, {40_000, 5_000_000}, {60_000, 7_000_000}}, 0, 100_000)
	if err != nil {
		t.Fatal(err)
	}
	for at, want := range map[float64]float64{0: 0, 10: 1_000_000, 20: 2_000_000, 60: 7_000_000, 80: 9_000_000} {
		agree(t, "height", c.at(at), want, 1e-15)
	}
	one, err := chartCurve([]ChartPoint{{40_000, 5_000_000}}, 0, 100_000)
	if err != nil {
		t.Fatal(err)
	}
	agree(t, "one point alone", one.at(60), 7_500_000, 1e-15)
}

func TestChartsThatAreRefused(t *testing.T) {
	cases := map[string][]ChartPoint{
		"chart dial 20: it must be more than the point before, 20":                                            {{20_000, 1e6}, {20_000, 2e6}},
		"chart dial 10: it must be more than the point before, 20":                                            {{20_000, 1e6}, {10_000, 2e6}},
		"chart rate at dial 40 10 kg/ha: it must be more than the point before, 20 kg/ha":                     {{20_000, 1e6}, {30_000, 2e6}, {40_000, 1e6}},
		"chart rate at dial 40 20 kg/ha: it must be less than the point before, 10 kg/ha, as the chart began": {{20_000, 2e6}, {30_000, 1e6}, {40_000, 2e6}},
		"chart rate at dial 30 0 kg/ha: it must be more than 0":                                               {{20_000, 2e6}, {30_000, 0}, {40_000, 1e6}},
		"chart rate at dial 30 20 kg/ha: it must be more than the point before, 20 kg/ha":                     {{20_000, 2e6}, {30_000, 2e6}},
		"chart rate -10 kg/ha: it must be 0 or more":                                                          {{20_000, -1e6}},
		"chart dial -1: it must be 0 or more":                                                                 {{-1_000, 1e6}},
		"chart rate at dial 20 0 kg/ha: it must be more than 0":                                               {{20_000, 0}},
		"dial of the chart's only point 0: it must be where the meter is not shut":                            {{0, 1e6}},
	}
	for want, points := range cases {
		_, err := chartCurve(points, 0, 100_000)
		var out *RangeError
		if !errors.As(err, &out) || !errors.Is(err, units.ErrRange) || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}

// A meter that is shut at the chart's first point is a chart that rises.
func TestChartMayStartAtNothing(t *testing.T) {
	c, err := chartCurve([]ChartPoint{{0, 0}, {10_000, 1e6}}, 0, 100_000)
	if err != nil {
		t.Fatal(err)
	}
	agree(t, "halfway", c.at(5), 5e5, 1e-15)
}
