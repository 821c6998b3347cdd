package rate

import (
	"math"

	"turnrow/sync/units"
)

// Decision is what to do after a catch.
type Decision string

// The decisions.
const (
	Go         Decision = "go"
	MoveDial   Decision = "move the dial"
	CatchAgain Decision = "catch once more"
)

// Band is what a rate may be and still count as on target: within a share of
// it either way. The target must be above 0, the share from 0 to 100 %.
// Source: University of Massachusetts Extension (±5 %).
func Band(target units.RatePerArea, within units.Share) (low, high units.RatePerArea, err error) {
	if err := checkRate("target rate", target); err != nil {
		return 0, 0, err
	}
	if within < 0 || within > units.Whole {
		return 0, 0, refuse("tolerance", within, "from 0%% to 100%%")
	}
	part, err := within.OfRate(target)
	return target - part, target + part, err
}

// Decide says whether a catch proves a rate within ±5 % of the target
// (University of Massachusetts Extension): Go where the rate is within it and
// its 90 % interval reaches no further than as much again; MoveDial where the
// whole interval lies outside; CatchAgain where the catch is too loose to
// tell. The target must be above 0.
func (r CatchRate) Decide(target units.RatePerArea) (Decision, error) {
	low, high, err := Band(target, units.Share(catchTolerance*float64(units.Whole)))
	if err != nil {
		return "", err
	}
	inside := r.Rate >= low && r.Rate <= high
	switch {
	case r.High < low || r.Low > high:
		return MoveDial, nil
	case inside && r.Half() <= catchTolerance:
		return Go, nil
	case !inside && r.Half() <= catchTolerance:
		return MoveDial, nil
	}
	return CatchAgain, nil
}

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

// Explain writes the sum of Rate.
func (c Catch) Explain(system units.System) ([]string, error) {
	r, err := c.Rate()
	if err != nil {
		return nil, err
	}
	p := &paper{system: system}
	area, err := c.explain(p)
	if err != nil {
		return nil, err
	}
	if len(c.Caught) > 1 {
		p.line("mass = mean of %d catches = %s", len(c.Caught), p.mass(r.Mass.Grams()))
	}
	p.line("rate = %s ÷ %s = %s", p.mass(r.Mass.Grams()), p.field(area), p.rate(r.Estimate.Value))
	p.line("doubt: scale %s, turns %s, rows %s%s; together %s", percent(r.Doubt.Scale), percent(r.Doubt.Turns),
		percent(r.Doubt.Rows), repeatsText(r.Doubt), percent(r.Estimate.Relative()))
	p.line("nine times in ten between %s and %s (± %s)", r.Low.Format(system), r.High.Format(system), percent(r.Half()))
	return p.lines, nil
}

func repeatsText(d Doubt) string {
	if d.Repeats == 0 {
		return ""
	}
	return ", repeats " + percent(d.Repeats)
}
