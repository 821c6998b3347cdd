package rate

import (
	"math"

	"turnrow/sync/units"
)

// Catch is seed caught and weighed over a run.
type Catch struct {
	Run
	// Caught is the mass of all rows caught together; several are repeats of
	// the same run at the same setting. May be left out with RowMasses.
	Caught []units.Mass
	// RowMasses are the masses row by row of one run, where each was weighed.
	RowMasses []units.Mass
	// Resolution is the smallest step of the scale; 0 stands for one gram, a
	// kitchen scale.
	Resolution units.Mass
	// Weighings is how many readings of the scale went into each mass: 1 with
	// the empty container set to zero (0 stands for it), 2 with it taken off.
	Weighings int
	// PartTurn is how far off the first and last turn may be, either way; 0
	// stands for an eighth of a turn.
	PartTurn units.Turns
	// PartDistance is the same for a distance; 0 stands for one foot.
	PartDistance units.Length
}

// What stands in where a catch does not say. The spread between rows is what
// McNeill, University of Kentucky, found single meters to reach: 10 % above
// or below target. The others are common practice, no source.
const (
	kitchenScale   units.Mass   = 1000    // mg
	eighthOfTurn   units.Turns  = 125     // thousandths
	oneFoot        units.Length = 304_800 // µm
	usualRowSpread              = 0.10
	maxWeighings                = 100
	catchLevel                  = 0.90
	catchTolerance              = 0.05 // Massachusetts extension: within ±5 % of target
)

// CatchRate is the rate that a catch shows.
type CatchRate struct {
	Area      units.Area
	Mass      units.Mass // mean of the repeats
	Rate      units.RatePerArea
	Low, High units.RatePerArea // 90 % interval; never below nothing
	Estimate  Estimate          // the rate in g/m²
	Doubt     Doubt
}

// Half is half the width of the 90 % interval, relative to the rate: 0.05 is
// ±5 %.
func (c CatchRate) Half() float64 { return c.Estimate.Half(catchLevel) }

// Rate is the rate that the catch shows, mass ÷ (distance × width), with its
// 90 % interval. Uncertainties add in squares (the GUM, JCGM 100:2008):
// the scale's, resolution ÷ √12 for each weighing (the GUM, F.2.2.1); the part
// of a turn at the ends, its half-width ÷ √3; the rows caught standing for all
// rows, spread ÷ √rows × √(1 − caught ÷ all) (finite population correction,
// Cochran, Sampling Techniques); and between repeats, with Student's t. Every
// mass must be above 0; row masses must be one for each row caught and add up
// to what was caught. Anything else is a RangeError.
func (c Catch) Rate() (CatchRate, error) {
	area, err := c.squareMetres()
	if err != nil {
		return CatchRate{}, err
	}
	if err := c.check(); err != nil {
		return CatchRate{}, err
	}
	masses := c.masses()
	grams := mean(masses)
	var r CatchRate
	r.Doubt = c.doubt(masses)
	r.Estimate = c.estimate(grams/area, r.Doubt, len(masses))
	return r, r.fill(grams, area)
}

// fill puts an estimate into typed quantities.
func (r *CatchRate) fill(grams, area float64) (err error) {
	if r.Mass, err = units.MassFromGrams(grams); err != nil {
		return err
	}
	if r.Area, err = units.AreaFromSquareMetres(area); err != nil {
		return err
	}
	if r.Rate, err = units.RateFromGramsPerSquareMetre(r.Estimate.Value); err != nil {
		return err
	}
	low, high := r.Estimate.Interval(catchLevel)
	if r.Low, err = units.RateFromGramsPerSquareMetre(math.Max(0, low)); err != nil {
		return err
	}
	r.High, err = units.RateFromGramsPerSquareMetre(high)
	return err
}

func (c Catch) check() error {
	if len(c.Caught) == 0 && len(c.RowMasses) == 0 {
		return refuse("mass caught", "none", "given, for all rows together or row by row")
	}
	for _, m := range c.Caught {
		if m <= 0 {
			return refuse("mass caught", m, "more than 0")
		}
	}
	switch {
	case c.Resolution < 0:
		return refuse("scale's resolution", c.Resolution, "more than 0, or left out")
	case c.Weighings < 0 || c.Weighings > maxWeighings:
		return refuse("weighings", c.Weighings, "from 1 to %d", maxWeighings)
	case c.PartTurn < 0 || c.PartTurn > max(c.Turns, eighthOfTurn):
		return refuse("part of a turn", c.PartTurn, "from 0 to the %v turns made", c.Turns)
	case c.PartDistance < 0:
		return refuse("part of the distance", c.PartDistance, "0 or more")
	}
	return c.checkRows()
}

// checkRows holds row masses against the rows caught and against their sum.
func (c Catch) checkRows() error {
	if len(c.RowMasses) == 0 {
		return nil
	}
	if c.Rows != 0 && len(c.RowMasses) != c.Rows {
		return refuse("row masses", len(c.RowMasses), "one for each of the %d rows caught", c.Rows)
	}
	sum := units.Mass(0)
	for _, m := range c.RowMasses {
		if m < 0 || m > mostSeed {
			return refuse("mass of a row", m, "from 0 to %v", mostSeed)
		}
		sum += m
	}
	if sum == 0 {
		return refuse("sum of the row masses", sum, "more than 0")
	}
	slack := c.resolution() * units.Mass(len(c.RowMasses)+1)
	if len(c.Caught) == 1 && (sum-c.Caught[0] > slack || c.Caught[0]-sum > slack) {
		return refuse("sum of the row masses", sum, "what was caught, %v, to within %v of rounding", c.Caught[0], slack)
	}
	return nil
}

// masses are the repeats in grams: what was caught, or the sum of the rows.
func (c Catch) masses() []float64 {
	if len(c.Caught) == 0 {
		sum := units.Mass(0)
		for _, m := range c.RowMasses {
			sum += m
		}
		return []float64{sum.Grams()}
	}
	list := make([]float64, len(c.Caught))
	for i, m := range c.Caught {
		list[i] = m.Grams()
	}
	return list
}

func (c Catch) resolution() units.Mass {
	if c.Resolution == 0 {
		return kitchenScale
	}
	return c.Resolution
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
