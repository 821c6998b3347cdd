package farm

import (
	"turnrow/sync/entry"
)

// dialSlips finds moves of a dial to the mark at which it stood already, as
// their writer knew: nothing was moved, or to another mark.
func (s *slipSt) dialSlips(t *thing) []slip {
	var out []slip
	for i := range t.fields {
		f := &t.fields[i]
		if f.num != fieldDial {
			continue
		}
		for j := 1; j < len(f.writes); j++ {
			w := &f.writes[j]
			b, moves := w.by.eff.(*entry.DialMoved)
			if k := f.lastKnown(j); moves && k >= 0 && f.writes[k].val == w.val {
				out = append(out, s.dialSlip(t, w.by, f.writes[k].by, b))
			}
		}
	}
	return out
}

// lastKnown is the last write before one that its writer had seen; -1 where
// there is none.
func (g *register) lastKnown(of int) int {
	for i := of - 1; i >= 0; i-- {
		if g.writes[of].by.knew(g.writes[i].by) {
			return i
		}
	}
	return -1
}

func (s *slipSt) dialSlip(t *thing, r, before *rec, b *entry.DialMoved) slip {
	return slip{
		finding: finding{SameDial, "dial of " + s.boxSide(t.id, b.Side), []*rec{r}},
		field:   "dial", figure: entry.Some(int64(b.To)),
		says: func() slipWords {
			mark := s.dialText(b.Box, b.Side, b.To)
			return slipWords{written: mark, why: "the dial of " + s.boxSide(t.id, b.Side) + " stands at " + mark + " already, since " + s.personName(before) + " set it"}
		},
	}
}
