package rate_test

import (
	"math"
	"testing"

	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// Charts were found 25 to 50 % off (Mississippi State University Extension,
// P3112), which is taken as a spread of 25 %; a careful catch adds some 3 %. So
// two joint spreads are about half on the natural logarithm: 0.6 to 1.66 times.
func TestCatchesOffTheChartAreTold(t *testing.T) {
	chart := []rate.ChartPoint{{Dial: 20_000, Rate: lbAc(18)}, {Dial: 40_000, Rate: lbAc(41)}, {Dial: 60_000, Rate: lbAc(66)}}
	for _, c := range []struct {
		lb    float64
		off   bool
		words string
	}{
		{41, false, ""}, {30, false, ""}, {26, false, ""}, {56, false, ""}, {65, false, ""},
		{23.5, true, "43 % under"}, {20.7, true, "50 % under"}, {73, true, "78 % over"}, {82.1, true, "2.0 times"}, {4.1, true, "10 % of"},
	} {
		fit, err := rate.FitBox(rate.Box{To: 100_000, Chart: chart}, []rate.Measured{rate.PlainCatch(40_000, lbAc(c.lb))})
		if err != nil {
			t.Fatal(err)
		}
		times, off := fit.OffChart()
		if off != c.off {
			t.Errorf("%v lb/ac where the chart says 41: told %v, want %v", c.lb, off, c.off)
		}
		if off && (math.Abs(times-c.lb/41) > 0.001 || rate.Beside(times) != c.words) {
			t.Errorf("%v lb/ac is %v times the chart, %s; want %s", c.lb, times, rate.Beside(times), c.words)
		}
	}
	fit, err := rate.FitBox(rate.Box{To: 100_000}, []rate.Measured{rate.PlainCatch(40_000, lbAc(23.5))})
	if _, off := fit.OffChart(); err != nil || off {
		t.Errorf("off a chart that is not there: %v", err)
	}
}

func TestNearerIsByRatio(t *testing.T) {
	for _, c := range []struct {
		one, second float64
		nearer      bool
	}{{40, 23, true}, {23, 40, false}, {60, 25, true}, {25, 60, false}, {40, 40, false}} {
		if got := rate.Nearer(lbAc(c.one), lbAc(c.second), lbAc(41)); got != c.nearer {
			t.Errorf("%v is nearer to 41 than %v: %v", c.one, c.second, got)
		}
	}
}

func lbAc(lb float64) units.RatePerArea {
	r, err := units.RateFromLbPerAcre(lb)
	if err != nil {
		panic(err)
	}
	return r
}
