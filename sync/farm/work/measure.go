package work

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/thing"
	"turnrow/sync/units"
)

// heapings is how much of a heaped measure is in doubt, as one part in so many:
// nobody heaps alike; our own figure.
const heapings = 10

// How far off, as one part in so many, a measure's mass is taken to be (one
// standard uncertainty): our own figures.
const (
	cupStd    = 33 // by a measure of the same lot that was weighed: it is packed a little otherwise each time
	bushelStd = 7  // by a published bushel weight: test weights differ by lot and year; fescue's differ twofold
)

// measure is what seed of a lot weighs by volume: so much mass to so much
// volume, struck off level. None where neither is known.
type measure struct {
	mass   int64
	volume int64
	part   int64 // the standard uncertainty, as one part in so many
}

// measureOf is what a lot weighs by volume: as weighed, else by the published
// bushel weight of its species.
func (s *Work) measureOf(t *thing.Thing) measure {
	m := measure{part: cupStd}
	for _, r := range t.Events.All() {
		if b, ok := r.Eff.(*entry.VolumeWeighed); ok {
			m.mass += int64(b.Mass)
			m.volume += thing.Levelled(int64(b.Volume), b.Heaped)
		}
	}
	if m.volume > 0 {
		return m
	}
	if w, ok := bushelWeight(t.Text(thing.LotSpecies)); ok {
		return measure{int64(w), bushel, bushelStd}
	}
	return measure{}
}

// of is the mass of a volume struck off level; 0 where it is not known.
func (m measure) of(volume int64) units.Mass {
	if m.volume == 0 {
		return 0
	}
	mass, err := units.MulDiv(m.mass, volume, m.volume)
	if err != nil {
		return 0
	}
	return units.Mass(mass)
}

// stdOf is the standard uncertainty of a fill's mass m.
func (s *Work) stdOf(d *thing.Deed, m units.Mass) units.Mass {
	if d.Unit != thing.Measures && d.Unit != thing.HeapedMeasures {
		return m / FillStd
	}
	std := m / units.Mass(max(1, s.measures[d.Lot-1].part))
	if d.Unit == thing.HeapedMeasures {
		std += m / heapings
	}
	return std
}
