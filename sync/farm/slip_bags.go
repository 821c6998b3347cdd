package farm

import (
	"fmt"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// use is seed of a lot that left its bags for good, or came back to them.
type use struct {
	rec  *rec
	mass units.Mass
}

// bagSlips finds the lots of which more left the bags than came. Where no bags
// were written in there is nothing to hold it against.
func (s *State) bagSlips(flows []*flow) []slip {
	var out []slip
	for _, t := range s.sorted(lot) {
		if came, uses := s.bagsOf(t); came > 0 {
			uses = append(uses, s.usesOf(t, flows)...)
			if r, sum := overrun(came, uses); r != nil {
				out = append(out, s.bagSlip(t, r, came, sum))
			}
		}
	}
	return out
}

// bagsOf is the mass of a lot that came, and what left in bags; 0 where no bags
// came, or a bag's mass is not known.
func (s *State) bagsOf(t *thing) (came units.Mass, left []use) {
	bag, _ := t.num(lotBag)
	for _, r := range t.events.all() {
		var in, out units.Count
		switch b := r.eff.(type) {
		case *entry.BagsIn:
			in = b.Bags
		case *entry.BagsOut:
			out = b.Bags
		}
		if m, err := units.Mass(bag).Times(in); err == nil {
			came += m
		}
		if m, err := units.Mass(bag).Times(out); err == nil && out > 0 {
			left = append(left, use{r, m})
		}
	}
	return came, left
}

// usesOf is what was poured of a lot, and what was let out of boxes again.
func (s *State) usesOf(t *thing, flows []*flow) (uses []use) {
	for _, f := range flows {
		for _, d := range f.box.deeds.all() {
			if d.lot == t.nr && !f.openDouble(d) { // a twin may have poured it
				uses = append(uses, use{d.rec, s.weighs(d)})
			}
		}
		for _, taken := range f.taken {
			if r := s.find(taken.Entry); taken.Lot == t.id && r != nil {
				uses = append(uses, use{r, -taken.Mass})
			}
		}
	}
	return uses
}

// overrun is the entry by which more had left than came, where it is so in the
// end: bags are often written in after they were poured.
func overrun(came units.Mass, uses []use) (*rec, units.Mass) {
	slices.SortFunc(uses, func(a, b use) int { return a.rec.compare(b.rec) })
	var sum, end units.Mass
	var over *rec
	for _, u := range uses {
		if end += u.mass; over == nil && rate.Over(end, came, moreThanCame) {
			over, sum = u.rec, end
		}
	}
	if !rate.Over(end, came, moreThanCame) {
		return nil, 0
	}
	return over, sum
}

func (s *State) bagSlip(t *thing, r *rec, came, sum units.Mass) slip {
	return slip{
		finding: finding{MoreThanCame, "lot " + s.name(t.id), []*rec{r}}, field: "bags",
		says: func() slipWords {
			w := slipWords{why: fmt.Sprintf("%s of %s has left its bags, and %s came", sum.Format(s.system()), s.name(t.id), came.Format(s.system()))}
			if b, ok := r.eff.(*entry.Filled); ok {
				w.written = s.amount(b)
				mass := b.Mass
				if b.Bags > 0 {
					bag, _ := t.num(lotBag)
					mass, _ = units.Mass(bag).Times(b.Bags)
				}
				w.instead = s.smallerFill(b, rate.Scaled(came, moreThanCame)-(sum-mass))
			}
			return w
		},
	}
}
