package rate

import (
	"slices"

	"turnrow/sync/units"
)

// Way is how a catch was made.
type Way int

// The ways. What a drill gives standing and what it gives in the field differ,
// so the two never share a mean.
const (
	Standing Way = iota // the wheel turned by hand, the drill standing
	Moving              // driven over ground
)

// Catch is seed caught and weighed over a run.
type Catch struct {
	Run
	// Caught is the mass of all rows caught together; several are repeats of
	// the same run at the same setting. May be left out with RowMasses. Nothing
	// (0 g) is a true catch, of a meter that is plugged.
	Caught []units.Mass
	// RowMasses are the masses row by row of one run, where each was weighed.
	RowMasses []units.Mass
	// Which are the numbers of the rows caught, from 1, where they are known:
	// other rows caught next time tell more than the same rows again.
	Which []int
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
	// Way is how it was made.
	Way Way
}

// What stands in where a catch does not say: common practice, no source.
const (
	kitchenScale units.Mass   = 1000    // mg
	eighthOfTurn units.Turns  = 125     // thousandths
	oneFoot      units.Length = 304_800 // µm
	maxWeighings              = 100
)

// CatchRate is the rate that catches at one setting show.
type CatchRate struct {
	Area      units.Area // of one catch, on average
	Mass      units.Mass // mean of the masses that count
	Rate      units.RatePerArea
	Low, High units.RatePerArea // 90 % interval
	Spread    Spread            // of the rate's natural logarithm
	Std       StdTerms          // the same, term by term
	Masses    int               // how many masses count
	Aside     []Aside           // masses that do not, and why
	// Plugged says that nothing came in any catch: the rate is 0, and High is
	// what the scale would not have shown.
	Plugged bool
	Way     Way

	pool pooled
	of   []Catch
}

// StdTerms is where the uncertainty of a catch comes from, each as a standard deviation
// and a share of the rate (0.01 is 1 %).
type StdTerms struct {
	Repeats float64 // catches at one setting differ
	Turns   float64 // the part of a turn, or of the distance, at the ends
	Scale   float64 // the scale's steps
	Rows    float64 // the rows caught stand for all rows
	Roll    float64 // the distance that a turn makes in the field
}

// Half is half the width of the 90 % interval, upwards, relative to the rate:
// 0.05 is ±5 %. It is never below 1.7 %.
func (c CatchRate) Half() float64 { return halfShare(c.Spread) }

// Rate is the rate that the catch shows, mass ÷ (distance × width), with its
// 90 % interval. See PoolCatches.
func (c Catch) Rate() (CatchRate, error) { return PoolCatches([]Catch{c}) }

// PoolCatches is the rate that catches at one setting show together: own
// entries and repeats within one are the same thing. The centre is the mean
// mass over the area. Five uncertainties add in squares on the natural logarithm (the
// GUM, JCGM 100:2008), of which only the first two and, while readings differ,
// the third shrink as catches are repeated: repeats (published spreads that
// the crew's own take over), the part of a turn at the ends (half-width ÷ √3),
// the scale's steps (÷ √12, the GUM F.2.2.1), the rows caught standing for all
// rows (÷ √rows × √(1 − caught ÷ all): Cochran, Sampling Techniques), and the
// roll. A mass that the others make out to be a slip is set aside and told.
//
// A mass may be 0 and not below; row masses must be one for each row caught and
// add up to what was caught; all must be made one way. Anything else is a
// RangeError.
func PoolCatches(catches []Catch) (CatchRate, error) {
	if len(catches) == 0 {
		return CatchRate{}, refuse("catches", 0, "1 or more")
	}
	var all []reading
	for i, c := range catches {
		if c.Way != catches[0].Way {
			return CatchRate{}, refuse("catches at one setting", "standing and moving", "made one way")
		}
		rs, err := c.readings(i)
		if err != nil {
			return CatchRate{}, err
		}
		all = append(all, rs...)
	}
	r := CatchRate{Way: catches[0].Way, of: catches}
	sortReadings(all)
	kept, aside := setAside(all, chartless)
	r.Aside = asides(aside)
	r.Masses = len(kept)
	if len(kept) == 0 {
		return r, r.plugged(all)
	}
	r.pool = poolReadings(kept)
	rows := rowVariance(catches)
	r.pool.rows = r.pool.profile.spread(rows)
	r.Spread, r.Std = r.pool.std()
	return r, r.fill(kept)
}

// fill puts the mean of readings into typed quantities.
func (r *CatchRate) fill(kept []reading) (err error) {
	grams, area := 0.0, 0.0
	for _, k := range kept {
		grams += k.grams
		area += k.area
	}
	n := float64(len(kept))
	if r.Mass, err = units.MassFromGrams(grams / n); err != nil {
		return err
	}
	if r.Area, err = units.AreaFromSquareMetres(area / n); err != nil {
		return err
	}
	e, err := estimateAt(ln(r.pool.rate*1e6), r.Spread)
	r.Rate, r.Low, r.High = e.Rate, e.Low, e.High
	return err
}

// plugged fills in a setting at which nothing came: the rate could be as great
// as half a step of the scale makes it.
func (r *CatchRate) plugged(all []reading) (err error) {
	r.Plugged, r.Masses, r.Aside = true, len(all), nil
	least := all[0].unseen
	for _, z := range all {
		least = min(least, z.unseen)
	}
	if r.Area, err = units.AreaFromSquareMetres(all[0].area); err != nil {
		return err
	}
	r.High, err = units.RateFromGramsPerSquareMetre(least)
	return err
}

func (c Catch) check() error {
	if len(c.Caught) == 0 && len(c.RowMasses) == 0 {
		return refuse("mass caught", "none", "given, for all rows together or row by row")
	}
	for _, m := range c.Caught {
		if m < 0 {
			return refuse("mass caught", m, "0 or more")
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
	case c.Way != Standing && c.Way != Moving:
		return refuse("way of catching", int(c.Way), "standing or moving")
	}
	if err := c.checkWhich(); err != nil {
		return err
	}
	return c.checkRows()
}

// checkWhich holds the rows' numbers against the rows caught and the drill.
func (c Catch) checkWhich() error {
	if len(c.Which) == 0 {
		return nil
	}
	if n := c.rowsCaught(); n != len(c.Which) {
		return refuse("rows named", len(c.Which), "as many as the %d rows caught", n)
	}
	most := maxRows
	if c.Drill > 0 {
		most = c.Drill
	}
	for i, row := range c.Which {
		if row < 1 || row > most {
			return refuse("row", row, "from 1 to %d", most)
		}
		if slices.Contains(c.Which[:i], row) {
			return refuse("row", row, "named once")
		}
	}
	return nil
}

// checkRows holds row masses against the rows caught and against their sum.
func (c Catch) checkRows() error {
	if len(c.RowMasses) == 0 {
		return nil
	}
	if n := c.rowsCaught(); n != len(c.RowMasses) {
		return refuse("row masses", len(c.RowMasses), "one for each of the %d rows caught", n)
	}
	sum := units.Mass(0)
	for _, m := range c.RowMasses {
		if m < 0 || m > mostSeed {
			return refuse("mass of a row", m, "from 0 to %v", mostSeed)
		}
		sum += m
	}
	slack := c.resolution() * units.Mass(len(c.RowMasses)+1)
	if len(c.Caught) == 1 && (sum-c.Caught[0] > slack || c.Caught[0]-sum > slack) {
		return refuse("sum of the row masses", sum, "what was caught, %v, to within %v of rounding", c.Caught[0], slack)
	}
	return nil
}

// masses are the masses of the catch in grams: what was caught each time, or
// the sum of the rows.
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
