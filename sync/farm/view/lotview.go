package view

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/thing"
	"turnrow/sync/units"
)

func (s *Views) lotView(t *thing.Thing, filled []units.Mass) Lot {
	num := func(n int) int64 { v, _ := t.Num(n); return v }
	l := Lot{
		ID: t.ID, Name: t.Text(thing.LotName), Species: t.Text(thing.LotSpecies), Variety: t.Text(thing.LotVariety),
		Tested: num(thing.LotTested), Bag: units.Mass(num(thing.LotBag)), Price: units.Money(num(thing.LotPrice)),
		Inoculant: t.Text(thing.LotInoculant), Endophyte: t.Text(thing.LotEndophyte), SeedsPerKg: num(thing.LotSeedsPerKg), BagPrinted: t.Text(thing.LotBagPrinted),
		Filled: filled[t.Nr-1],
	}
	l.labelOf(t)
	for _, r := range t.Events.All() {
		l.Events = append(l.Events, r.ID())
		switch b := r.Eff.(type) {
		case *entry.BagsIn:
			l.BagsIn += b.Bags
		case *entry.BagsOut:
			l.BagsOut += b.Bags
		}
	}
	return l
}
