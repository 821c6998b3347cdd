package farm

import (
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// A heaped bushel is 2,747.715 cubic inches and a struck one 2,150.42, 1.278
// times as much for the one as for the other: "General tables of units of
// measurement" (NIST Handbook 44, Appendix C). Other measures are taken alike.
const (
	heaped   = 1278
	struck   = 1000
	heapings = 10 // how much of a heaped measure is in doubt: nobody heaps alike; our own figure
)

// How far off, as one part in so many, a measure's mass is taken to be (one
// standard uncertainty): our own figures.
const (
	cupDoubt    = 33 // by a measure of the same lot that was weighed: it is packed a little otherwise each time
	bushelDoubt = 7  // by a published bushel weight: test weights differ by lot and year; fescue's differ twofold
)

// measure is what seed of a lot weighs by volume: so much mass to so much
// volume, struck off level. None where neither is known.
type measure struct {
	mass   int64
	volume int64
	part   int64 // the doubt, as one part in so many
}

// measureOf is what a lot weighs by volume: as weighed, else by the published
// bushel weight of its species.
func (s *workSt) measureOf(t *thing) measure {
	m := measure{part: cupDoubt}
	for _, r := range t.events.all() {
		if b, ok := r.eff.(*entry.VolumeWeighed); ok {
			m.mass += int64(b.Mass)
			m.volume += levelled(int64(b.Volume), b.Heaped)
		}
	}
	if m.volume > 0 {
		return m
	}
	if w, ok := bushelWeight(t.text(lotSpecies)); ok {
		return measure{int64(w), bushel, bushelDoubt}
	}
	return measure{}
}

// levelled is the volume that a measure would hold struck off level.
func levelled(volume int64, heapedUp bool) int64 {
	if !heapedUp {
		return volume
	}
	v, err := units.MulDiv(volume, heaped, struck)
	if err != nil {
		return 0
	}
	return v
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

// doubtOf is the standard uncertainty of a fill's mass m.
func (s *workSt) doubtOf(d *deed, m units.Mass) units.Mass {
	if d.unit != measures && d.unit != heapedMeasures {
		return m / fillDoubt
	}
	doubt := m / units.Mass(max(1, s.measures[d.lot-1].part))
	if d.unit == heapedMeasures {
		doubt += m / heapings
	}
	return doubt
}
