package work

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/message"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// watchDrain holds what was let out against all that can be in the box or its
// side, and what is said to be all of it against the least that must be. It says
// what is in doubt, if anything, until somebody has looked.
func (f *Flow) watchDrain(d *thing.Deed, b *entry.Drained) (asked drainAsked) {
	side := f.Side(b.Side)
	can, r := f.can(side), d.Rec
	f.Content.last = nil
	l := LevelSeen{
		&entry.LevelRead{Box: b.Box, Side: b.Side, Mass: entry.Some(b.Mass), MassIn: b.MassIn},
		b.Mass, can, f.massIn(side), rate.Scaled(can.Most, aboveMost),
	}
	switch {
	case f.OpenDouble(d): // which may have been let out by its twin alone
	case can.above(b.Mass):
		asked.tooMuch = true
		f.Content.Odd = append(f.Content.Odd, OverDrain{r, b, can.Most, f.otherSides(side, b.Mass)})
	case b.All && b.Mass > 0 && l.tooLow(f.Work.System(), 0):
		asked.tooLittle = !f.Work.Covered(conflict.LevelTooLow, r)
		f.Content.Odd = append(f.Content.Odd, SmallAll{r, b, l})
	}
	f.takeOut(side, b.Mass, b.All)
	return asked
}

// drainAsked is what is in doubt of a drain.
type drainAsked struct{ tooMuch, tooLittle bool }

// OverDrain is a drain of more than can have been there.
type OverDrain struct {
	Rec   *order.Rec
	Body  *entry.Drained
	Most  units.Mass
	Other []int64 // sides that can have held it
}

// SmallAll is a drain of all that was far less than can have been there.
type SmallAll struct {
	Rec  *order.Rec
	Body *entry.Drained
	LevelSeen
}

// otherSides are those that can hold what was let out of one.
func (f *Flow) otherSides(side int, m units.Mass) (sides []int64) {
	for i := range f.Content.sides {
		if side != rate.AllSides && i != side && !f.can(i).above(m) {
			sides = append(sides, f.SideNumber(i))
		}
	}
	return sides
}

// takenOff is how sure it is that more was let out than the books had there: as
// sure as for a level that does not agree with them.
const takenOff = 0.99

// watchTaken finds what was let out and is more than the books had there, by
// more than chance.
func (f *Flow) watchTaken(r *order.Rec, side int, b *entry.Drained, w rate.Weighed) {
	var high units.Mass
	if f.whole(side) {
		_, high = f.Seed.Left(takenOff)
	} else {
		_, high = f.Seed.Sides[side].Interval(takenOff)
	}
	if w.Mass-3*w.Std <= high {
		return
	}
	f.short = append(f.short, r)
	if f.sums == nil {
		f.sums = map[*order.Rec]message.Message{}
	}
	f.sums[r] = message.Of("balance.taken", message.MassAs(b.Mass, b.MassIn), message.AboutMass(high))
}
