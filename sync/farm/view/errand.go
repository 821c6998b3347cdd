package view

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
)

// Errand is seed that somebody asked for, and how far it has come. Of what is
// said apart the furthest counts, and there is no doubt about it: whoever sees
// it come need not have heard that it was on the way.
type Errand struct {
	ID    entry.ID
	Said  entry.Errand // what is asked for now
	State entry.ErrandState
	By    entry.ID // the entry that says the state
}

// asks are what was asked for, in total order.
func (s *Views) asks() []Errand {
	var out []Errand
	said := map[entry.ID][]*order.Rec{}
	for _, r := range s.Errands.All() {
		b, id := r.Eff.(*entry.Errand), s.Canon(r.ID())
		if !b.Of.IsZero() {
			id = s.Canon(b.Of)
		} else if id == r.ID() {
			asked := *b
			asked.Lot, asked.Box = s.Canon(b.Lot), s.Canon(b.Box)
			out = append(out, Errand{ID: id, Said: asked})
		}
		said[id] = append(said[id], r)
	}
	for i := range out {
		by := furthest(said[out[i].ID])
		out[i].State, out[i].By = by.Eff.(*entry.Errand).State, by.ID()
	}
	return out
}

// furthest is the entry whose state counts, of those about one errand in total
// order: of the ones that no other's writer knew, the one that is furthest, and
// of like ones the latest.
func furthest(said []*order.Rec) *order.Rec {
	var best *order.Rec
	for _, r := range said {
		if slices.ContainsFunc(said, func(o *order.Rec) bool { return o.Knew(r) }) {
			continue
		}
		if best == nil || r.Eff.(*entry.Errand).State >= best.Eff.(*entry.Errand).State {
			best = r
		}
	}
	return best
}

// ErrandOf finds an errand by its ID, one that is done too.
func (v *View) ErrandOf(id entry.ID) (Errand, bool) {
	return find(v.Errands, func(e *Errand) bool { return e.ID == id })
}

// Wanted are the errands that are not done: what was asked for and is not there.
func (v *View) Wanted() []Errand {
	var out []Errand
	for _, e := range v.Errands {
		if e.State != entry.ErrandThere {
			out = append(out, e)
		}
	}
	return out
}
