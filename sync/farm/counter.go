package farm

import (
	"cmp"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// point is a reading in its place along a drill's counter. The stretch from
// from to total was worked on the reading's piece of ground.
type point struct {
	rec    *rec
	from   units.Reading
	total  units.Reading // with the resets before it added, so that it only grows
	ground entry.ID
}

// timeline is the readings of a drill in the order of its counter, and those
// that went back below a reading which their writer knew, without a reset.
// The counter is a clock that all devices share: readings sort by its value,
// not by time.
func (s *State) timeline(d *thing) (pts []point, back []*rec) {
	var offset, highest units.Reading
	for _, r := range d.events.all() {
		switch b := r.eff.(type) {
		case *entry.CounterReset:
			offset += b.From - b.To
		case *entry.MeterRead:
			p := point{rec: r, total: b.Reading + offset, ground: s.canon(b.Ground)}
			if p.total < highest && slices.ContainsFunc(pts, func(o point) bool { return o.total > p.total && r.knew(o.rec) }) {
				back = append(back, r)
				continue
			}
			highest = max(highest, p.total)
			pts = append(pts, p)
		}
	}
	slices.SortFunc(pts, func(a, b point) int { return cmp.Or(cmp.Compare(a.total, b.total), a.rec.compare(b.rec)) })
	for i := range pts {
		if i > 0 {
			pts[i].from = pts[i-1].total
		} else {
			pts[i].from = s.start(d, pts[i])
		}
	}
	return pts, back
}

// start is where the stretch before the first reading begins. A counter that
// was set to nought before the day shows what was worked since; one that goes
// on from other people's ground shows more than the piece holds, and then the
// first reading is only where this farm's stretches start.
func (s *State) start(d *thing, p point) units.Reading {
	g, ok := s.things[p.ground]
	if !ok {
		return p.total
	}
	whole, ok := g.num(groundArea)
	if ok && s.area(d, p.total) <= units.Area(whole) {
		return 0
	}
	return p.total
}

// area is the area that a difference of the counter stands for.
func (s *State) area(d *thing, dr units.Reading) units.Area {
	const (
		acreTimes1000 = 40_468_564_224 // an acre in cm², times 1,000
		perAcre       = 1000           // thousandths of an acre in one
	)
	per := int64(perAcre)
	if kind, _ := d.num(drillCounter); entry.CounterKind(kind) == entry.CountsTurns {
		if per, _ = d.num(drillCounterTurns); per <= 0 {
			return 0
		}
	}
	a, err := units.MulDiv(int64(dr), acreTimes1000, per*1000)
	if err != nil {
		return 0
	}
	return units.Area(a)
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

// placing finds the place of each event of a box along the counter of its
// drill: at its own reading, or at the last reading before it in the total
// order. Events come in that order.
type placing struct {
	readings []*rec // of the drill, that lie ahead
	offset   units.Reading
	at       units.Reading
	known    bool // any reading was there to go by
}

func (p *placing) place(d *deed) (total units.Reading, known bool) {
	for ; len(p.readings) > 0 && p.readings[0].compare(d.rec) < 0; p.readings = p.readings[1:] {
		switch b := p.readings[0].eff.(type) {
		case *entry.CounterReset:
			p.offset += b.From - b.To
		case *entry.MeterRead:
			p.at, p.known = max(p.at, b.Reading+p.offset), true
		}
	}
	if d.reads {
		return d.own + p.offset, true
	}
	return p.at, p.known
}
