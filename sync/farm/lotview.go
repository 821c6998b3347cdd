package farm

import (
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

func (s *viewSt) lotView(t *thing, filled []units.Mass) Lot {
	num := func(n int) int64 { v, _ := t.num(n); return v }
	l := Lot{
		ID: t.id, Name: t.text(lotName), Species: t.text(lotSpecies), Variety: t.text(lotVariety),
		Tested: num(lotTested), Bag: units.Mass(num(lotBag)), Price: units.Money(num(lotPrice)),
		Inoculant: t.text(lotInoculant), Endophyte: t.text(lotEndophyte), SeedsPerKg: num(lotSeedsPerKg), BagPrinted: t.text(lotBagPrinted),
		Filled: filled[t.nr-1],
	}
	l.labelOf(t)
	for _, r := range t.events.all() {
		l.Events = append(l.Events, r.id())
		switch b := r.eff.(type) {
		case *entry.BagsIn:
			l.BagsIn += b.Bags
		case *entry.BagsOut:
			l.BagsOut += b.Bags
		}
	}
	return l
}
