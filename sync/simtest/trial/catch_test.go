package trial_test

import (
	"fmt"
	"testing"

	"turnrow/sync/simtest/trial"
)

var (
	times = []int{1, 2, 3, 6}                 // catches
	rows  = []int{1, 4, 8, 16}                // caught, of sixteen
	steps = []float64{0.1, 1, 5}              // grams a step of the scale
	known = []float64{0, 1, 2, 3, 5}          // repeatability in percent, of single drills
	plain = trial.Published(trial.Exactly(1)) // of a crank the field is no part
)

// catchCell is what catches state over drills: as repeats of one entry, and as
// entries of their own under a chart.
func catchCell(p trial.Drills, n, rows int, step float64, key ...int) (one, own trial.Tally) {
	d := trial.NewDraw(*seed, cell(append([]int{1, n, rows, int(step * 10)}, key...)...))
	for range *worlds {
		m := p.Draw(d, someRate(d))
		c := cranks(d, m, rows, step)
		grams := c.Catches(d, m, n)
		oracle := 2 * trial.Reach90 * sqrt(c.Variance(m, n)) * m.Rate
		s := repeats(c, grams)
		one.State(s.low, s.high, m.Rate, oracle)
		one.Err(s.middle, m.Rate)
		off := d.Flat(0.75, 1.25)
		s, _ = fitted(func(x float64) float64 { return off * m.Rate * x / 50 }, []at{{50, c, grams}}, 50)
		own.State(s.low, s.high, m.Rate, oracle)
	}
	return one, own
}

// Stated 90 % of catches, over the published spread: repeats of one entry and
// entries of their own, for each number of rows and each scale.
func TestTablesCatch(t *testing.T) {
	t.Parallel()
	table := trial.Table{Title: "Catch, stated 90 %, over the published spread: covers % × median width over the oracle's",
		Head: []string{"rows", "scale g", "as", "1 catch", "2", "3", "6"}}
	for _, r := range rows {
		for _, step := range steps {
			as := [2][]string{{fmt.Sprint(r), fmt.Sprint(step), "repeats"}, {fmt.Sprint(r), fmt.Sprint(step), "entries"}}
			for _, n := range times {
				one, own := catchCell(plain, n, r, step)
				for i, y := range []*trial.Tally{&one, &own} {
					as[i] = append(as[i], y.String())
					what := fmt.Sprintf("%d catches of %d rows at %v g as %s", n, r, step, as[i][2])
					gate(t, what, stated90, y.Share())
					wideGate(t, what, y)
				}
			}
			table.Add(as[0]...)
			table.Add(as[1]...)
		}
	}
	t.Log("\n" + table.String())
}

// The same for single drills whose repeatability is known; rows differ by 5 %.
// With one catch nothing can serve both the first and the last.
func TestTablesKnownDrills(t *testing.T) {
	t.Parallel()
	table := trial.Table{Title: "Catch, stated 90 %, single drills (16 rows, 1 g): covers % × width over the oracle's",
		Head: []string{"repeats to %", "as", "1 catch", "2", "3", "6"}}
	for _, k := range known {
		p := plain
		p.Repeat, p.RowCV = trial.Exactly(k/100), trial.Exactly(0.05)
		as := [2][]string{{fmt.Sprint(k), "repeats"}, {fmt.Sprint(k), "entries"}}
		for _, n := range times {
			one, own := catchCell(p, n, 16, 1, int(k)+1)
			as[0], as[1] = append(as[0], one.String()), append(as[1], own.String())
		}
		table.Add(as[0]...)
		table.Add(as[1]...)
	}
	t.Log("\n" + table.String())
}
