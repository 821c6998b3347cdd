package farm

import (
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// bounds is what can be in a box, or in a side of it, at the least and at the
// most.
type bounds struct {
	least, most units.Mass
	told        bool // something was poured or seen
	open        bool // seed of no known mass was poured: most is not the most
}

func (b bounds) plus(o bounds) bounds {
	return bounds{b.least + o.least, b.most + o.most, true, b.open || o.open}
}

func (b bounds) less(m units.Mass) bounds {
	return bounds{max(0, b.least-m), max(0, b.most-m), b.told, b.open}
}

// above says whether a mass is more than can be there.
func (b bounds) above(m units.Mass) bool {
	return b.told && !b.open && rate.Over(m, b.most, aboveMost)
}

// can is what can be in a side, or in all of the box. A side of which nothing
// was said is held against the whole.
func (f *flow) can(side int) bounds {
	c := &f.content
	if f.whole(side) || !c.sides[side].told {
		return c.bounds
	}
	b := c.sides[side]
	return bounds{min(b.least, c.least), min(b.most, c.most), c.told, b.open || c.open}
}

// bring pours into a side. Over all of a split box it may lie unevenly.
func (f *flow) bring(side int, in bounds) {
	c := &f.content
	c.bounds = c.bounds.plus(in)
	for i := range c.sides {
		switch side {
		case i:
			c.sides[i] = c.sides[i].plus(in)
		case rate.AllSides:
			even := func(m units.Mass) units.Mass {
				part, _ := f.part(i, m)
				return part
			}
			c.sides[i] = c.sides[i].plus(bounds{even(in.least) / unevenly, min(in.most, even(in.most)+even(in.most)/unevenly), true, in.open})
		}
	}
}

// takeOut lets seed out of a side: so much, or all that was there.
func (f *flow) takeOut(side int, m units.Mass, all bool) {
	c := &f.content
	if all && f.whole(side) {
		c.bounds = bounds{told: c.told}
	} else if all {
		c.bounds = bounds{max(0, c.least-max(m, c.sides[side].most)), max(0, c.most-m), c.told, c.open}
	} else {
		c.bounds = c.bounds.less(m)
	}
	for i := range c.sides {
		switch {
		case side != i && side != rate.AllSides:
		case all:
			c.sides[i] = bounds{told: true}
		case side == i:
			c.sides[i] = c.sides[i].less(m)
		default: // of which side is not said
			c.sides[i].least = max(0, c.sides[i].least-m)
		}
	}
}

// find takes in what somebody saw in a side.
func (f *flow) find(side int, b bounds) {
	c := &f.content
	if f.whole(side) {
		c.bounds = b
		for i := range c.sides {
			c.sides[i] = bounds{0, b.most, true, false}
		}
		return
	}
	c.sides[side] = b
	sum := bounds{told: true}
	for _, s := range c.sides {
		if !s.told {
			return
		}
		sum = sum.plus(s)
	}
	c.bounds = sum
}

// wentBy lets go out of a side what went by the books: it may have been twice
// as much, and all where no rate is known.
func (b *bounds) wentBy(books units.Mass, known bool) {
	if b.least = max(0, b.least-2*books); !known {
		b.least = 0
	}
}

// massIn is what is in a side, or in all of the box, by the books.
func (f *flow) massIn(side int) units.Mass {
	if f.whole(side) {
		return f.inBox()
	}
	return f.seed.Sides[side].Mass()
}
