package farm

import (
	"cmp"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// point is a reading, or a begin, in its place along a drill's counter. The
// stretch from from to total was worked on the reading's piece of ground.
type point struct {
	rec    *rec
	from   units.Reading
	total  units.Reading // with the resets before it added, so that it only grows
	offset units.Reading // the resets
	ground entry.ID
	begin  bool  // the counter stood here when work began: what lies below is nobody's
	open   bool  // nobody said where the counter stood when work began: from is the least that is known
	behind *rec  // what from rests on; nil where that is nothing
	times  int64 // what its area is multiplied by, in thousandths; 0 where nobody corrected the counter
}

// line is a drill's counter, and all that tells where it was. The counter is a
// clock that all devices share: readings sort by its value, not by time.
type line struct {
	counts counting

	points []point // readings and begins, by the counter
	back   []point // readings and begins below what their writer knew, without a reset: nothing follows from them
	moves  []move  // all that tells where the counter was, in total order

	corrections []correction // by the counter
	pour        *rec         // the first fill of the drill's boxes

	offset, highest units.Reading // while the line is made
}

// move is where the counter was at an entry: a reading, a begin, a reset, or an
// event of a box that says what the counter showed.
type move struct {
	rec    *rec
	total  units.Reading
	offset units.Reading // of the resets up to it
	ofBox  bool
}

// workSt is what the facts come to, worked out for a view.
type workSt struct {
	factSt
	measures []measure             // what each lot weighs by volume
	lines    map[*thing]*line      // each drill's counter
	mixes    map[*thing][][]string // the species that plans put into a box together
}

// makeLines puts every drill's counter in order, and keeps it for this view.
func (s *workSt) makeLines() {
	s.lines = make(map[*thing]*line, len(s.byKind[drill]))
	boxes := map[*thing][]*thing{}
	for _, b := range s.byKind[box] {
		d := s.drillFor(b)
		boxes[d] = append(boxes[d], b)
	}
	said := s.saidOfCounters()
	for _, d := range s.byKind[drill] {
		s.lines[d] = s.makeLine(d, boxes[d], said)
	}
}

// counterOf is a drill's counter; an empty one for a drill of which nothing is set.
func (s *workSt) counterOf(d *thing) *line {
	if l, ok := s.lines[d]; ok {
		return l
	}
	return &line{}
}

func (s *workSt) makeLine(d *thing, boxes []*thing, said saidOfCounters) *line {
	kind, _ := d.num(drillCounter)
	turns, _ := d.num(drillCounterTurns)
	l := &line{counts: countingOf(entry.CounterKind(kind), units.Turns(turns))}
	seen := s.sightings(d, boxes)
	l.moves = make([]move, 0, len(seen))
	for _, c := range seen {
		p := point{rec: c.rec, total: c.reading + l.offset, offset: l.offset}
		switch b := c.rec.eff.(type) {
		case *entry.CounterReset:
			l.moves = append(l.moves, move{c.rec, b.From + l.offset, l.offset + b.From - b.To, false})
			l.offset += b.From - b.To
			continue
		case *entry.MeterRead:
			p.ground = s.canon(b.Ground)
			l.put(p, said.back)
		case *entry.CounterStood:
			p.ground, p.begin = s.canon(b.Ground), true
			l.put(p, said.back)
		}
		l.moves = append(l.moves, move{c.rec, c.reading + l.offset, l.offset, c.ofBox})
	}
	l.points = append(l.points, saidLater(l.points, said.began)...)
	slices.SortFunc(l.points, point.compare)
	for i := 1; i < len(l.points); i++ {
		p := &l.points[i]
		p.from, p.behind = l.points[i-1].total, l.points[i-1].rec
		if p.begin {
			p.from, p.behind = p.total, nil
		}
	}
	if len(l.points) > 0 {
		l.pour = firstPour(boxes)
		l.start()
		s.correct(d, l)
	}
	return l
}

func (p point) compare(o point) int {
	return cmp.Or(cmp.Compare(p.total, o.total), p.rec.compare(o.rec))
}

// sighting is an entry that says what a drill's counter showed.
type sighting struct {
	rec     *rec
	reading units.Reading
	ofBox   bool
}

// sightings is the entries that say what a drill's counter showed, in total
// order.
func (s *workSt) sightings(d *thing, boxes []*thing) []sighting {
	events := d.events.all()
	seen := make([]sighting, 0, len(events))
	for _, r := range events {
		c := sighting{rec: r}
		switch b := r.eff.(type) {
		case *entry.MeterRead:
			c.reading = b.Reading
		case *entry.CounterStood:
			c.reading = b.Reading
		}
		seen = append(seen, c)
	}
	for _, b := range boxes {
		for _, e := range b.deeds.all() {
			if e.reads {
				seen = append(seen, sighting{e.rec, e.own, true})
			}
		}
	}
	if len(seen) > len(events) {
		slices.SortFunc(seen, func(a, b sighting) int { return a.rec.compare(b.rec) })
	}
	return seen
}

// firstPour is the first fill of any of the boxes; nil where there is none.
func firstPour(boxes []*thing) *rec {
	var first *rec
	for _, b := range boxes {
		for _, e := range b.deeds.all() {
			if e.fills() {
				if first == nil || e.rec.compare(first) < 0 {
					first = e.rec
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
func (l *line) start() {
	first := &l.points[0]
	first.from = first.total
	if first.begin || first.total == first.offset {
		return
	}
	first.open = true
	for _, m := range l.moves {
		if m.total > first.from || m.total == first.from && first.behind != nil {
			continue
		}
		switch m.rec.eff.(type) {
		case *entry.MeterRead, *entry.CounterStood: // which are points, or count for nothing
			continue
		}
		first.from, first.behind = m.total, m.rec
		first.open = l.pour != nil && l.pour.compare(m.rec) < 0
	}
}

// beganAt is what people said later of where the counter stood before a
// reading: the latest settlement for each.
func (s *workSt) beganAt() map[entry.ID]*rec {
	out := map[entry.ID]*rec{}
	for _, r := range s.settles.all() {
		if b := r.eff.(*entry.Settled); b.Doubt == string(CounterBegin) && s.says(b) {
			out[b.Entries[0]] = r
		}
	}
	return out
}

// saidLater is the begins that people said later.
func saidLater(points []point, began map[entry.ID]*rec) []point {
	if len(began) == 0 {
		return nil
	}
	var out []point
	for _, p := range points {
		if r, ok := began[p.rec.id()]; ok && !p.begin {
			at := units.Reading(r.eff.(*entry.Settled).Value.Val)
			out = append(out, point{rec: r, total: at + p.offset, offset: p.offset, ground: p.ground, begin: true})
		}
	}
	return out
}

// Fields of a drill and of a piece of ground, by their numbers in the schema.
const (
	drillName         = 2
	drillRows         = 3
	drillSpacing      = 4
	drillWidth        = 5
	drillRoll         = 6
	drillWheelTurns   = 7
	drillCounter      = 8
	drillCounterTurns = 9

	groundName  = 2
	groundArea  = 3
	groundSlope = 4
	groundState = 5
	groundNotes = 6
	groundSpray = 7
	groundRings = 8
)

// twoPieces finds pairs of readings that claim one stretch of the counter for
// two pieces of ground. A reading claims what lies between it and the highest
// one below it that its writer knew.
func twoPieces(pts []point) [][]*rec {
	var out [][]*rec
	for i, p := range pts {
		if p.begin {
			continue
		}
		for j := i - 1; j >= 0; j-- {
			o := pts[j]
			if p.rec.knew(o.rec) {
				break
			}
			if o.ground != p.ground && o.from < o.total && apart(o.rec, p.rec) {
				out = append(out, []*rec{o.rec, p.rec})
			}
		}
	}
	return out
}

// twoBegins finds pairs of begins, written apart, that differ with no reading
// between them: the counter stood at one place when work began.
func twoBegins(pts []point) [][]*rec {
	var out [][]*rec
	for i, p := range pts {
		for j := i - 1; j >= 0 && p.begin && pts[j].begin; j-- {
			if o := pts[j]; o.total < p.total && apart(o.rec, p.rec) {
				out = append(out, []*rec{o.rec, p.rec})
			}
		}
	}
	return out
}

// placing finds the place of each event of a box along the counter of its
// drill: at its own reading, or where the counter was last seen before it in
// the total order. Events come in that order.
type placing struct {
	moves  []move // that lie ahead
	offset units.Reading
	at     units.Reading
	known  bool // any reading was there to go by
}

func (p *placing) place(d *deed) (total units.Reading, known bool) {
	for ; len(p.moves) > 0 && p.moves[0].rec.compare(d.rec) < 0; p.moves = p.moves[1:] {
		m := p.moves[0]
		p.offset = m.offset
		if !p.known || m.total > p.at {
			p.at, p.known = m.total, true
		}
	}
	if d.reads {
		return d.own + p.offset, true
	}
	return p.at, p.known
}
