package trial_test

import (
	"flag"
	"math"
	"slices"
	"testing"

	"turnrow/sync/rate"
	"turnrow/sync/simtest/trial"
	"turnrow/sync/units"
)

var worlds = flag.Int("worlds", 100, "worlds to draw for each cell of the tables")

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

const marks = 100 // on every dial

// catchOf is what a crew's catches are to the engine.
func catchOf(c trial.Crank, grams []float64) rate.Catch {
	k := rate.Catch{Resolution: must(units.MassFromGrams(c.Step))}
	k.Run = rate.Run{Roll: must(units.LengthFromMetres(trial.RollTold)), Turns: units.Turns(c.Turns * 1000), Rows: c.Rows,
		Spacing: must(units.LengthFromMetres(trial.RowSpacing)), Drill: trial.DrillRows}
	for _, g := range grams {
		k.Caught = append(k.Caught, must(units.MassFromGrams(g)))
	}
	return k
}

// stated is an interval of a rate in g/m², and its middle.
type stated struct{ low, middle, high float64 }

func statedOf(r rate.RateEstimate) stated {
	return stated{r.Low.GramsPerSquareMetre(), r.Rate.GramsPerSquareMetre(), r.High.GramsPerSquareMetre()}
}

// repeats is what catches of one entry state: the 90 % interval.
func repeats(c trial.Crank, grams []float64) stated {
	r := must(catchOf(c, grams).Rate())
	return stated{r.Low.GramsPerSquareMetre(), r.Rate.GramsPerSquareMetre(), r.High.GramsPerSquareMetre()}
}

// at is catches that were made at a dial.
type at struct {
	dial  float64
	crank trial.Crank
	grams []float64
}

// fitted is what a box states at a dial, by a chart (g/m² at each tenth mark,
// nil for none) and catches, each an entry of its own.
func fitted(chart func(dial float64) float64, catches []at, dial float64) (stated, rate.Fit) {
	box := rate.Box{From: 0, To: marks * 1000}
	for d := 10.0; chart != nil && d <= marks; d += 10 {
		box.Chart = append(box.Chart, rate.ChartPoint{Dial: units.Dial(d * 1000), Rate: must(units.RateFromGramsPerSquareMetre(chart(d)))})
	}
	var ms []rate.Measured
	for _, c := range catches {
		for _, g := range c.grams {
			ms = append(ms, must(catchOf(c.crank, []float64{g}).Rate()).Measured(units.Dial(c.dial*1000)))
		}
	}
	fit := must(rate.FitBox(box, ms))
	return statedOf(must(fit.RateAt(units.Dial(dial * 1000)))), fit
}

// cranks draws how a crew cranks so many rows of a drill.
func cranks(d trial.Draw, m trial.Drill, rows int, step float64) trial.Crank {
	return trial.Crank{Turns: d.Whole(10, 40), Rows: rows, Step: step}.Enough(m)
}

// poundsPerAcre is a rate in g/m².
func poundsPerAcre(x float64) float64 { return x * trial.Pound / trial.Acre }

// someRate draws a rate that people sow at, in g/m².
func someRate(d trial.Draw) float64 { return poundsPerAcre(15 * math.Pow(4, d.Flat(0, 1))) }

// gate fails where a share lies outside its limits, as far as the worlds can
// tell.
func gate(t *testing.T, what string, l trial.Limits, share float64) {
	t.Helper()
	if w := l.Of(*worlds); !w.Hold(share) {
		t.Errorf("%s: %.1f %%, want %.1f to %.1f %% (%d worlds)", what, 100*share, 100*w.Low, 100*w.High, *worlds)
	}
}

// What must hold over the published spread of drills.
var (
	stated90 = trial.Limits{Low: 0.86, High: 0.96}
	stated80 = trial.Limits{Low: 0.74, High: 0.85}
)

// widest is how much wider than an oracle's an interval may be, in the median.
const widest = 1.35

func wideGate(t *testing.T, what string, y *trial.Tally) {
	t.Helper()
	most := widest * (1 + max(0, 3/math.Sqrt(float64(*worlds))-3/math.Sqrt(2000))) // few worlds can tell less
	if over := y.Over(); over > most {
		t.Errorf("%s: %.2f times as wide as the oracle's, want %.2f at most (%d worlds)", what, over, most, *worlds)
	}
}

// middle is the median.
func middle(xs []float64) float64 {
	s := slices.Sorted(slices.Values(xs))
	return s[len(s)/2]
}
