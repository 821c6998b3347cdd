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
	rowSpread                   = 0.10
	maxWeighings                = 100
	catchLevel                  = 0.90
	catchTolerance              = 0.05 // Massachusetts extension: within ±5 % of target
)

// Doubt is where the uncertainty of a catch comes from, each as a relative
// standard uncertainty (0.01 is 1 %).
type Doubt struct {
	Scale, Turns, Rows, Repeats float64
}

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

// doubt is the relative standard uncertainty from each source. What repeats
// share (the rows) is not made smaller by repeating; what differs between them
// (scale, turns) is.
func (c Catch) doubt(masses []float64) Doubt {
	n := float64(len(masses))
	d := Doubt{
		Scale: c.scaleDoubt() / mean(masses) / math.Sqrt(n),
		Turns: c.lengthDoubt() / math.Sqrt(n),
		Rows:  c.rowDoubt(),
	}
	if n > 1 {
		d.Repeats = sd(masses) / mean(masses) / math.Sqrt(n)
	}
	return d
}

// scaleDoubt is the standard uncertainty in grams of one mass.
func (c Catch) scaleDoubt() float64 {
	weighings := float64(max(1, c.Weighings))
	if len(c.Caught) == 0 {
		weighings *= float64(len(c.RowMasses))
	}
	return c.resolution().Grams() * math.Sqrt(weighings/12)
}

// lengthDoubt is the relative standard uncertainty of the distance.
func (c Catch) lengthDoubt() float64 {
	if c.Distance != 0 {
		part := c.PartDistance
		if part == 0 {
			part = oneFoot
		}
		return part.Metres() / c.Distance.Metres() / math.Sqrt(3)
	}
	part := c.PartTurn
	if part == 0 {
		part = eighthOfTurn
	}
	return part.Float() / c.Turns.Float() / math.Sqrt(3)
}

// rowDoubt is the relative standard uncertainty from rows standing for others.
func (c Catch) rowDoubt() float64 {
	if c.Width != 0 && c.Drill == 0 {
		return 0 // the whole width was caught
	}
	k := float64(c.rowsCaught())
	spread := rowSpread
	if len(c.RowMasses) > 1 {
		grams := make([]float64, len(c.RowMasses))
		for i, m := range c.RowMasses {
			grams[i] = m.Grams()
		}
		spread = sd(grams) / mean(grams)
	}
	return spread / math.Sqrt(k) * math.Sqrt(c.unseen(k))
}

// rowsCaught is how many rows the catch holds; a width with no row masses
// holds them all.
func (c Catch) rowsCaught() int {
	switch {
	case c.Rows != 0:
		return c.Rows
	case len(c.RowMasses) != 0:
		return len(c.RowMasses)
	}
	return max(1, c.Drill)
}

// unseen is the finite population correction, 1 − caught ÷ all: 1 where the
// rows of the drill are not known.
func (c Catch) unseen(caught float64) float64 {
	if c.Drill == 0 {
		return 1
	}
	return math.Max(0, 1-caught/float64(c.Drill))
}

// rowFreedom is the degrees of freedom of the spread between rows.
func (c Catch) rowFreedom() float64 {
	if len(c.RowMasses) > 1 {
		return float64(len(c.RowMasses) - 1)
	}
	return Known
}

// estimate puts the doubts together about a rate. Repeats that agree by luck
// do not make the catch better than its scale and turns allow: the greater of
// the two counts.
func (c Catch) estimate(rate float64, d Doubt, repeats int) Estimate {
	std, freedom := combine(part{d.Scale, Known}, part{d.Turns, Known})
	if d.Repeats > std {
		std, freedom = d.Repeats, float64(repeats-1)
	}
	std, freedom = combine(part{std, freedom}, part{d.Rows, c.rowFreedom()})
	return Estimate{Value: rate, Std: std * rate, Freedom: freedom}
}
