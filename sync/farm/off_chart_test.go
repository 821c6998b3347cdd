package farm_test

import (
	"math"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// The chart says 33 lb/ac at dial 33, which is 140 g. A catch of 57 % of it is
// not asked about, since charts are off by as much; it counts, and is told.
func TestACatchOffTheChartIsToldAndNotAskedAbout(t *testing.T) {
	for g, want := range map[float64]float64{140: 0, 100: 0, 80: 0.571, 245: 1.76, 200: 0} {
		c := setUp(t)
		c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Mass: grams(40_000)})
		c.own.silent(c.caught(g))
		b := boxNow(t, c.own, c.grain)
		if math.Abs(b.OffChart-want) > 0.01 {
			t.Errorf("%v g where the chart says 140: %v times the chart, want %v", g, b.OffChart, want)
		}
		if again, _ := reloaded(t, c.own.state).View().BoxOf(c.grain); again.OffChart != b.OffChart {
			t.Errorf("%v times the chart when saved and read again, and %v before", again.OffChart, b.OffChart)
		}
	}
	c := setUp(t)
	c.own.write(c.caught(80))
	if b := boxNow(t, c.own, c.grain); b.OffChart != 0 {
		t.Errorf("nobody knows which seed the box is for, and it is %v times a chart", b.OffChart)
	}
}

// Once a run is weighed, that tells what the box gives, and how the catch lay
// beside the chart is of no more use.
func TestACatchOffTheChartIsToldUntilARunIsWeighed(t *testing.T) {
	c := setUp(t)
	c.own.write(&entry.DialMoved{Box: c.grain, To: 33_000, Why: "plan"})
	c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 4_000})
	c.own.write(c.caught(80))
	c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 0, Ground: c.bench})
	c.own.write(&entry.MeterRead{Drill: c.drill, Reading: 2_000, Ground: c.bench})
	if b := boxNow(t, c.own, c.grain); b.OffChart == 0 {
		t.Error("not told before a run is weighed")
	}
	left, err := units.MassFromPounds(162) // of 200: 19 lb/ac
	if err != nil {
		t.Fatal(err)
	}
	c.own.write(&entry.LevelRead{Box: c.grain, Mass: entry.Some(left)})
	if b := boxNow(t, c.own, c.grain); b.OffChart != 0 || b.LastOut == nil {
		t.Errorf("still %v times the chart after a run, by which %+v went out", b.OffChart, b.LastOut)
	}
}
