package farm

import (
	"fmt"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// watchDrain holds what was let out against all that can be in the box or its
// side, and what is said to be all of it against the least that must be. It says
// what is in doubt, if anything, until somebody has looked.
func (f *flow) watchDrain(d *deed, b *entry.Drained) (asked drainAsked) {
	side := f.side(b.Side)
	can, r := f.can(side), d.rec
	f.content.last = nil
	l := levelSeen{
		&entry.LevelRead{Box: b.Box, Side: b.Side, Mass: entry.Some(b.Mass), MassIn: b.MassIn},
		b.Mass, can, f.massIn(side), rate.Scaled(can.most, aboveMost),
	}
	switch {
	case f.openDouble(d): // which may have been let out by its twin alone
	case can.above(b.Mass):
		asked.tooMuch = true
		f.content.odd = append(f.content.odd, overDrain{r, b, can.most, f.otherSides(side, b.Mass)})
	case b.All && b.Mass > 0 && l.tooLow(f.s.system(), 0):
		asked.tooLittle = !f.s.covered(LevelTooLow, r)
		f.content.odd = append(f.content.odd, smallAll{r, b, l})
	}
	f.takeOut(side, b.Mass, b.All)
	return asked
}

// drainAsked is what is in doubt of a drain.
type drainAsked struct{ tooMuch, tooLittle bool }

// overDrain is a drain of more than can have been there.
type overDrain struct {
	rec   *rec
	body  *entry.Drained
	most  units.Mass
	other []int64 // sides that can have held it
}

func (s *slipSt) overDrainSlip(f *flow, o overDrain) slip {
	return slip{
		finding: finding{OverDrained, "box " + s.name(f.box.id), []*rec{o.rec}}, field: "mass", figure: entry.Some(int64(o.body.Mass)),
		says: func() slipWords { return s.drainWords(o.body, o.most, o.other) },
	}
}

// smallAll is a drain of all that was far less than can have been there.
type smallAll struct {
	rec  *rec
	body *entry.Drained
	levelSeen
}

func (s *slipSt) smallAllSlip(f *flow, o smallAll) slip {
	return slip{
		finding: finding{LevelTooLow, "box " + s.name(f.box.id), []*rec{o.rec}}, field: "mass", figure: entry.Some(int64(o.body.Mass)),
		says: func() slipWords { return s.notAllWords(o.body, &o.levelSeen) },
	}
}

// notAllWords is that what was let out is far too little to be all that was
// there: grams that were written for pounds, a point too far left, or a part.
func (s *slipSt) notAllWords(b *entry.Drained, l *levelSeen) slipWords {
	text := b.Mass.As(b.MassIn, s.system())
	w := slipWords{written: text, why: fmt.Sprintf("%s is far too little to be all that was in %s: %s",
		text, s.boxSide(b.Box, b.Side), s.heldText(l.can.least, l.books))}
	for _, m := range levelsMeant(l, s.system()) {
		level, c := m.body.(*entry.LevelRead), *b
		c.Mass, c.MassIn = level.Mass.Val, level.MassIn
		m.body = &c
		w.instead = append(w.instead, m)
	}
	c := *b
	c.All = false
	w.instead = append(w.instead, meant{text: text + ", not all of it", value: entry.Some(int64(b.Mass)), body: &c})
	return w
}

// otherSides are those that can hold what was let out of one.
func (f *flow) otherSides(side int, m units.Mass) (sides []int64) {
	for i := range f.content.sides {
		if side != rate.AllSides && i != side && !f.can(i).above(m) {
			sides = append(sides, f.sideNumber(i))
		}
	}
	return sides
}

func (s *slipSt) drainWords(b *entry.Drained, most units.Mass, sides []int64) slipWords {
	text, at := b.Mass.As(b.MassIn, s.system()), s.about(most)+" at the most"
	if most == 0 {
		at = "nothing, by the record"
	}
	w := slipWords{written: text, why: fmt.Sprintf("%s let out is more than can have been in %s: %s", text, s.boxSide(b.Box, b.Side), at)}
	for _, side := range sides {
		c := *b
		c.Side = side
		w.instead = append(w.instead, meant{text: text + " from " + s.boxSide(b.Box, side), how: "the other side", value: entry.Some(side), body: &c})
	}
	if m := b.Mass / 10; m <= most {
		c := *b
		c.Mass = m
		w.instead = append(w.instead, meant{text: m.As(b.MassIn, s.system()), how: "a point left out", value: entry.Some(int64(m)), body: &c})
	}
	return w
}

// about is a mass that was worked out, in words.
func (s *workSt) about(m units.Mass) string { return m.About(s.system()) }

// heldText is what is in a box in words: what is likely by the books, and what
// is there at the least.
func (s *slipSt) heldText(least, likely units.Mass) string {
	switch {
	case likely <= least:
		return "at least " + s.about(least)
	case least == 0:
		return "likely " + s.about(likely)
	}
	return "likely " + s.about(likely) + " (at least " + s.about(least) + ")"
}

// takenOff is how sure it is that more was let out than the books had there: as
// sure as for a level that does not agree with them.
const takenOff = 0.99

// watchTaken finds what was let out and is more than the books had there, by
// more than chance.
func (f *flow) watchTaken(r *rec, side int, b *entry.Drained, w rate.Weighed) {
	var high units.Mass
	if f.whole(side) {
		_, high = f.seed.Left(takenOff)
	} else {
		_, high = f.seed.Sides[side].Interval(takenOff)
	}
	if w.Mass-3*w.Doubt <= high {
		return
	}
	f.short = append(f.short, r)
	if f.sums == nil {
		f.sums = map[*rec]string{}
	}
	f.sums[r] = b.Mass.As(b.MassIn, f.s.system()) + " was let out, and by the books no more than " + f.s.about(high) + " was there"
}
