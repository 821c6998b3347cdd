package farm

import (
	"cmp"
	"fmt"
	"slices"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// Limits below which a level is asked about.
const (
	// farBelow: it is less than one part in so many of the least that can be in
	// the box, which is so even if twice as much went out as the books say. Our own
	// figure, no source.
	farBelow = 4
	// gramsFor is how far below the books a mass lies at the least if it was written
	// in grams in place of pounds or kilograms, the books being off by slipOf.
	gramsFor = 200
)

// watchWork forgets what a fill is held against once the drill was worked.
func (f *flow) watchWork(before, after units.Mass, known bool) {
	f.content.wentBy(before-after, known)
	f.content.last = nil
}

// watchLevel holds a level against all that can be in the box or its side, and
// says whether it may be so: one in doubt says nothing until somebody has
// looked.
func (f *flow) watchLevel(r *rec, b *entry.LevelRead, m, doubt units.Mass) bool {
	c, side := &f.content, f.side(b.Side)
	c.last = nil
	can, byEye := f.can(side), units.Mass(0)
	if full, ok := f.full(side); b.Share.Set && ok {
		byEye = rate.Scaled(full, levelOfFull)
	}
	l := levelSeen{b, m, can, f.massIn(side), rate.Scaled(can.most, aboveMost) + byEye}
	switch {
	case can.told && !can.open && can.most > 0 && m > l.slack:
		c.odd = append(c.odd, oddLevel{r, LevelTooHigh, l})
		if !f.s.covered(LevelTooHigh, r) {
			return false
		}
	case l.tooLow(f.s.system(), byEye):
		c.odd = append(c.odd, oddLevel{r, LevelTooLow, l})
		if !f.s.covered(LevelTooLow, r) {
			return false
		}
	}
	f.find(side, bounds{max(0, m-2*doubt), m + 2*doubt, true, false})
	return true
}

// oddLevel is a level that is too high or too low.
type oddLevel struct {
	rec  *rec
	kind DoubtKind
	levelSeen
}

// levelSeen is a level that is held against the books.
type levelSeen struct {
	*entry.LevelRead
	m     units.Mass
	can   bounds
	books units.Mass
	slack units.Mass // no level is above it
}

// tooLow says whether it is far below the least that must be there, seen so
// exactly, or was written in grams in place of pounds or kilograms.
func (l *levelSeen) tooLow(system units.System, byEye units.Mass) bool {
	return l.can.told && (l.m+byEye < l.can.least/farBelow || l.inGrams(system))
}

// inGrams says whether a mass comes near the books where its grams were pounds
// or kilograms, and is far from them as it stands.
func (l *levelSeen) inGrams(system units.System) bool {
	if l.Share.Set || l.m == 0 || l.m > l.books/gramsFor {
		return false
	}
	m := l.notGrams(system).mass
	return m <= l.slack && !rate.FarApart(m, l.books, slipOf)
}

// otherLevel is a level that may have been meant.
type otherLevel struct {
	mass units.Mass
	in   units.In
	how  string
}

// notGrams is the level if its grams were pounds or kilograms.
func (l *levelSeen) notGrams(system units.System) otherLevel {
	if system == units.Metric {
		return otherLevel{l.m * 1000, units.InKilograms, "kilograms, not grams"}
	}
	m, _ := units.MassFromPounds(l.m.Grams())
	return otherLevel{m, units.InPounds, "pounds, not grams"}
}

// levelsMeant are the levels that may have been meant, the nearest to the books first.
func levelsMeant(l *levelSeen, system units.System) (out []meant) {
	const ounces, point = 16, 10
	try := []otherLevel{{l.m / point, l.MassIn, "a point left out"}}
	if l.m < l.can.most {
		try = []otherLevel{l.notGrams(system), {l.m * ounces, units.InPounds, "pounds, not ounces"}, {l.m * point, l.MassIn, "a point too far left"}}
	}
	if l.Share.Set {
		try = []otherLevel{try[len(try)-1]}
	}
	try = slices.DeleteFunc(try, func(o otherLevel) bool {
		return o.mass == 0 || o.mass > l.slack || o.mass < l.can.least/farBelow || system == units.Metric && o.mass == l.m*ounces
	})
	far := func(o otherLevel) float64 { return rate.Off(o.mass, max(1, l.books)) }
	slices.SortStableFunc(try, func(a, b otherLevel) int { return cmp.Compare(far(a), far(b)) })
	for _, o := range try {
		out = append(out, levelMeant(l, o, system))
	}
	return out
}

// levelMeant is the level's entry with another level in it.
func levelMeant(l *levelSeen, o otherLevel, system units.System) meant {
	b := *l.LevelRead
	if !l.Share.Set {
		b.Mass.Val, b.MassIn = o.mass, o.in
		return meant{text: levelText(&b, system), how: o.how, value: entry.Some(int64(o.mass)), body: &b}
	}
	b.Share.Val = b.Share.Val / 10
	if o.mass > l.m {
		b.Share.Val = l.Share.Val * 10
	}
	return meant{text: levelText(&b, system), how: o.how, value: entry.Some(int64(b.Share.Val)), body: &b}
}

func (s *slipSt) levelSlip(f *flow, o oddLevel) slip {
	l, kind := &o.levelSeen, o.kind
	sl := slip{finding: finding{kind, "box " + s.name(f.box.id), []*rec{o.rec}}, field: "mass", figure: entry.Some(int64(l.Mass.Val))}
	if l.Share.Set {
		sl.field, sl.figure = "share", entry.Some(int64(l.Share.Val))
	}
	sl.says = func() slipWords {
		text, where := levelText(l.LevelRead, s.system()), s.boxSide(l.Box, l.Side)
		w := slipWords{written: text, instead: levelsMeant(l, s.system())}
		if l.Share.Set {
			text += " would be " + s.about(l.m) + ", which"
		}
		if kind == LevelTooHigh {
			w.why = fmt.Sprintf("%s is more than can be in %s: %s at the most", text, where, s.about(l.can.most))
		} else {
			w.why = fmt.Sprintf("%s is far less than can be in %s: %s", text, where, s.heldText(l.can.least, l.books))
		}
		return w
	}
	return sl
}
