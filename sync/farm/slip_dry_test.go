package farm_test

import (
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

// 140 g over 20 turns and 4 rows is 33 lb/ac: a bag of 50 lb lasts 1.5 ac.
func TestABoxThatRanDryIsAskedAbout(t *testing.T) {
	start := func() *crew {
		c := setUp(t)
		c.own.write(&entry.CounterStood{Drill: c.drill, Ground: c.bench})
		c.own.write(c.caught(140))
		c.own.write(&entry.DialMoved{Box: c.grain, To: 33_000})
		c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 1000})
		c.later(60)
		return c
	}
	c := start()
	c.own.silent(c.reads(1_200))
	c.later(60)
	c.own.silent(c.reads(1_800)) // the field gives less than the crank
	c.later(60)
	d := c.own.asks(farm.RanDry, c.reads(3_000))
	if d.Why.ID != "slip.ran-dry" {
		t.Fatal(d.Why)
	}
	more := d.Why.Args[1].(message.Quantity)
	if more != message.AboutArea(units.Area(more.N)) {
		t.Errorf("says it as if it were known to the ten-thousandth: %#v", more)
	}
	if ac := units.Area(more.N).Acres(); ac < 1.2 || ac > 1.6 { // of 3, when 1.5 and what the field gives less were sown
		t.Errorf("%.2f ac more", ac)
	}
	c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 2000, Reading: entry.Some(c.reads(1_300).Reading)})
	if open := openOf(c.own, farm.RanDry); len(open) > 0 {
		t.Errorf("the fill is written down, and still in doubt: %v, before %v", open, d)
	}

	c = start()
	knoll := c.own.write(c.ground("knoll"))
	c.own.silent(c.reads(1_500))
	c.later(200)
	c.own.silent(&entry.MeterRead{Drill: c.drill, Ground: knoll, Reading: 3_400}) // for which it was not filled
}
