package work

import (
	"cmp"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/units"
)

// correction is what areas of a drill's counter are multiplied by, in
// thousandths, from a place along it on.
type correction struct {
	Rec   *order.Rec
	at    units.Reading
	Times int64
}

// correct finds what each stretch of a counter is multiplied by: the latest
// correction that stands, and those that whoever wrote it had seen, each from
// where it was written on.
func (s *Work) correct(d *thing.Thing, l *CounterLine) {
	g := d.Reg(thing.Field{Num: thing.FieldCorrection}, false)
	if g == nil {
		return
	}
	last := g.Chosen()
	var list []correction
	for i := range g.Writes {
		w := &g.Writes[i]
		b, ok := w.By.Eff.(*entry.GroundFinished)
		if ok && w.From == nil && last != nil && (w.By == last || last.Knew(w.By)) {
			list = append(list, correction{w.By, l.placeOf(w.By, b), w.Val.N})
		}
	}
	slices.SortStableFunc(list, func(a, b correction) int { return cmp.Compare(a.at, b.at) })
	l.Corrections = list
	for i := range l.Points {
		p := &l.Points[i]
		for _, c := range list {
			if c.at <= p.From {
				p.Times = c.Times
			}
		}
	}
}

// placeOf is where along the counter somebody said that ground was finished: at
// the reading that they gave, or where the counter was last seen before.
func (l *CounterLine) placeOf(r *order.Rec, b *entry.GroundFinished) units.Reading {
	var offset, at units.Reading
	for _, m := range l.Moves {
		if m.Rec.Compare(r) >= 0 {
			break
		}
		offset, at = m.Offset, max(at, m.Total)
	}
	if b.Reading.Set {
		return b.Reading.Val + offset
	}
	return at
}

// Worked is the area of a stretch, the counter's correction in it.
func (s *Work) Worked(d *thing.Thing, p *Point) units.Area {
	a := s.CounterOf(d).Counts.Area(p.Total - p.From)
	if p.Times == 0 {
		return a
	}
	n, err := units.MulDiv(int64(a), p.Times, 1000)
	if err != nil {
		return a
	}
	return units.Area(n)
}

// checked says whether a drill's counter was held against a finished piece, and
// someone took what that came to.
func (s *Work) checked(d *thing.Thing) bool {
	_, ok := d.Num(thing.FieldCorrection)
	return ok
}
