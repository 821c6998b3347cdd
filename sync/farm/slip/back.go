package slip

import (
	"fmt"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/work"
	"turnrow/sync/units"
)

// backSlip asks how a counter came to show less than before.
func (s *Slips) backSlip(t *thing.Thing, l *work.CounterLine, p work.Point) Slip {
	at := p.Total - p.Offset
	return Slip{
		Finding: order.Finding{Kind: conflict.CounterBack, About: "drill " + s.Name(t.ID), Recs: []*order.Rec{p.Rec}}, field: "reading", figure: entry.Some(int64(at)),
		says: func() slipWords { return s.backWords(l, p, thing.Decimal(int64(at))) },
	}
}

func (s *Slips) backWords(l *work.CounterLine, p work.Point, at string) slipWords {
	var above []*work.Point
	var below units.Reading
	for i := range l.Points {
		o := &l.Points[i]
		_, later := o.Rec.Eff.(*entry.Settled)
		switch {
		case later || !p.Rec.Knew(o.Rec):
		case o.Total > p.Total:
			above = append(above, o)
		default:
			below = o.Total
		}
	}
	top := above[len(above)-1]
	before := thing.Decimal(int64(top.Total - top.Offset))
	w := slipWords{written: at, asIs: at + " was read before " + before + ", and is written down late",
		why: "the counter showed " + before + " before, and " + at + " is less: was it misread, or set back"}
	if p.Begin {
		w.asIs = "begin at " + at + ": others had the drill up to there"
		w.why = "the counter showed " + before + " before, and " + at + " is less"
		if less := l.Counts.Area(p.Total - below); below > 0 && less > 0 {
			w.why += fmt.Sprintf(": with a begin there, %s less would be done", less.Format(s.System()))
		}
	}
	w.instead = []meant{{text: "leave " + at + " out", how: "it was misread", value: entry.Some(int64(p.Total - p.Offset))}}
	if len(above) == 1 {
		w.instead = append(w.instead, meant{text: "leave " + before + " out", how: "that one was misread", value: entry.Some(int64(top.Total - top.Offset)), of: top.Rec})
	}
	w.instead = append(w.instead, meant{text: "set back to " + at, how: "or another counter put in: work goes on from there", value: entry.Some(int64(p.Total - p.Offset)), say: entry.SetBack})
	if b, ok := p.Rec.Eff.(*entry.CounterStood); ok && !b.Ground.IsZero() {
		w.instead = append(w.instead, meant{text: at + " on " + s.Name(b.Ground), how: "a reading, and no begin", value: entry.Some(int64(b.Reading)),
			body: &entry.MeterRead{Drill: b.Drill, Reading: b.Reading, Ground: b.Ground, Note: b.Why}})
	}
	return w
}
