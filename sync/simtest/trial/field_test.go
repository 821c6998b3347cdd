package trial_test

import (
	"fmt"
	"math"
	"testing"

	"turnrow/sync/simtest/trial"
)

// fieldTally is what is counted of days in the field.
type fieldTally struct {
	dry, left           trial.Tally // before any run was weighed: 80 %, 90 %
	dryAfter, leftAfter trial.Tally // after one
	balance             trial.Tally // the first weighed level against the books, 1 %
	balanceAfter        trial.Tally // the second
	byEye               trial.Tally // a level by eye, 1 %
	ground              trial.Tally // the rate to the true acre after a run, 90 %
	likely, sure        trial.Tally // the first run against the catches, 10 % and 1 %
}

// whole is a crew's whole day with one box.
type whole struct {
	t      *fieldTally
	d      trial.Draw
	day    *day
	f      *trial.Field
	oracle trial.Oracle
	poured float64
	last   float64 // reading written last
}

// fieldDay lives one day: the crew catches, fills, works, looks, weighs what is
// left, works on, and weighs again.
func (y *fieldTally) fieldDay(d trial.Draw, p trial.Drills, n, rows int) {
	m := p.Draw(d, someRate(d))
	c := cranks(d, m, rows, steps[d.Whole(0, len(steps)-1)])
	w := &whole{t: y, d: d, day: begin(m.Rate * d.Flat(0.75, 1.25)), f: trial.NewField(d, m)}
	w.oracle = trial.Oracle{Crank: c.Variance(m, n), Stretch: m.Stretch, Scale: m.Scale}
	w.day.caught(c, c.Catches(d, m, n))
	w.day.reading(0)
	w.poured = 50 * trial.Pound * float64(d.Whole(8, 14))
	w.day.filled(w.poured)
	w.f.Pour(d, w.poured)
	first := w.work(0.25, 0.55)
	w.before(first)
	left := w.weigh(&y.balance)
	r := trial.Run{Poured: w.poured, Left: left, Gone: w.poured - left}
	w.drift(r)
	w.after(r, w.work(0.25, 0.55))
	w.weigh(&y.balanceAfter)
}

// work a share of what the seed is good for, and read the counter.
func (w *whole) work(low, high float64) (acres float64) {
	acres = trial.ToTenth(w.f.Dry() * w.d.Flat(low, high))
	w.f.Work(w.d, acres)
	w.last = w.f.Reading()
	w.day.reading(w.last)
	return acres
}

// before any run is weighed: how far the seed goes, and what is left.
func (w *whole) before(acres float64) {
	o := w.day.look()
	sd := w.oracle.Before()
	whole := w.poured / w.f.PerAcre()
	stateDry(&w.t.dry, o, w.f.Dry(), 2*trial.Reach80*sd*whole)
	w.t.left.State(o.leftLow, o.leftHigh, w.f.Seed, 2*trial.Reach90*sd*acres*w.f.PerAcre())
}

// after a run was weighed, and more has gone.
func (w *whole) after(r trial.Run, acres float64) {
	o := w.day.look()
	dry, left := w.oracle.After(r, acres*w.f.PerAcre())
	stateDry(&w.t.dryAfter, o, w.f.Dry(), 2*trial.Reach80*dry*r.Left/w.f.PerAcre())
	w.t.leftAfter.State(o.leftLow, o.leftHigh, w.f.Seed, 2*trial.Reach90*left)
}

func stateDry(y *trial.Tally, o outlook, truth, oracle float64) {
	if !o.dry {
		y.Nothing()
		return
	}
	y.State(o.dryLow, o.dryHigh, truth, oracle)
}

// weigh what is left, and see whether a doubt rings.
func (w *whole) weigh(alarm *trial.Tally) float64 {
	left := w.f.Weigh(w.d)
	alarm.Ring(w.day.rings(w.day.weighed(left)))
	return left
}

// drift says whether the run differs from the catches, and what the rate is
// now.
func (w *whole) drift(r trial.Run) {
	o := w.day.look()
	truth := w.f.Rate * w.f.Drill.Field
	w.t.ground.State(o.field.low, o.field.high, truth, 2*trial.Reach90*w.oracle.Ground(r)*truth)
	w.t.likely.Ring(o.caught.likely)
	w.t.sure.Ring(o.caught.sure)
}

// eyeDay is a day on which levels are only looked at.
func (y *fieldTally) eyeDay(d trial.Draw, p trial.Drills, n int) {
	m := p.Draw(d, someRate(d))
	c := cranks(d, m, trial.DrillRows, 1)
	w := &whole{t: y, d: d, day: begin(m.Rate * d.Flat(0.75, 1.25)), f: trial.NewField(d, m)}
	w.day.caught(c, c.Catches(d, m, n))
	w.day.reading(0)
	told := 50 * trial.Pound * float64(d.Whole(8, 14))
	w.day.filled(told)
	w.f.Pour(d, told)
	w.work(0.25, 0.55)
	y.byEye.Ring(w.day.rings(w.day.looked(w.f.Look(d, boxFull))))
}

// fieldCell lives so many days in each world's law.
func fieldCell(p trial.Drills, n, rows int, key ...int) *fieldTally {
	d := trial.NewDraw(*seed, cell(append([]int{4, n, rows}, key...)...))
	y := &fieldTally{}
	for range *worlds {
		y.fieldDay(d, p, n, rows)
		y.eyeDay(d, p, n)
	}
	return y
}

func (f *fieldTally) row(cells ...string) []string {
	for _, y := range []*trial.Tally{&f.dry, &f.dryAfter, &f.left, &f.leftAfter, &f.ground} {
		cells = append(cells, y.String())
	}
	for _, y := range []*trial.Tally{&f.balance, &f.balanceAfter, &f.byEye, &f.likely, &f.sure} {
		cells = append(cells, fmt.Sprintf("%.1f", 100*y.Rate()))
	}
	return cells
}

var fieldHead = []string{"dry 80", "dry after a run 80", "left 90", "left after a run 90", "rate after a run 90", "balance 1 %", "balance after a run 1 %",
	"balance by eye 1 %", "run against catch 10 %", "same 1 %"}

var fields = []struct {
	name string
	law  trial.Law
}{{"0.96 ± 7 %", trial.FieldDrawn}, {"0.85 to 0.96", trial.FieldLow}, {"0.90 to 1.10", trial.FieldRound}}

// fewWorlds are too few to be worth all cells of the whole path.
const fewWorlds = 500

// The whole path over the published spread: entries in, the box's view out.
func TestTablesField(t *testing.T) {
	t.Parallel()
	table := trial.Table{Title: "Field, over the published spread: covers % × width over the oracle's; alarms %",
		Head: append([]string{"field factor", "rows", "catches"}, fieldHead...)}
	rows, times := rows, times
	if *worlds < fewWorlds {
		rows, times = []int{4, 16}, []int{1, 3}
	}
	for i, f := range fields {
		for _, r := range rows {
			for _, n := range times {
				y := fieldCell(trial.Published(f.law), n, r, i)
				table.Add(y.row(f.name, fmt.Sprint(r), fmt.Sprint(n))...)
				y.gates(t, fmt.Sprintf("field %s, %d catches of %d rows", f.name, n, r))
			}
		}
	}
	t.Log("\n" + table.String())
}

func (f *fieldTally) gates(t *testing.T, what string) {
	t.Helper()
	for _, g := range []struct {
		name string
		y    *trial.Tally
		l    trial.Limits
	}{{"dry", &f.dry, stated80}, {"dry after a run", &f.dryAfter, stated80}, {"left", &f.left, stated90}, {"left after a run", &f.leftAfter, stated90},
		{"rate after a run", &f.ground, stated90}} {
		gate(t, what+": "+g.name, g.l, g.y.Share())
		wideGate(t, what+": "+g.name, g.y)
	}
	for _, g := range []struct {
		name    string
		y       *trial.Tally
		nominal float64
	}{{"balance", &f.balance, 0.01}, {"balance after a run", &f.balanceAfter, 0.01}, {"balance by eye", &f.byEye, 0.01},
		{"run against catch", &f.likely, 0.10}, {"run against catch, sure", &f.sure, 0.01}} {
		gate(t, what+": "+g.name, trial.Limits{High: 2 * g.nominal}, g.y.Rate())
	}
}

// Single drills: how they repeat, how far the field lies from the crank, how
// good the counter is. Once a run was weighed, what the box gives is known
// however far the field lies from the crank.
func TestTablesFieldKnown(t *testing.T) {
	t.Parallel()
	table := trial.Table{Title: "Field, single drills (16 rows, two catches): covers % × width over the oracle's; alarms %",
		Head: append([]string{"repeats to %", "field factor", "counter off by %"}, fieldHead...)}
	row := func(repeat, field, counter float64) {
		p := trial.Published(trial.Exactly(field))
		p.Repeat, p.Counter = trial.Exactly(repeat/100), trial.Exactly(counter/100)
		y := fieldCell(p, 2, trial.DrillRows, int(repeat)+1, int(math.Round(field*100)), int(counter)+1)
		if what := fmt.Sprintf("repeats to %v %%, field %v, counter off by %v %%", repeat, field, counter); *worlds >= fewWorlds || field < 0.8 || field > 1.2 {
			gate(t, what+": dry after a run", trial.Limits{Low: 0.70, High: 0.90}, y.dryAfter.Share())
			gate(t, what+": left after a run", trial.Limits{Low: 0.84, High: 0.98}, y.leftAfter.Share())
		}
		table.Add(y.row(fmt.Sprint(repeat), fmt.Sprint(field), fmt.Sprint(counter))...)
	}
	for _, k := range known {
		row(k, 1, 0)
		row(k, 0.95, 0)
	}
	for _, f := range []float64{1.05, 0.9, 0.85, 0.75, 1.3} {
		row(2, f, 0)
	}
	for _, c := range []float64{0, 3, 6} {
		row(2, 0.96, c)
	}
	t.Log("\n" + table.String())
}
