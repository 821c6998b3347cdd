package slip

import (
	"fmt"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/work"
	"turnrow/sync/units"
)

func (s *Slips) littleSlip(f *work.Flow, o work.LittleFill) Slip {
	b := o.Body
	return Slip{
		Finding: order.Finding{Kind: conflict.LittlePoured, About: "box " + s.Name(f.Box.ID), Recs: []*order.Rec{o.Rec}}, field: "mass", figure: entry.Some(int64(b.Mass)),
		says: func() slipWords {
			w := slipWords{written: s.Amount(b), why: fmt.Sprintf("%s of %s is far less than anybody pours into a box", s.Amount(b), s.Name(b.Lot))}
			if m := s.largerUnit(b); m.Mass > 0 && (!o.Known || m.Mass <= o.Room) {
				w.instead = []meant{{text: s.Amount(&m), how: "not " + unitOf(b.MassIn), value: entry.Some(int64(m.Mass)), body: &m}}
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

func unitOf(in units.In) string {
	if in == units.InOunces {
		return "ounces"
	}
	return "grams"
}
