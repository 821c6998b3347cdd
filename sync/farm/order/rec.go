package order

import (
	"slices"

	"turnrow/sync/entry"
)

// Edits is what other entries say of an entry: amendments, strikes and
// settlements, each with right and not itself struck, in total order.
type Edits struct{ Ordered[*Rec] }

// Amended is the body of the latest amendment, and whether the entry is
// struck: a strike beats an amendment that is concurrent with it.
func (r *Rec) Amended() (entry.Body, bool) {
	b, struck := r.Body, false
	all := r.Edits.All()
	for _, e := range all {
		switch eb := e.Body.(type) {
		case *entry.Amended:
			b = eb.Body
		case *entry.Struck:
			struck = struck || !slices.ContainsFunc(all, func(a *Rec) bool {
				_, amends := a.Body.(*entry.Amended)
				return amends && a.Knew(e)
			})
		}
	}
	return b, struck
}

// SetAside says whether the latest settlement of two that cannot both be lets
// another entry stand in this one's place.
func (r *Rec) SetAside() bool {
	aside := false
	for _, e := range r.Edits.All() {
		if b, ok := e.Body.(*entry.Settled); ok {
			aside = !slices.Contains(b.Stands, r.ID())
		}
	}
	return aside
}

// PersonID is who wrote an entry; zero where that is nobody.
func PersonID(r *Rec) entry.ID {
	if r.By == nil {
		return entry.ID{}
	}
	return *r.By
}

// UpTo says whether r is o or comes before it in the same log.
func (r *Rec) UpTo(o *Rec) bool { return r.Seq <= o.Seq && o.Log.At(r.Seq) == r }

// Marked is the entry of a device's log that a mark names, on whichever branch;
// nil where it is not here.
func (d *Log) Marked(m entry.Mark) *Rec {
	for _, l := range append([]*Log{d}, d.Branches...) {
		if m.Seq > l.Base && m.Seq <= l.Held() && l.At(m.Seq).Hash == m.Hash {
			return l.At(m.Seq)
		}
	}
	return nil
}

// ByOther says whether another than the device's own person wrote an entry.
func (r *Rec) ByOther() bool { return !r.Own && (r.By == nil || r.By != r.Log.Person) }

// DraftedOn says whether an entry is one of a device's from a number on, or is
// amended by such.
func (r *Rec) DraftedOn(d entry.DeviceID, first uint64) bool {
	if r.Log.ID == d.Log() && r.Seq >= first {
		return true
	}
	return r.Edits != nil && slices.ContainsFunc(r.Edits.All(), func(e *Rec) bool { return e.DraftedOn(d, first) })
}
