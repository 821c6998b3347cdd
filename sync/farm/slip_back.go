package farm

import (
	"fmt"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// put puts a reading or a begin on the line. One below what its writer knew, by
// which the counter would have run back, counts for nothing until people say how
// that came: it is right, and was written down late, or the counter was set
// back.
func (l *line) put(p point, said map[entry.ID]*entry.Settled) {
	if above := l.knownAbove(&p); above > p.total {
		b := said[p.rec.id()]
		switch {
		case b != nil && b.Choice == entry.AsWritten:
		case b != nil && b.Choice == entry.SetBack:
			l.offset += above - p.total
			p.total, p.offset, p.begin = above, l.offset, true
		default:
			l.back = append(l.back, p)
			return
		}
	}
	l.highest = max(l.highest, p.total)
	l.points = append(l.points, p)
}

// knownAbove is the highest point of the line so far that the writer of one
// knew; 0 where that is no contradiction. Where work began may be said late: a
// begin below the first reading, of which nobody has said it, is none.
func (l *line) knownAbove(p *point) (above units.Reading) {
	if p.total >= l.highest {
		return 0
	}
	var first *point
	for i := range l.points {
		if o := &l.points[i]; p.rec.knew(o.rec) {
			above = max(above, o.total)
			if first == nil || o.compare(*first) < 0 {
				first = o
			}
		}
	}
	if p.begin && first != nil && first.total > p.total && !first.begin && first.total != first.offset {
		return 0
	}
	return above
}

// backSlip asks how a counter came to show less than before.
func (s *slipSt) backSlip(t *thing, l *line, p point) slip {
	at := p.total - p.offset
	return slip{
		finding: finding{CounterBack, "drill " + s.name(t.id), []*rec{p.rec}}, field: "reading", figure: entry.Some(int64(at)),
		says: func() slipWords { return s.backWords(l, p, decimal(int64(at))) },
	}
}

func (s *slipSt) backWords(l *line, p point, at string) slipWords {
	var above []*point
	var below units.Reading
	for i := range l.points {
		o := &l.points[i]
		_, later := o.rec.eff.(*entry.Settled)
		switch {
		case later || !p.rec.knew(o.rec):
		case o.total > p.total:
			above = append(above, o)
		default:
			below = o.total
		}
	}
	top := above[len(above)-1]
	before := decimal(int64(top.total - top.offset))
	w := slipWords{written: at, asIs: at + " was read before " + before + ", and is written down late",
		why: "the counter showed " + before + " before, and " + at + " is less: was it misread, or set back"}
	if p.begin {
		w.asIs = "begin at " + at + ": others had the drill up to there"
		w.why = "the counter showed " + before + " before, and " + at + " is less"
		if less := l.counts.area(p.total - below); below > 0 && less > 0 {
			w.why += fmt.Sprintf(": with a begin there, %s less would be done", less.Format(s.system()))
		}
	}
	w.instead = []meant{{text: "leave " + at + " out", how: "it was misread", value: entry.Some(int64(p.total - p.offset))}}
	if len(above) == 1 {
		w.instead = append(w.instead, meant{text: "leave " + before + " out", how: "that one was misread", value: entry.Some(int64(top.total - top.offset)), of: top.rec})
	}
	w.instead = append(w.instead, meant{text: "set back to " + at, how: "or another counter put in: work goes on from there", value: entry.Some(int64(p.total - p.offset)), say: entry.SetBack})
	if b, ok := p.rec.eff.(*entry.CounterStood); ok && !b.Ground.IsZero() {
		w.instead = append(w.instead, meant{text: at + " on " + s.name(b.Ground), how: "a reading, and no begin", value: entry.Some(int64(b.Reading)),
			body: &entry.MeterRead{Drill: b.Drill, Reading: b.Reading, Ground: b.Ground, Note: b.Why}})
	}
	return w
}

// saidOfCounters is what people said later of readings: where the counter stood
// when work began, and how it came to run back.
type saidOfCounters struct {
	began map[entry.ID]*rec
	back  map[entry.ID]*entry.Settled
}

func (s *workSt) saidOfCounters() saidOfCounters { return saidOfCounters{s.beganAt(), s.saidOfBack()} }

// saidOfBack is what those say who settled last, where they agree, of readings
// that stand as they were when it was said.
func (s *workSt) saidOfBack() map[entry.ID]*entry.Settled {
	if !slices.ContainsFunc(s.settles.all(), func(r *rec) bool { return r.eff.(*entry.Settled).Doubt == string(CounterBack) }) {
		return nil
	}
	out := map[entry.ID]*entry.Settled{}
	for _, st := range s.settlements() { // order does not matter: each settlement is of another reading
		if b := st.by.eff.(*entry.Settled); b.Doubt == string(CounterBack) && st.agreed && s.standsAt(b.Entries[0], b) {
			out[b.Entries[0]] = b
		}
	}
	return out
}

// standsAt says whether a reading is the figure that a settlement is about.
func (s *workSt) standsAt(id entry.ID, b *entry.Settled) bool {
	of := s.find(id)
	if of == nil || !b.Value.Set {
		return false
	}
	switch read := of.eff.(type) {
	case *entry.MeterRead:
		return int64(read.Reading) == b.Value.Val
	case *entry.CounterStood:
		return int64(read.Reading) == b.Value.Val
	}
	return false
}
