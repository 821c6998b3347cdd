package trial

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Normal quantiles of what an oracle's intervals reach, either side (NIST
// e-Handbook of Statistical Methods, 1.3.6.7.1).
const (
	Reach80 = 1.2815515655
	Reach90 = 1.6448536270
	Reach95 = 1.9599639845
)

// Tally counts how often intervals hold the truth, and how wide they are.
type Tally struct {
	Worlds, Covered, Alarms int
	// Silent counts worlds of which nothing was stated; they count as worlds
	// that were not covered.
	Silent int

	widths, oracle, errors []float64
}

// State adds a stated interval, the truth, and the width that an oracle would
// have stated. Widths and errors are kept relative to the truth.
func (t *Tally) State(low, high, truth, oracle float64) {
	t.Worlds++
	if low <= truth && truth <= high {
		t.Covered++
	}
	t.widths, t.oracle = append(t.widths, (high-low)/truth), append(t.oracle, oracle/truth)
}

// Nothing adds a world of which nothing was stated.
func (t *Tally) Nothing() { t.Worlds++; t.Silent++ }

// Ring adds a world in which an alarm rang, or did not.
func (t *Tally) Ring(rang bool) {
	t.Worlds++
	if rang {
		t.Alarms++
	}
}

// Err adds how far a figure lay from the truth, relative to it.
func (t *Tally) Err(got, truth float64) { t.errors = append(t.errors, math.Abs(got/truth-1)) }

// Share of worlds covered.
func (t *Tally) Share() float64 { return float64(t.Covered) / float64(t.Worlds) }

// Rate of alarms.
func (t *Tally) Rate() float64 { return float64(t.Alarms) / float64(t.Worlds) }

// Over is the median width over the oracle's.
func (t *Tally) Over() float64 { return median(t.widths) / median(t.oracle) }

// Off is the median error, relative to the truth.
func (t *Tally) Off() float64 { return median(t.errors) }

func median(xs []float64) float64 {
	if len(xs) == 0 {
		return math.NaN()
	}
	s := slices.Sorted(slices.Values(xs))
	return s[len(s)/2]
}

// String is coverage and width, as a cell of a table: "90 ×1.05".
func (t *Tally) String() string { return fmt.Sprintf("%.0f ×%.2f", 100*t.Share(), t.Over()) }

// Limits is what a share must lie between, both included.
type Limits struct{ Low, High float64 }

// Of which so many worlds can tell: wider by three standard errors of each
// limit, so that few worlds do not fail what many would not.
func (l Limits) Of(worlds int) Limits {
	slack := func(p float64) float64 { return 3 * math.Sqrt(p*(1-p)/float64(worlds)) }
	return Limits{l.Low - slack(l.Low), l.High + slack(l.High)}
}

// Hold says whether a share lies between them.
func (l Limits) Hold(share float64) bool {
	return cmp.Compare(share, l.Low) >= 0 && cmp.Compare(share, l.High) <= 0
}

// Table is a table for people, in Markdown.
type Table struct {
	Title string
	Head  []string
	Rows  [][]string
}

// Add a row.
func (t *Table) Add(cells ...string) { t.Rows = append(t.Rows, cells) }

// String writes the table.
func (t *Table) String() string {
	var b strings.Builder
	line := func(cells []string) { fmt.Fprintf(&b, "| %s |\n", strings.Join(cells, " | ")) }
	fmt.Fprintf(&b, "%s\n\n", t.Title)
	line(t.Head)
	line(slices.Repeat([]string{"---"}, len(t.Head)))
	for _, r := range t.Rows {
		line(r)
	}
	return b.String()
}
