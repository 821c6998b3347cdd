package farm

import (
	"fmt"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// farDials finds dials that stand where the box gives far more or less than any
// plan for it asks for, or far beyond its chart: 10 in place of 100, or the shut
// end of a dial on which more is less. Only where a dial stands now counts, since
// plans and catches change what a mark is worth.
func (s *slipSt) farDials(t *thing, f *flow, v *View) []slip {
	var out []slip
	for i := range t.fields {
		g := &t.fields[i]
		if g.num != fieldDial {
			continue
		}
		by, x, ok := g.shown()
		if !ok {
			continue
		}
		if b, moves := by.eff.(*entry.DialMoved); moves && b.To == units.Dial(x.n) {
			if sl, far := s.farDial(t, f, v, by, b); far {
				out = append(out, sl)
			}
		}
	}
	return out
}

// farDial holds a move of a dial against plan and chart.
func (s *slipSt) farDial(t *thing, f *flow, v *View, r *rec, b *entry.DialMoved) (slip, bool) {
	at, _ := v.BoxOf(t.id)
	lot := at.sideLot(max(0, f.side(b.Side)), f, v)
	if lot.IsZero() {
		return slip{}, false
	}
	if chart := chartOf(t, s.speciesOf(lot)); len(s.marksOf(t.id, b.Side)) > 0 {
		if len(chart) == 0 || charted(chart, b.To) || s.wasCaught(t, b.To) {
			return slip{}, false
		}
		last := slices.MaxFunc(chart, func(a, b rate.ChartPoint) int { return int(a.Dial - b.Dial) }).Dial
		first := slices.MinFunc(chart, func(a, b rate.ChartPoint) int { return int(a.Dial - b.Dial) }).Dial
		return s.dialOff(t, r, b, nil, func() string {
			return fmt.Sprintf("the chart of %s goes from %s to %s: what %s gives is not known", s.speciesOf(lot),
				s.dialText(t.id, b.Side, first), s.dialText(t.id, b.Side, last), s.dialText(t.id, b.Side, b.To))
		}), true
	}
	w := f.ways(lot)
	if w.err != nil {
		return slip{}, false
	}
	aims := aimsFor(v, t.id)
	u, ok := w.crank.UnlikelyDial(b.To, aims)
	if !ok {
		return slip{}, false
	}
	return s.dialOff(t, r, b, u.Instead, func() string {
		gives := u.Gives.Format(s.system())
		if u.OffChart {
			return fmt.Sprintf("dial %v lies far beyond the chart, and would give about %s", b.To, gives)
		}
		return fmt.Sprintf("dial %v gives about %s, and the plan wants %s", b.To, gives, rate.Between(slices.Min(aims), slices.Max(aims), s.system()))
	}), true
}

// dialOff is the slip of a dial that stands where it hardly can.
func (s *slipSt) dialOff(t *thing, r *rec, b *entry.DialMoved, instead []units.Dial, why func() string) slip {
	return slip{
		finding: finding{UnlikelyDial, "dial of " + s.boxSide(t.id, b.Side), []*rec{r}},
		field:   "dial", figure: entry.Some(int64(b.To)),
		says: func() slipWords {
			w := slipWords{written: s.dialText(t.id, b.Side, b.To), why: why()}
			for _, d := range instead {
				c := *b
				c.To = d
				how := "a point too many"
				if d < b.To {
					how = "a point left out"
				}
				w.instead = append(w.instead, meant{text: d.String(), how: how, value: entry.Some(int64(d)), body: &c})
			}
			return w
		},
	}
}

// aimsFor is what the plans put through a box, in bulk, on each piece that it is
// planned for.
func aimsFor(v *View, box entry.ID) (aims []units.RatePerArea) {
	for i := range v.Grounds {
		if sum, any := planSum(&v.Grounds[i], box); any {
			aims = append(aims, sum)
		}
	}
	return aims
}

// wasCaught says whether seed was caught from a box at a setting.
func (s *slipSt) wasCaught(t *thing, d units.Dial) bool {
	for r := range t.did(entry.KindCaught) {
		if r.eff.(*entry.Caught).Dial == d {
			return true
		}
	}
	return false
}
