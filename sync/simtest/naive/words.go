package naive

import (
	"slices"

	"turnrow/sync/entry"
)

// effects works out what each entry stands for: from the last to the first,
// since what is said of an entry is said later.
func (f *Fold) effects() {
	for _, it := range slices.Backward(f.causal) {
		it.now, it.eff = nil, nil
		if it.left == "" {
			it.now = f.said(it)
			it.eff = it.now
		}
	}
	f.join()
	for _, it := range f.items {
		it.eff = f.canonical(it.now)
	}
	f.setFields()
}

// said is an entry's body as later entries leave it.
func (f *Fold) said(it *item) entry.Body {
	body := it.Body
	var amends, strikes []*item
	counting(f, func(a *item, b *entry.Amended) {
		if b.Entry == it.ID {
			amends = append(amends, a)
			body = b.Body // the latest by total order stands
		}
	})
	counting(f, func(s *item, b *entry.Struck) {
		if b.Entry == it.ID {
			strikes = append(strikes, s)
		}
	})
	for _, s := range strikes {
		taken := true
		for _, a := range amends {
			taken = taken && !a.knows(s) // whoever knew the strike brought the entry back
		}
		if taken {
			return nil
		}
	}
	if f.setAside(it) {
		return nil
	}
	return body
}

// setAside: of a fill or drain that was written twice, or of two begins, a
// settlement said which one stands. The latest settlement counts.
func (f *Fold) setAside(it *item) bool {
	kind := ""
	switch b := it.Body.(type) {
	case *entry.Filled, *entry.VolumeFilled, *entry.Drained:
		kind = "double-entry"
	case *entry.CounterStood:
		kind = "two-begins"
	case *entry.Settled:
		if b.Doubt == "counter-begin" {
			kind = "two-begins"
		}
	}
	if kind == "" {
		return false
	}
	aside := false
	counting(f, func(_ *item, b *entry.Settled) {
		if b.Doubt == kind && says(b) && slices.Contains(b.Entries, it.ID) {
			aside = !slices.Contains(b.Stands, it.ID)
		}
	})
	return aside
}

// standing edits of an entry, for the doubt about them.
func (f *Fold) editsOf(it *item) (amends, strikes []*item) {
	counting(f, func(a *item, b *entry.Amended) {
		if b.Entry == it.ID {
			amends = append(amends, a)
		}
	})
	counting(f, func(s *item, b *entry.Struck) {
		if b.Entry == it.ID {
			strikes = append(strikes, s)
		}
	})
	return amends, strikes
}
