package view

import "turnrow/sync/entry"

// Spot is a spot of ground that somebody noted. Spots noted apart are all
// there, and none is in doubt: two may have seen one stone. It is gone once
// anybody who may says so.
type Spot struct {
	ID   entry.ID
	Said entry.Pinned // what stands of it now
	Gone entry.ID     // the first entry that says that it is gone; zero while it is there
}

// spots are the spots that were noted, in total order, those that are gone too.
func (s *Views) spots() []Spot {
	var out []Spot
	at := map[entry.ID]int{}
	for _, r := range s.Pinned.All() {
		if b := r.Eff.(*entry.Pinned); b.Of.IsZero() && s.Canon(r.ID()) == r.ID() {
			at[r.ID()] = len(out)
			said := *b
			said.Ground = s.Canon(b.Ground)
			out = append(out, Spot{ID: r.ID(), Said: said})
		}
	}
	for _, r := range s.Pinned.All() {
		b := r.Eff.(*entry.Pinned)
		if i, ok := at[s.Canon(b.Of)]; ok && out[i].Gone.IsZero() {
			out[i].Gone = r.ID()
		}
	}
	return out
}

// SpotOf finds a spot by its ID, one that is gone too.
func (v *View) SpotOf(id entry.ID) (Spot, bool) {
	return find(v.Spots, func(p *Spot) bool { return p.ID == id })
}

// SpotsOn are the spots that are there on a piece of ground, of all where the
// ID is zero.
func (v *View) SpotsOn(ground entry.ID) []Spot {
	var out []Spot
	for _, p := range v.Spots {
		if p.Gone.IsZero() && (ground.IsZero() || p.Said.Ground == ground) {
			out = append(out, p)
		}
	}
	return out
}
