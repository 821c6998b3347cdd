package slip

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

// backSlip asks how a counter came to show less than before.
func (s *Slips) backSlip(t *thing.Thing, l *work.CounterLine, p work.Point) Slip {
	at := p.Total - p.Offset
	return Slip{
		Finding: order.Finding{Kind: conflict.CounterBack, About: s.ThingText(t), Recs: []*order.Rec{p.Rec}}, field: "reading", figure: entry.Some(int64(at)),
		says: func() reason { return s.backWords(l, p, message.Decimal(at)) },
	}
}

func (s *Slips) backWords(l *work.CounterLine, p work.Point, at message.Quantity) reason {
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
	before := message.Decimal(top.Total - top.Offset)
	w := reason{written: shown(at), asIs: message.Of("slip.read-before", at, before), why: message.Of("slip.counter-less", before, at)}
	if p.Begin {
		w.asIs = message.Of("slip.others-up-to", at)
		w.why = message.Of("slip.begin-less", before, at)
		if less := l.Counts.Area(p.Total - below); below > 0 && less > 0 {
			w.why = message.Of("slip.begin-less-done", w.why, message.Area(less))
		}
	}
	w.instead = []meant{{text: message.Of("choice.leave-out-figure", at), how: message.Of("how.misread"), value: entry.Some(int64(p.Total - p.Offset))}}
	if len(above) == 1 {
		w.instead = append(w.instead, meant{text: message.Of("choice.leave-out-figure", before), how: message.Of("how.that-one-misread"), value: entry.Some(int64(top.Total - top.Offset)), of: top.Rec})
	}
	w.instead = append(w.instead, meant{text: message.Of("choice.set-back-to", at), how: message.Of("how.another-counter"), value: entry.Some(int64(p.Total - p.Offset)), say: entry.SetBack})
	if b, ok := p.Rec.Eff.(*entry.CounterStood); ok && !b.Ground.IsZero() {
		w.instead = append(w.instead, meant{text: message.Of("choice.reading-on", at, s.Called(b.Ground)), how: message.Of("how.no-begin"), value: entry.Some(int64(b.Reading)),
			body: &entry.MeterRead{Drill: b.Drill, Reading: b.Reading, Ground: b.Ground, Note: b.Why}})
	}
	return w
}
