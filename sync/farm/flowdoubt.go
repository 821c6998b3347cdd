package farm

import (
	"slices"

	"turnrow/sync/entry"
)

// flowDoubts is what is in doubt about the seed in a box.
func (s *State) flowDoubts(t *thing, f *flow) []finding {
	about := "box " + s.name(t.id)
	var out []finding
	for _, p := range f.unproved {
		if rs := s.behind(t, p); len(rs) > 0 {
			out = append(out, finding{UnprovedRate, about + ", " + s.name(p.lot) + " at dial " + decimal(int64(p.dial)), rs})
		}
	}
	for _, b := range f.seed.Balances {
		if r := f.reads[b.Event]; b.Off && r != nil {
			out = append(out, finding{Balance, about, []*rec{r}})
		}
	}
	return append(out, s.together(MixedLots, about, s.mixed(t))...)
}

// behind is the entries that a rate without proof rests on: the first fill
// with the lot, and the last move of the dial to that mark.
func (s *State) behind(t *thing, p proof) []*rec {
	var fill, move *rec
	for _, d := range t.deeds.all() {
		switch {
		case d.fills() && fill == nil && s.lotOf(d) == p.lot:
			fill = d.rec
		case d.kind == entry.KindDialMoved && d.rec.eff.(*entry.DialMoved).To == p.dial:
			move = d.rec
		}
	}
	rs := make([]*rec, 0, 2)
	for _, r := range []*rec{fill, move} {
		if r != nil {
			rs = append(rs, r)
		}
	}
	slices.SortFunc(rs, (*rec).compare)
	return rs
}

// mixed is the fills of a box with a lot that no plan puts there, where plans
// speak of the box at all.
func (s *State) mixed(t *thing) []*rec {
	var lots []entry.ID
	for _, g := range s.byKind[ground] {
		for i := range g.fields {
			f := &g.fields[i]
			if _, v, ok := f.shown(); f.num == planComponent && f.y == t.id && ok && v.s == "" {
				lots = append(lots, f.x)
			}
		}
	}
	if len(lots) == 0 {
		return nil
	}
	var out []*rec
	for _, d := range t.deeds.all() {
		if d.fills() && !slices.Contains(lots, s.lotOf(d)) {
			out = append(out, d.rec)
		}
	}
	return out
}
