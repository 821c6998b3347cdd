package slip

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
)

// dialSlips finds moves of a dial to the mark at which it stood already, as
// their writer knew: nothing was moved, or to another mark.
func (s *Slips) dialSlips(t *thing.Thing) []Slip {
	var out []Slip
	for i := range t.Fields {
		f := &t.Fields[i]
		if f.Num != thing.FieldDial {
			continue
		}
		for j := 1; j < len(f.Writes); j++ {
			w := &f.Writes[j]
			b, moves := w.By.Eff.(*entry.DialMoved)
			if k := f.LastKnown(j); moves && k >= 0 && f.Writes[k].Val == w.Val {
				out = append(out, s.dialSlip(t, w.By, f.Writes[k].By, b))
			}
		}
	}
	return out
}

func (s *Slips) dialSlip(t *thing.Thing, r, before *order.Rec, b *entry.DialMoved) Slip {
	return Slip{
		Finding: order.Finding{Kind: conflict.SameDial, About: "dial of " + s.BoxSide(t.ID, b.Side), Recs: []*order.Rec{r}},
		field:   "dial", figure: entry.Some(int64(b.To)),
		says: func() slipWords {
			mark := s.DialText(b.Box, b.Side, b.To)
			return slipWords{written: mark, why: "the dial of " + s.BoxSide(t.ID, b.Side) + " stands at " + mark + " already, since " + s.PersonName(before) + " set it"}
		},
	}
}
