package farm

import (
	"fmt"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// A fill is asked about below one part in partOfBag of a bag of its lot, or,
// where no bag is known, in partOfBox of what the box holds: so little is not
// worth opening a box for, and is what grams typed for pounds come to. Our own
// figures, no source.
const (
	partOfBag = 100
	partOfBox = 500
)

// watchLittle holds a fill against the least that anybody pours. Room is what
// may have gone in, where that is known.
func (f *flow) watchLittle(d *deed, room units.Mass, known bool) {
	b, ok := d.rec.eff.(*entry.Filled)
	if !ok || b.Mass == 0 {
		return
	}
	s := f.s
	bag, _ := s.thing(b.Lot, lot).num(lotBag)
	full, _ := f.fullOf(d)
	if b.Mass >= max(units.Mass(bag)/partOfBag, 1) && (bag > 0 || b.Mass >= full/partOfBox) {
		return
	}
	f.content.odd = append(f.content.odd, littleFill{d.rec, b, room, known})
}

// littleFill is a fill of hardly anything.
type littleFill struct {
	rec   *rec
	body  *entry.Filled
	room  units.Mass // what may have gone in
	known bool       // room is
}

func (s *slipSt) littleSlip(f *flow, o littleFill) slip {
	b := o.body
	return slip{
		finding: finding{LittlePoured, "box " + s.name(f.box.id), []*rec{o.rec}}, field: "mass", figure: entry.Some(int64(b.Mass)),
		says: func() slipWords {
			w := slipWords{written: s.amount(b), why: fmt.Sprintf("%s of %s is far less than anybody pours into a box", s.amount(b), s.name(b.Lot))}
			if m := s.largerUnit(b); m.Mass > 0 && (!o.known || m.Mass <= o.room) {
				w.instead = []meant{{text: s.amount(&m), how: "not " + unitOf(b.MassIn), value: entry.Some(int64(m.Mass)), body: &m}}
			}
			return w
		},
	}
}

// largerUnit is a fill with the same number in the unit that seed is poured by,
// where it was written in grams or ounces; its mass is 0 otherwise.
func (s *slipSt) largerUnit(b *entry.Filled) entry.Filled {
	const ounces = 16
	out := *b
	out.Mass, out.MassIn = 0, units.InPounds
	switch {
	case b.MassIn == units.InOunces:
		out.Mass = b.Mass * ounces
	case b.MassIn == units.InGrams && s.system() == units.Metric:
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
