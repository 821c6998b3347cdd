package rate

import (
	"math"
	"slices"

	"turnrow/sync/units"
)

// Aside is a mass that does not count, and why.
type Aside struct {
	Catch, Repeat int // which catch or measurement of those given, and which of its masses, from 0
	Mass          units.Mass
	Rate          units.RatePerArea
	Slip          Slip
}

// Slip is how far a catch lies from what is expected, and which slip of the
// pen would explain it.
type Slip struct {
	Expected units.RatePerArea // by the other catches, or the chart
	Times    float64           // caught ÷ expected
	Factor   float64           // the nearest of slipFactors, either way up; 1 where none is nearer
	Likely   string            // how it comes about, in words; "" where there is none
	Instead  units.RatePerArea // the rate without it; 0 where there is none
	Plugged  bool              // nothing came at all
}

// slipFactors are what people are known to be off by: a decimal point, ounces
// or pounds for grams, kilograms for grams, twice the turns or rows. Each is told
// for a figure that is too great by it and for one that is too small. Of factors
// that would do equally well, the first is named.
var slipFactors = []struct {
	factor             float64
	tooMuch, tooLittle string
}{
	{10, "a point left out", "a point too many"},
	{gramsPerPound / 16, "grams, not ounces", "ounces, not grams"},
	{gramsPerPound, "grams, not pounds", "pounds, not grams"},
	{1000, "grams, not kilograms", "kilograms, not grams"},
	{2, "only half of the turns or rows written", "twice the turns or rows written"},
	{100, "a point left out", "a point too many"},
}

// slipNear is how near, as a factor, a slip must bring a figure to what was
// expected to be named: what a bad chart may be off.
const slipNear = 1.6

// slipOf describes a rate that lies off what was expected, both in g/m².
func slipOf(rate, expected float64) Slip {
	s := Slip{Times: rate / expected, Factor: 1}
	s.Expected, _ = units.RateFromGramsPerSquareMetre(expected)
	off := ln(s.Times)
	nearest := math.Min(math.Abs(off), ln(slipNear))
	for _, f := range slipFactors {
		log, words, factor := ln(f.factor), f.tooMuch, f.factor
		if off < 0 {
			log, words, factor = -log, f.tooLittle, 1/f.factor
		}
		if left := math.Abs(off - log); left < nearest {
			nearest, s.Factor, s.Likely = left, factor, words
		}
	}
	if s.Factor != 1 {
		s.Instead, _ = units.RateFromGramsPerSquareMetre(rate / s.Factor)
	}
	return s
}

// slipped is a reading that was set aside.
type slipped struct {
	reading
	slip Slip
}

// Levels of chance at which a catch among others is asked about (shared out
// among them) and set aside: one honest catch in a hundred is asked about, one
// in a thousand set aside.
const (
	askLevel   = 0.01
	asideLevel = 0.999
)

// Of two catches that have only the chart to judge by, the one that lies over
// farOffChart from it is set aside if the other lies within nearChart: three
// and two of the spreads of charts.
const (
	farOffChart = 3 * chartSpread
	nearChart   = 2 * chartSpread
)

// slipRule is what readings are judged by.
type slipRule struct {
	bend  float64 // prior variance of the bend
	chart bool    // there is a chart
}

var chartless = slipRule{bend: plainBendSpread * plainBendSpread}

// setAside parts sorted readings from those that the others make out to be
// slips, at most (n − 1) ÷ 2 of them, and none that a person said yes to. A mass
// of nothing never counts among others.
func setAside(all []reading, rule slipRule) (kept []reading, aside []slipped) {
	for _, r := range all {
		if r.rate > 0 {
			kept = append(kept, r)
		} else {
			aside = append(aside, slipped{r, Slip{Plugged: true}})
		}
	}
	if len(kept) == 2 {
		return rule.ofTwo(kept, aside)
	}
	far := rule.farthest(kept, (len(kept)-1)/2)
	last := 0 // how many of the farthest are slips
	for i, r := range far {
		others := withoutThese(kept, far[:i+1])
		if z, df := rule.off(r, others); math.Abs(z) > twoSidedT(asideLevel, df) {
			last = i + 1
		}
	}
	if last == 0 {
		return kept, aside
	}
	rest := withoutThese(kept, far[:last])
	for _, r := range far[:last] {
		aside = append(aside, slipped{r, slipOf(r.rate, rule.expected(r, rest))})
	}
	return rest, aside
}

// ofTwo settles two readings by the chart, or keeps both.
func (rule slipRule) ofTwo(two []reading, aside []slipped) ([]reading, []slipped) {
	for i, r := range two {
		other := two[1-i]
		if rule.chart && !r.sure && math.Abs(r.log-r.x) > farOffChart && math.Abs(other.log-other.x) <= nearChart {
			return []reading{other}, append(aside, slipped{r, slipOf(r.rate, rule.expected(r, []reading{other}))})
		}
	}
	return two, aside
}

// farthest takes the reading that lies farthest from the median away, so many
// times over, so that two slips can't hide behind each other (Rosner,
// Technometrics 25, 1983).
func (rule slipRule) farthest(rs []reading, most int) (far []reading) {
	rest := rs
	for len(far) < most {
		middle := medianOff(rest)
		worst := -1
		for i, r := range rest {
			if !r.sure && (worst < 0 || math.Abs(r.log-r.x-middle) > math.Abs(rest[worst].log-rest[worst].x-middle)) {
				worst = i
			}
		}
		if worst < 0 {
			break
		}
		far = append(far, rest[worst])
		rest = slices.Delete(slices.Clone(rest), worst, worst+1)
	}
	return far
}

// medianOff is the median of how far readings lie from the chart.
func medianOff(rs []reading) float64 {
	off := make([]float64, len(rs))
	for i, r := range rs {
		off[i] = r.log - r.x
	}
	slices.Sort(off)
	return (off[(len(off)-1)/2] + off[len(off)/2]) / 2
}

func withoutThese(rs, gone []reading) []reading {
	var rest []reading
	for _, r := range rs {
		if !slices.ContainsFunc(gone, func(g reading) bool { return g.of == r.of && g.repeat == r.repeat }) {
			rest = append(rest, r)
		}
	}
	return rest
}

// off is how far a reading lies from what others make it, in standard
// deviations of the difference, and their degrees of freedom.
func (rule slipRule) off(r reading, others []reading) (z, df float64) {
	list := settingsOf(others)
	l := logLineOf(list, rule.bend)
	expected, s := l.at(r.x)
	own := l.repeats.Var + r.known()
	if r.stated.Var > 0 {
		own = r.stated.Var
	}
	apart := s.Var + own + l.rowsApart(list, r)
	return (r.log - expected) / math.Sqrt(apart), l.repeats.DF
}

// expected is the rate that others make a reading, g/m².
func (rule slipRule) expected(r reading, others []reading) float64 {
	l := logLineOf(settingsOf(others), rule.bend)
	log, _ := l.at(r.x)
	return exp(log)
}

// rowsApart is the variance from a reading's being of other rows.
func (l *logLine) rowsApart(list []setting, r reading) float64 {
	var apart profile
	apart.add(r, 1)
	for i, s := range list {
		for row, share := range s.pool.profile.rows {
			for len(apart.rows) <= row {
				apart.rows = append(apart.rows, 0)
			}
			apart.rows[row] -= float64(l.parts[i] * share)
		}
	}
	return float64(apart.squares() * rowSpread * rowSpread)
}
