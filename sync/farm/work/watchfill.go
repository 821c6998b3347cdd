package work

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
	"turnrow/sync/farm/order"
	"turnrow/sync/farm/thing"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// A fill is asked about below one part in partOfBag of a bag of its lot, or,
// where no bag is known, in partOfBox of what the box holds: so little is not
// worth opening a box for, and is what grams typed for pounds come to. Our own
// figures, no source.
const (
	partOfBag = 100
	partOfBox = 500
)

// watchLittle holds a fill against the least that anybody pours. Room is what
// may have gone in, where that is known.
func (f *Flow) watchLittle(d *thing.Deed, room units.Mass, known bool) {
	b, ok := d.Rec.Eff.(*entry.Filled)
	if !ok || b.Mass == 0 {
		return
	}
	s := f.Work
	bag := s.BagMass[d.Lot-1]
	full, _ := f.fullOf(d)
	if b.Mass >= max(bag/partOfBag, 1) && (bag > 0 || b.Mass >= full/partOfBox) {
		return
	}
	f.Content.Odd = append(f.Content.Odd, LittleFill{d.Rec, b, room, known})
}

// LittleFill is a fill of hardly anything.
type LittleFill struct {
	Rec   *order.Rec
	Body  *entry.Filled
	Room  units.Mass // what may have gone in
	Known bool       // room is
}

// Limits beyond which what is written of the seed in a box is asked about.
const (
	// OverFull is how far above what its capacity holds at the published bushel
	// weight a box may be filled: oats of 40 lb to the bushel are common where
	// 32 is legal, so a quarter more is no slip.
	OverFull = 1.25
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
)

// content is what can be in a box, whatever went out of it: for what is poured
// in and seen, against what its writer says.
type content struct {
	bounds            // of all of the box
	sides    []bounds // of each side, where there are several
	last     *thing.Deed
	asked    bool       // the last fill was asked about as one written twice
	Odd      []any      // what is unlikely to be as it was written, in order: DryWork, OddLevel, OverDrain, SmallAll, FillTwice, OverFill, LittleFill
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
func (f *Flow) watchFill(d *thing.Deed, m units.Mass) {
	c := &f.Content
	twice := c.last != nil && f.Work.pouredTwice(c.last, d)
	if twice && !c.asked { // who pours bag by bag is asked once
		c.Odd = append(c.Odd, FillTwice{c.last, d})
	}
	c.asked, c.last = twice, d
	least, likely := c.Least, f.inBox()
	if c.dry, c.dryAsked = 0, false; likely == 0 {
		c.fed = 0
	}
	in := bounds{m, m, true, m == 0}
	if f.OpenDouble(d) { // which may have been poured by its twin alone
		in.Least = 0
	}
	f.bring(f.Side(int64(d.Side)), in)
	full, ok := f.fullOf(d)
	f.watchLittle(d, rate.Scaled(full, OverFull)-least, ok)
	if ok && rate.Over(c.Least, full, OverFull) {
		c.Odd = append(c.Odd, OverFill{d, least, likely, full})
		if !f.Work.Covered(conflict.OverFull, d.Rec) {
			c.Least = full // so that what follows is not asked about for this one's sake
		}
	}
}

// fullOf is what a box holds of a fill's lot: its capacity at the bushel weight
// of the species, more by its coating.
func (f *Flow) fullOf(d *thing.Deed) (units.Mass, bool) {
	if known := &f.Content.full; known.lot != d.Lot {
		known.lot = d.Lot
		known.mass, known.ok = f.fullOfLot(f.Work.LotOf(d))
	}
	return f.Content.full.mass, f.Content.full.ok
}

func (f *Flow) fullOfLot(l entry.ID) (units.Mass, bool) {
	m, ok := f.fullOfSpecies(f.Work.SpeciesOf(l))
	if t, known := f.Work.ByID[f.Work.Canon(l)]; known && ok {
		if c := int64(coatingOf(t)); c > 0 && c < int64(units.Whole) {
			n, err := units.MulDiv(int64(m), int64(units.Whole), int64(units.Whole)-c)
			return units.Mass(n), err == nil
		}
	}
	return m, ok
}

// coatingOf is the most coating that a lot's label tells of any of its seeds.
func coatingOf(t *thing.Thing) (most units.Share) {
	for i := range t.Fields {
		if f := &t.Fields[i]; f.Num == thing.LabelCoating {
			if _, v, ok := f.Shown(); ok {
				most = max(most, units.Share(v.N))
			}
		}
	}
	return most
}

// pouredTwice says whether one person wrote two fills alike within minutes.
func (s *Work) pouredTwice(a, b *thing.Deed) bool {
	p, x := s.pouring(a)
	q, y := s.pouring(b)
	return p == q && x == y && a.Rec.By == b.Rec.By && b.At-a.At <= twiceWithin && b.Rec.Wall-a.Rec.Wall <= twiceWithin && b.Knew(a)
}

// FillTwice is a fill and its like right before it.
type FillTwice struct{ First, Second *thing.Deed }

// OverFill is a fill of more than the box holds, where at least so much was in
// it before, and likely so much.
type OverFill struct {
	Deed                *thing.Deed
	Least, Likely, Full units.Mass
}
