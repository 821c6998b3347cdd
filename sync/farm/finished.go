package farm

import (
	"cmp"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// correction is what areas of a drill's counter are multiplied by, in
// thousandths, from a place along it on.
type correction struct {
	rec   *rec
	at    units.Reading
	times int64
}

// finish takes in that ground is finished, or is not after all, and what the
// counter is corrected by from there on.
func (s *factSt) finish(r *rec, b *entry.GroundFinished, on bool) {
	v := value{}
	if b.Finished {
		v.n = 1
	}
	s.thing(b.Ground, ground).set(r, field{num: fieldFinished}, v, on)
	if b.Correction.Set {
		s.thing(b.Drill, drill).set(r, field{num: fieldCorrection}, value{n: b.Correction.Val}, on)
	}
}

// correct finds what each stretch of a counter is multiplied by: the latest
// correction that stands, and those that whoever wrote it had seen, each from
// where it was written on.
func (s *workSt) correct(d *thing, l *line) {
	g := d.reg(field{num: fieldCorrection}, false)
	if g == nil {
		return
	}
	last := g.chosen()
	var list []correction
	for i := range g.writes {
		w := &g.writes[i]
		b, ok := w.by.eff.(*entry.GroundFinished)
		if ok && w.from == nil && last != nil && (w.by == last || last.knew(w.by)) {
			list = append(list, correction{w.by, l.placeOf(w.by, b), w.val.n})
		}
	}
	slices.SortStableFunc(list, func(a, b correction) int { return cmp.Compare(a.at, b.at) })
	l.corrections = list
	for i := range l.points {
		p := &l.points[i]
		for _, c := range list {
			if c.at <= p.from {
				p.times = c.times
			}
		}
	}
}

// chosen is the entry whose value is shown, settlements looked through.
func (g *register) chosen() *rec {
	if len(g.heads) == 0 {
		return nil
	}
	w := &g.writes[slices.Max(g.heads)]
	for w.from != nil {
		i := slices.IndexFunc(g.writes, func(o write) bool { return o.by == w.from })
		if i < 0 {
			return nil
		}
		w = &g.writes[i]
	}
	return w.by
}

// placeOf is where along the counter somebody said that ground was finished: at
// the reading that they gave, or where the counter was last seen before.
func (l *line) placeOf(r *rec, b *entry.GroundFinished) units.Reading {
	var offset, at units.Reading
	for _, m := range l.moves {
		if m.rec.compare(r) >= 0 {
			break
		}
		offset, at = m.offset, max(at, m.total)
	}
	if b.Reading.Set {
		return b.Reading.Val + offset
	}
	return at
}

// worked is the area of a stretch, the counter's correction in it.
func (s *workSt) worked(d *thing, p *point) units.Area {
	a := s.counterOf(d).counts.area(p.total - p.from)
	if p.times == 0 {
		return a
	}
	n, err := units.MulDiv(int64(a), p.times, 1000)
	if err != nil {
		return a
	}
	return units.Area(n)
}

// checked says whether a drill's counter was held against a finished piece, and
// someone took what that came to.
func (s *workSt) checked(d *thing) bool {
	_, ok := d.num(fieldCorrection)
	return ok
}
