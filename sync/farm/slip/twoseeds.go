package slip

import (
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
)

// seedSlips asks, before a second species is poured onto the first, how the two
// will lie. Once it is written it is a doubt of its own.
func (s *Slips) seedSlips(t *thing.Thing, f *work.Flow) (out []Slip) {
	for _, r := range f.OntoOther {
		if s.Covered(conflict.TwoSeeds, r) {
			continue
		}
		out = append(out, Slip{
			Finding: order.Finding{Kind: conflict.TwoSeeds, About: s.ThingText(t), Recs: []*order.Rec{r}}, field: "lot", AskOnly: true,
			says: func() reason {
				return reason{plain: true, why: message.Of("slip.two-seeds", s.What(r.Eff))}
			},
		})
	}
	return out
}
