package farm_test

import (
	"fmt"
	"sync"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

// Boxes are followed on several processors: nothing that one of them asks for is
// written where another reads (the race detector looks on), and all comes out as
// one after the other.
func TestBoxesAreFollowedAtOnce(t *testing.T) {
	c := setUp(t)
	for i := range 6 {
		box := c.own.write(&entry.BoxSet{Drill: c.drill, Name: entry.Some(fmt.Sprintf("box %d", i)), Sides: []string{"left", "right"}, RowsFed: []int64{5, 5}})
		lot := c.own.write(&entry.LotSet{Name: entry.Some(fmt.Sprintf("Q-%d", i)), Species: entry.Some("red clover")})
		c.own.write(&entry.VolumeWeighed{Lot: lot, Volume: 1_000_000, Mass: 770_000_000})
		for _, p := range []*phone{c.own, c.op} {
			meet(c.own, c.op)
			p.write(&entry.DialMoved{Box: box, To: 20_000})
			p.write(&entry.Filled{Box: box, Lot: lot, Mass: 9_000}) // hardly anything
			p.write(&entry.Filled{Box: box, Lot: c.oat, Mass: 5_443_108})
			for j := range 4 { // more lots than are kept in mind
				other := p.write(&entry.LotSet{Name: entry.Some(fmt.Sprintf("Z-%d", 10*i+j)), Species: entry.Some("oats")})
				p.write(&entry.Filled{Box: box, Lot: other, Mass: 45_000})
			}
			p.write(&entry.VolumeFilled{Box: box, Side: 1, Lot: lot, Volume: 4_000_000, Heaped: true})
			p.write(&entry.MeterRead{Drill: c.drill, Reading: units.Reading(120_000 + 500*i), Ground: c.bench})
			p.write(&entry.LevelRead{Box: box, Share: entry.Some(units.Share(50_000))})
			p.write(&entry.Drained{Box: box, Mass: 90_000_000})
			p.write(&entry.Drained{Box: box, Side: 2, All: true, Mass: 4_000})
			p.write(&entry.Caught{Box: box, Lot: lot, Dial: 20_000, Masses: []units.Mass{40_000, 41_000}, Rows: 5, Turns: 50_000})
		}
	}
	meet(c.own, c.op)
	want := c.own.state.Copy().Digest()
	c.op.state.ViewBy(func(n int, do func(i int)) {
		var wg sync.WaitGroup
		for i := range n {
			wg.Go(func() { do(i) })
		}
		wg.Wait()
	})
	var kinds []farm.DoubtKind
	for d := range c.op.state.View().Doubts() {
		kinds = append(kinds, d.Kind)
	}
	if c.op.state.Digest() != want {
		t.Errorf("another digest; doubts %v", kinds)
	}
}
