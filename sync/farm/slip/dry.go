package slip

import (
	"fmt"

	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/work"
)

func (s *Slips) drySlip(f *work.Flow, o work.DryWork) Slip {
	return Slip{
		Finding: order.Finding{Kind: conflict.RanDry, About: "box " + s.Name(f.Box.ID) + ", ground " + s.Name(o.Ground), Recs: []*order.Rec{o.Rec}}, field: "reading",
		says: func() slipWords {
			return slipWords{written: "it ran dry", why: fmt.Sprintf("box %s was empty by the books, and %s more of %s was worked: did it run dry, or was a fill not written down",
				s.Name(f.Box.ID), o.Dry.About(s.System()), s.Name(o.Ground))}
		},
	}
}
