package rate

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"turnrow/sync/units"
)

const squareFoot units.Area = 929 // cm², for frames; 1 ft² is 929.0304

// By hand: mean 12, s 2, n 4 in frames of 1 m²; t for three degrees of freedom
// 3.182 (NIST TN 1297, table B.1, 3.18): 12 ± 3.18, and (3.18 × 2 ÷ 2.4)² = 7.03,
// so 8 frames for ±20 %.
func TestStandOfFrames(t *testing.T) {
	s, err := StandOf(10_000, []int64{10, 14, 11, 13})
	if err != nil {
		t.Fatal(err)
	}
	half := 3.182446305 * sd([]float64{10, 14, 11, 13}) / 2
	agree(t, "mean", float64(s.Mean), 12_000, 1e-12)
	agree(t, "low", float64(s.Low), 12_000-1000*half, 1e-4)
	agree(t, "high", float64(s.High), 12_000+1000*half, 1e-4)
	root := 3.182446305 * sd([]float64{10, 14, 11, 13}) / 2.4
	if s.FramesNeeded != int(math.Ceil(root*root)) || s.Scattered || s.Frames != 4 {
		t.Errorf("got %+v, want %g frames", s, math.Ceil(root*root))
	}
}

// Referee: the exact Poisson limits from gonum's chi-square quantiles.
func TestLimitsOfScatteredPlants(t *testing.T) {
	for _, total := range []int64{0, 1, 3, 7, 20, 100} {
		s, err := StandOf(10_000, []int64{total})
		if err != nil {
			t.Fatal(err)
		}
		if !s.Scattered || s.FramesNeeded != 0 {
			t.Errorf("one frame: %+v", s)
		}
		high := distuv.ChiSquared{K: float64(2*total + 2)}.Quantile(0.975) / 2
		agree(t, "high", float64(s.High)/1000, high, 0.015)
		if total > 0 {
			low := distuv.ChiSquared{K: float64(2 * total)}.Quantile(0.025) / 2
			if math.Abs(float64(s.Low)/1000-low) > 0.02 {
				t.Errorf("low for %d: got %v, exact %g", total, s.Low, low)
			}
		}
	}
	alike, err := StandOf(10_000, []int64{5, 5, 5})
	if err != nil || alike.Low >= 5000 || alike.High <= 5000 {
		t.Errorf("frames that are all alike must not make a stand certain: %+v, %v", alike, err)
	}
}

// The 95 % interval covers the true stand of simulated frames about that often.
func TestStandIntervalCovers(t *testing.T) {
	source := rand.New(rand.NewPCG(50, 51))
	plants := distuv.Poisson{Lambda: 14, Src: source}
	covered := 0
	for range 10_000 {
		counts := make([]int64, 6)
		for i := range counts {
			counts[i] = int64(plants.Rand())
		}
		s, err := StandOf(10_000, counts)
		if err != nil {
			t.Fatal(err)
		}
		if s.Low <= 14_000 && 14_000 <= s.High {
			covered++
		}
	}
	if share := float64(covered) / 10_000; share < 0.93 || share > 0.97 {
		t.Errorf("covered %.3f, want 0.95", share)
	}
}

func TestStandNeverBelowNothing(t *testing.T) {
	s, err := StandOf(10_000, []int64{0, 9})
	if err != nil || s.Low != 0 {
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
