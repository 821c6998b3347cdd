package farm_test

import (
	"slices"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

// later lets time go by, in minutes, beyond the minute that each entry takes.
func (c *crew) later(minutes int64) { *c.own.wall += minutes * 60_000 }

func (c *crew) reads(r units.Reading) *entry.MeterRead {
	return &entry.MeterRead{Drill: c.drill, Ground: c.bench, Reading: r}
}

func (c *crew) begin(r units.Reading) {
	c.own.write(&entry.CounterStood{Drill: c.drill, Reading: r})
	c.later(100)
}

func TestMoreAcresThanThePieceHasAreAskedAbout(t *testing.T) {
	c := setUp(t) // bench has 7.5 ac
	c.begin(212_600)
	c.own.silent(c.reads(216_600))
	c.later(200)
	d := c.own.asked(c.reads(2_189_000))
	if len(d) == 0 || d[0].Kind != farm.TooFast && d[0].Kind != farm.TooManyAcres {
		t.Fatalf("asked %v", d)
	}
	instead(t, c.own.asks(farm.TooManyAcres, c.reads(281_900)), offer(message.Decimal(units.Reading(218_900)), "how.digits-swapped"))

	// Ends and corners are sown twice, and wheels skid.
	c = setUp(t)
	c.begin(0)
	c.own.silent(c.reads(4_000))
	c.later(300)
	c.own.silent(c.reads(8_400))
	// Who sows a piece twice, across, is asked once.
	c.later(300)
	c.own.asks(farm.TooManyAcres, c.reads(12_000))
	c.later(300)
	c.own.silent(c.reads(15_600))
}

func TestAPaceThatNoDrillHasIsAskedAbout(t *testing.T) {
	c := setUp(t) // a drill of 6 ft 3 in: 9 ac/h at 12 mph
	c.begin(0)
	c.own.silent(c.reads(1_000))
	c.later(10)
	c.own.asks(farm.TooFast, c.reads(6_900))

	c = setUp(t)
	c.begin(0)
	c.own.silent(c.reads(1_000), c.reads(2_500), c.reads(4_000)) // typed in late, one after the other
	c.later(29)
	c.own.silent(c.reads(6_000)) // 4 ac/h: a fast day
}

// A first reading makes no acres: it is asked where the counter stood.
func TestAFirstReadingIsAskedAbout(t *testing.T) {
	c := setUp(t)
	ds := c.own.asked(c.reads(212_600))
	if len(ds) != 1 || ds[0].Kind != farm.CounterBegin || len(ds[0].Choices) != 2 {
		t.Fatalf("asked %+v", ds)
	}
	stood, ok := ds[0].Choices[1].Body.(*entry.CounterStood)
	if !ok || stood.Reading != 212_600 || stood.Ground != c.bench || ds[0].Choices[0].Say != "" {
		t.Errorf("choices %+v", ds[0].Choices)
	}
	c.own.write(c.reads(212_600))
	if n := len(openOf(c.own, farm.CounterBegin)); n != 1 {
		t.Errorf("%d doubts of where it stood", n)
	}
	if k := kinds(c.own, false); slices.Contains(k, farm.TooManyAcres) || slices.Contains(k, farm.TooFast) {
		t.Errorf("in doubt: %v", k)
	}
	for _, at := range []units.Reading{0, 212_600} {
		c := setUp(t)
		if at > 0 {
			c.own.silent(&entry.CounterStood{Drill: c.drill, Reading: at})
		}
		c.own.silent(c.reads(at))
		c.later(60)
		c.own.silent(c.reads(at + 2_000))
	}
}

// A reading that is wrong empties the boxes too: what is wrong with it is asked
// first, and what follows from it after.
func TestAWrongReadingIsAskedAboutFirst(t *testing.T) {
	c := setUp(t)
	c.own.write(&entry.DialMoved{Box: c.grain, To: 34_000})
	c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 4000})
	c.begin(212_600)
	ds := c.own.asked(c.reads(2_160_000))
	if len(ds) != 2 || ds[0].Kind != farm.TooManyAcres || ds[1].Kind != farm.RanDry {
		t.Fatalf("asked %v", ds)
	}
	instead(t, ds[0], offer(message.Decimal(units.Reading(216_000)), "how.point-left-out"))
}
