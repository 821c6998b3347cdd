package slip

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/message"
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
		Finding: order.Finding{Kind: conflict.SameDial, About: message.Of("field.dial", s.BoxText(t.ID, b.Side)), Recs: []*order.Rec{r}},
		field:   "dial", figure: entry.Some(int64(b.To)),
		says: func() reason {
			mark := s.Mark(b.Box, b.Side, b.To)
			return reason{written: shown(mark), why: message.Of("slip.same-dial", s.BoxText(t.ID, b.Side), mark, s.Writer(before))}
		},
	}
}
