package sheet

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// priced says whether what a lot's seed costs is known.
func priced(l *farm.Lot) bool { return l.Bag > 0 && l.Price > 0 }

// price is what a mass of a lot costs, to the nearest cent.
func price(l *farm.Lot, m units.Mass) units.Money {
	if !priced(l) {
		return 0
	}
	v, err := units.MulDiv(int64(m), int64(l.Price), int64(l.Bag))
	if err != nil {
		return 0
	}
	return units.Money(v)
}

// shareCost shares the cost of a lot's seed out over the stretches that it went
// onto, in whole cents. Each gets the difference of two rounded running sums, so that
// any of them add up to the cost of their sum, however they are grouped.
func (s *Sheet) shareCost() {
	gone := map[entry.ID]units.Mass{}
	for i := range s.went {
		w := &s.went[i]
		l, ok := s.view.LotOf(w.lot)
		if !ok {
			continue
		}
		before := gone[w.lot]
		gone[w.lot] = before + w.mass
		w.cost = price(&l, before+w.mass) - price(&l, before)
	}
}

// costOf is what seed that went out cost, or nothing where the lot has no price.
func (s *Sheet) costOf(o *sown) value {
	if l, ok := s.view.LotOf(o.lot); ok && priced(&l) {
		return known(o.cost, !o.unknown)
	}
	return nil
}

// costOn is what the seed cost that went onto a piece within the span.
func (s *Sheet) costOn(ground entry.ID) units.Money {
	var sum units.Money
	for i := range s.went {
		if w := &s.went[i]; w.ground == ground && s.within(w.reading) {
			sum += w.cost
		}
	}
	return sum
}

// paid is what all the seed cost that went out within the span.
func (s *Sheet) paid() units.Money {
	var sum units.Money
	for i := range s.sums {
		sum += s.sums[i].cost
	}
	return sum
}

// costs is what the span's seed cost, by piece of ground and lot.
func (s *Sheet) costs(list []sown) *Table {
	t := &Table{Name: "costs", Title: "Seed costs", Note: "Seed that went out, at the price of its bag. Lots without a bag or a price are left out.",
		columns: []column{wide("ground", "Ground", 1.2), wide("lot", "Lot", 1.2), wide("species", "Species", 1.3), col("", "Seed", mass),
			col("bags", "Bags", number), col("price", "A bag", money), col("cost", "Cost", money)}}
	var sum units.Money
	var doubts []value
	for i := range list {
		o := &list[i]
		l, ok := s.view.LotOf(o.lot)
		if !ok || !priced(&l) {
			continue
		}
		t.add(s.view.NameOf(o.ground), l.Name, l.Species, known(o.mass, !o.unknown), known(bagsOf(&l, o.mass), !o.unknown), l.Price, s.costOf(o))
		doubts = append(doubts, inDoubt(s.rests.sown(o.box, o.ground)))
		sum += o.cost
	}
	t.total = []value{"Together", nil, nil, nil, nil, nil, sum}
	t.marked(doubts)
	return t
}

// bagsOf is a mass as bags of a lot, to a hundredth; nothing where the bag is
// not known.
func bagsOf(l *farm.Lot, m units.Mass) value {
	if l.Bag <= 0 {
		return nil
	}
	v, err := units.MulDiv(int64(m), 100, int64(l.Bag))
	if err != nil {
		return nil
	}
	return units.Count(v * 10)
}
