package farm_test

import (
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

func (c *crew) finishes() *entry.GroundFinished {
	return &entry.GroundFinished{Ground: c.bench, Drill: c.drill, Finished: true}
}

// The bench has 7.5 ac. 6 ac by the counter is more than a counter errs by (3 %
// on good ground) and a stated area is off by, and so are none.
func TestGroundThatIsFinishedEarlyIsAskedAbout(t *testing.T) {
	for _, upTo := range []units.Reading{0, 1_000, 6_000} {
		c := setUp(t)
		c.begin(0)
		if upTo > 0 {
			c.own.silent(c.reads(upTo))
		}
		d := c.own.asks(farm.FinishedEarly, c.finishes())
		c.own.settle(d, "unwrite")
		if g, _ := c.own.state.View().GroundOf(c.bench); g.Finished || len(openOf(c.own, farm.FinishedEarly)) > 0 {
			t.Errorf("at %d: taken back, and finished %v", upTo, g.Finished)
		}
		c.own.settle(c.own.asks(farm.FinishedEarly, c.finishes()), entry.AsWritten)
		if g, _ := c.own.state.View().GroundOf(c.bench); !g.Finished || len(openOf(c.own, farm.FinishedEarly)) > 0 {
			t.Errorf("at %d: said to be as written, and still in doubt", upTo)
		}
	}
}

func TestGroundThatIsFinishedRaisesNoFalseQuestion(t *testing.T) {
	for _, upTo := range []units.Reading{7_000, 7_500, 8_200} {
		c := setUp(t)
		c.begin(0)
		c.own.silent(c.reads(upTo), c.finishes())
	}
	c := setUp(t)
	c.begin(0)
	c.own.silent(c.reads(6_000)) // somebody looked, and takes the counter by the map
	b := c.finishes()
	b.Correction = entry.Some(int64(1250))
	c.own.silent(b)

	c = setUp(t) // a reading that comes late takes the doubt away
	c.begin(0)
	c.own.asks(farm.FinishedEarly, c.finishes())
	c.later(300)
	c.own.write(c.reads(7_400))
	if n := len(openOf(c.own, farm.FinishedEarly)); n != 0 {
		t.Errorf("all is counted, and %d in doubt", n)
	}

	c = setUp(t) // a drill without a counter counts none
	bare := c.own.write(&entry.DrillSet{Name: entry.Some("old drill"), Rows: entry.Some(int64(8))})
	c.own.silent(&entry.GroundFinished{Ground: c.bench, Drill: bare, Finished: true})
}
