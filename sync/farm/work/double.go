package work

import (
	"slices"

	"turnrow/sync/farm/fact"
	"turnrow/sync/farm/thing"
)

// doubleEntries finds pairs that look like one fill, or one drain, written by
// two people: same box and side, same lot, like amount, two devices, concurrent,
// within 20 minutes. An entry is paired with the nearest in time before it,
// and with one of a device at the most, so that two rounds of fills written
// twice are two pairs and not six.
func (s *Work) doubleEntries(t *thing.Thing) []fact.Twins {
	var out []fact.Twins
	recent := map[pouring]*fact.Window{}
	twinned := map[[2]uint32]*thing.Deed{}
	for _, d := range fact.ByWall(t.Deeds.All()) {
		if d.Double = false; !d.Pours() {
			continue
		}
		p, much := s.pouring(d)
		w := recent[p]
		if w == nil {
			w = new(fact.Window)
			recent[p] = w
		}
		recently := w.Until(d.At)
		for i := len(recently) - 1; i >= 0; i-- {
			o := recently[i].Deed
			if !fact.Near(much, recently[i].Much) || o.From == d.From {
				continue
			}
			pair := [2]uint32{o.From, d.From}
			if o == twinned[pair] || o.Knew(d) || d.Knew(o) {
				continue
			}
			twinned[pair] = o
			o.Double, d.Double = true, true
			if len(out) == cap(out) { // there may be very many: make room for twice as many, and not a quarter more
				out = slices.Grow(out, max(8, len(out)))
			}
			out = append(out, fact.Twins{o.Rec, d.Rec})
			break
		}
		w.In = append(w.In, fact.Amount{Deed: d, Much: much})
	}
	return out
}
