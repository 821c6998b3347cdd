package work

import (
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// bounds is what can be in a box, or in a side of it, at the least and at the
// most.
type bounds struct {
	Least, Most units.Mass
	told        bool // something was poured or seen
	open        bool // seed of no known mass was poured: most is not the most
}

func (b bounds) plus(o bounds) bounds {
	return bounds{b.Least + o.Least, b.Most + o.Most, true, b.open || o.open}
}

func (b bounds) less(m units.Mass) bounds {
	return bounds{max(0, b.Least-m), max(0, b.Most-m), b.told, b.open}
}

// above says whether a mass is more than can be there.
func (b bounds) above(m units.Mass) bool {
	return b.told && !b.open && rate.Over(m, b.Most, aboveMost)
}

// can is what can be in a side, or in all of the box. A side of which nothing
// was said is held against the whole.
func (f *Flow) can(side int) bounds {
	c := &f.Content
	if f.whole(side) || !c.sides[side].told {
		return c.bounds
	}
	b := c.sides[side]
	return bounds{min(b.Least, c.Least), min(b.Most, c.Most), c.told, b.open || c.open}
}

// bring pours into a side. Over all of a split box it may lie unevenly.
func (f *Flow) bring(side int, in bounds) {
	c := &f.Content
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
			c.sides[i] = c.sides[i].plus(bounds{even(in.Least) / unevenly, min(in.Most, even(in.Most)+even(in.Most)/unevenly), true, in.open})
		}
	}
}

// takeOut lets seed out of a side: so much, or all that was there.
func (f *Flow) takeOut(side int, m units.Mass, all bool) {
	c := &f.Content
	if all && f.whole(side) {
		c.bounds = bounds{told: c.told}
	} else if all {
		c.bounds = bounds{max(0, c.Least-max(m, c.sides[side].Most)), max(0, c.Most-m), c.told, c.open}
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
			c.sides[i].Least = max(0, c.sides[i].Least-m)
		}
	}
}

// find takes in what somebody saw in a side.
func (f *Flow) find(side int, b bounds) {
	c := &f.Content
	if f.whole(side) {
		c.bounds = b
		for i := range c.sides {
			c.sides[i] = bounds{0, b.Most, true, false}
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
	if b.Least = max(0, b.Least-2*books); !known {
		b.Least = 0
	}
}

// massIn is what is in a side, or in all of the box, by the books.
func (f *Flow) massIn(side int) units.Mass {
	if f.whole(side) {
		return f.inBox()
	}
	return f.Seed.Sides[side].Mass()
}
