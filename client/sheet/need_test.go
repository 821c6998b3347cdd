package sheet

import (
	"slices"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// What is planned on ground of no known area is told, and not reckoned in; what
// came, less what left, need not be bought.
func TestNeedOf(t *testing.T) {
	id := func(n uint64) entry.ID { return entry.ID{Log: entry.LogID{1}, Seq: n} }
	lb := units.Mass(453_592)
	bulk, err := units.RateFromLbPerAcre(30)
	if err != nil {
		t.Fatal(err)
	}
	area, err := units.AreaFromAcres(10)
	if err != nil {
		t.Fatal(err)
	}
	lot := farm.Lot{ID: id(1), Bag: 50 * lb, BagsIn: 4000, BagsOut: 1000}
	plan := []farm.Planned{{Lot: id(1), Bulk: bulk}, {Lot: id(2), Bulk: bulk}}
	n := NeedOf(&farm.View{Grounds: []farm.Ground{{Name: "bench", Area: area, Plan: plan}, {Name: "lane", Plan: plan}, {Name: "creek", Area: area}}}, lot)
	if !slices.Equal(n.NoArea, []string{"lane"}) || n.Area != area || n.OnHand != 150*lb {
		t.Errorf("%+v", n)
	}
	if b, err := n.Bill(0); err != nil || b.Bags != 3 { // 300 lb, of which 150 are here
		t.Errorf("%+v, %v", b, err)
	}
}
