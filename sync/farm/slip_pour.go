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
	// unevenly is how far from its even share, as one part in so many of it, a side
	// may be of what was poured into all of a split box: our own figure, no source.
	unevenly = 2
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

// content is what can be in a box, whatever went out of it: for what is poured
// in and seen, against what its writer says.
type content struct {
	bounds            // of all of the box
	sides    []bounds // of each side, where there are several
	last     *deed
	asked    bool       // the last fill was asked about as one written twice
	odd      []any      // what is unlikely to be as it was written, in order: dryWork, oddLevel, overDrain, smallAll, fillTwice, overFill, littleFill
	fed, dry units.Area // worked since its contents were known, and since it ran dry by the books
	dryNow   units.Area // of the stretch that is being worked
	dryAsked bool
	on       entry.ID   // the piece that was worked last
	fedHere  units.Area // worked on it with seed in the box
	full     struct {   // what the box holds of the lot that was poured last
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
		c.odd = append(c.odd, fillTwice{c.last, d})
	}
	c.asked, c.last = twice, d
	least, likely := c.least, f.inBox()
	if c.dry, c.dryAsked = 0, false; likely == 0 {
		c.fed = 0
	}
	in := bounds{m, m, true, m == 0}
	if f.openDouble(d) { // which may have been poured by its twin alone
		in.least = 0
	}
	f.bring(f.side(int64(d.side)), in)
	full, ok := f.fullOf(d)
	f.watchLittle(d, rate.Scaled(full, overFull)-least, ok)
	if ok && rate.Over(c.least, full, overFull) {
		c.odd = append(c.odd, overFill{d, least, likely, full})
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
	m, ok := f.fullOfSpecies(f.s.speciesOf(l))
	if t, known := f.s.things[f.s.canon(l)]; known && ok {
		if c := int64(coatingOf(t)); c > 0 && c < int64(units.Whole) {
			n, err := units.MulDiv(int64(m), int64(units.Whole), int64(units.Whole)-c)
			return units.Mass(n), err == nil
		}
	}
	return m, ok
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
func (s *workSt) pouredTwice(a, b *deed) bool {
	p, x := s.pouring(a)
	q, y := s.pouring(b)
	return p == q && x == y && a.rec.by == b.rec.by && b.at-a.at <= twiceWithin && b.rec.wall-a.rec.wall <= twiceWithin && b.knew(a)
}

// fillTwice is a fill and its like right before it.
type fillTwice struct{ a, b *deed }

func (s *slipSt) twiceSlip(f *flow, o fillTwice) slip {
	a, b := o.a, o.b
	return slip{
		finding: finding{PouredTwice, "box " + s.name(f.box.id), []*rec{a.rec, b.rec}},
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

// overFill is a fill of more than the box holds, where at least so much was in
// it before, and likely so much.
type overFill struct {
	deed                *deed
	least, likely, full units.Mass
}

func (s *slipSt) overFullSlip(f *flow, o overFill) slip {
	d, least, likely, full := o.deed, o.least, o.likely, o.full
	sl := slip{
		finding: finding{OverFull, "box " + s.name(f.box.id), []*rec{d.rec}},
		figure:  entry.Some(d.much), field: drawnField(d.rec.eff),
	}
	b, plain := d.rec.eff.(*entry.Filled)
	sl.says = func() slipWords {
		m := s.weighs(d)
		w := slipWords{why: fmt.Sprintf("%s of %s is more than box %s holds, about %s", m.Format(s.system()), s.name(s.lotOf(d)),
			s.name(f.box.id), s.about(full)), written: m.Format(s.system())}
		if least > 0 {
			w.why += ", and " + s.heldText(least, likely) + " is in it"
		}
		if plain {
			w.written = s.amount(b)
			w.instead = s.smallerFill(b, rate.Scaled(full, overFull)-least)
		}
		return w
	}
	return sl
}

// smallerFill is what may have been meant by a fill of which there is room for
// so many mg alone: a mass that was typed as bags, or a point left out.
func (s *slipSt) smallerFill(b *entry.Filled, room units.Mass) []meant {
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
