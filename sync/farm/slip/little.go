package slip

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/tell"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

func (s *Slips) littleSlip(f *work.Flow, o work.LittleFill) Slip {
	b := o.Body
	return Slip{
		Finding: order.Finding{Kind: conflict.LittlePoured, About: s.ThingText(f.Box), Recs: []*order.Rec{o.Rec}}, field: "mass", figure: entry.Some(int64(b.Mass)),
		says: func() reason {
			w := reason{written: shown(tell.Amount(b)), why: message.Of("slip.little", tell.Amount(b), s.Called(b.Lot))}
			if m := s.largerUnit(b); m.Mass > 0 && (!o.Known || m.Mass <= o.Room) {
				w.instead = []meant{{text: shown(tell.Amount(&m)), how: notThat(b.MassIn), value: entry.Some(int64(m.Mass)), body: &m}}
			}
			return w
		},
	}
}

// largerUnit is a fill with the same number in the unit that seed is poured by,
// where it was written in grams or ounces; its mass is 0 otherwise.
func (s *Slips) largerUnit(b *entry.Filled) entry.Filled {
	const ounces = 16
	out := *b
	out.Mass, out.MassIn = 0, units.InPounds
	switch {
	case b.MassIn == units.InOunces:
		out.Mass = b.Mass * ounces
	case b.MassIn == units.InGrams && s.System() == units.Metric:
		out.Mass, out.MassIn = b.Mass*1000, units.InKilograms
	case b.MassIn == units.InGrams:
		out.Mass, _ = units.MassFromPounds(b.Mass.Grams())
	}
	return out
}

// notThat is that another unit was meant.
func notThat(in units.In) message.Message {
	if in == units.InOunces {
		return message.Of("how.not-ounces")
	}
	return message.Of("how.not-grams")
}
