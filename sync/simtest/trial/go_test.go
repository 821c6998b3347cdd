package trial_test

import (
	"fmt"
	"testing"

	"turnrow/sync/rate"
	"turnrow/sync/simtest/trial"
	"turnrow/sync/units"
)

// goWithin is how near its aim a rate is to be (University of Massachusetts
// Extension: 5 %).
const goWithin = 0.05

// decisions is what a crew is told catch after catch, for an aim that the drill
// meets or nearly meets.
type decisions struct{ went, wrong, withdrawn, worlds int }

func decide(n int) (y decisions) {
	d := trial.NewDraw(*seed, cell(6, n))
	for range *worlds {
		m := plain.Draw(d, someRate(d))
		aim := must(units.RateFromGramsPerSquareMetre(m.Rate * d.Normal(1, 0.03)))
		c := cranks(d, m, trial.DrillRows, 1)
		grams := c.Catches(d, m, n+1)
		y.worlds++
		if !goes(c, grams[:n], aim) {
			continue
		}
		y.went++
		if off := m.Rate/aim.GramsPerSquareMetre() - 1; off > goWithin || off < -goWithin {
			y.wrong++
		}
		if !goes(c, grams, aim) {
			y.withdrawn++
		}
	}
	return y
}

func goes(c trial.Crank, grams []float64, aim units.RatePerArea) bool {
	return must(must(catchOf(c, grams).Rate()).Decide(aim)) == rate.Go
}

// How often catches give go, how often the rate is then further off its aim
// than 5 %, and how often one more catch takes the go back. The aim lies within
// about 3 % of the rate.
func TestTablesGo(t *testing.T) {
	t.Parallel()
	table := trial.Table{Title: "Go, over the published spread (16 rows): % of worlds; of these off by over 5 %; withdrawn by one more catch %",
		Head: []string{"catches", "go", "off", "withdrawn"}}
	for _, n := range []int{1, 2, 3, 4, 5} {
		y := decide(n)
		of := func(a, b int) string { return fmt.Sprintf("%.1f", 100*float64(a)/float64(max(1, b))) }
		table.Add(fmt.Sprint(n), of(y.went, y.worlds), of(y.wrong, y.went), of(y.withdrawn, y.went))
	}
	t.Log("\n" + table.String())
}
