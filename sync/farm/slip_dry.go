package farm

import (
	"fmt"

	"turnrow/sync/entry"
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
func (f *flow) watchDry(p *point, area units.Area) {
	c := &f.content
	now := c.dryNow
	c.dryNow = 0
	c.fed += area - now
	if c.on != p.ground {
		c.on, c.fedHere = p.ground, 0
	}
	c.fedHere += area - now
	if now == 0 || len(f.sown) == 0 || c.fedHere < leastDry { // what was left over is no plan for the next piece
		return
	}
	c.dry += now
	share := dryUnproved
	if f.sown[len(f.sown)-1].known.caught {
		share = dryProved
	}
	if c.dryAsked || c.dry < leastDry || !rate.Over(c.dry, c.fed, share) {
		return
	}
	c.dryAsked = true
	c.odd = append(c.odd, dryWork{p.rec, p.ground, c.dry})
}

// dryWork is a reading by which ground was worked on with an empty box.
type dryWork struct {
	rec    *rec
	ground entry.ID
	dry    units.Area
}

func (s *slipSt) drySlip(f *flow, o dryWork) slip {
	return slip{
		finding: finding{RanDry, "box " + s.name(f.box.id) + ", ground " + s.name(o.ground), []*rec{o.rec}}, field: "reading",
		says: func() slipWords {
			return slipWords{written: "it ran dry", why: fmt.Sprintf("box %s was empty by the books, and %s more of %s was worked: did it run dry, or was a fill not written down",
				s.name(f.box.id), o.dry.About(s.system()), s.name(o.ground))}
		},
	}
}
