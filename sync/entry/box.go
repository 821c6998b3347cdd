package entry

import "turnrow/sync/units"

// Filled is seed of a lot poured into a box.
type Filled struct {
	Box     ID
	Side    int64 // compartment, from 1; 0 for evenly over all
	Lot     ID
	Mass    units.Mass  // 0 where Bags says it
	Bags    units.Count // 0 where Mass says it
	Reading Opt[units.Reading]
	Note    string
	MassIn  units.In // as the mass was written
}

// Drained is seed let out of a box.
type Drained struct {
	Box     ID
	Side    int64
	Mass    units.Mass // 0 where All says it
	All     bool       // the box, or its side, is empty now
	Where   string     // where the seed went
	Reading Opt[units.Reading]
	MassIn  units.In // as the mass was written
}

// LevelRead is what someone saw in a box: a mass, or a share of full.
type LevelRead struct {
	Box     ID
	Side    int64
	Mass    Opt[units.Mass]
	Share   Opt[units.Share]
	Reading Opt[units.Reading]
	Note    string
	MassIn  units.In // as the mass was written
}

// Kind of the body.
func (*Filled) Kind() Kind { return KindFilled }

// Fields of the body.
func (b *Filled) Fields(f Fields) {
	f.Ref(1, &b.Box)
	f.Int(2, &b.Side)
	f.Ref(3, &b.Lot)
	f.Int(4, (*int64)(&b.Mass))
	f.Int(5, (*int64)(&b.Bags))
	f.OptInt(6, &b.Reading.Set, (*int64)(&b.Reading.Val))
	f.Text(7, &b.Note)
	f.Uint(8, (*uint64)(&b.MassIn))
}

// Check the body's ranges.
func (b *Filled) Check() error {
	if (b.Mass > 0) == (b.Bags > 0) {
		return &RangeError{"amount", "not one figure", "a mass or a number of bags"}
	}
	return first(given("box", b.Box), between("side", b.Side, 0, 16), given("lot", b.Lot),
		between("mass", b.Mass, 0, maxMass), between("bags", b.Bags, 0, maxCount),
		betweenOpt("counter's reading", b.Reading, 0, maxReading), text("note", b.Note, MaxText),
		between("units of the mass", b.MassIn, 0, units.MassIn))
}

// Kind of the body.
func (*Drained) Kind() Kind { return KindDrained }

// Fields of the body.
func (b *Drained) Fields(f Fields) {
	f.Ref(1, &b.Box)
	f.Int(2, &b.Side)
	f.Int(3, (*int64)(&b.Mass))
	flag(f, 4, &b.All)
	f.Text(5, &b.Where)
	f.OptInt(6, &b.Reading.Set, (*int64)(&b.Reading.Val))
	f.Uint(7, (*uint64)(&b.MassIn))
}

// Check the body's ranges. A drain of all may say what it weighed.
func (b *Drained) Check() error {
	if !b.All && b.Mass == 0 {
		return &RangeError{"amount", "missing", "a mass, or all"}
	}
	return first(given("box", b.Box), between("side", b.Side, 0, 16), between("mass", b.Mass, 0, maxMass),
		text("where", b.Where, MaxText), betweenOpt("counter's reading", b.Reading, 0, maxReading),
		between("units of the mass", b.MassIn, 0, units.MassIn))
}

// Kind of the body.
func (*LevelRead) Kind() Kind { return KindLevelRead }

// Fields of the body.
func (b *LevelRead) Fields(f Fields) {
	f.Ref(1, &b.Box)
	f.Int(2, &b.Side)
	f.OptInt(3, &b.Mass.Set, (*int64)(&b.Mass.Val))
	f.OptInt(4, &b.Share.Set, (*int64)(&b.Share.Val))
	f.OptInt(5, &b.Reading.Set, (*int64)(&b.Reading.Val))
	f.Text(6, &b.Note)
	f.Uint(7, (*uint64)(&b.MassIn))
}

// Check the body's ranges.
func (b *LevelRead) Check() error {
	if b.Mass.Set == b.Share.Set {
		return &RangeError{"level", "not one figure", "a mass or a share of full"}
	}
	return first(given("box", b.Box), between("side", b.Side, 0, 16), betweenOpt("mass", b.Mass, 0, maxMass),
		betweenOpt("share of full", b.Share, 0, units.Whole),
		betweenOpt("counter's reading", b.Reading, 0, maxReading), text("note", b.Note, MaxText),
		between("units of the mass", b.MassIn, 0, units.MassIn))
}
