package client

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// Dial is that a box's dial was moved, or one compartment's where each has a
// dial of its own. Where it stood, and the rate that was aimed at, are taken
// from the record.
type Dial struct {
	Box     entry.ID
	Side    int64 // compartment with a dial of its own, from 1; 0 for the box's
	To      units.Dial
	Why     string
	Reading entry.Opt[units.Reading]
}

func (d Dial) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	b := r.box(v, d.Box, d.Side)
	if len(r.list) == 0 {
		r.because(b.OwnDials && d.Side == 0, "side", SideNeeded, b.Name)
		r.because(!b.OwnDials && d.Side != 0, "side", OneDialOnly, b.Name)
	}
	marks := units.Dial(len(b.MarksOf(d.Side)))
	r.because(marks > 0 && (d.To < 1000 || d.To > marks*1000 || d.To%1000 != 0), "to", OffTheDial, b.Name)
	r.because(d.Why == "", "why", Missing, "")
	return r.or(&entry.DialMoved{Box: d.Box, Side: d.Side, From: dialNow(&b, d.Side), To: d.To, Why: d.Why, Aim: b.Aim, Reading: d.Reading})
}

// dialNow is where a dial stands, as far as the record says.
func dialNow(b *farm.Box, side int64) entry.Opt[units.Dial] {
	for _, d := range b.SideDials {
		if d.Side == side {
			return entry.Some(d.Dial)
		}
	}
	if side == 0 && b.DialSet {
		return entry.Some(b.Dial)
	}
	return entry.Opt[units.Dial]{}
}

// Catch is seed that was caught and weighed, once or in repeats of one run: so
// many turns of the wheel or so far driven, under so many rows or so wide.
type Catch struct{ entry.Caught }

func (c Catch) bodies(_ *Farm, look Look, _ func(int) entry.ID) ([]entry.Body, error) {
	v := look()
	var r refusing
	b := &c.Caught
	if b.Rows == 0 && b.Width == 0 {
		b.Rows = int64(max(len(b.RowMasses), len(b.RowNumbers)))
	}
	box := r.box(v, b.Box, b.Side)
	r.lot(v, b.Lot)
	r.because(b.Turns == 0 && b.Distance == 0, c.run(), NoAmount, "")
	r.because(b.Turns > 0 && b.Distance > 0, "distance", TwoAmounts, "")
	r.because(len(b.Masses)+len(b.RowMasses) == 0, "caught", NoAmount, "")
	r.because(b.Rows == 0 && b.Width == 0, "rows", NoAmount, "")
	r.because(b.Rows > 0 && b.Width > 0, "width", TwoAmounts, "")
	if len(r.list) > 0 {
		return nil, r.list
	}
	drill, _ := v.DrillOf(box.Drill)
	r.rate(b, drill)
	return r.or(b)
}

// run is the field that says how far the wheel went.
func (c Catch) run() string {
	if c.Way == entry.Moving {
		return "distance"
	}
	return "turns"
}

// rate checks that a rate follows from a catch on a drill. Where rows were
// weighed together as well as one by one, the two must agree.
func (r *refusing) rate(b *entry.Caught, d farm.Drill) {
	run := farm.CatchOf(b, d)
	if !r.because(b.Turns > 0 && d.Roll == 0, "turns", RollUnknown, d.Name) &&
		!r.because(run.Spacing == 0, "rows", SpacingUnknown, d.Name) {
		_, err := run.Rate()
		r.failed(err, "caught", NoRate, "")
	}
}
