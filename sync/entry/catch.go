package entry

import "turnrow/sync/units"

// Caught is a catch: seed caught and weighed over so many turns of the wheel,
// or so far driven.
type Caught struct {
	Box        ID
	Side       int64 // compartment, from 1; 0 for all
	Lot        ID
	Dial       units.Dial
	Turns      units.Turns  // 0 where Distance says it
	Distance   units.Length // 0 where Turns says it
	Rows       int64        // rows caught
	Mass       units.Mass   // in all
	RowMasses  []units.Mass // one a row, where they were weighed apart; they stand above Mass
	Resolution units.Mass   // the scale's; 0 where it is not known
	Note       string
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
	f.Int(8, (*int64)(&b.Mass))
	masses(f, 9, &b.RowMasses)
	f.Int(10, (*int64)(&b.Resolution))
	f.Text(11, &b.Note)
}

// Check the body's ranges.
func (b *Caught) Check() error {
	for _, m := range b.RowMasses {
		if err := between("row's mass", m, 0, maxMass); err != nil {
			return err
		}
	}
	if (b.Turns > 0) == (b.Distance > 0) {
		return &RangeError{"turns and distance", "not one figure", "turns or a distance"}
	}
	return first(given("box", b.Box), between("side", b.Side, 0, 16), given("lot", b.Lot),
		between("dial", b.Dial, 0, maxDial), between("turns", b.Turns, 0, maxTurns),
		between("distance", b.Distance, 0, maxLength), between("rows", b.Rows, 1, 1000),
		between("mass", b.Mass, 0, maxMass), between("row masses", len(b.RowMasses), 0, MaxList),
		between("scale's resolution", b.Resolution, 0, maxMass), text("note", b.Note, MaxText))
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
