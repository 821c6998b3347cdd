package slip

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/tell"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// Limits beyond which what is written of the seed in a box is asked about.
const (
	// manyBags is from how many bags on, in thousandths, a mass may have been meant:
	// fewer pounds of seed are not poured.
	manyBags = 10_000
	// moreThanCame is how far above the bags that came what left them may lie: a
	// bag is filled to a little more than its mass.
	moreThanCame = 1.05
)

func (s *Slips) twiceSlip(f *work.Flow, o work.FillTwice) Slip {
	a, b := o.First, o.Second
	return Slip{
		Finding: order.Finding{Kind: conflict.PouredTwice, About: s.ThingText(f.Box), Recs: []*order.Rec{a.Rec, b.Rec}},
		says: func() reason {
			return reason{
				why:     message.Of("slip.poured-twice", s.What(b.Rec.Eff), minutes(b.At-a.At)),
				written: message.Of("choice.filled-twice"),
				instead: []meant{{text: message.Of("choice.filled-once"), how: message.Of("how.leave-second-out")}},
			}
		},
	}
}

// minutes is a span of ms in whole minutes.
func minutes(ms int64) message.Message {
	n := (ms + 30_000) / 60_000
	if n < 1 {
		return message.Of("minutes.none")
	}
	return message.Of("minutes", message.Whole(n))
}

func (s *Slips) overFullSlip(f *work.Flow, o work.OverFill) Slip {
	d, least, likely, full := o.Deed, o.Least, o.Likely, o.Full
	sl := Slip{
		Finding: order.Finding{Kind: conflict.OverFull, About: s.ThingText(f.Box), Recs: []*order.Rec{d.Rec}},
		figure:  entry.Some(d.Much), field: drawnField(d.Rec.Eff),
	}
	b, plain := d.Rec.Eff.(*entry.Filled)
	sl.says = func() reason {
		m := s.Weighs(d)
		w := reason{why: message.Of("slip.over-full", message.Mass(m), s.Called(s.LotOf(d)), s.Called(f.Box.ID), message.AboutMass(full)), written: shown(message.Mass(m))}
		if least > 0 {
			w.why = message.Of("slip.over-full-with", w.why, held(least, likely))
		}
		if plain {
			w.written = shown(tell.Amount(b))
			w.instead = s.smallerFill(b, rate.Scaled(full, work.OverFull)-least)
		}
		return w
	}
	return sl
}

// smallerFill is what may have been meant by a fill of which there is room for
// so many mg alone: a mass that was typed as bags, or a point left out.
func (s *Slips) smallerFill(b *entry.Filled, room units.Mass) []meant {
	try := func(m units.Mass, in units.In, bags units.Count, how message.Message) []meant {
		c := *b
		c.Mass, c.MassIn, c.Bags = m, in, bags
		v := int64(m)
		if m == 0 {
			v = int64(bags)
		}
		return []meant{{text: shown(tell.Amount(&c)), how: how, value: entry.Some(v), body: &c}}
	}
	if b.Bags > 0 && b.Bags < manyBags {
		return nil
	}
	if b.Bags > 0 {
		bag, _ := s.Thing(b.Lot, thing.Lot).Num(thing.LotBag)
		if m, err := units.MassFromPounds(b.Bags.Float()); err == nil && s.System() == units.US && m <= room {
			return try(m, units.InPounds, 0, message.Of("how.pounds-not-bags"))
		}
		if m, err := units.MassFromGrams(rate.Scaled(b.Bags, 1000).Float()); err == nil && s.System() == units.Metric && m <= room {
			return try(m, units.InKilograms, 0, message.Of("how.kilograms-not-bags"))
		}
		if m, err := units.Mass(bag).Times(b.Bags / 10); err == nil && m <= room {
			return try(0, 0, b.Bags/10, message.Of("how.point-left-out"))
		}
		return nil
	}
	if b.Mass/10 <= room {
		return try(b.Mass/10, b.MassIn, 0, message.Of("how.point-left-out"))
	}
	return nil
}
