package trial_test

import (
	"fmt"
	"testing"

	"turnrow/sync/simtest/trial"
)

// driftCell is two runs of one drill that gives so many times as much in the
// second, what is left weighed or seen by eye after each.
func driftCell(worn float64, byEye bool) (likely, sure trial.Tally) {
	d := trial.NewDraw(*seed, cell(5, int(100*worn)))
	for range *worlds {
		m := trial.Published(trial.FieldDrawn).Draw(d, someRate(d))
		c := cranks(d, m, trial.DrillRows, 1)
		w := &whole{d: d, day: begin(m.Rate * d.Flat(0.75, 1.25)), f: trial.NewField(d, m)}
		w.day.caught(c, c.Catches(d, m, 2))
		w.day.reading(0)
		w.run(byEye)
		w.f.Worn = worn
		w.run(byEye)
		o := w.day.look()
		likely.Ring(o.moved.likely)
		sure.Ring(o.moved.sure)
	}
	return likely, sure
}

// run fills the box up, works about half of it off, and sees what is left.
func (w *whole) run(byEye bool) {
	told := 50 * trial.Pound * float64(w.d.Whole(6, 8))
	w.day.filled(told)
	w.f.Pour(w.d, told)
	w.work(0.4, 0.7)
	if byEye {
		w.day.looked(w.f.Look(w.d, boxFull))
	} else {
		w.day.weighed(w.f.Weigh(w.d))
	}
}

// Run against run: false alarms where nothing changed, and how often a change
// is seen.
func TestTablesDrift(t *testing.T) {
	t.Parallel()
	table := trial.Table{Title: "Run against run: likely (10 %), sure (1 %), in % of worlds",
		Head: []string{"what is left is", "no change", "5 % more", "10 %", "15 %"}}
	for _, byEye := range []bool{false, true} {
		row := []string{map[bool]string{false: "weighed", true: "seen by eye"}[byEye]}
		for _, worn := range []float64{1, 1.05, 1.10, 1.15} {
			likely, sure := driftCell(worn, byEye)
			row = append(row, fmt.Sprintf("%.0f, %.0f", 100*likely.Rate(), 100*sure.Rate()))
			if worn == 1 {
				gate(t, row[0]+", likely", trial.Limits{High: 0.20}, likely.Rate())
				gate(t, row[0]+", sure", trial.Limits{High: 0.02}, sure.Rate())
			}
		}
		table.Add(row...)
	}
	t.Log("\n" + table.String())
}
