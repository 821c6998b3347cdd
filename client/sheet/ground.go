package sheet

import (
	"turnrow/client/words"
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
	open := false
	var doubts []value
	for i := range s.view.Grounds {
		g := &s.view.Grounds[i]
		here := s.worked(g.ID)
		if here == 0 && !everything {
			continue
		}
		paid := s.costOn(g.ID)
		all := value(g.Done)
		if g.Open {
			all, open = nil, true
		}
		t.add(g.Name, g.State, slopeOf(g), mapArea(g), orBlank(g.Area), here, all, toDo(g), orBlank(paid), g.Nurse, g.Spray)
		doubts = append(doubts, inDoubt(s.rests.Ground(g)))
		sum, done, cost = sum+here, done+g.Done, cost+paid
	}
	if loose := s.worked(entry.ID{}) - sum; loose > 0 {
		t.add("(no ground given)", nil, nil, nil, nil, loose, nil, nil, nil, nil, nil)
		doubts = append(doubts, nil)
		sum += loose
	}
	t.total = []value{"Together", nil, nil, nil, nil, sum, done, nil, orBlank(cost), nil, nil}
	t.marked(doubts)
	if open {
		t.Note += " Blank in all: nobody said where the counter stood when work began; what the sums hold is the least."
	}
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
	a, err := g.MapArea()
	if err != nil || a == 0 {
		return nil
	}
	return a
}

// wholeArea is the area of a piece of ground as stated, or as its boundary says.
func wholeArea(g *farm.Ground) units.Area {
	if g.Area > 0 {
		return g.Area
	}
	a, _ := g.MapArea()
	return a
}

// toDo is what is left of a piece of ground; more done than there is leaves
// nothing.
func toDo(g *farm.Ground) value {
	all := wholeArea(g)
	if all == 0 || g.Open {
		return nil
	}
	return max(0, all-g.Done)
}

// readNote is what there is to say of a reading.
func readNote(r farm.Reading, l *words.Line) string {
	switch b := l.Now.(type) {
	case *entry.MeterRead:
		if r.Open {
			return join("nobody said where work began", b.Note)
		}
		return b.Note
	case *entry.CounterStood:
		return join("work begins", b.Why)
	case *entry.Settled:
		return join("work began there, as was said later", b.Why)
	}
	return ""
}

// join adds a note to words, where there is one.
func join(words, note string) string {
	if note == "" {
		return words
	}
	return words + ": " + note
}

// counter is the readings of the counter within the span.
func (s *Sheet) counter() *Table {
	t := &Table{Name: "counter", Title: "Counter", columns: []column{
		col("time", "Time", clock), wide("drill", "Drill", 1.2), col("reading", "Reading", number), col("area", "Worked", area),
		wide("ground", "Ground", 1.2), wide("person", "Read by", 1), wide("note", "Note", 1.5)}}
	var sum units.Area
	for _, w := range s.stretches(entry.ID{}) {
		l, _ := s.line(w.Entry)
		worked := value(w.Area)
		if w.Begin || w.Open && w.Area == 0 {
			worked = nil
		}
		t.add(s.moment(l), s.view.NameOf(w.drill), w.Reading.Reading, worked, s.view.NameOf(w.Ground), l.By, noted(l, readNote(w.Reading, l)))
		sum += w.Area
	}
	standing(s, func(l *words.Line, b *entry.CounterReset) {
		t.add(s.moment(l), s.view.NameOf(b.Drill), b.To, nil, nil, l.By, "counter went from "+b.From.String()+" to "+b.To.String()+": "+noted(l, b.Why))
	})
	t.total = []value{"Together", nil, nil, sum, nil, nil, nil}
	return t
}
