package rate

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"turnrow/sync/units"
)

// ErrNothingKnown is returned for a box with neither chart nor measurement.
var ErrNothingKnown = errors.New("neither a chart nor a catch says what this box gives")

// ErrTwoWays is returned for measurements of which some were made standing and
// some moving: fit each kind by itself.
var ErrTwoWays = errors.New("catches made standing and catches made moving share no mean")

// Box is what is known of a seed box's meter before anything is weighed. On a
// dial on which more is less, the chart falls; without a chart, the range runs
// down from where the meter is shut (From above To).
type Box struct {
	From, To units.Dial   // the dial's range
	Chart    []ChartPoint // for the seed in question, rising or falling; may be empty
	Marks    []string     // on a dial with marks in place of numbers, of which the first is at 1
}

// ends are the lowest and the highest mark of the dial.
func (b Box) ends() (low, high units.Dial) { return min(b.From, b.To), max(b.From, b.To) }

// Basis says what a rate rests on: a term of a closed list.
type Basis string

// What a fit can rest on, and what the rate of a box can besides.
const (
	FromChart        Basis = "chart alone"
	FromChartScaled  Basis = "chart scaled by catches"
	FromProportional Basis = "in proportion through catches"
	FromField        Basis = "weighed in the field"
	FromEachSide     Basis = "each side by itself"
	FromEachSeed     Basis = "each seed by itself"
)

// Fit is what a box gives at each dial, with its uncertainty.
type Fit struct {
	box      Box
	shape    curve
	settings []setting
	line     logLine
	rows     Spread // what all settings share: the rows caught
	roll     Spread // and the roll
	row      Spread // of one row
	basis    Basis
	offChart float64 // the catches' own level, where it lies off the chart beyond the uncertainties of both
	aside    []Aside
	way      Way
}

// FitBox fits a box's curve: the chart's shape, lifted to where the catches lie
// and bent as far as catches at different dials show, on the natural logarithm.
// The chart counts as one loose measurement of the level, and a straight shape
// as one of the bend; both give way where the catches are far from them. The
// interval widens with the distance from the catches. Without a chart the rate
// is in proportion to the dial. Catches at one dial are pooled, and those that
// the others make out to be slips are set aside (Aside).
//
// It fails with a *RangeError for a chart that neither rises nor falls
// throughout, a dial outside the box's range or a rate or uncertainty that is not
// above zero, and with ErrNothingKnown and ErrTwoWays.
func FitBox(box Box, measured []Measured) (Fit, error) {
	shape, err := chartCurve(box.Chart, box.From, box.To)
	if err != nil {
		return Fit{}, err
	}
	if err := box.check(shape, measured); err != nil {
		return Fit{}, err
	}
	f := Fit{box: box, shape: shape, basis: FromChart}
	kept, err := f.readings(measured)
	if err != nil {
		return Fit{}, err
	}
	switch {
	case len(kept) > 0 && len(box.Chart) > 0:
		f.basis = FromChartScaled
	case len(kept) > 0:
		f.basis = FromProportional
	case len(box.Chart) == 0:
		return Fit{}, ErrNothingKnown
	}
	f.settings = settingsOf(kept)
	f.row = rowVariance(catchesOf(measured))
	f.fit(f.row)
	return f, nil
}

// check refuses what no fit can be made of.
func (b Box) check(shape curve, measured []Measured) error {
	low, high := b.ends()
	if low < 0 {
		return refuse("start of the dial", low, "0 or more")
	}
	if low == high {
		return refuse("end of the dial", b.To, "other than its start, %v", b.From)
	}
	for _, p := range b.Chart {
		if p.Dial < low || p.Dial > high {
			return refuse("chart dial", p.Dial, "from %v to %v", low, high)
		}
	}
	for _, m := range measured {
		if err := m.check(b, shape); err != nil {
			return err
		}
		if m.Way() != measured[0].Way() {
			return ErrTwoWays
		}
	}
	if len(b.Chart)+len(measured) == 0 {
		return ErrNothingKnown
	}
	return nil
}

// readings are the masses that count, in an order of their own; the others go
// aside. Catches of different lots do not judge each other.
func (f *Fit) readings(measured []Measured) ([]reading, error) {
	var all []reading
	for i, m := range measured {
		rs, err := m.readings(i, f.x(m.Dial.Float()))
		if err != nil {
			return nil, err
		}
		all, f.way = append(all, rs...), m.Way()
	}
	sortReadings(all)
	slices.SortStableFunc(all, func(a, b reading) int { return cmp.Compare(a.lot, b.lot) })
	var kept []reading
	var gone []slipped
	for from := 0; from < len(all); {
		to := from + 1
		for to < len(all) && all[to].lot == all[from].lot {
			to++
		}
		k, g := setAside(slices.Clone(all[from:to]), f.rule())
		kept, gone = append(kept, k...), append(gone, g...)
		from = to
	}
	f.aside = asides(gone)
	return kept, nil
}

func (f *Fit) rule() slipRule {
	if len(f.box.Chart) == 0 {
		return chartless
	}
	return slipRule{bend: bendSpread * bendSpread, chart: true}
}

// fit works out the line from the settings, for a variance between rows.
func (f *Fit) fit(row Spread) {
	rule := f.rule()
	guess := math.Inf(1)
	if rule.chart {
		guess = chartSpread * chartSpread
	}
	if len(f.settings) == 0 {
		f.line = logLine{levelSpread: Spread{guess, Known}, repeats: repeatsOf(nil), bendSpread: Spread{0, Known}}
		return
	}
	f.line = logLineOf(f.settings, rule.bend)
	f.shared(row)
	whole := sumOf(f.line.levelSpread, f.rows, f.roll)
	if !rule.chart {
		f.line.levelSpread = whole
		return
	}
	wide := yield(guess, f.line.level, whole.Var)
	if wide > guess {
		f.offChart = f.line.level
	}
	guess = wide
	f.line.levelSpread = whole.shrunk(guess)
	f.line.level = float64(f.line.level*guess) / (guess + whole.Var)
}

// shared works out what all settings have in common: the rows caught, and the
// roll.
func (f *Fit) shared(row Spread) {
	var p profile
	caught := 0.0
	for i, s := range f.settings {
		if s.stated.Var > 0 {
			continue
		}
		caught += f.line.parts[i]
		p.drill = max(p.drill, s.pool.profile.drill)
		for r, share := range s.pool.profile.rows {
			for len(p.rows) <= r {
				p.rows = append(p.rows, 0)
			}
			p.rows[r] += float64(f.line.parts[i] * share)
		}
	}
	f.rows = p.spread(row)
	f.roll = known(rollSpread).Times(caught)
}

// catchesOf are the catches behind measurements.
func catchesOf(measured []Measured) (list []Catch) {
	for _, m := range measured {
		list = append(list, m.catches...)
	}
	return list
}

// x is the natural logarithm of the shape's rate at a dial in marks, in g/m²;
// far below all rates where the box gives nothing.
func (f Fit) x(dial float64) float64 {
	rate := f.shape.at(dial)
	if !(rate > 0) {
		return -lnSmallest
	}
	return ln(rate / 1e6)
}

// Basis says what the fit rests on.
func (f Fit) Basis() Basis { return f.basis }

// Way is how the catches behind the fit were made.
func (f Fit) Way() Way { return f.way }

// Aside are the masses that were set aside, each with the number of its
// measurement.
func (f Fit) Aside() []Aside { return f.aside }

// Catches is how many masses count.
func (f Fit) Catches() (n int) {
	for _, s := range f.settings {
		n += s.pool.n
	}
	return n
}

// Agree says whether the catches make a rate that rises as it should: where
// they have it fall, nothing is made of their bend.
func (f Fit) Agree() bool { return !f.line.fallen }

// Scale is the factor between the chart and what the box really gives where it
// was caught, with its spread; without a chart, the rate in g/m² for one mark
// of the dial.
func (f Fit) Scale() (factor float64, s Spread) { return exp(f.line.level), f.line.levelSpread }

// OffChart is how many times what the chart says the catches show, where the two
// disagree beyond their uncertainties: by more than two of their joint spreads, which
// is where the chart begins to give way to the catches (chartSpread; for a
// careful catch beyond some 1.7 times or 0.6 of the chart). The catches stand; a
// person should know.
func (f Fit) OffChart() (times float64, off bool) {
	return exp(f.offChart), f.basis == FromChartScaled && f.offChart != 0
}
