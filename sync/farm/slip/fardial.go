package slip

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/farm/view"
	"turnrow/sync/farm/work"
	"turnrow/sync/message"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// farDials finds dials that stand where the box gives far more or less than any
// plan for it asks for, or far beyond its chart: 10 in place of 100, or the shut
// end of a dial on which more is less. Only where a dial stands now counts, since
// plans and catches change what a mark is worth.
func (s *Slips) farDials(t *thing.Thing, f *work.Flow, v *view.View) []Slip {
	var out []Slip
	for i := range t.Fields {
		g := &t.Fields[i]
		if g.Num != thing.FieldDial {
			continue
		}
		by, x, ok := g.Shown()
		if !ok {
			continue
		}
		if b, moves := by.Eff.(*entry.DialMoved); moves && b.To == units.Dial(x.N) {
			if sl, far := s.farDial(t, f, v, by, b); far {
				out = append(out, sl)
			}
		}
	}
	return out
}

// farDial holds a move of a dial against plan and chart.
func (s *Slips) farDial(t *thing.Thing, f *work.Flow, v *view.View, r *order.Rec, b *entry.DialMoved) (Slip, bool) {
	at, _ := v.BoxOf(t.ID)
	lot := view.SideLot(&at, max(0, f.Side(b.Side)), f, v)
	if lot.IsZero() {
		return Slip{}, false
	}
	if chart := work.ChartOf(t, s.SpeciesOf(lot)); len(s.MarksOf(t.ID, b.Side)) > 0 {
		if len(chart) == 0 || work.Charted(chart, b.To) || s.wasCaught(t, b.To) {
			return Slip{}, false
		}
		last := slices.MaxFunc(chart, func(a, b rate.ChartPoint) int { return int(a.Dial - b.Dial) }).Dial
		first := slices.MinFunc(chart, func(a, b rate.ChartPoint) int { return int(a.Dial - b.Dial) }).Dial
		return s.dialOff(t, r, b, nil, func() message.Message {
			return message.Of("slip.off-chart-marks", message.Text(s.SpeciesOf(lot)),
				s.Mark(t.ID, b.Side, first), s.Mark(t.ID, b.Side, last), s.Mark(t.ID, b.Side, b.To))
		}), true
	}
	w := f.Ways(lot)
	if w.Err != nil {
		return Slip{}, false
	}
	aims := aimsFor(v, t.ID)
	u, ok := w.Crank.UnlikelyDial(b.To, aims)
	if !ok {
		return Slip{}, false
	}
	return s.dialOff(t, r, b, u.Instead, func() message.Message {
		if u.OffChart {
			return message.Of("slip.beyond-chart", message.Decimal(b.To), message.Rate(u.Gives))
		}
		return message.Of("slip.off-plan", message.Decimal(b.To), message.Rate(u.Gives), message.Between(slices.Min(aims), slices.Max(aims)))
	}), true
}

// dialOff is the slip of a dial that stands where it hardly can.
func (s *Slips) dialOff(t *thing.Thing, r *order.Rec, b *entry.DialMoved, instead []units.Dial, why func() message.Message) Slip {
	return Slip{
		Finding: order.Finding{Kind: conflict.UnlikelyDial, About: message.Of("field.dial", s.BoxText(t.ID, b.Side)), Recs: []*order.Rec{r}},
		field:   "dial", figure: entry.Some(int64(b.To)),
		says: func() reason {
			w := reason{written: shown(s.Mark(t.ID, b.Side, b.To)), why: why()}
			for _, d := range instead {
				c := *b
				c.To = d
				how := message.Of("how.point-too-many")
				if d < b.To {
					how = message.Of("how.point-left-out")
				}
				w.instead = append(w.instead, meant{text: shown(message.Decimal(d)), how: how, value: entry.Some(int64(d)), body: &c})
			}
			return w
		},
	}
}

// aimsFor is what the plans put through a box, in bulk, on each piece that it is
// planned for.
func aimsFor(v *view.View, box entry.ID) (aims []units.RatePerArea) {
	for i := range v.Grounds {
		if sum, any := view.PlanSum(&v.Grounds[i], box); any {
			aims = append(aims, sum)
		}
	}
	return aims
}

// wasCaught says whether seed was caught from a box at a setting.
func (s *Slips) wasCaught(t *thing.Thing, d units.Dial) bool {
	for r := range t.Did(entry.KindCaught) {
		if r.Eff.(*entry.Caught).Dial == d {
			return true
		}
	}
	return false
}
