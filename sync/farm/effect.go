package farm

import (
	"slices"

	"turnrow/sync/entry"
)

// edits is what other entries say of an entry: amendments, strikes and
// settlements, each with right and not itself struck, in total order.
type edits struct{ ordered[*rec] }

// edited is the entry that an amendment or a strike is about.
func edited(b entry.Body) (target entry.ID, body entry.Body) {
	switch b := b.(type) {
	case *entry.Amended:
		return b.Entry, b.Body
	case *entry.Struck:
		return b.Entry, nil
	}
	return entry.ID{}, nil
}

// hasForce says whether an amendment or a strike may do what it asks. What
// keeps people safe, and who belongs to the farm, is never edited away: a hold
// is released, a hitch ended, a member stopped, each by an entry of its own.
func (s *crewSt) hasForce(r *rec) bool {
	target, body := edited(r.body)
	if target.IsZero() {
		return true
	}
	of := s.find(target)
	if of == nil || of.left == notKnown {
		return false
	}
	k := of.body.Kind()
	if body == nil {
		return Strikable(k) && !s.settlesCrew(of.body)
	}
	// A thing is the entry that made it: other words go on making it, or none.
	was, made := makes(of.body)
	will, making := makes(body)
	return body.Kind() == k && Amendable(k) && made == making && was == will && s.fits(body)
}

// refresh brings an entry's effect in line with what is said of it.
func (s *factSt) refresh(r *rec) {
	want := s.effective(r)
	if want == r.eff {
		return
	}
	s.rechoose(r, func() {
		if r.eff != nil {
			s.take(r, r.eff)
		}
		r.eff = want
		if want != nil {
			s.put(r, want)
		}
	})
}

// effective is what an entry stands for: its own body, the latest amendment's,
// or nothing.
func (s *factSt) effective(r *rec) entry.Body {
	if r.left != counts {
		return nil
	}
	if r.edits == nil {
		return r.body
	}
	b, struck := r.amended()
	if struck || r.setAside() {
		return nil
	}
	return b
}

// amended is the body of the latest amendment, and whether the entry is
// struck: a strike beats an amendment that was apart from it.
func (r *rec) amended() (entry.Body, bool) {
	b, struck := r.body, false
	all := r.edits.all()
	for _, e := range all {
		switch eb := e.body.(type) {
		case *entry.Amended:
			b = eb.Body
		case *entry.Struck:
			struck = struck || !slices.ContainsFunc(all, func(a *rec) bool {
				_, amends := a.body.(*entry.Amended)
				return amends && a.knew(e)
			})
		}
	}
	return b, struck
}

// setAside says whether the latest settlement of two that cannot both be lets
// another entry stand in this one's place.
func (r *rec) setAside() bool {
	aside := false
	for _, e := range r.edits.all() {
		if b, ok := e.body.(*entry.Settled); ok {
			aside = !slices.Contains(b.Stands, r.id())
		}
	}
	return aside
}

// parted is the amendments and strikes that no later one knew, where they
// differ: words that somebody chose and that do not stand.
func parted(r *rec) []*rec {
	if r.edits == nil {
		return nil
	}
	var heads []*rec
	for _, e := range r.edits.all() {
		if target, _ := edited(e.body); target.IsZero() {
			continue
		}
		heads = slices.DeleteFunc(heads, func(h *rec) bool { return e.knew(h) })
		heads = append(heads, e)
	}
	for _, h := range heads {
		_, a := edited(h.body)
		if _, b := edited(heads[0].body); !sameBody(a, b) {
			return heads
		}
	}
	return nil
}

// edit hangs an entry about another on it, or takes it off.
func (s *factSt) edit(r *rec, target entry.ID, on bool) {
	of := s.find(target)
	if of == nil {
		return
	}
	if of.edits == nil {
		of.edits = &edits{}
		s.edited = append(s.edited, of)
	}
	if on {
		of.edits.put(r)
	} else {
		of.edits.take(r)
	}
	s.refresh(of)
}
