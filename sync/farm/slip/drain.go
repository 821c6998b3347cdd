package slip

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

func (s *Slips) overDrainSlip(f *work.Flow, o work.OverDrain) Slip {
	return Slip{
		Finding: order.Finding{Kind: conflict.OverDrained, About: s.ThingText(f.Box), Recs: []*order.Rec{o.Rec}}, field: "mass", figure: entry.Some(int64(o.Body.Mass)),
		says: func() reason { return s.drainWords(o.Body, o.Most, o.Other) },
	}
}

func (s *Slips) smallAllSlip(f *work.Flow, o work.SmallAll) Slip {
	return Slip{
		Finding: order.Finding{Kind: conflict.LevelTooLow, About: s.ThingText(f.Box), Recs: []*order.Rec{o.Rec}}, field: "mass", figure: entry.Some(int64(o.Body.Mass)),
		says: func() reason { return s.notAllWords(o.Body, &o.LevelSeen) },
	}
}

// notAllWords is that what was let out is far too little to be all that was
// there: grams that were written for pounds, a point too far left, or a part.
func (s *Slips) notAllWords(b *entry.Drained, l *work.LevelSeen) reason {
	mass := message.MassAs(b.Mass, b.MassIn)
	w := reason{written: shown(mass), why: message.Of("slip.not-all", mass, s.BoxText(b.Box, b.Side), held(l.Can.Least, l.Books))}
	for _, m := range levelsMeant(l, s.System()) {
		level, c := m.body.(*entry.LevelRead), *b
		c.Mass, c.MassIn = level.Mass.Val, level.MassIn
		m.body = &c
		w.instead = append(w.instead, m)
	}
	c := *b
	c.All = false
	w.instead = append(w.instead, meant{text: message.Of("choice.not-all", mass), value: entry.Some(int64(b.Mass)), body: &c})
	return w
}

func (s *Slips) drainWords(b *entry.Drained, most units.Mass, sides []int64) reason {
	mass, at := message.MassAs(b.Mass, b.MassIn), message.Of("held.most", message.AboutMass(most))
	if most == 0 {
		at = message.Of("held.nothing")
	}
	w := reason{written: shown(mass), why: message.Of("slip.over-drained", mass, s.BoxText(b.Box, b.Side), at)}
	for _, side := range sides {
		c := *b
		c.Side = side
		w.instead = append(w.instead, meant{text: message.Of("choice.from", mass, s.BoxText(b.Box, side)), how: message.Of("how.other-side"), value: entry.Some(side), body: &c})
	}
	if m := b.Mass / 10; m <= most {
		c := *b
		c.Mass = m
		w.instead = append(w.instead, meant{text: shown(message.MassAs(m, b.MassIn)), how: message.Of("how.point-left-out"), value: entry.Some(int64(m)), body: &c})
	}
	return w
}

// held is what is in a box: what is likely by the books, and what is there at the
// least.
func held(least, likely units.Mass) message.Message {
	switch {
	case likely <= least:
		return message.Of("held.least", message.AboutMass(least))
	case least == 0:
		return message.Of("held.likely", message.AboutMass(likely))
	}
	return message.Of("held.likely-least", message.AboutMass(likely), message.AboutMass(least))
}
