package fact

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/crew"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/rule"
)

// refresh brings an entry's effect in line with what is said of it.
func (s *Facts) refresh(r *order.Rec) {
	want := s.effective(r)
	if want == r.Eff {
		return
	}
	s.rechoose(r, func() {
		if r.Eff != nil {
			s.take(r, r.Eff)
		}
		r.Eff = want
		if want != nil {
			s.put(r, want)
		}
	})
}

// effective is what an entry stands for: its own body, the latest amendment's,
// or nothing.
func (s *Facts) effective(r *order.Rec) entry.Body {
	if r.Left != order.Counts {
		return nil
	}
	if r.Edits == nil {
		return r.Body
	}
	b, struck := r.Amended()
	if struck || r.SetAside() {
		return nil
	}
	return b
}

// Diverged is the amendments and strikes that no later one knew, where they
// differ: words that somebody chose and that do not stand.
func Diverged(r *order.Rec) []*order.Rec {
	if r.Edits == nil {
		return nil
	}
	var heads []*order.Rec
	for _, e := range r.Edits.All() {
		if target, _ := crew.Edited(e.Body); target.IsZero() {
			continue
		}
		heads = slices.DeleteFunc(heads, func(h *order.Rec) bool { return e.Knew(h) })
		heads = append(heads, e)
	}
	for _, h := range heads {
		_, a := crew.Edited(h.Body)
		if _, b := crew.Edited(heads[0].Body); !rule.SameBody(a, b) {
			return heads
		}
	}
	return nil
}

// edit hangs an entry about another on it, or takes it off.
func (s *Facts) edit(r *order.Rec, target entry.ID, on bool) {
	of := s.Find(target)
	if of == nil {
		return
	}
	if of.Edits == nil {
		of.Edits = &order.Edits{}
		s.Edited = append(s.Edited, of)
	}
	if on {
		of.Edits.Put(r)
	} else {
		of.Edits.Take(r)
	}
	s.refresh(of)
}
