package farm_test

import (
	"strings"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// A box that is planned on two pieces is held against both: a dial is asked about
// where it gives over twice the greater aim or under half of the lesser one, and
// the question names the lesser first.
func TestADialIsHeldAgainstTheAimsOnBothPieces(t *testing.T) {
	twoPieces := func() *crew {
		c := planned(t) // 34 lb/ac on the bench
		knoll := c.own.write(&entry.GroundSet{Name: entry.Some("knoll"), Area: entry.Some(units.Area(121_405_692))})
		live, _ := units.RateFromLbPerAcre(50)
		c.own.write(&entry.PlanSet{Ground: knoll, Components: []entry.Component{{Lot: c.oat, Box: c.grain, Live: live}}})
		return c
	}
	// 20 lb/ac is far under the knoll's 57 and fits the bench; 79 the other way round.
	c := twoPieces()
	c.own.silent(c.dialled(22_000), c.dialled(70_000))
	for _, to := range []units.Dial{15_000, 100_000} { // 14 and 116 lb/ac
		c := twoPieces()
		d := c.own.asks(farm.UnlikelyDial, c.dialled(to))
		if !strings.HasSuffix(d.Why, "the plan wants 34 to 56.7 lb/ac") {
			t.Errorf("dial %v: %s", to, d.Why)
		}
	}
}
