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
	Mass  units.Mass
	Doubt units.Mass // standard uncertainty of Mass
	// Area is the ground that the whole drill worked, and Rate the seed that
	// the rows fed here put on their part of it (Sown only).
	Area units.Area
	Rate units.RatePerArea
	// RateDoubt is the standard uncertainty of Rate, as a share of it. That of
	// one box's stretches is taken as one and the same error.
	RateDoubt units.Share
}

// Layer is seed of one lot in a compartment.
type Layer struct {
	Lot  string
	Mass units.Mass
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
	Allowed     units.Mass // how far apart chance puts them, 99 times in 100
	Off         bool       // further apart than that
}

// Side is what is in one compartment of a box.
type Side struct {
	Rows   int // rows that it feeds
	Layers []Layer
	// Short is seed that should have gone out after the compartment was empty
	// by the books: more was in it, or less went out, than was written down.
	Short units.Mass

	mass   units.Mass // in Layers, kept along: summing them at each event would cost the square of their number
	last   string     // lot that last went out
	loose  float64    // variance of the mass in mg² from what was poured, taken and read
	common float64    // standard uncertainty in mg that comes from the rate
}

// Mass returns the seed in the compartment: the sum of its layers.
func (s Side) Mass() units.Mass { return s.mass }

// Doubt returns the standard uncertainty of Mass, to the nearest milligram.
func (s Side) Doubt() units.Mass { return rounded(math.Sqrt(s.variance())) }

func (s Side) variance() float64 { return s.loose + float64(s.common*s.common) }

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
// the lot that was poured first goes out first. It fails with a *RangeError
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
	case e.Doubt < 0 || e.Doubt > greatestMass:
		return refuse(name("uncertainty of the mass"), e.Doubt, "from 0 to 1,000,000 t")
	case e.Area < 0:
		return refuse(name("area"), e.Area, "0 or more")
	case e.Rate < 0 || e.Rate > greatestRate:
		return refuse(name("rate"), e.Rate, "from 0 to 100,000 kg/ha")
	case e.RateDoubt < 0 || e.RateDoubt > units.Whole:
		return refuse(name("uncertainty of the rate"), e.RateDoubt, "from 0%% to 100%%")
	}
	return nil
}
