package farm

import (
	"slices"

	"turnrow/sync/entry"
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
func (s *viewSt) asks() []Errand {
	var out []Errand
	said := map[entry.ID][]*rec{}
	for _, r := range s.errands.all() {
		b, id := r.eff.(*entry.Errand), s.canon(r.id())
		if !b.Of.IsZero() {
			id = s.canon(b.Of)
		} else if id == r.id() {
			asked := *b
			asked.Lot, asked.Box = s.canon(b.Lot), s.canon(b.Box)
			out = append(out, Errand{ID: id, Said: asked})
		}
		said[id] = append(said[id], r)
	}
	for i := range out {
		by := furthest(said[out[i].ID])
		out[i].State, out[i].By = by.eff.(*entry.Errand).State, by.id()
	}
	return out
}

// furthest is the entry whose state counts, of those about one errand in total
// order: of the ones that no other's writer knew, the one that is furthest, and
// of like ones the latest.
func furthest(said []*rec) *rec {
	var best *rec
	for _, r := range said {
		if slices.ContainsFunc(said, func(o *rec) bool { return o.knew(r) }) {
			continue
		}
		if best == nil || r.eff.(*entry.Errand).State >= best.eff.(*entry.Errand).State {
			best = r
		}
	}
	return best
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

func (s *wordSt) errand(b *entry.Errand) string {
	if b.Of.IsZero() {
		return s.join(b.State.String()+": "+s.askedText(b), b.Note)
	}
	what := "what was asked for"
	if r := s.find(b.Of); r != nil {
		now := r.body
		if r.eff != nil {
			now = r.eff
		}
		if of, ok := now.(*entry.Errand); ok {
			what = s.askedText(of)
		}
	}
	return s.join(b.State.String()+": "+what, b.Note)
}

// askedText is what is asked for, and where it is to go.
func (s *wordSt) askedText(b *entry.Errand) string {
	what := bagsText(b.Bags)
	if b.Mass > 0 {
		what = b.Mass.As(b.MassIn, s.system())
	}
	what += " of " + s.name(b.Lot)
	if !b.Box.IsZero() {
		what += " for " + s.boxSide(b.Box, b.Side)
	}
	if b.Gate != "" {
		what += ", at " + b.Gate
	}
	return what
}
