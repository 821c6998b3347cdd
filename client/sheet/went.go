package sheet

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// went is seed of one lot that went out of a box over one stretch.
type went struct {
	reading          entry.ID // of the counter, which ended the stretch
	ground, lot, box entry.ID
	mass             units.Mass
	std              units.Mass // standard uncertainty of mass
	cost             units.Money
	proved           bool // something weighed backs the rate
	unknown          bool // no rate was known: mass is not what went out
}

// followSeed fills in what went out, stretch by stretch.
func (s *Sheet) followSeed() {
	for i := range s.view.Boxes {
		b := &s.view.Boxes[i]
		for _, o := range b.Out {
			s.went = append(s.went, went{reading: o.Reading, ground: o.Ground, lot: o.Lot, box: b.ID, mass: o.Mass, std: o.Std, proved: o.Proved, unknown: o.Unknown})
		}
	}
	s.shareCost()
}

// worked is a stretch of the counter on a piece of ground.
type worked struct {
	drill entry.ID
	farm.Reading
}

// stretches are the span's, drill by drill, in the order of the counter; of
// one piece of ground, or of all where it is zero.
func (s *Sheet) stretches(ground entry.ID) []worked {
	var out []worked
	for _, d := range s.view.Drills {
		for _, r := range d.Readings {
			if s.within(r.Entry) && (ground.IsZero() || r.Ground == ground) {
				out = append(out, worked{d.ID, r})
			}
		}
	}
	return out
}

// worked is the area of a piece of ground that was worked within the span, by
// the counter; of all where it is zero.
func (s *Sheet) worked(ground entry.ID) units.Area {
	var sum units.Area
	for _, w := range s.stretches(ground) {
		sum += w.Area
	}
	return sum
}

// workedThrough is the same with the drill that a box is on.
func (s *Sheet) workedThrough(box, ground entry.ID) (sum units.Area, checked bool) {
	b, _ := s.view.BoxOf(box)
	checked = true
	for _, w := range s.stretches(ground) {
		if w.drill == b.Drill {
			sum += w.Area
			checked = checked && (w.Checked || w.Area == 0)
		}
	}
	return sum, checked
}
