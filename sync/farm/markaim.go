package farm

import (
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// MarkRate is what a box gives at one mark of its dial.
type MarkRate struct {
	Dial units.Dial
	Rate rate.RateEstimate
}

// What is told of a dial with marks, beside what a dial with numbers is told.
const (
	noMarkNear  = "no mark gives it within 5 %"
	looseMark   = "the rate is not known within 5 % yet"
	closeMark   = "the rate is known within 5 %"
	marksCaught = "without a chart only marks that were caught at are known"
)

// widthOfGo is how wide, as a fraction of the rate, an interval may be to go by.
const widthOfGo = 2 * rate.GoWithin

// markForAim fills in the marks around the aim: a dial with marks stands at one
// of them and nowhere between.
func (b *Box) markForAim(f *flow, lot entry.ID) {
	var below, above *MarkRate
	for i := range b.MarksOf(0) {
		d := MarkedDial(i)
		known := f.rate(lot, dialAt{d, true, true})
		if !known.ok {
			continue
		}
		m := &MarkRate{d, known.est}
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
func (b *Box) atMark(f *flow, lot entry.ID) *rate.DialChoice {
	off := func(m MarkRate) float64 { return rate.Off(m.Rate.Rate, b.Aim) }
	near := b.AimMarks[0]
	for _, m := range b.AimMarks[1:] {
		if off(m) < off(near) {
			near = m
		}
	}
	last := b.AimMarks[len(b.AimMarks)-1].Dial
	c := rate.DialChoice{Dial: near.Dial, Low: b.AimMarks[0].Dial, High: last, Rate: near.Rate, Reached: len(b.AimMarks) == 2,
		Next: rate.CatchAgain, Why: marksCaught}
	if w := f.ways(lot); w.err == nil && !f.untied(lot, near.Dial) {
		if by, err := w.crank.DialFor(b.Aim); err == nil {
			c.Next, c.Why, c.Reached = by.Next, by.Why, by.Reached
		}
	}
	switch within := off(near) <= rate.GoWithin; {
	case c.Next == rate.Go && !within:
		c.Next, c.Why = rate.OutOfReach, noMarkNear
	case c.Next == rate.OutOfReach && within: // the last mark, as near as is wanted
		c.Next, c.Why, c.Reached = rate.CatchAgain, looseMark, true
		if e := near.Rate; !rate.Over(e.High-e.Low, e.Rate, widthOfGo) {
			c.Next, c.Why = rate.Go, closeMark
		}
	}
	return &c
}

// untied says whether the box's dial has marks and no chart leads to a setting:
// 1-2 is not twice 1-1. Then a mark's own measurements alone tell what the box
// gives there.
func (f *flow) untied(l entry.ID, d units.Dial) bool {
	return len(f.s.marksOf(f.box.id, 0)) > 0 && !charted(chartOf(f.box, f.s.speciesOf(l)), d)
}

// waysAt is the box's curves for a lot that are good at a setting.
func (f *flow) waysAt(l entry.ID, dial units.Dial) caughtWays {
	if !f.untied(l, dial) {
		return f.ways(l)
	}
	here := func(list []caughtAt) []caughtAt {
		return slices.DeleteFunc(list, func(c caughtAt) bool { return c.m.Dial != dial })
	}
	standing, moving := f.s.caughtOf(f.box, f.drill, l)
	standing, moving = here(standing), here(moving)
	if len(standing) == 0 {
		standing, moving = moving, nil
	}
	bx := f.s.curveBox(f.box, f.s.speciesOf(l))
	bx.Chart = nil
	var w caughtWays
	w.crank, w.err = rate.FitBox(bx, measuredOf(standing))
	if len(moving) > 0 {
		fit, err := rate.FitBox(bx, measuredOf(moving))
		w.moving, w.both = fit, err == nil
	}
	return w
}

// outsAt is the weighed runs that tell of a setting.
func (f *flow) outsAt(l entry.ID, dial units.Dial) []weighedOut {
	if !f.untied(l, dial) {
		return f.outs
	}
	return slices.DeleteFunc(slices.Clone(f.outs), func(o weighedOut) bool { return !slices.Contains(o.dials, dial) })
}
