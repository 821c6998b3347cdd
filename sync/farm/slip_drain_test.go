package farm_test

import (
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

// All that was let out of a box is held against what must be in it, as a level
// is: of 250 lb that were poured and not sown, 2 lb are not all.
func TestAllThatIsFarTooLittleIsAskedAbout(t *testing.T) {
	c := twelveBushels(t)
	c.help.write(c.pour(0, 250))
	d := c.help.asks(farm.LevelTooLow, &entry.Drained{Box: c.grain, All: true, Mass: 2 * pound})
	instead(t, d, message.Of("choice.not-all", message.MassAs(2*pound, 0)))
	if got := openOf(c.help, farm.Balance); len(got) > 0 {
		t.Errorf("one thing is in doubt twice: %v", got)
	}
	c.help.settle(d, entry.Instead)
	if left := boxNow(t, c.help, c.grain).Left; left < 247*pound || left > 249*pound {
		t.Errorf("2 lb were let out of 250, and %v is in it", left)
	}

	c = twelveBushels(t)
	c.help.write(c.pour(0, 250))
	c.help.asks(farm.LevelTooLow, &entry.Drained{Box: c.grain, All: true, Mass: 2 * pound})
	c.help.settle(openOf(c.help, farm.LevelTooLow)[0], entry.AsWritten)
	if b := boxNow(t, c.help, c.grain); b.Left != 0 || b.Drained[0].Mass != 2*pound {
		t.Errorf("who was asked looked again: %v is in it, let out %+v", b.Left, b.Drained)
	}

	c = twelveBushels(t)
	c.help.write(c.pour(0, 20))
	d = c.help.asks(farm.LevelTooLow, &entry.Drained{Box: c.grain, All: true, Mass: grams(20), MassIn: units.InGrams})
	instead(t, d, offer(message.MassAs(pounds(20), units.InPounds), "how.pounds-not-grams"))

	c, box, clover := splitBox(t)
	c.own.write(&entry.Filled{Box: box, Side: 1, Lot: clover, Mass: 20 * pound})
	c.own.asks(farm.LevelTooLow, &entry.Drained{Box: box, Side: 1, All: true, Mass: grams(3)})

	// Most of it went out by the books, and twice as much may have.
	for _, m := range []units.Mass{pound, 5 * pound, 20 * pound} {
		c := worked(t, 120, 3000)
		c.own.silent(&entry.Drained{Box: c.grain, All: true, Mass: m})
	}
}

// From a box that is empty by the record nothing is let out, unless nothing was
// ever written of it, or what was poured last is of no known mass.
func TestADrainFromAnEmptyBoxIsAskedAbout(t *testing.T) {
	emptied := func() *crew {
		c := twelveBushels(t)
		c.help.write(c.pour(0, 250))
		c.help.silent(&entry.Drained{Box: c.grain, All: true})
		return c
	}
	for _, all := range []bool{false, true} {
		c := emptied()
		c.help.asks(farm.OverDrained, &entry.Drained{Box: c.grain, All: all, Mass: 81 * pound})
		if got := openOf(c.help, farm.Balance); len(got) > 0 {
			t.Errorf("one thing is in doubt twice: %v", got)
		}
	}
	emptied().help.silent(&entry.Drained{Box: emptied().grain, All: true})

	c := emptied()
	l := c.own.write(&entry.LotSet{Name: entry.Some("X-1"), Species: entry.Some("chufa")})
	c.merge()
	c.help.write(&entry.Filled{Box: c.grain, Lot: l, Bags: 2000})
	c.help.silent(&entry.Drained{Box: c.grain, Mass: 81 * pound})

	c = twelveBushels(t)
	c.help.silent(&entry.Drained{Box: c.grain, All: true, Mass: 81 * pound})
}
