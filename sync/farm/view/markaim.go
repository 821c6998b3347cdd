package view

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/work"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// MarkRate is what a box gives at one mark of its dial.
type MarkRate struct {
	Dial units.Dial
	Rate rate.RateEstimate
}

// widthOfGo is how wide, as a fraction of the rate, an interval may be to go by.
const widthOfGo = 2 * rate.GoWithin

// markForAim fills in the marks around the aim: a dial with marks stands at one
// of them and nowhere between.
func (b *Box) markForAim(f *work.Flow, lot entry.ID) {
	var below, above *MarkRate
	for i := range b.MarksOf(0) {
		d := work.MarkedDial(i)
		known := f.Rate(lot, work.DialAt{Dial: d, Set: true, Moved: true})
		if !known.Ok {
			continue
		}
		m := &MarkRate{d, known.Est}
		switch r := m.Rate.Rate; {
		case r <= b.Aim && (below == nil || r > below.Rate.Rate):
			below = m
		case r > b.Aim && (above == nil || r < above.Rate.Rate):
			above = m
		}
	}
	for _, m := range []*MarkRate{below, above} {
		if m != nil {
			b.AimMarks = append(b.AimMarks, *m)
		}
	}
	if len(b.AimMarks) > 0 {
		b.ForAim = b.atMark(f, lot)
	}
}

// atMark is the choice of the mark that is nearest to the aim.
func (b *Box) atMark(f *work.Flow, lot entry.ID) *rate.DialChoice {
	off := func(m MarkRate) float64 { return rate.Off(m.Rate.Rate, b.Aim) }
	near := b.AimMarks[0]
	for _, m := range b.AimMarks[1:] {
		if off(m) < off(near) {
			near = m
		}
	}
	last := b.AimMarks[len(b.AimMarks)-1].Dial
	c := rate.DialChoice{Dial: near.Dial, Low: b.AimMarks[0].Dial, High: last, Rate: near.Rate, Reached: len(b.AimMarks) == 2,
		Next: rate.CatchAgain, Why: rate.MarksCaught}
	if w := f.Ways(lot); w.Err == nil && !f.Untied(lot, near.Dial) {
		if by, err := w.Crank.DialFor(b.Aim); err == nil {
			c.Next, c.Why, c.Reached = by.Next, by.Why, by.Reached
		}
	}
	switch within := off(near) <= rate.GoWithin; {
	case c.Next == rate.Go && !within:
		c.Next, c.Why = rate.OutOfReach, rate.NoMarkNear
	case c.Next == rate.OutOfReach && within: // the last mark, as near as is wanted
		c.Next, c.Why, c.Reached = rate.CatchAgain, rate.LooseMark, true
		if e := near.Rate; !rate.Over(e.High-e.Low, e.Rate, widthOfGo) {
			c.Next, c.Why = rate.Go, rate.CloseMark
		}
	}
	return &c
}
