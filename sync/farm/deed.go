package farm

import (
	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// deed is what an event of a box comes to. Bodies lie all over the memory, so
// that to fetch one takes longer than all that is done with it: it is read once
// for each view.
type deed struct {
	*rec
	pouring
	from  *device    // whose it is
	at    int64      // its clock, ms since 1970
	mass  units.Mass // of a fill or a drain; bags where bags says so
	own   units.Reading
	reads bool // own is set: the counter's reading that the event says itself
}

// pouring is what a fill or a drain must share with its twin; its kind is 0
// for what is neither.
type pouring struct {
	kind entry.Kind
	side int64
	lot  entry.ID
	all  bool
	bags bool // of a lot whose bag mass is not known
}

// weighs is the mass of a fill or a drain, 0 where it is not known.
func (d *deed) weighs() units.Mass {
	if d.bags {
		return 0
	}
	return d.mass
}

// deeds is the events of a box, in order, read once for each view.
func (s *State) deeds(t *thing) []deed {
	if ds, ok := s.did[t]; ok {
		return ds
	}
	events := t.events.all()
	ds := make([]deed, len(events))
	for i, r := range events {
		ds[i] = s.deed(r)
	}
	if s.did == nil {
		s.did = map[*thing][]deed{}
	}
	s.did[t] = ds
	return ds
}

func (s *State) deed(r *rec) deed {
	d := deed{rec: r, from: r.dev, at: r.clock.Millis()}
	if r.double {
		r.double = false // until it is found again
	}
	var own entry.Opt[units.Reading]
	switch b := r.eff.(type) {
	case *entry.Filled:
		d.pouring = pouring{kind: entry.KindFilled, side: b.Side, lot: s.canon(b.Lot)}
		if d.mass = s.filledMass(b); d.mass == 0 {
			d.bags, d.mass = true, units.Mass(b.Bags)
		}
		own = b.Reading
	case *entry.Drained:
		d.pouring = pouring{kind: entry.KindDrained, side: b.Side, all: b.All}
		d.mass, own = b.Mass, b.Reading
	case *entry.LevelRead:
		own = b.Reading
	case *entry.DialMoved:
		own = b.Reading
	}
	d.own, d.reads = own.Val, own.Set
	return d
}

// filledMass is the mass of a fill: as weighed, or bags of the lot's bag mass.
func (s *State) filledMass(b *entry.Filled) units.Mass {
	if b.Mass > 0 {
		return b.Mass
	}
	l, ok := s.things[s.canon(b.Lot)]
	if !ok {
		return 0
	}
	bag, _ := l.num(lotBag)
	m, err := units.Mass(bag).Times(b.Bags)
	if err != nil {
		return 0
	}
	return m
}

// filled is what was poured into boxes of each lot.
func (s *State) filled() map[entry.ID]units.Mass {
	sums := map[entry.ID]units.Mass{}
	for _, t := range s.byKind[box] {
		ds := s.deeds(t)
		for i := range ds {
			if d := &ds[i]; d.kind == entry.KindFilled {
				sums[d.lot] += d.weighs()
			}
		}
	}
	return sums
}
