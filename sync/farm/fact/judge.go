package fact

import (
	"maps"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/rule"
	"turnrow/sync/farm/thing"
)

// Rejudge works out who belongs anew, where entries have come that bear on it,
// and judges the entries of the devices concerned again.
func (s *Facts) Rejudge() {
	if !s.Stale {
		return
	}
	s.Stale = false
	was := s.Membership
	s.Membership = s.MembershipNow()
	for _, d := range s.Logs {
		if len(d.Recs) > 0 {
			s.repost(d)
		}
	}
	for _, r := range s.CrewRecs { // one may count where another did
		s.judgeAgain(r)
	}
	if was == nil || !was.SamePeople(s.Membership) {
		for _, r := range s.Others {
			s.judgeAgain(r)
		}
	}
	s.Outside = slices.DeleteFunc(s.Outside, func(r *order.Rec) bool { return r.Left == order.Counts })
	if s.rejoin && s.rejoined() {
		s.rebuild()
	}
}

// repost gives a log its device's post as it now is. Where that has changed, its
// entries are judged again.
func (s *Facts) repost(d *order.Log) {
	was, is := s.Post(d), s.Membership.Posts[d.Signer()]
	s.SetPost(d, is)
	if was != nil && is != nil && was.Same(is) {
		return
	}
	d.Joined, d.Person = is != nil && is.Joined(), nil
	if d.Joined {
		d.Person = s.personOf(is.Person)
	}
	for _, r := range d.Recs {
		if r.Own {
			r.By = d.Person
		}
		s.judgeAgain(r)
	}
}

// judgeAgain judges an entry that is in its place.
func (s *Facts) judgeAgain(r *order.Rec) {
	left := s.Judge(r)
	if left == r.Left {
		return
	}
	if r.Left == order.Counts {
		s.Outside = append(s.Outside, r)
	}
	r.Left = left
	s.refresh(r)
}

// rebuild reads all entries over.
func (s *Facts) rebuild() {
	const rounds = 3 // things that are joined come to rest in two
	for range rounds {
		s.Reset()
		for _, d := range s.Logs {
			d.Person = nil
			if d.Joined {
				d.Person = s.personOf(s.Post(d).Person)
			}
		}
		for _, r := range s.InPlace {
			r.Eff, r.Edits = nil, nil
			if r.Own {
				r.By = r.Log.Person
			} else if r.By != nil {
				r.By = s.personOf(*r.By)
			}
			s.judgeAndPut(r)
		}
		if !s.rejoined() {
			return
		}
	}
}

// rejoined takes things together as settlements say and says whether that
// changed anything.
func (s *Facts) rejoined() bool {
	s.rejoin = false
	joins := map[entry.ID]entry.ID{}
	for _, r := range s.Settles.All() {
		b := r.Eff.(*entry.Settled)
		if !conflict.JoinsThings(b) {
			continue
		}
		for _, id := range b.Entries {
			if to := b.Stands[0]; id != to && s.alikeThings(id, to) && joins[to].IsZero() {
				joins[id] = to
			}
		}
	}
	changed := !maps.Equal(joins, s.Joins)
	s.Joins = joins
	return changed
}

// alikeThings says whether two IDs name things of one kind.
func (s *Facts) alikeThings(a, b entry.ID) bool {
	ra, rb := s.Find(a), s.Find(b)
	if ra == nil || rb == nil {
		return false
	}
	ka, okA := rule.Makes(ra.Body)
	kb, okB := rule.Makes(rb.Body)
	return okA && okB && ka == kb && ka != thing.Person
}

// Settle judges an entry whose place is found, and lets it take effect where it
// counts. Those about the crew are judged together with others that come with
// them.
func (s *Facts) Settle(r *order.Rec, by entry.ID) {
	if r.Seq == 1 {
		s.Enrol(r)
	}
	r.By, r.Own = r.Log.Person, by.IsZero()
	if !r.Own {
		r.By = nil
		if s.Is(by, thing.Person) {
			r.By = s.personOf(by)
		} else {
			s.Nobody[r] = by
		}
		s.Others = append(s.Others, r)
	}
	if b, ok := r.Body.(*entry.Settled); ok {
		s.ChooseRole(r, b)
	}
	if s.AboutCrew(r) {
		s.CrewRecs = append(s.CrewRecs, r)
		s.Ever.Lets(&s.Crew, r)
		s.Stale = true
		r.Left = order.NotJoined
		s.Outside = append(s.Outside, r)
		return
	}
	s.judgeAndPut(r)
	if s.rejoin && s.rejoined() {
		s.rebuild()
	}
}

// judgeAndPut judges an entry and lets it take effect where it counts.
func (s *Facts) judgeAndPut(r *order.Rec) {
	if r.Left = s.Judge(r); r.Left != order.Counts {
		s.Outside = append(s.Outside, r)
	}
	s.refresh(r)
	s.heard(r)
}

// heard has a hold heard: whoever says stop is, with right or without.
func (s *Facts) heard(r *order.Rec) {
	if h, ok := r.Body.(*entry.HoldRaised); ok {
		s.DrillOf(h.Drill).Hitch.Put(r)
	}
}
