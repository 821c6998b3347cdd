package farm_test

import (
	"math"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/message"
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
		if d.Why.ID != "slip.off-plan" {
			t.Fatalf("dial %v: %s", to, d.Why)
		}
		wants := d.Why.Args[2].(message.Span) // 30 and 50 lb/ac live of what is 0.98 × 0.9 live
		if low, high := wants.Low.LbPerAcre(), wants.High.LbPerAcre(); math.Abs(low-30/0.882) > 0.01 || math.Abs(high-50/0.882) > 0.01 || !wants.Outward {
			t.Errorf("dial %v: %s", to, d.Why)
		}
	}
}
