package slip

import (
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
)

func (s *Slips) drySlip(f *work.Flow, o work.DryWork) Slip {
	return Slip{
		Finding: order.Finding{Kind: conflict.RanDry, About: message.Of("box.ground", s.Called(f.Box.ID), s.Called(o.Ground)), Recs: []*order.Rec{o.Rec}}, field: "reading",
		says: func() reason {
			return reason{written: message.Of("ran-dry"), why: message.Of("slip.ran-dry", s.Called(f.Box.ID), message.AboutArea(o.Dry), s.Called(o.Ground))}
		},
	}
}
