package entry

import "turnrow/sync/units"

// CounterKind says what a drill's counter counts.
type CounterKind uint8

// The kinds of counter.
const (
	NoCounter      CounterKind = iota // not known
	CountsAcres                       // shows acres
	CountsTurns                       // shows turns of a shaft, so many to the acre
	CountsHectares                    // shows hectares
	lastCounter    = CountsHectares
)

// DrillSet makes a drill, or changes what is set of it. The zero Drill makes a
// new one.
type DrillSet struct {
	Drill        ID
	Name         Opt[string]
	Rows         Opt[int64]
	Spacing      Opt[units.Length] // between rows
	Width        Opt[units.Length] // working width, where it is not rows × spacing
	Roll         Opt[units.Length] // rolling circumference of the wheel that drives the meters
	WheelTurns   Opt[units.Turns]  // turns of that wheel to the acre
	Counter      CounterKind       // NoCounter where it does not change
	CounterTurns Opt[units.Turns]  // turns of the counted shaft to the acre
}

// BoxSet makes a seed box of a drill, or changes what is set of it. The zero
// Box makes a new one.
type BoxSet struct {
	Box      ID
	Drill    ID // given for a new box
	Name     Opt[string]
	Meter    Opt[string] // kind of meter, such as fluted roll
	DialFrom Opt[units.Dial]
	DialTo   Opt[units.Dial] // lower than DialFrom where more is less
	Capacity Opt[units.Volume]
	Sides    []string   // names of its compartments; none where it has one, or where they do not change
	RowsFed  []int64    // rows that each compartment feeds; empty where all are shared alike
	OwnDials Opt[int64] // 1 where each compartment has a dial of its own
}

// ChartPointSet is one point of the chart under the lid.
type ChartPointSet struct {
	Box     ID
	Species string
	Dial    units.Dial
	Rate    units.RatePerArea // 0 takes the point away
	Printed string            // the rate as it is printed, such as 0.4 bu/ac, where that is no mass
}

// Kind of the body.
func (*DrillSet) Kind() Kind { return KindDrillSet }

// Fields of the body.
func (b *DrillSet) Fields(f Fields) {
	f.Ref(1, &b.Drill)
	f.OptText(2, &b.Name.Set, &b.Name.Val)
	f.OptInt(3, &b.Rows.Set, (*int64)(&b.Rows.Val))
	f.OptInt(4, &b.Spacing.Set, (*int64)(&b.Spacing.Val))
	f.OptInt(5, &b.Width.Set, (*int64)(&b.Width.Val))
	f.OptInt(6, &b.Roll.Set, (*int64)(&b.Roll.Val))
	f.OptInt(7, &b.WheelTurns.Set, (*int64)(&b.WheelTurns.Val))
	number(f, 8, &b.Counter)
	f.OptInt(9, &b.CounterTurns.Set, (*int64)(&b.CounterTurns.Val))
}

// Check the body's ranges.
func (b *DrillSet) Check() error {
	return first(newThing("drill", b.Drill, b.Name), betweenOpt("rows", b.Rows, 1, maxRow),
		betweenOpt("row spacing", b.Spacing, 1, maxLength), betweenOpt("width", b.Width, 1, maxLength),
		betweenOpt("wheel roll", b.Roll, 1, maxLength), betweenOpt("wheel turns per acre", b.WheelTurns, 1, maxTurns),
		between("counter", b.Counter, NoCounter, lastCounter),
		betweenOpt("counter turns per acre", b.CounterTurns, 1, maxTurns))
}

// Kind of the body.
func (*BoxSet) Kind() Kind { return KindBoxSet }

// Fields of the body.
func (b *BoxSet) Fields(f Fields) {
	f.Ref(1, &b.Box)
	f.Ref(2, &b.Drill)
	f.OptText(3, &b.Name.Set, &b.Name.Val)
	f.OptText(4, &b.Meter.Set, &b.Meter.Val)
	f.OptInt(5, &b.DialFrom.Set, (*int64)(&b.DialFrom.Val))
	f.OptInt(6, &b.DialTo.Set, (*int64)(&b.DialTo.Val))
	f.OptInt(7, &b.Capacity.Set, (*int64)(&b.Capacity.Val))
	f.Texts(8, &b.Sides)
	f.Ints(9, len(b.RowsFed), func() { b.RowsFed = append(b.RowsFed, 0) }, func(i int) *int64 { return &b.RowsFed[i] })
	f.OptInt(10, &b.OwnDials.Set, (*int64)(&b.OwnDials.Val))
}

// Check the body's ranges.
func (b *BoxSet) Check() error {
	if b.Box.IsZero() {
		if err := given("drill", b.Drill); err != nil {
			return err
		}
	}
	for _, s := range b.Sides {
		if err := named("side", s, MaxName); err != nil {
			return err
		}
	}
	for _, r := range b.RowsFed {
		if err := between("rows fed", r, 0, maxRow); err != nil {
			return err
		}
	}
	if b.DialFrom.Set && b.DialTo.Set && b.DialTo.Val == b.DialFrom.Val {
		return &RangeError{"dial range", "empty", "from one mark to another"}
	}
	return first(newThing("box", b.Box, b.Name), textOpt("meter", b.Meter, MaxName),
		betweenOpt("dial from", b.DialFrom, 0, maxDial), betweenOpt("dial to", b.DialTo, 0, maxDial),
		betweenOpt("capacity", b.Capacity, 1, maxVolume), between("sides", len(b.Sides), 0, 16),
		between("rows fed", len(b.RowsFed), 0, 16), betweenOpt("own dials", b.OwnDials, 0, 1))
}

// Kind of the body.
func (*ChartPointSet) Kind() Kind { return KindChartPointSet }

// Fields of the body.
func (b *ChartPointSet) Fields(f Fields) {
	f.Ref(1, &b.Box)
	f.Text(2, &b.Species)
	f.Int(3, (*int64)(&b.Dial))
	f.Int(4, (*int64)(&b.Rate))
	f.Text(5, &b.Printed)
}

// Check the body's ranges.
func (b *ChartPointSet) Check() error {
	return first(given("box", b.Box), named("species", b.Species, MaxName),
		between("dial", b.Dial, 0, maxDial), between("rate", b.Rate, 0, maxRate), text("printed rate", b.Printed, MaxName))
}
