package rate

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"turnrow/sync/units"
)

const squareFoot units.Area = 929 // cm², for frames; 1 ft² is 929.0304

// By hand: counts 10, 14, 11 and 13 have mean 12 and s² 10/3, less than by
// chance, so clumping = (3 × (10/3 − 12) ÷ 144 + 2 × 0.3) ÷ 5 = 0.08389. With t
// for five degrees of freedom 2.5706 (NIST TN 1297, table B.1, 2.57), 1 ÷ T* =
// 1/48 + 0.08389/4 × (2.5706 ÷ 1.96)², and 96.04 × (1/12 + 0.08389) = 16.06, so
// 17 frames for ±20 %. Referee of the limits: gonum's gamma quantiles.
func TestStandOfFrames(t *testing.T) {
	s, err := StandOf(10_000, []int64{10, 14, 11, 13})
	if err != nil {
		t.Fatal(err)
	}
	clumping := (3*(10.0/3-12)/144 + 0.6) / 5
	wider := 2.570581836 / 1.959963985
	plants := 1 / (1.0/48 + clumping/4*wider*wider)
	agree(t, "mean", float64(s.Mean), 12_000, 1e-12)
	agree(t, "clumping", s.Clumping, clumping, 1e-12)
	agree(t, "low", float64(s.Low), 12_000/plants*distuv.Gamma{Alpha: plants, Beta: 1}.Quantile(0.025), 1e-4)
	agree(t, "high", float64(s.High), 12_000/plants*distuv.Gamma{Alpha: plants + 1, Beta: 1}.Quantile(0.975), 1e-4)
	if s.FramesNeeded != 17 || s.Frames != 4 {
		t.Errorf("got %+v, want 17 frames", s)
	}
}

// The exact limits for a count of 1 are 0.0253 and 5.57 (Garwood, Biometrika
// 28, 1936, whose table every handbook of rates repeats). Referee for the
// others: gonum's chi-square quantiles.
func TestLimitsOfScatteredPlants(t *testing.T) {
	one, err := StandOf(units.Area(1), []int64{1}) // to the cm², so that digits show
	if err != nil {
		t.Fatal(err)
	}
	agree(t, "lower limit for 1", float64(one.Low)/1e7, 0.0253, 0.001)
	agree(t, "upper limit for 1", float64(one.High)/1e7, 5.572, 0.0001)
	for _, total := range []int64{0, 1, 3, 7, 20, 100, 3000, 20_000} {
		s, err := StandOf(10_000, []int64{total})
		if err != nil {
			t.Fatal(err)
		}
		high := distuv.ChiSquared{K: float64(2*total + 2)}.Quantile(0.975) / 2
		if math.Abs(float64(s.High)/1000-high) > 0.001 {
			t.Errorf("high for %d: got %v, exact %g", total, s.High, high)
		}
		low := 0.0
		if total > 0 {
			low = distuv.ChiSquared{K: float64(2 * total)}.Quantile(0.025) / 2
		}
		if math.Abs(float64(s.Low)/1000-low) > 0.001 {
			t.Errorf("low for %d: got %v, exact %g", total, s.Low, low)
		}
	}
	alike, err := StandOf(10_000, []int64{5, 5, 5})
	if err != nil || alike.Low >= 5000 || alike.High <= 5000 {
		t.Errorf("frames that are all alike must not make a stand certain: %+v, %v", alike, err)
	}
}

// 15 counts in 400: the exact lower rate, to every digit that the source has.
func TestPublishedLimitsOfACount(t *testing.T) {
	for _, p := range readRows(t, "stand.csv") {
		t.Log(p.id, p.title, p.publisher)
		agree(t, p.id, gammaLimit(0.025, 15)/400, want(strconv.ParseFloat(p.result, 64)), 1e-13)
	}
}

// Referee: gonum's regularised incomplete gamma function, at whole and broken
// shapes on both sides of the middle, and across the change to the cube root.
func TestGammaLimit(t *testing.T) {
	for _, shape := range []float64{0.5, 1, 1.5, 2.75, 10, 48.3, 999.5, 9_999, 10_001, 2e6} {
		for _, p := range []float64{0.025, 0.5, 0.975} {
			x := gammaLimit(p, shape)
			if got := mathext.GammaIncReg(shape, x); math.Abs(got-p) > 2e-6 || shape <= manyPlants && math.Abs(got-p) > 1e-9 {
				t.Errorf("shape %g, p %g: %g has %g below it", shape, p, x, got)
			}
		}
	}
}

// The 95 % interval covers the true stand of simulated frames about that often,
// scattered by chance and clumped (a gamma mean for each frame). The shares for
// few frames lie above for scattered plants: clumping is taken until the frames
// have shown that there is none.
func TestStandIntervalCovers(t *testing.T) {
	source := rand.New(rand.NewPCG(50, 51))
	for _, c := range []struct {
		mean, clumping float64
		frames         int
		least, most    float64
	}{
		{14, 0, 6, 0.97, 1}, {2, 0, 3, 0.96, 1}, {2, 0, 20, 0.95, 1},
		{14, 0.5, 3, 0.91, 0.98}, {6, 0.5, 6, 0.91, 0.97}, {14, 0.5, 20, 0.91, 0.97},
		{14, 1, 3, 0.86, 0.96}, {14, 1, 20, 0.86, 0.96},
	} {
		covered := 0
		for range 600 {
			s, err := StandOf(10_000, frames(source, c.mean, c.clumping, c.frames))
			if err != nil {
				t.Fatal(err)
			}
			if float64(s.Low) <= 1000*c.mean && 1000*c.mean <= float64(s.High) {
				covered++
			}
		}
		if share := float64(covered) / 600; share < c.least || share > c.most {
			t.Errorf("%+v: covered %.3f", c, share)
		}
	}
}

// frames draws counts with so many plants to the frame on average.
func frames(source *rand.Rand, mean, clumping float64, n int) []int64 {
	counts := make([]int64, n)
	for i := range counts {
		here := mean
		if clumping > 0 {
			here = distuv.Gamma{Alpha: 1 / clumping, Beta: 1 / (clumping * mean), Src: source}.Rand()
		}
		if here > 0 {
			counts[i] = int64(distuv.Poisson{Lambda: here, Src: source}.Rand())
		}
	}
	return counts
}

// Two frames as a pilot know little of the spread: what they ask for stays
// within reach of the true need, 63 frames at a mean of 6.4 with clumping 0.5.
func TestPilotDoesNotAskForHundreds(t *testing.T) {
	source := rand.New(rand.NewPCG(52, 53))
	var asked []int
	for range 1000 {
		s, err := StandOf(10_000, frames(source, 6.4, 0.5, 2))
		if err != nil {
			t.Fatal(err)
		}
		asked = append(asked, s.FramesNeeded)
	}
	slices.Sort(asked)
	if median := asked[500]; median < 25 || median > 63 {
		t.Errorf("two frames ask for %d on the median, the true need is 63", median)
	}
	for _, counts := range [][]int64{{14, 9, 17}, {18, 22}, {4, 9}, {9}} {
		s, err := StandOf(10_000, counts)
		if err != nil || s.FramesNeeded < 5 || s.FramesNeeded > 60 {
			t.Errorf("%v: %d frames, %v", counts, s.FramesNeeded, err)
		}
	}
}

// More of the same: the mean stays, the interval never widens.
func TestMoreFramesNarrowTheInterval(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		counts := rapid.SliceOfN(rapid.Int64Range(0, 60), 2, 8).Draw(r, "counts")
		one, err := StandOf(10_000, counts)
		twice, err2 := StandOf(10_000, append(slices.Clone(counts), counts...))
		if err != nil || err2 != nil {
			r.Fatal(err, err2)
		}
		if !(one.Low <= one.Mean && one.Mean <= one.High) || twice.High-twice.Low > one.High-one.Low+1 {
			r.Errorf("%+v, and with each frame twice %+v", one, twice)
		}
	})
}

// No plant in n frames: nothing below, 3.689/n above (−ln 0.025, exactly).
func TestStandNeverBelowNothing(t *testing.T) {
	for n := 1; n <= 3; n++ {
		s, err := StandOf(10_000, make([]int64, n))
		if err != nil || s.Low != 0 || s.Mean != 0 || s.FramesNeeded != 0 {
			t.Errorf("got %+v, %v", s, err)
		}
		agree(t, "upper limit for none", float64(s.High)*float64(n), 3688.879, 0.001)
	}
	if s, err := StandOf(10_000, []int64{0, 9}); err != nil || s.Low < 0 || s.High < 9000 {
		t.Errorf("got %+v, %v", s, err)
	}
}

func TestFramesThatAreRefused(t *testing.T) {
	cases := map[string]func() error{
		"frame area 0 m2: it must be more than 0":                 func() error { _, err := StandOf(0, []int64{1}); return err },
		"number of frames 0: it must be 1 or more":                func() error { _, err := StandOf(1, nil); return err },
		"count of frame 2 -1: it must be 0 or more":               func() error { _, err := StandOf(1, []int64{1, -1}); return err },
		"length of row 0 mm: it must be more than 0":              func() error { _, err := FrameOfRow(0, 1); return err },
		"row spacing -0.001 mm: it must be more than 0":           func() error { _, err := FrameOfRow(1, -1); return err },
		"number of grid cells 0: it must be from 1 to 2147483647": func() error { _, err := FrequencyGrid(0, 0); return err },
		"occupied grid cells 5: it must be from 0 to 4":           func() error { _, err := FrequencyGrid(5, 4); return err },
	}
	for want, call := range cases {
		if err := call(); !errors.Is(err, units.ErrRange) || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
	if _, err := StandOf(1, []int64{math.MaxInt64}); !errors.Is(err, units.ErrRange) {
		t.Errorf("more plants than any ground holds: %v", err)
	}
}

// Alfalfa: 15 plants/ft² the least (Hall, Penn State Extension, in Hay & Forage
// Grower). Wheat: 30 to 35 (University of Kentucky).
func TestVerdictOnAStand(t *testing.T) {
	alfalfa, err := FindSpecies("alfalfa")
	if err != nil {
		t.Fatal(err)
	}
	least, ok := ThresholdFor(alfalfa)
	if !ok || least.Source.Publisher == "" || least.Source.Title == "" {
		t.Fatalf("no threshold with a source for alfalfa: %+v", least)
	}
	agree(t, "threshold", least.Least.PerSquareFoot(), 15, 1e-5)
	for _, c := range []struct {
		counts []int64
		want   Verdict
	}{
		{[]int64{24, 26, 25, 23, 27}, StandEnough},
		{[]int64{14, 17, 15, 16, 12}, StandUnsure},
		{[]int64{4, 6, 5, 7, 3}, StandThin},
	} {
		s, err := StandOf(squareFoot, c.counts)
		if err != nil {
			t.Fatal(err)
		}
		if got := s.Against(least); got != c.want {
			t.Errorf("%v: %s, want %s", c.counts, got, c.want)
		}
	}
	wheat, err := FindSpecies("wheat")
	if err != nil {
		t.Fatal(err)
	}
	if w, ok := ThresholdFor(wheat); !ok || math.Abs(w.Least.PerSquareFoot()-30) > 1e-4 {
		t.Errorf("wheat: %+v", w)
	}
	fescue, err := FindSpecies("tall fescue")
	if err != nil {
		t.Fatal(err)
	}
	if w, ok := ThresholdFor(fescue); ok {
		t.Errorf("no threshold for tall fescue was published, got %+v", w)
	}
}

// 50 of 100 cells: 20 plants/m² × 0.4 (Vogel and Masters 2001), 22.2 by the
// cells' area (Michigan State protocol 175).
func TestFrequencyGrid(t *testing.T) {
	for _, cells := range [][2]int64{{50, 100}, {25, 50}} {
		g, err := FrequencyGrid(cells[0], cells[1])
		if err != nil {
			t.Fatal(err)
		}
		if g.Occupied != 50_000 || g.Conservative != 20_000 || g.PerCell != 22_222 {
			t.Errorf("%v: got %+v", cells, g)
		}
	}
}

// By hand: 4 g, 5 g, 6 g and 1 g; mean 4 g, the last row below half of it.
func TestEvennessAcrossRows(t *testing.T) {
	e, err := EvennessOf([]units.Mass{4000, 5000, 6000, 1000})
	if err != nil {
		t.Fatal(err)
	}
	agree(t, "CV", e.CV, math.Sqrt(14.0/3)/4, 1e-12)
	if e.Mean != 4000 || len(e.Blocked) != 1 || e.Blocked[0] != 4 || e.Departures[1] != 0.25 {
		t.Errorf("got %+v", e)
	}
	for _, rows := range [][]units.Mass{nil, {1}, {1, -1}, {0, 0}} {
		if _, err := EvennessOf(rows); !errors.Is(err, units.ErrRange) {
			t.Errorf("%v: %v", rows, err)
		}
	}
}
