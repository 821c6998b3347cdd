package naive

import "turnrow/sync/entry"

// Spots are the spots that were noted and stand, and of each whether anybody
// said that it is gone.
func (f *Fold) Spots() map[entry.ID]bool {
	out := map[entry.ID]bool{}
	counting(f, func(it *item, b *entry.Pinned) {
		if !b.Gone && f.canon(it.ID) == it.ID {
			out[it.ID] = false
		}
	})
	counting(f, func(_ *item, b *entry.Pinned) {
		if _, noted := out[b.Of]; noted {
			out[b.Of] = true
		}
	})
	return out
}

// Errands is how far what was asked for has come: as far as anybody says who
// was not corrected by somebody that had read it.
func (f *Fold) Errands() map[entry.ID]entry.ErrandState {
	type saying struct {
		by    *item
		state entry.ErrandState
	}
	all := map[entry.ID][]saying{}
	var asked []entry.ID
	counting(f, func(it *item, b *entry.Errand) {
		of := b.Of
		if of.IsZero() {
			if of = f.canon(it.ID); of == it.ID {
				asked = append(asked, of)
			}
		}
		all[of] = append(all[of], saying{it, b.State})
	})
	out := map[entry.ID]entry.ErrandState{}
	for _, id := range asked {
		for _, a := range all[id] {
			stands := true
			for _, b := range all[id] {
				stands = stands && !b.by.knows(a.by)
			}
			if stands {
				out[id] = max(out[id], a.state)
			}
		}
	}
	return out
}
