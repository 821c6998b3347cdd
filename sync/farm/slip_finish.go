package farm

import (
	"fmt"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
)

// unwrite is the word of the choice that takes back what was written.
const unwrite = "unwrite"

// finishSlips finds ground that was written as finished while the counter's
// acres are far below its own, or while none were counted at all. Whoever
// corrects the counter by the piece has looked, and is not asked.
func (s *slipSt) finishSlips(t *thing, v *View) []slip {
	r := t.reg(field{num: fieldFinished}, false).finishedBy()
	if r == nil {
		return nil
	}
	b := r.eff.(*entry.GroundFinished)
	d, known := v.DrillOf(s.canon(b.Drill))
	g, ok := v.GroundOf(t.id)
	if !ok || !known || g.Open || b.Correction.Set || d.Counter == entry.NoCounter {
		return nil
	}
	h := g.HeldAgainst(&d)
	short := h.Check != nil && h.Check.Verdict == rate.CounterFar && h.Done < h.Area
	if !short && g.Done > 0 {
		return nil
	}
	return []slip{{
		finding: finding{FinishedEarly, "ground " + s.name(t.id), []*rec{r}}, field: "finished",
		says: func() slipWords { return s.finishWords(t, h) },
	}}
}

// finishedBy is the entry by which ground is finished; nil where it is not.
func (g *register) finishedBy() *rec {
	if g == nil {
		return nil
	}
	r := g.chosen()
	if r == nil {
		return nil
	}
	if b, ok := r.eff.(*entry.GroundFinished); !ok || !b.Finished {
		return nil
	}
	return r
}

func (s *slipSt) finishWords(t *thing, h HeldAgainst) slipWords {
	name := s.name(t.id)
	w := slipWords{written: name + " is finished", asIs: "it is finished: what was sown was not all counted, or its area is wrong",
		instead: []meant{{text: "it is not finished", word: unwrite}}}
	if h.Done == 0 {
		w.why = fmt.Sprintf("no acres of %s were counted: is it finished", name)
		return w
	}
	w.why = fmt.Sprintf("the counter says %s of %s, and it has %s: is it finished, is a reading missing, or is the area wrong",
		h.Done.About(s.system()), name, h.Area.Format(s.system()))
	return w
}
