package slip

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/view"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
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
func (s *Slips) besideSlips(t *thing.Thing, v *view.View, about []Slip) []Slip {
	l := s.CounterOf(t)
	width := s.DrillFacts(t).Width
	if width <= 0 {
		width = widestDrill
	}
	h := besideHeld{s: s, l: l, room: roomOf(v), width: width}
	var out []Slip
	for i := range l.Moves {
		m := &l.Moves[i]
		if !m.OfBox {
			if !l.RanBack(m.Rec) && !s.unlikely(about, m) {
				h.trust(m)
			}
			continue
		}
		if kind, why := h.look(m, l.Moves[i+1:]); kind != "" {
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
func (s *Slips) unlikely(about []Slip, m *work.Move) bool {
	return slices.ContainsFunc(about, func(sl Slip) bool {
		return (sl.Kind == conflict.TooManyAcres || sl.Kind == conflict.TooFast) && slices.Contains(sl.Recs, m.Rec) && !s.asItIs(sl.Kind, m)
	})
}

// asItIs says whether somebody said that a reading is as it was written.
func (s *Slips) asItIs(kind conflict.DoubtKind, m *work.Move) bool {
	return s.AnySettled(kind, m.Rec, func(b *entry.Settled) bool {
		return b.Choice == entry.AsWritten && (!b.Value.Set || b.Value.Val == int64(m.Total-m.Offset))
	})
}

// room is how many acres a counter may still make; 0 where that is not known.
type room struct{ all, piece units.Area }

// roomOf is the room on all ground, and on the piece that has most of it.
func roomOf(v *view.View) (r room) {
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
	s       *Slips
	l       *work.CounterLine
	room    room
	width   units.Length
	trusted []*work.Move
	highest *work.Move // of trusted

	from  *work.Move // what the reading looked at last was held against
	later bool       // it was written later than the reading
}

func (h *besideHeld) trust(m *work.Move) {
	h.trusted = append(h.trusted, m)
	if h.highest == nil || m.Total >= h.highest.Total {
		h.highest = m
	}
}

// known is the highest place of the counter that the writer of a reading knew;
// nil for none.
func (h *besideHeld) known(m *work.Move) (top *work.Move) {
	if h.highest != nil && m.Rec.Knew(h.highest.Rec) {
		return h.highest
	}
	for _, o := range h.trusted {
		if m.Rec.Knew(o.Rec) && (top == nil || o.Total >= top.Total) {
			top = o
		}
	}
	return top
}

// look holds a reading against where the counter was, or else was next, and
// says what is wrong with it; "" where nothing is.
func (h *besideHeld) look(m *work.Move, next []work.Move) (kind conflict.DoubtKind, why message.Message) {
	h.from, h.later = h.known(m), false
	if h.from == nil {
		if h.from = h.after(m, next); h.from == nil {
			return "", message.Message{}
		}
		h.later = true
	}
	gap := h.l.Counts.Area(max(m.Total-h.from.Total, h.from.Total-m.Total))
	if gap <= besideWork {
		return "", message.Message{}
	}
	at, was := message.Decimal(m.Total-m.Offset), message.Decimal(h.from.Total-h.from.Offset)
	switch {
	case h.later:
		if len(h.likely(m, true)) == 0 {
			return "", message.Message{}
		}
		if m.Total > h.from.Total {
			return conflict.TooManyAcres, message.Of("slip.far-more-after", was, at)
		}
		return conflict.TooFarBack, message.Of("slip.far-less-after", was, at)
	case m.Total > h.from.Total:
		return h.ahead(m, gap, at, was)
	}
	return h.behind(m, gap, at, was)
}

// after is the first reading or begin that somebody wrote who knew of another.
func (h *besideHeld) after(m *work.Move, next []work.Move) *work.Move {
	for i := range next {
		o := &next[i]
		if _, reset := o.Rec.Eff.(*entry.CounterReset); reset {
			return nil
		}
		if !o.OfBox && o.Rec.Knew(m.Rec) && !h.l.RanBack(o.Rec) {
			return o
		}
	}
	return nil
}

func (h *besideHeld) ahead(m *work.Move, gap units.Area, at, was message.Quantity) (conflict.DoubtKind, message.Message) {
	s := h.s
	switch r := h.room; {
	case r.all > 0 && gap > r.all:
		return conflict.TooManyAcres, message.Of("slip.more-than-ground-left", was, at, message.AboutArea(gap), message.AboutArea(r.all))
	case r.piece > 0 && gap > r.piece && len(h.likely(m, false)) > 0:
		return conflict.TooManyAcres, message.Of("slip.more-than-piece-left", was, at, message.AboutArea(gap), message.AboutArea(r.piece))
	case s.fasterThan(h.l, h.from.Rec, m.Rec, m.Total-h.from.Total, h.width):
		return conflict.TooFast, message.Of("slip.too-fast-since", message.AboutArea(gap), minutes(m.Rec.Wall-h.from.Rec.Wall), was)
	}
	return "", message.Message{}
}

func (h *besideHeld) behind(m *work.Move, gap units.Area, at, was message.Quantity) (conflict.DoubtKind, message.Message) {
	began, known := h.began(m)
	switch {
	case len(h.likely(m, true)) > 0:
		return conflict.TooFarBack, message.Of("slip.far-less-before", was, at)
	case known && h.l.Counts.Area(began-m.Total) > besideWork:
		return conflict.TooFarBack, message.Of("slip.before-work-began", message.Decimal(began-m.Offset), at)
	case h.room.all > 0 && gap > h.room.all+h.done():
		return conflict.TooFarBack, message.Of("slip.less-than-ground", was, at, message.AboutArea(gap))
	}
	return "", message.Message{}
}

// began is where work began, as the writer of a reading knew; false where that
// is not known, or follows from that reading alone.
func (h *besideHeld) began(m *work.Move) (at units.Reading, known bool) {
	if len(h.l.Points) == 0 {
		return 0, false
	}
	first := &h.l.Points[0]
	return first.From, !first.Open && first.Behind != m.Rec && m.Rec.Knew(first.Rec)
}

// done is all that was worked by the counter.
func (h *besideHeld) done() (a units.Area) {
	for i := range h.l.Points {
		if p := &h.l.Points[i]; !p.Open {
			a += h.l.Counts.Area(p.Total - p.From)
		}
	}
	return a
}

// likely is the readings near the work that may have been meant: a point left
// out or set wrong, and two digits swapped where it is not such a slip that is
// looked for.
func (h *besideHeld) likely(m *work.Move, point bool) []meant {
	fits := func(r units.Reading) bool {
		d := r + m.Offset - h.from.Total
		if d < 0 {
			return h.l.Counts.Area(-d) <= besideWork
		}
		return h.l.Counts.Area(d) <= max(h.room.piece, besideWork)
	}
	return likely(m.Total-m.Offset, point, fits, func(r units.Reading) entry.Body { return withReading(m.Rec.Eff, entry.Some(r)) })
}

// fitsWithout says whether a reading would be in its place if the one that it
// was held against, beside what was done too, were the wrong one of the two.
func (h *besideHeld) fitsWithout(from, m *work.Move) bool {
	if !from.OfBox {
		return false
	}
	rest := *h
	rest.highest = nil
	rest.trusted = slices.DeleteFunc(slices.Clone(h.trusted), func(o *work.Move) bool { return o == from })
	kind, _ := rest.look(m, nil)
	return kind == ""
}

func (h *besideHeld) slip(kind conflict.DoubtKind, m *work.Move, why message.Message, other bool) Slip {
	s, at, from := h.s, m.Total-m.Offset, h.from
	_, box, _ := readingIn(m.Rec.Eff)
	others := h.likely(m, false)
	return Slip{
		Finding: order.Finding{Kind: kind, About: message.Of("box", s.Called(box)), Recs: []*order.Rec{m.Rec}}, field: "reading", figure: entry.Some(int64(at)),
		says: func() reason {
			others := append(others, without(m.Rec, message.Of("choice.leave-reading-out"), message.Of("how.not-known")))
			if other {
				other := without(from.Rec, message.Of("choice.leave-out-figure", message.Decimal(from.Total-from.Offset)), message.Of("how.that-one-misread"))
				other.of, other.word = from.Rec, "other"
				others = append(others, other)
			}
			return reason{why: why, written: shown(message.Decimal(at)), instead: others}
		},
	}
}

// without is what was done to a box without the reading beside it.
func without(r *order.Rec, text, how message.Message) meant {
	return meant{text: text, how: how, word: "no-reading", body: withReading(r.Eff, entry.Opt[units.Reading]{})}
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
