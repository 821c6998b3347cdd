package farm

import (
	"iter"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// deed is what an event of a box comes to. Entries and their bodies lie all
// over the memory, so that to fetch one takes longer than all that a view does
// with it: what views ask of each event is kept in one place, as it was when
// the event took effect.
type deed struct {
	rec   *rec
	vec   *vector // the entry's
	seq   uint64  // the entry's
	at    int64   // its clock, ms since 1970
	much  int64   // of a fill or a drain, in unit
	own   units.Reading
	from  uint32 // place of its device
	lot   uint32 // of a fill: which of the farm's lots, from 1; 0 for none
	kind  entry.Kind
	side  uint8
	all   bool // a drain of all
	unit  unit
	reads bool // own is set: the counter's reading that the event says itself
	// double says that it seems to be written twice, where that was last
	// looked into.
	double bool
}

// unit is what a fill or a drain was told in.
type unit uint8

const (
	weights        unit = iota // mass, mg
	bags                       // thousandths of a bag
	measures                   // millilitres, struck off level
	heapedMeasures             // millilitres that a heaped measure would hold struck off level
)

func (d *deed) record() *rec { return d.rec }

// knew says whether d's writer had seen o.
func (d *deed) knew(o *deed) bool {
	if d.from == o.from {
		return o.seq < d.seq
	}
	return d.vec.at(int(o.from)) >= o.seq
}

func (s *factSt) idOf(d *deed) entry.ID { return entry.ID{Device: s.devices[d.from].id, Seq: d.seq} }

// lotOf is the lot of a fill.
func (s *factSt) lotOf(d *deed) entry.ID { return s.byKind[lot][d.lot-1].id }

// boxEvent lets an event of a box take effect.
func (s *factSt) boxEvent(r *rec, b entry.Body, on bool) {
	d := deed{rec: r, vec: r.vec, seq: r.seq, at: r.wall, from: uint32(r.dev.nr), kind: b.Kind()}
	var of entry.ID
	var side int64
	var own entry.Opt[units.Reading]
	switch b := b.(type) {
	case *entry.Filled:
		of, side, own = b.Box, b.Side, b.Reading
		if d.much = int64(b.Mass); b.Mass == 0 {
			d.much, d.unit = int64(b.Bags), bags
		}
		d.lot = s.thing(b.Lot, lot).nr
	case *entry.VolumeFilled:
		of, side, own = b.Box, b.Side, b.Reading
		d.much, d.unit = levelled(int64(b.Volume), b.Heaped), measures
		if b.Heaped {
			d.unit = heapedMeasures
		}
		d.lot = s.thing(b.Lot, lot).nr
	case *entry.Drained:
		of, side, own = b.Box, b.Side, b.Reading
		d.much, d.all = int64(b.Mass), b.All
	case *entry.LevelRead:
		of, side, own = b.Box, b.Side, b.Reading
	case *entry.DialMoved:
		of, side, own = b.Box, b.Side, b.Reading
	case *entry.Caught:
		of, side, own = b.Box, b.Side, b.Reading
	}
	d.side, d.own, d.reads = uint8(side), own.Val, own.Set
	t := s.thing(of, box)
	if on {
		t.deeds.put(t.keep(d))
	} else {
		t.deeds.take(r)
	}
}

// keep makes room for a deed beside those of the same box before it, since
// they are read one after another.
func (t *thing) keep(d deed) *deed {
	const most = 128
	if len(t.room) == cap(t.room) {
		t.room = make([]deed, 0, min(most, 1+len(t.deeds.in)/4))
	}
	t.room = append(t.room, d)
	return &t.room[len(t.room)-1]
}

// did is the events of a box of one kind, in order.
func (t *thing) did(k entry.Kind) iter.Seq[*rec] {
	return func(yield func(*rec) bool) {
		for _, d := range t.deeds.all() {
			if d.kind == k && !yield(d.rec) {
				return
			}
		}
	}
}

// fills says whether a deed is a fill.
func (d *deed) fills() bool { return d.kind == entry.KindFilled || d.kind == entry.KindVolumeFilled }

// pours says whether a deed is a fill or a drain: what may be written twice.
func (d *deed) pours() bool { return d.fills() || d.kind == entry.KindDrained }

// pouring is what a fill or a drain must share with its twin.
type pouring struct {
	lot   uint32
	fills bool
	side  uint8
	all   bool
	unit  unit // of a lot of which that says no mass
}

// pouring is what a deed must share with its twin, and how much it is: mass, or
// bags or volume where those have no mass.
func (s *workSt) pouring(d *deed) (p pouring, much int64) {
	p = pouring{d.lot, d.fills(), d.side, d.all, weights}
	if d.unit == weights {
		return p, d.much
	}
	if m := s.weighs(d); m > 0 {
		return p, int64(m)
	}
	if p.unit = d.unit; p.unit == heapedMeasures {
		p.unit = measures
	}
	return p, d.much
}

// weighs is the mass of a fill or a drain: as weighed, by the lot's bag mass, or
// by what a measure of the lot weighs; 0 where it is not known.
func (s *workSt) weighs(d *deed) units.Mass {
	switch d.unit {
	case weights:
		return units.Mass(d.much)
	case measures, heapedMeasures:
		return s.measures[d.lot-1].of(d.much)
	}
	m, err := s.bagMass[d.lot-1].Times(units.Count(d.much))
	if err != nil {
		return 0
	}
	return m
}

// prepare works out what all flows ask for, and brings in order what they
// read, so that they can be followed at once.
func (s *workSt) prepare() {
	s.bagMass = make([]units.Mass, len(s.byKind[lot]))
	s.measures = make([]measure, len(s.byKind[lot]))
	for i, t := range s.byKind[lot] {
		bag, _ := t.num(lotBag)
		s.bagMass[i] = units.Mass(bag)
		s.measures[i] = s.measureOf(t)
	}
	for _, t := range s.byKind[drill] {
		t.events.all()
	}
	for _, t := range s.byKind[box] {
		t.deeds.all()
	}
	s.looked, s.blends, s.mixes = s.lookedAt(), s.blendedBy(), s.plannedMixes()
}

// filled is what was poured into boxes of each lot.
func (s *workSt) filled() []units.Mass {
	sums := make([]units.Mass, len(s.bagMass))
	for _, t := range s.byKind[box] {
		for _, d := range t.deeds.all() {
			if d.fills() {
				sums[d.lot-1] += s.weighs(d)
			}
		}
	}
	return sums
}
