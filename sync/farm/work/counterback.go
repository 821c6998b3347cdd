package work

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/units"
)

// put puts a reading or a begin on the line. One below what its writer knew, by
// which the counter would have run back, counts for nothing until people say how
// that came: it is right, and was written down late, or the counter was set
// back.
func (l *CounterLine) put(p Point, said map[entry.ID]*entry.Settled) {
	if above := l.knownAbove(&p); above > p.Total {
		b := said[p.Rec.ID()]
		switch {
		case b != nil && b.Choice == entry.AsWritten:
		case b != nil && b.Choice == entry.SetBack:
			l.offset += above - p.Total
			p.Total, p.Offset, p.Begin = above, l.offset, true
		default:
			l.Back = append(l.Back, p)
			return
		}
	}
	l.highest = max(l.highest, p.Total)
	l.Points = append(l.Points, p)
}

// knownAbove is the highest point of the line so far that the writer of one
// knew; 0 where that is no contradiction. Where work began may be said late: a
// begin below the first reading, of which nobody has said it, is none.
func (l *CounterLine) knownAbove(p *Point) (above units.Reading) {
	if p.Total >= l.highest {
		return 0
	}
	var first *Point
	for i := range l.Points {
		if o := &l.Points[i]; p.Rec.Knew(o.Rec) {
			above = max(above, o.Total)
			if first == nil || o.compare(*first) < 0 {
				first = o
			}
		}
	}
	if p.Begin && first != nil && first.Total > p.Total && !first.Begin && first.Total != first.Offset {
		return 0
	}
	return above
}

// saidOfCounters is what people said later of readings: where the counter stood
// when work began, and how it came to run back.
type saidOfCounters struct {
	began map[entry.ID]*order.Rec
	back  map[entry.ID]*entry.Settled
}

func (s *Work) saidOfCounters() saidOfCounters { return saidOfCounters{s.beganAt(), s.saidOfBack()} }

// saidOfBack is what those say who settled last, where they agree, of readings
// that stand as they were when it was said.
func (s *Work) saidOfBack() map[entry.ID]*entry.Settled {
	if !slices.ContainsFunc(s.Settles.All(), func(r *order.Rec) bool { return r.Eff.(*entry.Settled).Doubt == string(conflict.CounterBack) }) {
		return nil
	}
	out := map[entry.ID]*entry.Settled{}
	for _, st := range s.Settlements() { // order does not matter: each settlement is of another reading
		if b := st.By.Eff.(*entry.Settled); b.Doubt == string(conflict.CounterBack) && st.Agreed && s.standsAt(b.Entries[0], b) {
			out[b.Entries[0]] = b
		}
	}
	return out
}

// standsAt says whether a reading is the figure that a settlement is about.
func (s *Work) standsAt(id entry.ID, b *entry.Settled) bool {
	at := ReadBy(s.Find(id))
	return at.Set && b.Value == entry.Some(int64(at.Val))
}

// ReadBy is what an entry says by now that a counter showed, or stood at when
// work began; not set where it says nothing of that, or was left out.
func ReadBy(r *order.Rec) entry.Opt[units.Reading] {
	if r == nil {
		return entry.Opt[units.Reading]{}
	}
	switch read := r.Eff.(type) {
	case *entry.MeterRead:
		return entry.Some(read.Reading)
	case *entry.CounterStood:
		return entry.Some(read.Reading)
	}
	return entry.Opt[units.Reading]{}
}
