package rate

import (
	"math"

	"turnrow/sync/units"
)

// Needs is what would bring a catch's 90 % interval to ±5 %.
type Needs struct {
	Enough    bool        // it is there already
	Turns     units.Turns // with the same rows; 0 where no number of turns will do
	Distance  units.Length
	Rows      int // with the same turns; 0 where no number of rows will do
	RowsBound int // the most rows there are to catch, 0 where not known
}

// mostNeeded is where advice ends: more turns or rows than this help nobody.
const mostNeeded = 10_000

// Needs works out the turns (or distance) or the rows that would bring the 90
// % interval to ±5 %, taking the doubts as those of this catch: scale and
// turns shrink in proportion to the turns, rows as in Rate. It fails where
// Rate does.
func (c Catch) Needs() (Needs, error) {
	r, err := c.Rate()
	if err != nil {
		return Needs{}, err
	}
	t := twoSidedT(catchLevel, r.Estimate.Freedom)
	goal := float64((catchTolerance / t) * (catchTolerance / t))
	ends := math.Max(float64(r.Doubt.Scale*r.Doubt.Scale)+float64(r.Doubt.Turns*r.Doubt.Turns),
		float64(r.Doubt.Repeats*r.Doubt.Repeats))
	rows := float64(r.Doubt.Rows * r.Doubt.Rows)
	n := Needs{Enough: r.Half() <= catchTolerance, RowsBound: c.Drill}
	if rows < goal {
		n.length(c, math.Sqrt(ends/(goal-rows)))
	}
	if ends < goal && rows > 0 {
		n.Rows = c.rowsFor(rows, goal-ends)
	}
	return n, nil
}

// length fills in the turns or distance, so many times those of the catch.
func (n *Needs) length(c Catch, times float64) {
	switch {
	case c.Distance != 0 && times <= mostNeeded:
		metres := math.Ceil(times * c.Distance.Metres())
		n.Distance = units.Length(metres * 1e6)
	case c.Distance == 0 && math.Ceil(times*c.Turns.Float()) <= mostNeeded:
		n.Turns = units.Turns(math.Ceil(times*c.Turns.Float()) * 1000)
	}
}

// rowsFor is how many rows bring the variance that rows cause from now to
// goal. With a variance v between rows and N rows in all, k rows leave
// v × (1/k − 1/N).
func (c Catch) rowsFor(now, goal float64) int {
	k := float64(c.rowsCaught())
	each := 1 / k
	all := 0.0
	if c.Drill > 0 {
		all = 1 / float64(c.Drill)
	}
	v := now / (each - all)
	rows := math.Ceil(1 / (goal/v + all))
	if rows > mostNeeded {
		return 0
	}
	return int(rows)
}

// Advice says in plain words how good a catch is and what would make it good.
func (c Catch) Advice(system units.System) (string, error) {
	r, err := c.Rate()
	if err != nil {
		return "", err
	}
	n, err := c.Needs()
	if err != nil {
		return "", err
	}
	text := r.Rate.Format(system) + ", good to ±" + percent(r.Half()) + " (nine times in ten)"
	if n.Enough {
		return text, nil
	}
	return text + ": " + n.words(system), nil
}

func (n Needs) words(system units.System) string {
	along := ""
	switch {
	case n.Turns > 0:
		along = n.Turns.String() + " turns"
	case n.Distance > 0:
		along = n.Distance.Format(system)
	}
	across := ""
	if n.Rows > 0 {
		across = figure(float64(n.Rows), 4) + " rows"
	}
	switch {
	case along != "" && across != "":
		return "catch " + along + ", or " + across + ", for ±5 %"
	case along != "":
		return "catch " + along + " for ±5 %"
	case across != "":
		return "more turns alone will not do; catch " + across + " for ±5 %"
	}
	return "catch both more turns and more rows for ±5 %"
}
