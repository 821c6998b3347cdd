package sheet

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// Need is what all plans want of a lot.
type Need struct {
	Lot    farm.Lot
	Wanted units.Mass // of what is in the bag
	Area   units.Area // that it is for
	OnHand units.Mass // that came, less what left the farm
	NoArea []string   // pieces that it is planned on and whose area nobody set: not in Wanted
}

// NeedOf is what the plans want of a lot. What was poured went to plan, so all
// that came counts for all that is planned.
func NeedOf(v *farm.View, l farm.Lot) Need {
	n := Need{Lot: l, NoArea: []string{}}
	for _, g := range v.Grounds {
		if g.Area == 0 && slices.ContainsFunc(g.Plan, func(p farm.Planned) bool { return p.Lot == l.ID }) {
			n.NoArea = append(n.NoArea, g.Name)
		}
		n.add(&g, l.ID)
	}
	if m, err := l.Bag.Times(l.BagsIn - l.BagsOut); err == nil {
		n.OnHand = max(0, m)
	}
	return n
}

func (n *Need) add(g *farm.Ground, lot entry.ID) {
	for _, p := range g.Plan {
		if m, err := p.Bulk.On(g.Area); p.Lot == lot && err == nil && m > 0 {
			n.Wanted, n.Area = n.Wanted+m, n.Area+g.Area
		}
	}
}

// Bill is what to buy, with a reserve for overlaps. The lot's bag must be known,
// and something wanted; the error is the rate engine's.
func (n Need) Bill(reserve units.Share) (rate.Bill, error) {
	bulk, err := n.Wanted.Over(n.Area)
	if err != nil {
		return rate.Bill{}, err
	}
	return rate.Order{Bulk: bulk, Area: n.Area, Bag: n.Lot.Bag, Price: n.Lot.Price, Reserve: reserve, OnHand: n.OnHand}.Bill()
}
