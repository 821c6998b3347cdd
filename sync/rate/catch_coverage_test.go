package rate

import (
	"math"
	"math/rand/v2"
	"testing"

	"turnrow/sync/units"
)

// catchCoverage is how often the 90 % interval of 10,000 simulated catches covers
// the true rate. The drill's rows spread by 10 %, the scale rounds to its
// resolution, the wheel stops up to an eighth of a turn early or late.
func catchCoverage(seed uint64, catch func(rows []float64, turned float64) Catch) float64 {
	source := rand.New(rand.NewPCG(seed, 90))
	covered := 0
	const trials = 10_000
	truth := lbPerAcre(20)
	for range trials {
		rows := make([]float64, 16)
		for i := range rows {
			rows[i] = 1 + 0.1*source.NormFloat64()
		}
		middle := mean(rows)
		run := sixteen().Run
		run.Rows = 1
		each := want(run.Aim(truth)).Grams()
		for i := range rows {
			rows[i] *= each / middle
		}
		turned := 1 + (source.Float64()-0.5)/4/run.Turns.Float()
		r := want(catch(rows, turned).Rate())
		if r.Low <= truth && truth <= r.High {
			covered++
		}
	}
	return float64(covered) / trials
}

func TestCatchIntervalCoversTheTruth(t *testing.T) {
	asOne := func(rows []float64, turned float64) Catch {
		c := sixteen()
		c.Caught = []units.Mass{grams(math.Round((rows[0] + rows[5] + rows[9] + rows[14]) * turned))}
		return c
	}
	apart := func(rows []float64, turned float64) Catch {
		c := sixteen()
		c.Caught, c.Resolution = nil, grams(0.1)
		for _, i := range []int{0, 3, 6, 9, 12, 15} {
			c.RowMasses = append(c.RowMasses, grams(math.Round(10*rows[i]*turned)/10))
		}
		c.Rows = len(c.RowMasses)
		return c
	}
	all := func(rows []float64, turned float64) Catch {
		c := sixteen()
		sum := 0.0
		for _, r := range rows {
			sum += r
		}
		c.Rows, c.Turns = 16, turns(20)
		c.Caught = []units.Mass{grams(math.Round(sum * turned))}
		return c
	}
	// With all rows caught only turns and whole grams are left, which are flat
	// and stepped, not normal: the interval may hold more than 92 %.
	for name, c := range map[string]struct {
		catch     func([]float64, float64) Catch
		low, high float64
	}{"four rows as one": {asOne, 0.88, 0.92}, "six rows apart": {apart, 0.88, 0.92}, "all rows": {all, 0.88, 0.97}} {
		if got := catchCoverage(7, c.catch); got < c.low || got > c.high {
			t.Errorf("%s: the interval covers the truth in %.1f %%, want %v to %v", name, 100*got, c.low, c.high)
		}
	}
}
