package rate

import (
	"math"
	"strconv"

	"turnrow/sync/units"
)

// EventKind is what happened to the seed in a box.
type EventKind int

// What can happen to the seed in a box.
const (
	Poured    EventKind = iota + 1 // Mass of Lot came in
	TakenOut                       // Mass went back into bags
	Emptied                        // all that was there was taken out
	Sown                           // the drill worked Area at Rate
	LevelRead                      // somebody saw that Mass is there
)

// AllSides stands for every compartment of a box.
const AllSides = -1

// BoxEvent is one thing that happened to the seed in a box. A mass for
// AllSides is shared out: poured by the rows that sides feed, taken out and
// read by what is in them.
type BoxEvent struct {
	Kind  EventKind
	Side  int    // compartment from 0, or AllSides
	Lot   string // Poured only
	Blend bool   // it is mixed with all that is there, by mass (Poured only)
	Mass  units.Mass
	Std   units.Mass // standard uncertainty of Mass
	// Weighed says that what was read was put on a scale: it stands, whatever
	// the books say (LevelRead only).
	Weighed bool
	// Area is the ground that the whole drill worked, and Rate the seed that
	// the rows fed here put on their part of it (Sown only).
	Area units.Area
	Rate units.RatePerArea
	// RateSpread is how far the logarithm of Rate may be off, and RateLevel
	// what is off by the level that was read last, as a share of Rate. Both are
	// taken as one and the same error for all of a box's stretches.
	RateSpread Spread
	RateLevel  float64
}

// Layer is seed of one lot in a compartment.
type Layer struct {
	Lot   string
	Mass  units.Mass
	Mixed bool // with the layer below it: they go out together, by mass
}

// Gone is seed of one lot that was sown from a compartment.
type Gone struct {
	Event int // index of the Sown event
	Side  int
	Layer
}

// Balance is a level reading held against the books.
type Balance struct {
	Event, Side int
	Book, Read  units.Mass
	Low, High   units.Mass // chance alone puts Read between them, 99 times in 100
	Off         bool       // beyond that
	Likely      bool       // beyond what chance alone does 9 times in 10
}

// Side is what is in one compartment of a box.
type Side struct {
	Rows   int // rows that it feeds
	Layers []Layer
	// Short is seed that should have gone out after the compartment was empty
	// by the books: more was in it, or less went out, than was written down.
	Short units.Mass

	mass units.Mass // in Layers, kept along: summing them at each event would cost the square of their number
	last string     // lot that last went out
	// lastMix is what lay mixed with it then, where it was a blend.
	lastMix []Layer
	std     bookStd
}

// bookStd is why the mass in a compartment may be off, since its contents
// were last known.
type bookStd struct {
	loose   float64 // variance in mg² of what was poured and taken, and of older readings
	level   float64 // mg: standard uncertainty of the last reading, so far as the mass rests on it
	carried float64 // mg: what that reading makes the sown mass off by, through the rate
	gone    float64 // mg sown
	rate    float64 // mg: gone times the standard uncertainty of the rate's logarithm
	freedom float64 // the fewest degrees of freedom of a rate; 0 before any
}

// Mass returns the seed in the compartment: the sum of its layers.
func (s Side) Mass() units.Mass { return s.mass }

// Std returns the standard uncertainty of Mass, to the nearest milligram.
func (s Side) Std() units.Mass { return rounded(math.Sqrt(s.std.variance())) }

// fixed is the variance in mg² of what does not come from the rate.
func (d bookStd) fixed() float64 {
	level := d.level + d.carried
	return d.loose + float64(level*level)
}

func (d bookStd) variance() float64 { return d.fixed() + float64(d.rate*d.rate) }

// spread is that of the rate's logarithm over all that was sown.
func (d bookStd) spread() Spread {
	if d.gone <= 0 || d.rate <= 0 {
		return Spread{0, Known}
	}
	sd := d.rate / d.gone
	return Spread{float64(sd * sd), d.freedom}
}

// sow takes in mass sown by a rate with so much uncertainty.
func (d *bookStd) sow(mass float64, s Spread, level float64) {
	d.gone += mass
	d.rate += float64(mass * math.Sqrt(s.Var))
	d.carried += float64(mass * level)
	if s.Var > 0 && (d.freedom == 0 || s.DF < d.freedom) {
		d.freedom = s.DF
	}
}

// read keeps only a share of what was, and takes in a reading for the rest.
func (d *bookStd) read(kept float64, reading float64) {
	before := d.level + d.carried
	*d = bookStd{
		loose: float64(kept * kept * (d.loose + float64(before*before))), level: float64((1 - kept) * reading),
		gone: float64(kept * d.gone), rate: float64(kept * d.rate), freedom: d.freedom,
	}
}

// Interval returns what is in the compartment with its ends at a level (0.9 for
// nine times in ten), rounded outwards: what was poured less what the rate's own
// ends take out, the other uncertainties added in squares on each side. It is never
// below nothing.
func (s Side) Interval(level float64) (low, high units.Mass) {
	down, up := s.reach(level, 0)
	return units.Mass(math.Floor(math.Max(0, float64(s.mass)-down))), units.Mass(math.Ceil(float64(s.mass) + up))
}

// reach is how far below and above the books' mass the truth may lie, in mg;
// more is the standard uncertainty of something else, such as a reading.
func (s Side) reach(level, more float64) (down, up float64) {
	spread := s.std.spread()
	half := spread.half(level)
	t := twoSidedT(level, spread.DF)
	fixed := float64(float64(t*t) * (s.std.fixed() + float64(more*more)))
	below := float64(s.std.gone * (exp(math.Min(half, 100)) - 1))
	above := float64(s.std.gone * (1 - exp(-math.Min(half, 100))))
	return math.Sqrt(float64(below*below) + fixed), math.Sqrt(float64(above*above) + fixed)
}

// Left returns what is in the whole box with its ends at a level, as Interval
// does for one compartment. The rate's error is the same for all of them.
func (s Seed) Left(level float64) (low, high units.Mass) {
	all := Side{}
	for _, side := range s.Sides {
		d := side.std
		all.mass += side.mass
		all.std.loose += d.fixed()
		all.std.gone += d.gone
		all.std.rate += d.rate
		if d.freedom > 0 && (all.std.freedom == 0 || d.freedom < all.std.freedom) {
			all.std.freedom = d.freedom
		}
	}
	return all.Interval(level)
}

// Seed is what is in a box by the books, compartment by compartment and lot by
// lot, and what has gone out of it. Masses are whole milligrams by integer
// sums, each product rounded once, half away from zero; only how far a level
// reading moves them passes through square roots and quotients, which every
// processor rounds alike.
type Seed struct {
	Sides    []Side
	Gone     []Gone
	Balances []Balance
}

// SeedIn follows the seed in a box through its events. rows says how many rows
// each compartment feeds: one number for a box that is not divided. Seed of
// the lot that was poured first goes out first, unless it was blended. It fails with a *RangeError
// that names the event, and with units.ErrOverflow.
func SeedIn(rows []int, events []BoxEvent) (Seed, error) {
	if len(rows) == 0 {
		return Seed{}, refuse("number of compartments", 0, "1 or more")
	}
	s := Seed{Sides: make([]Side, len(rows))}
	for i, n := range rows {
		if n < 1 || n > maxRows {
			return Seed{}, refuse("rows fed by a compartment", n, "from 1 to %d", maxRows)
		}
		s.Sides[i].Rows = n
	}
	for i, e := range events {
		if err := e.check(i, len(rows)); err != nil {
			return Seed{}, err
		}
		if err := s.apply(i, e); err != nil {
			return Seed{}, err
		}
	}
	return s, nil
}

// greatestMass bounds every mass in mg at a million tonnes, so that sums of
// many stay far below 64 bits.
const greatestMass = 1e15

func (e BoxEvent) check(index, sides int) error {
	name := func(quantity string) string { return quantity + " of box event " + strconv.Itoa(index+1) }
	switch {
	case e.Kind < Poured || e.Kind > LevelRead:
		return refuse(name("kind"), int(e.Kind), "from %d to %d", Poured, LevelRead)
	case e.Side < AllSides || e.Side >= sides:
		return refuse(name("compartment"), e.Side, "from 0 to %d, or %d for all", sides-1, AllSides)
	case e.Mass < 0 || e.Mass > greatestMass:
		return refuse(name("mass"), e.Mass, "from 0 to 1,000,000 t")
	case e.Std < 0 || e.Std > greatestMass:
		return refuse(name("uncertainty of the mass"), e.Std, "from 0 to 1,000,000 t")
	case e.Area < 0:
		return refuse(name("area"), e.Area, "0 or more")
	case e.Rate < 0 || e.Rate > greatestRate:
		return refuse(name("rate"), e.Rate, "from 0 to 100,000 kg/ha")
	case !(e.RateSpread.Var >= 0 && e.RateSpread.Var <= 1):
		return refuse(name("variance of the rate"), e.RateSpread.Var, "from 0 to 1")
	case e.RateSpread.Var > 0 && !(e.RateSpread.DF >= 1):
		return refuse(name("degrees of freedom of the rate"), e.RateSpread.DF, "1 or more")
	case !(math.Abs(e.RateLevel) <= 1):
		return refuse(name("share of the rate that a level makes doubtful"), e.RateLevel, "from -1 to 1")
	}
	return nil
}
