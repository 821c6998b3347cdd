package trial_test

import (
	"fmt"
	"math"
	"testing"

	"turnrow/sync/rate"
	"turnrow/sync/simtest/trial"
	"turnrow/sync/units"
)

func sqrt(x float64) float64 { return math.Sqrt(x) }

// standCell is what frames of 1 m² state of plants about a mean, that fall by
// chance alone (k 0) or in clumps.
func standCell(n int, mean, k float64) (y trial.Tally, asked float64) {
	d := trial.NewDraw(*seed, cell(7, n, int(10*mean), int(k)))
	clumping := 0.0
	if k > 0 {
		clumping = 1 / k
	}
	oracle := 2 * trial.Reach95 * sqrt((mean+clumping*mean*mean)/float64(n))
	var frames []float64
	for range *worlds {
		counts := make([]int64, n)
		for i := range counts {
			if k > 0 {
				counts[i] = d.Clumped(mean, k)
			} else {
				counts[i] = d.Poisson(mean)
			}
		}
		s := must(rate.StandOf(must(units.AreaFromSquareMetres(1)), counts))
		y.State(s.Low.PerSquareMetre(), s.High.PerSquareMetre(), mean, oracle)
		frames = append(frames, float64(s.FramesNeeded))
	}
	return y, middle(frames)
}

// standLimits are what 95 % may cover, by how plants fall: by chance limits are
// exact and cover no less; in clumps they are as good as few frames can show.
var standLimits = map[float64]trial.Limits{0: {Low: 0.95, High: 1}, 2: {Low: 0.91, High: 1}, 1: {Low: 0.86, High: 1}}

// Stated 95 % of a stand, by chance alone and in clumps, and how many frames
// it asks for to be within 20 %.
func TestTablesStand(t *testing.T) {
	t.Parallel()
	table := trial.Table{Title: "Stand, stated 95 %: covers % × width over the oracle's; frames asked for ±20 % (needed)",
		Head: []string{"plants a frame", "fall", "1 frame", "2", "3", "5", "10", "20"}}
	for _, mean := range []float64{0.5, 2, 5, 20} {
		for _, k := range []float64{0, 2, 1} {
			fall := map[float64]string{0: "by chance", 2: "in clumps, k 2", 1: "in clumps, k 1"}[k]
			row := []string{fmt.Sprint(mean), fall}
			for _, n := range []int{1, 2, 3, 5, 10, 20} {
				y, asked := standCell(n, mean, k)
				row = append(row, fmt.Sprintf("%v; %.0f", &y, asked))
				if n > 1 { // one frame can not show clumps
					gate(t, fmt.Sprintf("%d frames of %v plants %s", n, mean, fall), standLimits[k], y.Share())
				}
			}
			need := math.Pow(trial.Reach95/0.2, 2) * (1/mean + func() float64 {
				if k > 0 {
					return 1 / k
				}
				return 0
			}())
			row[0] += fmt.Sprintf(" (%.0f)", need)
			table.Add(row...)
		}
	}
	t.Log("\n" + table.String())
}
