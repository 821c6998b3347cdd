package farm_test

import (
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

// planned is a crew that wants 34 lb/ac of bulk oats on the bench: dial 34 by
// the chart.
func planned(t *testing.T) *crew {
	c := setUp(t)
	live, _ := units.RateFromLbPerAcre(30)
	c.own.write(&entry.PlanSet{Ground: c.bench, Components: []entry.Component{{Lot: c.oat, Box: c.grain, Live: live}}})
	return c
}

func (c *crew) dialled(to units.Dial) *entry.DialMoved {
	return &entry.DialMoved{Box: c.grain, To: to, Why: "try"}
}

func TestADialFarFromTheAimIsAskedAbout(t *testing.T) {
	for _, to := range []units.Dial{100_000, 3_400, 15_000} { // 116, 3 and 14 lb/ac by the chart
		c := planned(t)
		d := c.own.asks(farm.UnlikelyDial, c.dialled(to))
		if d.Field != "dial" {
			t.Errorf("the field is %q", d.Field)
		}
		if to == 3_400 {
			instead(t, d, offer(message.Decimal(units.Dial(34_000)), "how.point-too-many"))
		}
		c.own.settle(d, entry.AsWritten)
		if open := openOf(c.own, farm.UnlikelyDial); len(open) > 0 {
			t.Errorf("still open: %v", open)
		}
	}
	c := planned(t)
	c.own.silent(c.dialled(34_000), c.dialled(25_000), c.dialled(60_000), c.dialled(0)) // 0 is shut
}

// Settled or not, a dial is only in doubt as long as it stands so.
func TestADialThatWasMovedOnIsNotInDoubt(t *testing.T) {
	c := planned(t)
	c.own.asks(farm.UnlikelyDial, c.dialled(100_000))
	c.own.write(c.dialled(34_000))
	if open := openOf(c.own, farm.UnlikelyDial); len(open) > 0 {
		t.Errorf("still open: %v", open)
	}
}

// On a dial on which more is less, 0 is wide open.
func TestTheOpenEndOfAReversedDialIsAskedAbout(t *testing.T) {
	c := planned(t)
	for dial, lb := range map[int]float64{20: 66, 40: 41, 60: 18} {
		r, _ := units.RateFromLbPerAcre(lb)
		c.own.write(&entry.ChartPointSet{Box: c.grain, Species: "oat", Dial: units.Dial(dial * 1000), Rate: r})
	}
	c.own.asks(farm.UnlikelyDial, c.dialled(0))
	c.own.silent(c.dialled(45_000))
}

// Without a plan, a dial is held against the chart alone, by the lot that lies in
// the box.
func TestADialFarBeyondTheChartIsAskedAbout(t *testing.T) {
	c := setUp(t)
	c.own.silent(c.dialled(100_000)) // nobody knows for which seed
	c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Mass: grams(40_000)})
	c.own.silent(c.dialled(70_000), c.dialled(12_000))
	c.own.asks(farm.UnlikelyDial, c.dialled(99_000))
}

func TestAMarkThatIsNotOnTheChartIsAskedAbout(t *testing.T) {
	c := marked(t, 2_000_000)
	c.own.write(&entry.DialMarked{Box: c.grain, Marks: []string{"A", "B", "C", "D"}})
	for i, lb := range []float64{12, 20, 30} {
		r, _ := units.RateFromLbPerAcre(lb)
		c.own.write(&entry.ChartPointSet{Box: c.grain, Species: "oat", Dial: farm.MarkedDial(i), Rate: r})
	}
	c.own.silent(c.dialled(farm.MarkedDial(2)))
	d := c.own.asks(farm.UnlikelyDial, c.dialled(farm.MarkedDial(3)))
	if d.Why.String() != `slip.off-chart-marks("oat", "A", "C", "D")` {
		t.Error(d.Why)
	}
	b := c.caught(170)
	b.Dial = farm.MarkedDial(3)
	c.own.write(b)
	if open := openOf(c.own, farm.UnlikelyDial); len(open) > 0 {
		t.Errorf("in doubt although it was caught at: %v", open)
	}
}
