package slip

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/view"
	"turnrow/sync/message"
	"turnrow/sync/rate"
)

// unwrite is the word of the choice that takes back what was written.
const unwrite = "unwrite"

// finishSlips finds ground that was written as finished while the counter's
// acres are far below its own, or while none were counted at all. Whoever
// corrects the counter by the piece has looked, and is not asked.
func (s *Slips) finishSlips(t *thing.Thing, v *view.View) []Slip {
	r := t.Reg(thing.Field{Num: thing.FieldFinished}, false).FinishedBy()
	if r == nil {
		return nil
	}
	b := r.Eff.(*entry.GroundFinished)
	d, known := v.DrillOf(s.Canon(b.Drill))
	g, ok := v.GroundOf(t.ID)
	if !ok || !known || g.Open || b.Correction.Set || d.Counter == entry.NoCounter {
		return nil
	}
	h := g.HeldAgainst(&d)
	short := h.Check != nil && h.Check.Verdict == rate.CounterFar && h.Done < h.Area
	if !short && g.Done > 0 {
		return nil
	}
	return []Slip{{
		Finding: order.Finding{Kind: conflict.FinishedEarly, About: s.ThingText(t), Recs: []*order.Rec{r}}, field: "finished",
		says: func() reason { return s.finishWords(t, h) },
	}}
}

func (s *Slips) finishWords(t *thing.Thing, h view.HeldAgainst) reason {
	name := s.Called(t.ID)
	w := reason{written: message.Of("finished", name), asIs: message.Of("choice.finished"),
		instead: []meant{{text: message.Of("choice.not-finished"), word: unwrite}}}
	if h.Done == 0 {
		w.why = message.Of("slip.none-counted", name)
		return w
	}
	w.why = message.Of("slip.finished-early", message.AboutArea(h.Done), name, message.Area(h.Area))
	return w
}
