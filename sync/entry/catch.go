package entry

import (
	"fmt"
	"slices"

	"turnrow/sync/units"
)

// Caught is a catch: seed caught and weighed over so many turns of the wheel,
// or so far driven.
type Caught struct {
	Box        ID
	Side       int64 // compartment, from 1; 0 for all
	Lot        ID
	Dial       units.Dial
	Turns      units.Turns  // 0 where Distance says it
	Distance   units.Length // 0 where Turns says it
	Rows       int64        // rows caught; 0 where Width says it
	Masses     []units.Mass // in all, one for each repeat of the run; may be left out with RowMasses. 0 is a plugged meter
	RowMasses  []units.Mass // one a row of one run, where they were weighed apart
	Resolution units.Mass   // the scale's; 0 where it is not known
	Note       string
	RowNumbers []int64      // which rows were caught, from 1 on the left; none where nobody said
	Width      units.Length // caught; 0 where Rows says it
	Weighings  int64        // readings of the scale behind each mass; 0 where nobody said
	Way        CatchWay
	Reading    Opt[units.Reading] // the counter's, if known
	MassIn     units.In           // as all the masses were written; 0 where they differ
	DistanceIn units.In           // as the distance was written
	WidthIn    units.In           // as the width was written
}

// CatchWay is how a catch was made. A drill that stands and one that moves
// give different rates, so the two share no mean.
type CatchWay uint8

// The ways of a catch.
const (
	WayNotSaid CatchWay = iota
	Standing            // the wheel was turned by hand, with the drill blocked
	Moving              // the drill was driven
)

// DialMarked is what stands on a dial that has marks in place of numbers, or
// none where it has numbers again. The first mark is dial 1, the next one 2.
type DialMarked struct {
	Box   ID
	Side  int64 // compartment with a dial of its own, from 1; 0 for the box's
	Marks []string
}

// DialMoved is a box's dial set to another mark.
type DialMoved struct {
	Box     ID
	Side    int64 // compartment with a dial of its own, from 1; 0 for the box's
	From    Opt[units.Dial]
	To      units.Dial
	Why     string
	Aim     units.RatePerArea  // plan rate that it aims at; 0 where none
	Reading Opt[units.Reading] // the counter's, if known
}

// Kind of the body.
func (*Caught) Kind() Kind { return KindCaught }

// Fields of the body.
func (b *Caught) Fields(f Fields) {
	f.Ref(1, &b.Box)
	f.Int(2, &b.Side)
	f.Ref(3, &b.Lot)
	f.Int(4, (*int64)(&b.Dial))
	f.Int(5, (*int64)(&b.Turns))
	f.Int(6, (*int64)(&b.Distance))
	f.Int(7, &b.Rows)
	masses(f, 8, &b.Masses)
	masses(f, 9, &b.RowMasses)
	f.Int(10, (*int64)(&b.Resolution))
	f.Text(11, &b.Note)
	f.Ints(12, len(b.RowNumbers), func() { b.RowNumbers = append(b.RowNumbers, 0) }, func(i int) *int64 { return &b.RowNumbers[i] })
	f.Int(13, (*int64)(&b.Width))
	f.Int(14, &b.Weighings)
	number(f, 15, &b.Way)
	f.OptInt(16, &b.Reading.Set, (*int64)(&b.Reading.Val))
	f.Uint(17, (*uint64)(&b.MassIn))
	f.Uint(18, (*uint64)(&b.DistanceIn))
	f.Uint(19, (*uint64)(&b.WidthIn))
}

// Check the body's ranges.
func (b *Caught) Check() error {
	if err := first(eachBetween("mass caught", b.Masses, 0, maxMass), eachBetween("row's mass", b.RowMasses, 0, maxMass),
		eachBetween("row", b.RowNumbers, 1, maxRow)); err != nil {
		return err
	}
	switch {
	case (b.Turns > 0) == (b.Distance > 0):
		return &RangeError{"turns and distance", "not one figure", "turns or a distance"}
	case (b.Rows > 0) == (b.Width > 0):
		return &RangeError{"rows and width", "not one figure", "rows caught, or the width caught"}
	case len(b.Masses)+len(b.RowMasses) == 0:
		return &RangeError{"mass caught", "missing", "the mass of each repeat, or of each row of one run"}
	case len(b.Masses) > 1 && len(b.RowMasses) > 0:
		return &RangeError{"repeats", fmt.Sprint(len(b.Masses)), "one at most where rows were weighed apart"}
	case len(b.RowNumbers) > 0 && int64(len(b.RowNumbers)) != b.Rows:
		return &RangeError{"rows named", fmt.Sprint(len(b.RowNumbers)), fmt.Sprintf("the %d rows caught", b.Rows)}
	}
	return first(given("box", b.Box), between("side", b.Side, 0, 16), given("lot", b.Lot),
		between("dial", b.Dial, 0, maxDial), between("turns", b.Turns, 0, maxTurns),
		between("distance", b.Distance, 0, maxLength), between("rows", b.Rows, 0, maxRow),
		between("repeats", len(b.Masses), 0, MaxList), between("row masses", len(b.RowMasses), 0, MaxList),
		between("scale's resolution", b.Resolution, 0, maxMass), text("note", b.Note, MaxText),
		between("width", b.Width, 0, maxLength), between("weighings", b.Weighings, 0, 100),
		between("way of the catch", b.Way, WayNotSaid, Moving), betweenOpt("counter's reading", b.Reading, 0, maxReading),
		between("units of the masses", b.MassIn, 0, units.MassIn), between("units of the distance", b.DistanceIn, 0, units.LengthIn),
		between("units of the width", b.WidthIn, 0, units.LengthIn))
}

// Kind of the body.
func (*DialMoved) Kind() Kind { return KindDialMoved }

// Fields of the body.
func (b *DialMoved) Fields(f Fields) {
	f.Ref(1, &b.Box)
	f.Int(2, &b.Side)
	f.OptInt(3, &b.From.Set, (*int64)(&b.From.Val))
	f.Int(4, (*int64)(&b.To))
	f.Text(5, &b.Why)
	f.Int(6, (*int64)(&b.Aim))
	f.OptInt(7, &b.Reading.Set, (*int64)(&b.Reading.Val))
}

// Check the body's ranges.
func (b *DialMoved) Check() error {
	return first(given("box", b.Box), between("side", b.Side, 0, 16), betweenOpt("dial from", b.From, 0, maxDial),
		between("dial", b.To, 0, maxDial), text("why", b.Why, MaxText), between("aim", b.Aim, 0, maxRate),
		betweenOpt("counter's reading", b.Reading, 0, maxReading))
}

// Kind of the body.
func (*DialMarked) Kind() Kind { return KindDialMarked }

// Fields of the body.
func (b *DialMarked) Fields(f Fields) {
	f.Ref(1, &b.Box)
	f.Int(2, &b.Side)
	f.Texts(3, &b.Marks)
}

// Check the body's ranges: each mark stands on the dial once.
func (b *DialMarked) Check() error {
	for i, m := range b.Marks {
		if err := named("mark", m, MaxName); err != nil {
			return err
		}
		if slices.Contains(b.Marks[:i], m) {
			return &RangeError{"mark", m + " twice", "each mark once"}
		}
	}
	return first(given("box", b.Box), between("side", b.Side, 0, 16), between("marks", len(b.Marks), 0, MaxList))
}
