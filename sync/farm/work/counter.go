package work

import (
	"cmp"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/fact"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/units"
)

// Point is a reading, or a begin, in its place along a drill's counter. The
// stretch from from to total was worked on the reading's piece of ground.
type Point struct {
	Rec    *order.Rec
	From   units.Reading
	Total  units.Reading // with the resets before it added, so that it only grows
	Offset units.Reading // the resets
	Ground entry.ID
	Begin  bool       // the counter stood here when work began: what lies below is nobody's
	Open   bool       // nobody said where the counter stood when work began: from is the least that is known
	Behind *order.Rec // what from rests on; nil where that is nothing
	Times  int64      // what its area is multiplied by, in thousandths; 0 where nobody corrected the counter
}

// CounterLine is a drill's counter, and all that tells where it was. The counter is a
// clock that all devices share: readings sort by its value, not by time.
type CounterLine struct {
	Counts counting

	Points []Point // readings and begins, by the counter
	Back   []Point // readings and begins below what their writer knew, without a reset: nothing follows from them
	Moves  []Move  // all that tells where the counter was, in total order

	Corrections []correction // by the counter
	Pour        *order.Rec   // the first fill of the drill's boxes

	offset, highest units.Reading // while the line is made
}

// Move is where the counter was at an entry: a reading, a begin, a reset, or an
// event of a box that says what the counter showed.
type Move struct {
	Rec    *order.Rec
	Total  units.Reading
	Offset units.Reading // of the resets up to it
	OfBox  bool
}

// Work is what the facts come to, worked out for a view.
type Work struct {
	fact.Facts
	measures []measure                     // what each lot weighs by volume
	lines    map[*thing.Thing]*CounterLine // each drill's counter
	mixes    map[*thing.Thing][][]string   // the species that plans put into a box together
}

// MakeLines puts every drill's counter in order, and keeps it for this view.
func (s *Work) MakeLines() {
	s.lines = make(map[*thing.Thing]*CounterLine, len(s.ByKind[thing.Drill]))
	boxes := map[*thing.Thing][]*thing.Thing{}
	for _, b := range s.ByKind[thing.Box] {
		d := s.DrillFor(b)
		boxes[d] = append(boxes[d], b)
	}
	said := s.saidOfCounters()
	for _, d := range s.ByKind[thing.Drill] {
		s.lines[d] = s.makeLine(d, boxes[d], said)
	}
}

// CounterOf is a drill's counter; an empty one for a drill of which nothing is set.
func (s *Work) CounterOf(d *thing.Thing) *CounterLine {
	if l, ok := s.lines[d]; ok {
		return l
	}
	return &CounterLine{}
}

func (s *Work) makeLine(d *thing.Thing, boxes []*thing.Thing, said saidOfCounters) *CounterLine {
	kind, _ := d.Num(thing.DrillCounter)
	turns, _ := d.Num(thing.DrillCounterTurns)
	l := &CounterLine{Counts: countingOf(entry.CounterKind(kind), units.Turns(turns))}
	seen := s.sightings(d, boxes)
	l.Moves = make([]Move, 0, len(seen))
	for _, c := range seen {
		p := Point{Rec: c.rec, Total: c.reading + l.offset, Offset: l.offset}
		switch b := c.rec.Eff.(type) {
		case *entry.CounterReset:
			l.Moves = append(l.Moves, Move{c.rec, b.From + l.offset, l.offset + b.From - b.To, false})
			l.offset += b.From - b.To
			continue
		case *entry.MeterRead:
			p.Ground = s.Canon(b.Ground)
			l.put(p, said.back)
		case *entry.CounterStood:
			p.Ground, p.Begin = s.Canon(b.Ground), true
			l.put(p, said.back)
		}
		l.Moves = append(l.Moves, Move{c.rec, c.reading + l.offset, l.offset, c.ofBox})
	}
	l.Points = append(l.Points, saidLater(l.Points, said.began)...)
	slices.SortFunc(l.Points, Point.compare)
	for i := 1; i < len(l.Points); i++ {
		p := &l.Points[i]
		p.From, p.Behind = l.Points[i-1].Total, l.Points[i-1].Rec
		if p.Begin {
			p.From, p.Behind = p.Total, nil
		}
	}
	if len(l.Points) > 0 {
		l.Pour = firstPour(boxes)
		l.start()
		s.correct(d, l)
	}
	return l
}

func (p Point) compare(o Point) int {
	return cmp.Or(cmp.Compare(p.Total, o.Total), p.Rec.Compare(o.Rec))
}

// sighting is an entry that says what a drill's counter showed.
type sighting struct {
	rec     *order.Rec
	reading units.Reading
	ofBox   bool
}

// sightings is the entries that say what a drill's counter showed, in total
// order.
func (s *Work) sightings(d *thing.Thing, boxes []*thing.Thing) []sighting {
	events := d.Events.All()
	seen := make([]sighting, 0, len(events))
	for _, r := range events {
		c := sighting{rec: r}
		switch b := r.Eff.(type) {
		case *entry.MeterRead:
			c.reading = b.Reading
		case *entry.CounterStood:
			c.reading = b.Reading
		}
		seen = append(seen, c)
	}
	for _, b := range boxes {
		for _, e := range b.Deeds.All() {
			if e.Reads {
				seen = append(seen, sighting{e.Rec, e.Own, true})
			}
		}
	}
	if len(seen) > len(events) {
		slices.SortFunc(seen, func(a, b sighting) int { return a.rec.Compare(b.rec) })
	}
	return seen
}

// firstPour is the first fill of any of the boxes; nil where there is none.
func firstPour(boxes []*thing.Thing) *order.Rec {
	var first *order.Rec
	for _, b := range boxes {
		for _, e := range b.Deeds.All() {
			if e.Fills() {
				if first == nil || e.Rec.Compare(first) < 0 {
					first = e.Rec
				}
				break
			}
		}
	}
	return first
}

// start is where the stretch before the first reading begins. No acres follow
// from a first reading: a drill's counter goes on from other people's ground.
// What it showed at a fill, say, is known, and work begins there where nothing
// was poured before; where seed was in the boxes already, work may have begun
// earlier. A counter that shows nought has counted nothing.
func (l *CounterLine) start() {
	first := &l.Points[0]
	first.From = first.Total
	if first.Begin || first.Total == first.Offset {
		return
	}
	first.Open = true
	for _, m := range l.Moves {
		if m.Total > first.From || m.Total == first.From && first.Behind != nil {
			continue
		}
		switch m.Rec.Eff.(type) {
		case *entry.MeterRead, *entry.CounterStood: // which are points, or count for nothing
			continue
		}
		first.From, first.Behind = m.Total, m.Rec
		first.Open = l.Pour != nil && l.Pour.Compare(m.Rec) < 0
	}
}

// beganAt is what people said later of where the counter stood before a
// reading: the latest settlement for each.
func (s *Work) beganAt() map[entry.ID]*order.Rec {
	out := map[entry.ID]*order.Rec{}
	for _, r := range s.Settles.All() {
		if b := r.Eff.(*entry.Settled); b.Doubt == string(conflict.CounterBegin) && s.Says(b) {
			out[b.Entries[0]] = r
		}
	}
	return out
}

// saidLater is the begins that people said later.
func saidLater(points []Point, began map[entry.ID]*order.Rec) []Point {
	if len(began) == 0 {
		return nil
	}
	var out []Point
	for _, p := range points {
		if r, ok := began[p.Rec.ID()]; ok && !p.Begin {
			at := units.Reading(r.Eff.(*entry.Settled).Value.Val)
			out = append(out, Point{Rec: r, Total: at + p.Offset, Offset: p.Offset, Ground: p.Ground, Begin: true})
		}
	}
	return out
}

// TwoPieces finds pairs of readings that claim one stretch of the counter for
// two pieces of ground. A reading claims what lies between it and the highest
// one below it that its writer knew.
func TwoPieces(pts []Point) [][]*order.Rec {
	var out [][]*order.Rec
	for i, p := range pts {
		if p.Begin {
			continue
		}
		for j := i - 1; j >= 0; j-- {
			o := pts[j]
			if p.Rec.Knew(o.Rec) {
				break
			}
			if o.Ground != p.Ground && o.From < o.Total && order.Concurrent(o.Rec, p.Rec) {
				out = append(out, []*order.Rec{o.Rec, p.Rec})
			}
		}
	}
	return out
}

// TwoBegins finds pairs of concurrent begins that differ with no reading
// between them: the counter stood at one place when work began.
func TwoBegins(pts []Point) [][]*order.Rec {
	var out [][]*order.Rec
	for i, p := range pts {
		for j := i - 1; j >= 0 && p.Begin && pts[j].Begin; j-- {
			if o := pts[j]; o.Total < p.Total && order.Concurrent(o.Rec, p.Rec) {
				out = append(out, []*order.Rec{o.Rec, p.Rec})
			}
		}
	}
	return out
}

// placing finds the place of each event of a box along the counter of its
// drill: at its own reading, or where the counter was last seen before it in
// the total order. Events come in that order.
type placing struct {
	moves  []Move // that lie ahead
	offset units.Reading
	at     units.Reading
	known  bool // any reading was there to go by
}

func (p *placing) place(d *thing.Deed) (total units.Reading, known bool) {
	for ; len(p.moves) > 0 && p.moves[0].Rec.Compare(d.Rec) < 0; p.moves = p.moves[1:] {
		m := p.moves[0]
		p.offset = m.Offset
		if !p.known || m.Total > p.at {
			p.at, p.known = m.Total, true
		}
	}
	if d.Reads {
		return d.Own + p.offset, true
	}
	return p.at, p.known
}
