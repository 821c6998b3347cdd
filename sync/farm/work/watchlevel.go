package work

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/message"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// Limits below which a level is asked about.
const (
	// FarBelow: it is less than one part in so many of the least that can be in
	// the box, which is so even if twice as much went out as the books say. Our own
	// figure, no source.
	FarBelow = 4
	// gramsFor is how far below the books a mass lies at the least if it was written
	// in grams in place of pounds or kilograms, the books being off by slipOf.
	gramsFor = 200
)

// watchWork forgets what a fill is held against once the drill was worked.
func (f *Flow) watchWork(before, after units.Mass, known bool) {
	f.Content.wentBy(before-after, known)
	f.Content.last = nil
}

// watchLevel holds a level against all that can be in the box or its side, and
// says whether it may be so: one in doubt says nothing until somebody has
// looked.
func (f *Flow) watchLevel(r *order.Rec, b *entry.LevelRead, m, std units.Mass) bool {
	c, side := &f.Content, f.Side(b.Side)
	c.last = nil
	can, byEye := f.can(side), units.Mass(0)
	if full, ok := f.Full(side); b.Share.Set && ok {
		byEye = rate.Scaled(full, levelOfFull)
	}
	l := LevelSeen{b, m, can, f.massIn(side), rate.Scaled(can.Most, aboveMost) + byEye}
	switch {
	case can.told && !can.open && can.Most > 0 && m > l.Slack:
		c.Odd = append(c.Odd, OddLevel{r, conflict.LevelTooHigh, l})
		if !f.Work.Covered(conflict.LevelTooHigh, r) {
			return false
		}
	case l.tooLow(f.Work.System(), byEye):
		c.Odd = append(c.Odd, OddLevel{r, conflict.LevelTooLow, l})
		if !f.Work.Covered(conflict.LevelTooLow, r) {
			return false
		}
	}
	f.find(side, bounds{max(0, m-2*std), m + 2*std, true, false})
	return true
}

// OddLevel is a level that is too high or too low.
type OddLevel struct {
	Rec  *order.Rec
	Kind conflict.DoubtKind
	LevelSeen
}

// LevelSeen is a level that is held against the books.
type LevelSeen struct {
	*entry.LevelRead
	Weight units.Mass
	Can    bounds
	Books  units.Mass
	Slack  units.Mass // no level is above it
}

// tooLow says whether it is far below the least that must be there, seen so
// exactly, or was written in grams in place of pounds or kilograms.
func (l *LevelSeen) tooLow(system units.System, byEye units.Mass) bool {
	return l.Can.told && (l.Weight+byEye < l.Can.Least/FarBelow || l.inGrams(system))
}

// inGrams says whether a mass comes near the books where its grams were pounds
// or kilograms, and is far from them as it stands.
func (l *LevelSeen) inGrams(system units.System) bool {
	if l.Share.Set || l.Weight == 0 || l.Weight > l.Books/gramsFor {
		return false
	}
	m := l.NotGrams(system).Mass
	return m <= l.Slack && !rate.FarApart(m, l.Books, slipOf)
}

// OtherLevel is a level that may have been meant.
type OtherLevel struct {
	Mass units.Mass
	In   units.In
	How  message.Message
}

// NotGrams is the level if its grams were pounds or kilograms.
func (l *LevelSeen) NotGrams(system units.System) OtherLevel {
	if system == units.Metric {
		return OtherLevel{l.Weight * 1000, units.InKilograms, message.Of("how.kilograms-not-grams")}
	}
	m, _ := units.MassFromPounds(l.Weight.Grams())
	return OtherLevel{m, units.InPounds, message.Of("how.pounds-not-grams")}
}
