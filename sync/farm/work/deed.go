package work

import (
	"turnrow/sync/farm/thing"
	"turnrow/sync/units"
)

// pouring is what a fill or a drain must share with its twin.
type pouring struct {
	lot   uint32
	fills bool
	side  uint8
	all   bool
	unit  thing.Unit // of a lot of which that says no mass
}

// pouring is what a deed must share with its twin, and how much it is: mass, or
// bags or volume where those have no mass.
func (s *Work) pouring(d *thing.Deed) (p pouring, much int64) {
	p = pouring{d.Lot, d.Fills(), d.Side, d.All, thing.Weights}
	if d.Unit == thing.Weights {
		return p, d.Much
	}
	if m := s.Weighs(d); m > 0 {
		return p, int64(m)
	}
	if p.unit = d.Unit; p.unit == thing.HeapedMeasures {
		p.unit = thing.Measures
	}
	return p, d.Much
}

// Weighs is the mass of a fill or a drain: as weighed, by the lot's bag mass, or
// by what a measure of the lot weighs; 0 where it is not known.
func (s *Work) Weighs(d *thing.Deed) units.Mass {
	switch d.Unit {
	case thing.Weights:
		return units.Mass(d.Much)
	case thing.Measures, thing.HeapedMeasures:
		return s.measures[d.Lot-1].of(d.Much)
	}
	m, err := s.BagMass[d.Lot-1].Times(units.Count(d.Much))
	if err != nil {
		return 0
	}
	return m
}

// Prepare works out what all flows ask for, and brings in order what they
// read, so that they can be followed at once.
func (s *Work) Prepare() {
	s.BagMass = make([]units.Mass, len(s.ByKind[thing.Lot]))
	s.measures = make([]measure, len(s.ByKind[thing.Lot]))
	for i, t := range s.ByKind[thing.Lot] {
		bag, _ := t.Num(thing.LotBag)
		s.BagMass[i] = units.Mass(bag)
		s.measures[i] = s.measureOf(t)
	}
	for _, t := range s.ByKind[thing.Drill] {
		t.Events.All()
	}
	for _, t := range s.ByKind[thing.Box] {
		t.Deeds.All()
	}
	s.Looked, s.Blends, s.mixes = s.LookedAt(), s.BlendedBy(), s.plannedMixes()
}

// Filled is what was poured into boxes of each lot.
func (s *Work) Filled() []units.Mass {
	sums := make([]units.Mass, len(s.BagMass))
	for _, t := range s.ByKind[thing.Box] {
		for _, d := range t.Deeds.All() {
			if d.Fills() {
				sums[d.Lot-1] += s.Weighs(d)
			}
		}
	}
	return sums
}
