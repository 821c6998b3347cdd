package rate

import (
	"math"
	"math/rand/v2"
	"testing"

	"turnrow/sync/units"
)

// calibrations is how many simulated calibrations each kind of crew makes.
const calibrations = 10_000

// crew is one way to calibrate a box whose truth is known.
type crew struct {
	name       string
	chart      []ChartPoint // as printed under the lid
	truth      func(dial float64, chart curve, scale float64) float64
	catches    []float64 // dials at which seed is caught
	std        float64   // true standard deviation of a catch, as a fraction
	repeats    int       // 0: std is known; otherwise it is estimated from so many repeats
	rough      float64   // the last catch's std is so many times as great, where not 0
	firstKnown bool      // the first catch's std is known although others' are estimated
	at         units.Dial
	basis      Basis // "" where it varies
}

var printed = []ChartPoint{{20_000, 2_017_000}, {40_000, 4_595_000}, {60_000, 7_397_000}}

// asPrinted is a box that gives the chart's shape at a scale of its own, drawn
// anew for each box: the chart is loose to ChartDoubt.
func asPrinted(dial float64, chart curve, scale float64) float64 { return scale * chart.at(dial) }

// straightAway is a box whose rate rises much flatter than its chart says.
func straightAway(dial float64, _ curve, _ float64) float64 { return 3_000_000 + 20_000*dial }

var crews = []crew{
	{name: "chart alone", chart: printed, truth: asPrinted, at: 45_000, basis: FromChart},
	{name: "one catch", chart: printed, truth: asPrinted, catches: []float64{40}, std: 0.05, at: 40_000, basis: FromChartScaled},
	{name: "one loose catch", chart: printed, truth: asPrinted, catches: []float64{40}, std: 0.15, at: 45_000, basis: FromChartScaled},
	{name: "four catches at three dials", chart: printed, truth: asPrinted, catches: []float64{30, 40, 40, 50}, std: 0.04, at: 45_000},
	{name: "three catches, each from four repeats", chart: printed, truth: asPrinted, catches: []float64{40, 40, 45}, std: 0.04, repeats: 4, at: 45_000},
	{name: "three catches of three repeats, one of them twice as rough", chart: printed, truth: asPrinted, catches: []float64{40, 40, 45}, std: 0.03, repeats: 3, rough: 2, at: 45_000},
	{name: "one catch known, one of four repeats", chart: printed, truth: asPrinted, catches: []float64{40, 40}, std: 0.04, repeats: 4, firstKnown: true, at: 45_000},
	{name: "one catch of three repeats", chart: printed, truth: asPrinted, catches: []float64{40}, std: 0.04, repeats: 3, at: 45_000, basis: FromChartScaled},
	{name: "no chart, two catches", truth: func(d float64, _ curve, _ float64) float64 { return 90_000 * d },
		catches: []float64{30, 45}, std: 0.04, at: 40_000},
	{name: "no chart, two catches of five repeats", truth: func(d float64, _ curve, _ float64) float64 { return 90_000 * d },
		catches: []float64{40, 40}, std: 0.04, repeats: 5, at: 40_000},
	{name: "chart contradicted", chart: printed, truth: straightAway, catches: []float64{20, 40, 60}, std: 0.04, at: 45_000, basis: FromLine},
	{name: "chart contradicted, two catches", chart: printed, truth: straightAway, catches: []float64{20, 60}, std: 0.04, at: 30_000, basis: FromLine},
}

// The 90 % interval covers the true rate in 88 to 92 % of simulated
// calibrations, and the interval of dials the true dial, for boxes of known
// truth with noise as assumed and a fixed seed. No outside figure is needed:
// coverage is what the interval claims.
func TestCalibrationsCoverTheTruth(t *testing.T) {
	for _, c := range crews {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			source := rand.New(rand.NewPCG(7, uint64(len(c.name))))
			rates, dials := 0, 0
			for range calibrations {
				rate, dial := c.calibrate(t, source)
				rates += rate
				dials += dial
			}
			for what, n := range map[string]int{"rate": rates, "dial": dials} {
				if share := float64(n) / calibrations; share < 0.88 || share > 0.92 {
					t.Errorf("%s covered in %.2f %%, want 88 to 92 %%", what, 100*share)
				}
			}
		})
	}
}

// calibrate draws a box, catches seed from it, and says whether the intervals
// cover the truth (1) or not (0).
func (c crew) calibrate(t *testing.T, source *rand.Rand) (rate, dial int) {
	chart, err := chartCurve(c.chart)
	if err != nil {
		t.Fatal(err)
	}
	scale := 1 + ChartDoubt*source.NormFloat64()
	for scale < 0.2 { // a box that gives nothing is no box
		scale = 1 + ChartDoubt*source.NormFloat64()
	}
	var measured []Measured
	for i, d := range c.catches {
		one := c
		if i == len(c.catches)-1 && c.rough > 0 {
			one.std *= c.rough
		}
		if i == 0 && c.firstKnown {
			one.repeats = 0
		}
		measured = append(measured, one.catch(d, c.truth(d, chart, scale), source))
	}
	f, err := FitBox(Box{From: 0, To: 100_000, Chart: c.chart}, measured)
	if err != nil {
		t.Fatal(err)
	}
	got, err := f.RateAt(c.at)
	if err != nil {
		t.Fatal(err)
	}
	truth := c.truth(c.at.Float(), chart, scale)
	if float64(got.Low) <= truth && truth <= float64(got.High) {
		rate = 1
	}
	choice, err := f.DialFor(units.RatePerArea(math.Round(truth)))
	if err != nil {
		t.Fatal(err)
	}
	if choice.Low <= c.at && c.at <= choice.High {
		dial = 1
	}
	return rate, dial
}

// catch draws what a crew weighs, and what it believes of it.
func (c crew) catch(dial, truth float64, source *rand.Rand) Measured {
	noise := func() float64 { return truth * (1 + c.std*source.NormFloat64()) }
	m := Measured{Dial: units.Dial(math.Round(dial * 1000)), Relative: c.std, Freedom: Known}
	if c.repeats == 0 {
		m.Rate = units.RatePerArea(math.Round(noise()))
		return m
	}
	repeats := make([]float64, c.repeats)
	for i := range repeats {
		repeats[i] = truth * (1 + c.std*math.Sqrt(float64(c.repeats))*source.NormFloat64())
	}
	e := meanEstimate(repeats)
	m.Rate, m.Relative, m.Freedom = units.RatePerArea(math.Round(e.Value)), e.Relative(), e.Freedom
	return m
}
