package farm

import (
	"fmt"

	"turnrow/sync/entry"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// Limits beyond which what is written of the seed in a box is asked about.
const (
	// overFull is how far above what its capacity holds at the published bushel
	// weight a box may be filled: oats of 40 lb to the bushel are common where
	// 32 is legal, so a quarter more is no slip.
	overFull = 1.25
	// aboveMost is how far above all that was poured a level or a drain may lie
	// that was weighed, and levelOfFull how far, as a share of a full box, one that
	// was judged by eye: common practice, no source.
	aboveMost   = 1.10
	levelOfFull = 0.10
	// twiceWithin is how near in time, in ms, one person's two fills alike are
	// asked about: nobody fetches, opens and pours the same again so fast.
	twiceWithin = 3 * 60 * 1000
	// manyBags is from how many bags on, in thousandths, a mass may have been meant:
	// fewer pounds of seed are not poured.
	manyBags = 10_000
	// moreThanCame is how far above the bags that came what left them may lie: a
	// bag is filled to a little more than its mass.
	moreThanCame = 1.05
)

// content is what can be in a box at the least and at the most, whatever went
// out of it: for what is poured in and seen, against what its writer says.
type content struct {
	least, most units.Mass
	told        bool // something was poured or seen
	last        *deed
	asked       bool // the last fill was asked about as one written twice
	slips       []slip
	fed, dry    units.Area // worked since its contents were known, and since it ran dry by the books
	dryNow      units.Area // of the stretch that is being worked
	dryAsked    bool
	on          entry.ID   // the piece that was worked last
	fedHere     units.Area // worked on it with seed in the box
	full        struct {   // what the box holds of the lot that was poured last
		lot  uint32
		mass units.Mass
		ok   bool
	}
}

// watchFill holds a fill against what the box holds, and against the fill
// before it.
func (f *flow) watchFill(d *deed, m units.Mass) {
	c := &f.content
	twice := c.last != nil && f.s.pouredTwice(c.last, d)
	if twice && !c.asked { // who pours bag by bag is asked once
		c.slips = append(c.slips, f.s.twiceSlip(c.last, d))
	}
	c.asked, c.last = twice, d
	if c.dry, c.dryAsked = 0, false; f.inBox() == 0 {
		c.fed = 0
	}
	before := c.least
	c.most, c.told = c.most+m, true
	if !f.openDouble(d) { // which may have been poured by its twin alone
		c.least += m
	}
	full, ok := f.fullOf(d)
	if ok && rate.Over(c.least, full, overFull) {
		c.slips = append(c.slips, f.overFullSlip(d, before, full))
		if !f.s.covered(OverFull, d.rec) {
			c.least = full // so that what follows is not asked about for this one's sake
		}
	}
}

// fullOf is what a box holds of a fill's lot: its capacity at the bushel weight
// of the species, more by its coating.
func (f *flow) fullOf(d *deed) (units.Mass, bool) {
	if known := &f.content.full; known.lot != d.lot {
		known.lot = d.lot
		known.mass, known.ok = f.fullOfLot(f.s.lotOf(d))
	}
	return f.content.full.mass, f.content.full.ok
}

func (f *flow) fullOfLot(l entry.ID) (units.Mass, bool) {
	capacity, ok := f.box.num(boxCapacity)
	if !ok {
		return 0, false
	}
	weight, ok := bushelWeight(f.s.speciesOf(l))
	if !ok {
		return 0, false
	}
	m, err := units.MulDiv(capacity, int64(weight), bushel)
	if t, ok := f.s.things[f.s.canon(l)]; ok && err == nil {
		if c := int64(coatingOf(t)); c > 0 && c < int64(units.Whole) {
			m, err = units.MulDiv(m, int64(units.Whole), int64(units.Whole)-c)
		}
	}
	return units.Mass(m), err == nil
}

// coatingOf is the most coating that a lot's label tells of any of its seeds.
func coatingOf(t *thing) (most units.Share) {
	for i := range t.fields {
		if f := &t.fields[i]; f.num == labelCoating {
			if _, v, ok := f.shown(); ok {
				most = max(most, units.Share(v.n))
			}
		}
	}
	return most
}

// pouredTwice says whether one person wrote two fills alike within minutes.
func (s *State) pouredTwice(a, b *deed) bool {
	p, x := s.pouring(a)
	q, y := s.pouring(b)
	return p == q && x == y && a.rec.by == b.rec.by && b.at-a.at <= twiceWithin && b.rec.wall-a.rec.wall <= twiceWithin && b.knew(a)
}

func (s *State) twiceSlip(a, b *deed) slip {
	return slip{
		finding: finding{PouredTwice, "box " + s.name(boxOf(b.rec.eff)), []*rec{a.rec, b.rec}},
		says: func() slipWords {
			return slipWords{
				why:     s.what(b.rec.eff) + " was written " + minutesText(b.at-a.at) + " before, by the same person",
				written: "filled twice",
				instead: []meant{{text: "filled once", how: "leave the second out"}},
			}
		},
	}
}

// minutesText writes a span of ms in whole minutes.
func minutesText(ms int64) string {
	switch n := (ms + 30_000) / 60_000; {
	case n < 1:
		return "less than a minute"
	case n == 1:
		return "a minute"
	default:
		return fmt.Sprintf("%d minutes", n)
	}
}

func boxOf(b entry.Body) entry.ID {
	switch b := b.(type) {
	case *entry.Filled:
		return b.Box
	case *entry.Drained:
		return b.Box
	case *entry.LevelRead:
		return b.Box
	case *entry.VolumeFilled:
		return b.Box
	}
	return entry.ID{}
}

func (f *flow) overFullSlip(d *deed, before, full units.Mass) slip {
	s := f.s
	sl := slip{
		finding: finding{OverFull, "box " + s.name(f.box.id), []*rec{d.rec}},
		figure:  entry.Some(d.much), field: "mass",
	}
	b, plain := d.rec.eff.(*entry.Filled)
	if plain && b.Bags > 0 {
		sl.field = "bags"
	}
	sl.says = func() slipWords {
		m := s.weighs(d)
		w := slipWords{why: fmt.Sprintf("%s of %s is more than box %s holds, about %s", m.Format(s.system()), s.name(s.lotOf(d)),
			s.name(f.box.id), full.Format(s.system())), written: m.Format(s.system())}
		if before > 0 {
			w.why += ", and " + before.Format(s.system()) + " is in it"
		}
		if plain {
			w.written = s.amount(b)
			w.instead = s.smallerFill(b, rate.Scaled(full, overFull)-before)
		}
		return w
	}
	return sl
}

// smallerFill is what may have been meant by a fill of which there is room for
// so many mg alone: a mass that was typed as bags, or a point left out.
func (s *State) smallerFill(b *entry.Filled, room units.Mass) []meant {
	try := func(m units.Mass, in units.In, bags units.Count, how string) []meant {
		c := *b
		c.Mass, c.MassIn, c.Bags = m, in, bags
		v := int64(m)
		if m == 0 {
			v = int64(bags)
		}
		return []meant{{text: s.amount(&c), how: how, value: entry.Some(v), body: &c}}
	}
	if b.Bags > 0 && b.Bags < manyBags {
		return nil
	}
	if b.Bags > 0 {
		bag, _ := s.thing(b.Lot, lot).num(lotBag)
		if m, err := units.MassFromPounds(b.Bags.Float()); err == nil && s.system() == units.US && m <= room {
			return try(m, units.InPounds, 0, "pounds, not bags")
		}
		if m, err := units.MassFromGrams(rate.Scaled(b.Bags, 1000).Float()); err == nil && s.system() == units.Metric && m <= room {
			return try(m, units.InKilograms, 0, "kilograms, not bags")
		}
		if m, err := units.Mass(bag).Times(b.Bags / 10); err == nil && m <= room {
			return try(0, 0, b.Bags/10, "a point left out")
		}
		return nil
	}
	if b.Mass/10 <= room {
		return try(b.Mass/10, b.MassIn, 0, "a point left out")
	}
	return nil
}

// watchWork lets seed go out: what went by the books may have been twice as
// much, and all where no rate is known.
func (f *flow) watchWork(before, after units.Mass, known bool) {
	c := &f.content
	if c.least = max(0, c.least-2*(before-after)); !known {
		c.least = 0
	}
	c.last = nil
}

// watchLevel holds a level against all that can be in the box, and says whether
// it may be so: one in doubt says nothing until somebody has looked.
func (f *flow) watchLevel(r *rec, b *entry.LevelRead, m, doubt units.Mass) bool {
	c := &f.content
	c.last = nil
	slack := rate.Scaled(c.most, aboveMost)
	if full, ok := f.full(-1); b.Share.Set && ok {
		slack += rate.Scaled(full, levelOfFull)
	}
	if c.told && c.most > 0 && m > slack {
		c.slips = append(c.slips, f.levelSlip(r, b, m, c.most))
		if !f.s.covered(LevelTooHigh, r) {
			return false
		}
	}
	if f.whole(f.side(b.Side)) {
		c.least, c.most, c.told = max(0, m-2*doubt), m+2*doubt, true
	}
	return true
}

func (f *flow) levelSlip(r *rec, b *entry.LevelRead, m, most units.Mass) slip {
	s := f.s
	sl := slip{finding: finding{LevelTooHigh, "box " + s.name(f.box.id), []*rec{r}}, field: "mass", figure: entry.Some(int64(b.Mass.Val))}
	if b.Share.Set {
		sl.field, sl.figure = "share", entry.Some(int64(b.Share.Val))
	}
	sl.says = func() slipWords {
		saw := m.As(b.MassIn, s.system())
		w := slipWords{written: saw,
			why: fmt.Sprintf("%s is more than can be in box %s: %s at the most", saw, s.name(f.box.id), most.Format(s.system()))}
		if b.Share.Set {
			w.written = decimal(int64(b.Share.Val)) + " % of full"
			w.why = w.written + " would be " + w.why
		}
		if n := m / 10; n <= most && n > 0 {
			c := *b
			if b.Share.Set {
				c.Share.Val = b.Share.Val / 10
				w.instead = []meant{{text: decimal(int64(c.Share.Val)) + " % of full", how: "a point left out", value: entry.Some(int64(c.Share.Val)), body: &c}}
			} else {
				c.Mass.Val = n
				w.instead = []meant{{text: n.As(b.MassIn, s.system()), how: "a point left out", value: entry.Some(int64(c.Mass.Val)), body: &c}}
			}
		}
		return w
	}
	return sl
}

// watchDrain holds what was let out against all that can be in the box.
func (f *flow) watchDrain(r *rec, b *entry.Drained) {
	c := &f.content
	c.last = nil
	if c.told && c.most > 0 && rate.Over(b.Mass, c.most, aboveMost) {
		most := c.most
		c.slips = append(c.slips, slip{
			finding: finding{OverDrained, "box " + f.s.name(f.box.id), []*rec{r}}, field: "mass", figure: entry.Some(int64(b.Mass)),
			says: func() slipWords { return f.s.drainWords(b, most) },
		})
	}
	c.least, c.most = max(0, c.least-b.Mass), max(0, c.most-b.Mass)
	if b.All && f.whole(f.side(b.Side)) {
		c.least, c.most = 0, 0
	}
}

func (s *State) drainWords(b *entry.Drained, most units.Mass) slipWords {
	text := b.Mass.As(b.MassIn, s.system())
	w := slipWords{written: text, why: fmt.Sprintf("%s let out is more than can have been in box %s: %s at the most", text, s.name(b.Box), most.Format(s.system()))}
	if b.Mass/10 <= most {
		c := *b
		c.Mass = b.Mass / 10
		w.instead = []meant{{text: c.Mass.As(b.MassIn, s.system()), how: "a point left out", value: entry.Some(int64(c.Mass)), body: &c}}
	}
	return w
}
