package trial_test

import (
	"fmt"
	"testing"

	"turnrow/sync/simtest/trial"
)

// slips are what a slip of the finger makes of a catch: a point in the wrong
// place, ounces for grams, a half or twice, and two that look like noise. 1 is
// none.
var slips = []float64{1, 10, 28.35, 2, 1.25, 1.1}

// slipCell is what becomes of n catches of which one slipped.
type slipCell struct {
	asked, aside, wrong int // worlds: asked about, the slip set aside, a good one set aside
	rate                trial.Tally
}

func slipped(n int, times float64) (s slipCell) {
	d := trial.NewDraw(*seed, cell(3, n, int(100*times)))
	for range *worlds {
		m := plain.Draw(d, someRate(d))
		c := cranks(d, m, trial.DrillRows, 1)
		grams := c.Catches(d, m, n)
		bad := -1
		if times != 1 {
			bad = trial.Slip(d, grams, times)
		}
		off := d.Flat(0.75, 1.25)
		r := combined(func(x float64) float64 { return off * m.Rate * x / 50 }, at{50, c, grams})
		s.count(r, bad)
		s.rate.State(r.low, r.high, m.Rate, 2*trial.Reach90*sqrt(c.Variance(m, n))*m.Rate)
		s.rate.Err(r.middle, m.Rate)
	}
	return s
}

func (s *slipCell) count(r robust, bad int) {
	if r.asked {
		s.asked++
	}
	good := false
	for _, i := range r.aside {
		if i == bad {
			s.aside++
		} else {
			good = true
		}
	}
	if good {
		s.wrong++
	}
}

// gates hold questions to their nominal rate where nothing slipped, see that
// no great slip goes unasked, and that none of three or more bends the rest.
func (s *slipCell) gates(t *testing.T, what string, times float64, n int) {
	t.Helper()
	share := func(k int) float64 { return float64(k) / float64(*worlds) }
	switch {
	case times == 1:
		gate(t, what+": asked", trial.Limits{High: 0.02}, share(s.asked))
		gate(t, what+": set aside", trial.Limits{High: 0.02}, share(s.wrong))
	case times >= 10:
		gate(t, what+": asked", trial.Limits{Low: 0.99, High: 1}, share(s.asked))
		fallthrough
	case times == 2 && n >= 3:
		gate(t, what+": a good one set aside", trial.Limits{High: 0.02}, share(s.wrong))
		if n >= 2 && s.rate.Off() > 0.025 {
			t.Errorf("%s: median error %.1f %%, want 2.5 %% at most", what, 100*s.rate.Off())
		}
	}
}

// robust is what catches state once slips among them were asked about and set
// aside.
type robust struct {
	stated
	asked bool
	aside []int
}

// combined is what catches at one dial state together, and what of them is
// asked about as each is written, and set aside afterwards.
func combined(chart func(float64) float64, c at) robust {
	s, fit := fitted(chart, []at{c}, c.dial)
	r := robust{stated: s}
	for _, a := range fit.Aside() {
		r.aside = append(r.aside, a.Catch)
	}
	day := begin(chart(dialSet))
	for _, b := range day.catches(c.crank, c.grams) {
		r.asked = r.asked || day.asks(b) > 0
		day.write(b)
	}
	return r
}

// One catch that slipped, among up to six, under a chart up to a quarter off.
func TestTablesSlips(t *testing.T) {
	t.Parallel()
	table := trial.Table{Title: "One catch of n slipped (16 rows, chart): asked %, set aside % (a good one %), median error %, covers %",
		Head: []string{"slip", "1 catch", "2", "3", "4", "5", "6"}}
	for _, x := range slips {
		row := []string{fmt.Sprintf("× %v", x)}
		for n := 1; n <= 6; n++ {
			s := slipped(n, x)
			p := func(k int) float64 { return 100 * float64(k) / float64(*worlds) }
			s.gates(t, fmt.Sprintf("slip × %v among %d", x, n), x, n)
			row = append(row, fmt.Sprintf("%.0f, %.0f (%.0f), %.1f, %.0f", p(s.asked), p(s.aside), p(s.wrong), 100*s.rate.Off(), 100*s.rate.Share()))
		}
		table.Add(row...)
	}
	t.Log("\n" + table.String())
}
