package sheet

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// ground is each piece that was worked within the span, or planned: its areas
// by the map, as stated and by the counter, and what its seed cost.
func (s *Sheet) ground(everything bool) *Table {
	t := &Table{Name: "ground", Title: "Ground",
		Note: "Map: inside the boundary. Stated: as the crew set it. Counter: as the drill counted it, within these days and in all.",
		columns: []column{
			wide("ground", "Ground", 1.4), wide("state", "State", 0.9), col("slope", "Slope", share),
			col("map", "Map", area), col("stated", "Stated", area), col("worked", "Counter", area),
			col("done", "In all", area), col("left", "To do", area), col("seed_cost", "Seed cost", money),
			wide("nurse", "Nurse crop", 1), wide("spray", "Spray later", 1.2)},
	}
	var sum, done units.Area
	var cost units.Money
	for i := range s.view.Grounds {
		g := &s.view.Grounds[i]
		here := s.worked(g.ID)
		if here == 0 && !everything {
			continue
		}
		paid := s.costOn(g.ID)
		t.add(g.Name, g.State, slopeOf(g), mapArea(g), orBlank(g.Area), here, g.Done, toDo(g), orBlank(paid), g.Nurse, g.Spray)
		sum, done, cost = sum+here, done+g.Done, cost+paid
	}
	if loose := s.worked(entry.ID{}) - sum; loose > 0 {
		t.add("(no ground given)", nil, nil, nil, nil, loose, nil, nil, nil, nil, nil)
		sum += loose
	}
	t.total = []value{"Together", nil, nil, nil, nil, sum, done, nil, orBlank(cost), nil, nil}
	return t
}

func slopeOf(g *farm.Ground) value {
	if !g.SlopeSet {
		return nil
	}
	return g.Slope
}

// orBlank leaves a cell empty where nothing is known.
func orBlank[T ~int64](v T) value {
	if v == 0 {
		return nil
	}
	return v
}

func mapArea(g *farm.Ground) value {
	a, err := MapArea(g)
	if err != nil || a == 0 {
		return nil
	}
	return a
}

// whole is the area of a piece of ground as stated, or as its boundary says.
func wholeArea(g *farm.Ground) units.Area {
	if g.Area > 0 {
		return g.Area
	}
	a, _ := MapArea(g)
	return a
}

// toDo is what is left of a piece of ground; more done than there is leaves
// nothing.
func toDo(g *farm.Ground) value {
	all := wholeArea(g)
	if all == 0 {
		return nil
	}
	return max(0, all-g.Done)
}

// counter is the readings of the counter within the span.
func (s *Sheet) counter() *Table {
	t := &Table{Name: "counter", Title: "Counter", columns: []column{
		col("time", "Time", clock), wide("drill", "Drill", 1.2), col("reading", "Reading", number), col("area", "Worked", area),
		wide("ground", "Ground", 1.2), wide("person", "Read by", 1), wide("note", "Note", 1.5)}}
	var sum units.Area
	for _, w := range s.stretches(entry.ID{}) {
		l, _ := s.line(w.Entry)
		b, _ := l.Now.(*entry.MeterRead)
		note := ""
		if b != nil {
			note = b.Note
		}
		t.add(s.moment(l), s.view.NameOf(w.drill), w.Reading.Reading, w.Area, s.view.NameOf(w.Ground), l.By, noted(l, note))
		sum += w.Area
	}
	standing(s, func(l *farm.Line, b *entry.CounterReset) {
		t.add(s.moment(l), s.view.NameOf(b.Drill), b.To, nil, nil, l.By, "counter went from "+b.From.String()+" to "+b.To.String()+": "+noted(l, b.Why))
	})
	t.total = []value{"Together", nil, nil, sum, nil, nil, nil}
	return t
}
