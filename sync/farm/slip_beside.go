package farm

import (
	"fmt"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// A reading beside a fill, a drain, a level, a catch or a move of a dial says
// where along the counter that was. It is often typed in late, so that a reading
// below the last one is mostly right: it is asked about only where it lies
// before the work, or far from it as a point in the wrong place puts it.

const (
	// besideWork is how far from the work a reading beside it may lie, 1 ac: the
	// way to the field, and what a crank on the stand turns. Our own figure, no
	// source.
	besideWork = units.Area(40_468_564)
	// allButDone is the share of a piece from which on work beyond it may be the
	// piece sown anew, across.
	allButDone = 0.85
)

// besideSlips finds readings of a drill's counter, beside what was done to its
// boxes, that it can not have shown. Those in doubt are no measure of what comes
// after them, nor are readings that some slip is about.
func (s *slipSt) besideSlips(t *thing, v *View, about []slip) []slip {
	l := s.counterOf(t)
	width := s.drillFacts(t).Width
	if width <= 0 {
		width = widestDrill
	}
	h := besideHeld{s: s, l: l, room: roomOf(v), width: width}
	var out []slip
	for i := range l.moves {
		m := &l.moves[i]
		if !m.ofBox {
			if !l.ranBack(m.rec) && !s.unlikely(about, m) {
				h.trust(m)
			}
			continue
		}
		if kind, why := h.look(m, l.moves[i+1:]); kind != "" {
			out = append(out, h.slip(kind, m, why, h.fitsWithout(h.from, m)))
			if !s.asItIs(kind, m) {
				continue
			}
		}
		h.trust(m)
	}
	return out
}

// unlikely says whether one of the slips says that a reading is unlikely, and
// nobody has said that it is as it was written.
func (s *slipSt) unlikely(about []slip, m *move) bool {
	return slices.ContainsFunc(about, func(sl slip) bool {
		return (sl.kind == TooManyAcres || sl.kind == TooFast) && slices.Contains(sl.recs, m.rec) && !s.asItIs(sl.kind, m)
	})
}

// asItIs says whether somebody said that a reading is as it was written.
func (s *slipSt) asItIs(kind DoubtKind, m *move) bool {
	return s.anySettled(kind, m.rec, func(b *entry.Settled) bool {
		return b.Choice == entry.AsWritten && (!b.Value.Set || b.Value.Val == int64(m.total-m.offset))
	})
}

// ranBack says whether a reading counts for nothing, since the counter would
// have run back by it.
func (l *line) ranBack(r *rec) bool {
	return slices.ContainsFunc(l.back, func(p point) bool { return p.rec == r })
}

// room is how many acres a counter may still make; 0 where that is not known.
type room struct{ all, piece units.Area }

// roomOf is the room on all ground, and on the piece that has most of it.
func roomOf(v *View) (r room) {
	for i := range v.Grounds {
		g := &v.Grounds[i]
		size, _ := g.Size()
		if size <= 0 {
			return room{}
		}
		left := rate.Scaled(size, tooManyAcres)
		if g.Done < rate.Scaled(size, allButDone) {
			left -= g.Done
		}
		r.all, r.piece = r.all+left, max(r.piece, left)
	}
	return r
}

// besideHeld holds readings beside what was done against where the counter was.
type besideHeld struct {
	s       *slipSt
	l       *line
	room    room
	width   units.Length
	trusted []*move
	highest *move // of trusted

	from  *move // what the reading looked at last was held against
	later bool  // it was written later than the reading
}

func (h *besideHeld) trust(m *move) {
	h.trusted = append(h.trusted, m)
	if h.highest == nil || m.total >= h.highest.total {
		h.highest = m
	}
}

// known is the highest place of the counter that the writer of a reading knew;
// nil for none.
func (h *besideHeld) known(m *move) (top *move) {
	if h.highest != nil && m.rec.knew(h.highest.rec) {
		return h.highest
	}
	for _, o := range h.trusted {
		if m.rec.knew(o.rec) && (top == nil || o.total >= top.total) {
			top = o
		}
	}
	return top
}

// look holds a reading against where the counter was, or else was next, and
// says what is wrong with it; "" where nothing is.
func (h *besideHeld) look(m *move, next []move) (kind DoubtKind, why string) {
	h.from, h.later = h.known(m), false
	if h.from == nil {
		if h.from = h.after(m, next); h.from == nil {
			return "", ""
		}
		h.later = true
	}
	gap := h.l.counts.area(max(m.total-h.from.total, h.from.total-m.total))
	if gap <= besideWork {
		return "", ""
	}
	at, was := decimal(int64(m.total-m.offset)), decimal(int64(h.from.total-h.from.offset))
	switch {
	case h.later:
		if len(h.likely(m, true)) == 0 {
			return "", ""
		}
		if m.total > h.from.total {
			return TooManyAcres, fmt.Sprintf("the counter showed %s after, and %s is far more: is it the right reading", was, at)
		}
		return TooFarBack, fmt.Sprintf("the counter showed %s after, and %s is far less: is it the right reading", was, at)
	case m.total > h.from.total:
		return h.ahead(m, gap, at, was)
	}
	return h.behind(m, gap, at, was)
}

// after is the first reading or begin that somebody wrote who knew of another.
func (h *besideHeld) after(m *move, next []move) *move {
	for i := range next {
		o := &next[i]
		if _, reset := o.rec.eff.(*entry.CounterReset); reset {
			return nil
		}
		if !o.ofBox && o.rec.knew(m.rec) && !h.l.ranBack(o.rec) {
			return o
		}
	}
	return nil
}

func (h *besideHeld) ahead(m *move, gap units.Area, at, was string) (DoubtKind, string) {
	s := h.s
	switch r := h.room; {
	case r.all > 0 && gap > r.all:
		return TooManyAcres, fmt.Sprintf("from %s to %s are %s, and all the ground has %s left at the most: is it the right reading", was, at, gap.About(s.system()), r.all.About(s.system()))
	case r.piece > 0 && gap > r.piece && len(h.likely(m, false)) > 0:
		return TooManyAcres, fmt.Sprintf("from %s to %s are %s, and no piece has more than %s left: is it the right reading", was, at, gap.About(s.system()), r.piece.About(s.system()))
	case s.fasterThan(h.l, h.from.rec, m.rec, m.total-h.from.total, h.width):
		return TooFast, fmt.Sprintf("%s was worked in the %s since the counter showed %s: no drill goes so fast", gap.About(s.system()), minutesText(m.rec.wall-h.from.rec.wall), was)
	}
	return "", ""
}

func (h *besideHeld) behind(m *move, gap units.Area, at, was string) (DoubtKind, string) {
	system := h.s.system()
	began, known := h.began(m)
	switch {
	case len(h.likely(m, true)) > 0:
		return TooFarBack, fmt.Sprintf("the counter showed %s before, and %s is far less: is it the right reading", was, at)
	case known && h.l.counts.area(began-m.total) > besideWork:
		return TooFarBack, fmt.Sprintf("work began at %s, and %s was before that: is it the right reading", decimal(int64(began-m.offset)), at)
	case h.room.all > 0 && gap > h.room.all+h.done():
		return TooFarBack, fmt.Sprintf("the counter showed %s before, and %s is %s less, more than all the ground has: is it the right reading", was, at, gap.About(system))
	}
	return "", ""
}

// began is where work began, as the writer of a reading knew; false where that
// is not known, or follows from that reading alone.
func (h *besideHeld) began(m *move) (at units.Reading, known bool) {
	if len(h.l.points) == 0 {
		return 0, false
	}
	first := &h.l.points[0]
	return first.from, !first.open && first.behind != m.rec && m.rec.knew(first.rec)
}

// done is all that was worked by the counter.
func (h *besideHeld) done() (a units.Area) {
	for i := range h.l.points {
		if p := &h.l.points[i]; !p.open {
			a += h.l.counts.area(p.total - p.from)
		}
	}
	return a
}

// likely is the readings near the work that may have been meant: a point left
// out or set wrong, and two digits swapped where it is not such a slip that is
// looked for.
func (h *besideHeld) likely(m *move, point bool) []meant {
	fits := func(r units.Reading) bool {
		d := r + m.offset - h.from.total
		if d < 0 {
			return h.l.counts.area(-d) <= besideWork
		}
		return h.l.counts.area(d) <= max(h.room.piece, besideWork)
	}
	return likely(m.total-m.offset, point, fits, func(r units.Reading) entry.Body { return withReading(m.rec.eff, entry.Some(r)) })
}

// fitsWithout says whether a reading would be in its place if the one that it
// was held against, beside what was done too, were the wrong one of the two.
func (h *besideHeld) fitsWithout(from, m *move) bool {
	if !from.ofBox {
		return false
	}
	rest := *h
	rest.highest = nil
	rest.trusted = slices.DeleteFunc(slices.Clone(h.trusted), func(o *move) bool { return o == from })
	kind, _ := rest.look(m, nil)
	return kind == ""
}

func (h *besideHeld) slip(kind DoubtKind, m *move, why string, other bool) slip {
	s, at, from := h.s, m.total-m.offset, h.from
	_, box, _ := readingIn(m.rec.eff)
	others := h.likely(m, false)
	return slip{
		finding: finding{kind, "box " + s.name(box), []*rec{m.rec}}, field: "reading", figure: entry.Some(int64(at)),
		says: func() slipWords {
			others := append(others, without(m.rec, "leave the reading out", "it is not known"))
			if other {
				other := without(from.rec, "leave "+decimal(int64(from.total-from.offset))+" out", "that one was misread")
				other.of, other.word = from.rec, "other"
				others = append(others, other)
			}
			return slipWords{why: why, written: decimal(int64(at)), instead: others}
		},
	}
}

// without is what was done to a box without the reading beside it.
func without(r *rec, text, how string) meant {
	return meant{text: text, how: how, word: "no-reading", body: withReading(r.eff, entry.Opt[units.Reading]{})}
}

// readingIn is a copy of what was done to a box, with the box and the reading in
// it; nil for other bodies.
func readingIn(b entry.Body) (c entry.Body, box entry.ID, at *entry.Opt[units.Reading]) {
	switch b := b.(type) {
	case *entry.Filled:
		c := *b
		return &c, c.Box, &c.Reading
	case *entry.VolumeFilled:
		c := *b
		return &c, c.Box, &c.Reading
	case *entry.Drained:
		c := *b
		return &c, c.Box, &c.Reading
	case *entry.LevelRead:
		c := *b
		return &c, c.Box, &c.Reading
	case *entry.DialMoved:
		c := *b
		return &c, c.Box, &c.Reading
	case *entry.Caught:
		c := *b
		return &c, c.Box, &c.Reading
	}
	return nil, entry.ID{}, nil
}

// withReading is what was done to a box with another reading beside it, or none.
func withReading(b entry.Body, r entry.Opt[units.Reading]) entry.Body {
	c, _, at := readingIn(b)
	*at = r
	return c
}
