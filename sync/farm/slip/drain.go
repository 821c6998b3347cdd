package slip

import (
	"fmt"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/work"
	"turnrow/sync/units"
)

func (s *Slips) overDrainSlip(f *work.Flow, o work.OverDrain) Slip {
	return Slip{
		Finding: order.Finding{Kind: conflict.OverDrained, About: "box " + s.Name(f.Box.ID), Recs: []*order.Rec{o.Rec}}, field: "mass", figure: entry.Some(int64(o.Body.Mass)),
		says: func() slipWords { return s.drainWords(o.Body, o.Most, o.Other) },
	}
}

func (s *Slips) smallAllSlip(f *work.Flow, o work.SmallAll) Slip {
	return Slip{
		Finding: order.Finding{Kind: conflict.LevelTooLow, About: "box " + s.Name(f.Box.ID), Recs: []*order.Rec{o.Rec}}, field: "mass", figure: entry.Some(int64(o.Body.Mass)),
		says: func() slipWords { return s.notAllWords(o.Body, &o.LevelSeen) },
	}
}

// notAllWords is that what was let out is far too little to be all that was
// there: grams that were written for pounds, a point too far left, or a part.
func (s *Slips) notAllWords(b *entry.Drained, l *work.LevelSeen) slipWords {
	text := b.Mass.As(b.MassIn, s.System())
	w := slipWords{written: text, why: fmt.Sprintf("%s is far too little to be all that was in %s: %s",
		text, s.BoxSide(b.Box, b.Side), s.heldText(l.Can.Least, l.Books))}
	for _, m := range levelsMeant(l, s.System()) {
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

func (s *Slips) drainWords(b *entry.Drained, most units.Mass, sides []int64) slipWords {
	text, at := b.Mass.As(b.MassIn, s.System()), s.About(most)+" at the most"
	if most == 0 {
		at = "nothing, by the record"
	}
	w := slipWords{written: text, why: fmt.Sprintf("%s let out is more than can have been in %s: %s", text, s.BoxSide(b.Box, b.Side), at)}
	for _, side := range sides {
		c := *b
		c.Side = side
		w.instead = append(w.instead, meant{text: text + " from " + s.BoxSide(b.Box, side), how: "the other side", value: entry.Some(side), body: &c})
	}
	if m := b.Mass / 10; m <= most {
		c := *b
		c.Mass = m
		w.instead = append(w.instead, meant{text: m.As(b.MassIn, s.System()), how: "a point left out", value: entry.Some(int64(m)), body: &c})
	}
	return w
}

// heldText is what is in a box in words: what is likely by the books, and what
// is there at the least.
func (s *Slips) heldText(least, likely units.Mass) string {
	switch {
	case likely <= least:
		return "at least " + s.About(least)
	case least == 0:
		return "likely " + s.About(likely)
	}
	return "likely " + s.About(likely) + " (at least " + s.About(least) + ")"
}
