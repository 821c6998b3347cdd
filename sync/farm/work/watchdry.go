package work

import (
	"turnrow/sync/entry"
	"turnrow/sync/farm/order"
	"turnrow/sync/rate"
	"turnrow/sync/units"
)

// How much further than its seed lasts by the books a box may be worked without
// a question, as a share of what was worked with it: where a catch backs the
// rate, the field gives 0.75 to 1.05 of it (Yousif, Gezira, art. 575, and our
// own spread); where only the chart does, that may be half off.
const (
	dryProved   = 0.35
	dryUnproved = 1.0
	leastDry    = units.Area(12_140_569) // 0.3 ac, in cm²: less is the end of a round
)

// watchDry finds the reading by which a piece of ground was worked on after the
// seed for it was out by the books: it ran dry, or a fill was not written down.
func (f *Flow) watchDry(p *Point, area units.Area) {
	c := &f.Content
	now := c.dryNow
	c.dryNow = 0
	c.fed += area - now
	if c.on != p.Ground {
		c.on, c.fedHere = p.Ground, 0
	}
	c.fedHere += area - now
	if now == 0 || len(f.Sown) == 0 || c.fedHere < leastDry { // what was left over is no plan for the next piece
		return
	}
	c.dry += now
	share := dryUnproved
	if f.Sown[len(f.Sown)-1].Known.Caught {
		share = dryProved
	}
	if c.dryAsked || c.dry < leastDry || !rate.Over(c.dry, c.fed, share) {
		return
	}
	c.dryAsked = true
	c.Odd = append(c.Odd, DryWork{p.Rec, p.Ground, c.dry})
}

// DryWork is a reading by which ground was worked on with an empty box.
type DryWork struct {
	Rec    *order.Rec
	Ground entry.ID
	Dry    units.Area
}
