package report

import (
	"fmt"

	"turnrow/client/answer"
	"turnrow/client/sheet"
	"turnrow/client/words"
	"turnrow/sync/farm"
)

// Box is a box as it stands. Rests are of the same view.
func (r Report) Box(b farm.Box, rests sheet.Rests) answer.Box {
	a := answer.Box{Box: b.Name, Drill: r.View().NameOf(b.Drill), Lots: r.lotsIn(b), LeftLb: answer.Number(b.Left.Pounds()),
		LeftStdLb: answer.Number(b.LeftStd.Pounds()), LeftLowLb: answer.Number(b.LeftLow.Pounds()), LeftHighLb: answer.Number(b.LeftHigh.Pounds()), LeftOpen: b.LeftOpen,
		Basis: string(b.Basis), Weighed: b.Weighed, Sides: r.sidesOf(b), Doubted: DoubtIDs(rests.Box(&b)), BoxAdvice: r.boxAdvice(b)}
	if n := b.SidesNow[0]; n.DialSet && b.OneDial() {
		a.Dial = answer.Some(n.Dial.Float())
		if len(b.MarksOf(0)) > 0 {
			a.Mark = words.Mark(b, 0, n.Dial)
		}
	}
	if b.Rate != nil {
		a.RateLbPerAc, a.RateLowLbPerAc, a.RateHighLbPerAc = answer.Some(b.Rate.Rate.LbPerAcre()), answer.Some(b.Rate.Low.LbPerAcre()), answer.Some(b.Rate.High.LbPerAcre())
	}
	if b.Field != nil {
		a.FieldLowLbPerAc, a.FieldHighLbPerAc = answer.Some(b.Field.Low.LbPerAcre()), answer.Some(b.Field.High.LbPerAcre())
	}
	if b.Aim > 0 {
		a.AimLbPerAc = answer.Some(b.Aim.LbPerAcre())
	}
	a.Aims = []answer.Aim{}
	for _, x := range b.Aims {
		a.Aims = append(a.Aims, answer.Aim{Ground: r.View().NameOf(x.Ground), LbPerAc: answer.Number(x.Rate.LbPerAcre())})
	}
	if s := b.AcresLeft; s != nil {
		a.AcresLeft = &answer.Acres{P10: answer.Number(s.P10.Acres()), P50: answer.Number(s.P50.Acres()), P90: answer.Number(s.P90.Acres())}
	}
	return a
}

// lotsIn is what is in a box: one line a lot, or a lot and side where the box
// has several.
func (r Report) lotsIn(b farm.Box) []answer.LotInBox {
	lots := []answer.LotInBox{}
	for _, s := range b.Seed {
		lots = append(lots, answer.LotInBox{Lot: r.View().NameOf(s.Lot), Lb: answer.Number(s.Mass.Pounds()), Side: SideName(b, s.Side)})
	}
	return lots
}

// SideName is what a compartment of a box is called; empty for 0, all of the
// box.
func SideName(b farm.Box, side int64) string {
	if side == 0 {
		return ""
	}
	if side <= int64(len(b.Sides)) {
		return b.Sides[side-1]
	}
	return fmt.Sprintf("side %d", side)
}

func (r Report) sidesOf(b farm.Box) []answer.Side {
	out := []answer.Side{}
	if len(b.SidesNow) < 2 {
		return out
	}
	for _, n := range b.SidesNow {
		a := answer.Side{Side: SideName(b, n.Side), Rows: rowsFed(n.Rows), Lot: r.View().NameOf(n.Lot), Lb: answer.Number(n.Left.Pounds())}
		if n.DialSet {
			a.Dial = answer.Some(n.Dial.Float())
		}
		if n.Rate != nil {
			a.RateLbPerAc, a.RateLowLbPerAc, a.RateHighLbPerAc = answer.Some(n.Rate.Rate.LbPerAcre()), answer.Some(n.Rate.Low.LbPerAcre()), answer.Some(n.Rate.High.LbPerAcre())
		}
		if s := n.AcresLeft; s != nil {
			a.AcresLeft = &answer.Acres{P10: answer.Number(s.P10.Acres()), P50: answer.Number(s.P50.Acres()), P90: answer.Number(s.P90.Acres())}
		}
		out = append(out, a)
	}
	return out
}

// rowsFed is how many rows a side feeds, if that is known.
func rowsFed(n int) *int {
	if n == 0 {
		return nil
	}
	return &n
}
