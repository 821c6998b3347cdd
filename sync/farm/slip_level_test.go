package farm_test

import (
	"reflect"
	"slices"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

func level(box entry.ID, side int64, m units.Mass) *entry.LevelRead {
	return &entry.LevelRead{Box: box, Side: side, Mass: entry.Some(m)}
}

// Of 60 lb that were poured and not sown, 30 g are not what is left: pounds
// were meant. What was asked stands as a doubt with the same choices, and the
// level says nothing until it is settled.
func TestALevelFarBelowIsAskedAbout(t *testing.T) {
	c := twelveBushels(t)
	c.help.write(c.pour(0, 30))
	d := c.help.asks(farm.LevelTooLow, level(c.grain, 0, grams(30)))
	instead(t, d, offer(message.MassAs(pounds(30), units.InPounds), "how.pounds-not-grams"))
	if left := boxNow(t, c.help, c.grain).Left; left != 30*pound {
		t.Errorf("a level in doubt stands: %v", left)
	}
	if got := openOf(c.help, farm.Balance); len(got) > 0 {
		t.Errorf("one thing is in doubt twice: %v", got)
	}
	c.help.settle(d, entry.Instead)
	if left := boxNow(t, c.help, c.grain).Left; left < 29*pound || left > 31*pound {
		t.Errorf("pounds were meant, and %v is in it", left)
	}
	if got := c.help.state.View().Open; got != 0 {
		t.Errorf("%d in doubt still", got)
	}

	c = twelveBushels(t)
	c.help.write(c.pour(0, 30))
	instead(t, c.help.asks(farm.LevelTooLow, level(c.grain, 0, grams(12))), offer(message.MassAs(pounds(12), units.InPounds), "how.pounds-not-grams"))
	c.help.settle(openOf(c.help, farm.LevelTooLow)[0], entry.AsWritten)
	if left := boxNow(t, c.help, c.grain).Left; left != grams(12) || len(openOf(c.help, farm.Balance)) > 0 {
		t.Errorf("who was asked looked again: %v is in it", left)
	}

	c = twelveBushels(t)
	c.help.write(c.pour(8, 0))
	instead(t, c.help.asks(farm.LevelTooLow, &entry.LevelRead{Box: c.grain, Share: entry.Some(units.Share(8_000))}), offer(message.Of("of-full", message.Decimal(units.Share(80_000))), "how.point-too-far-left"))
}

// Where so much went out that little may be left, grams that would be what the
// books have in pounds are asked about, and few pounds are not.
func TestGramsForPoundsAreAskedAbout(t *testing.T) {
	c := worked(t, 120, 3000) // some 100 lb
	if likely := boxNow(t, c.own, c.grain).Left; likely < 10*pound || likely > 30*pound {
		t.Fatalf("%v is likely in it", likely)
	}
	instead(t, c.own.asks(farm.LevelTooLow, level(c.grain, 0, grams(18))), offer(message.MassAs(pounds(18), units.InPounds), "how.pounds-not-grams"))
	for _, m := range []units.Mass{0, pound / 2, 2 * pound, 18 * pound} {
		worked(t, 120, 3000).own.silent(level(c.grain, 0, m)) // of alike crews every ID is alike
	}
}

// What is let out of one side, or seen there, is held against what that side
// can hold, and not against the whole box.
func TestOneSideIsHeldAgainstItself(t *testing.T) {
	split := func() (c *crew, box entry.ID) {
		c, box, clover := splitBox(t)
		c.own.write(&entry.Filled{Box: box, Side: 1, Lot: clover, Mass: 50 * pound})
		*c.own.wall += 10 * 60_000
		c.own.write(&entry.Filled{Box: box, Side: 2, Lot: clover, Mass: 80 * pound})
		return c, box
	}
	out := func(box entry.ID, all bool) *entry.Drained {
		return &entry.Drained{Box: box, Side: 1, Mass: 669 * pound / 10, All: all}
	}
	fromRight := func(box entry.ID) message.Message {
		right := message.Of("box.side", message.Name{Of: box, Name: "legume"}, message.Text("right"))
		return message.Of("choice.from", message.MassAs(669*pound/10, 0), right)
	}
	for _, all := range []bool{false, true} {
		c, box := split()
		d := c.own.asks(farm.OverDrained, out(box, all))
		if len(d.Choices) != 3 || !reflect.DeepEqual(d.Choices[1].Figure, fromRight(box)) {
			t.Errorf("offers %+v", d.Choices)
		}
		c.own.settle(d, entry.Instead)
		if b := boxNow(t, c.own, box); b.Gap < 0 || b.SidesNow[0].Left != 50*pound || !all && c.own.state.View().Open != 0 {
			t.Errorf("from the other side: not placed %v, left %+v", b.Gap, b.SidesNow)
		}
	}
	c, box := split()
	c.own.asks(farm.LevelTooHigh, level(box, 1, 70*pound))
	c, box = split()
	c.own.silent(&entry.Drained{Box: box, Side: 1, Mass: 51 * pound}, &entry.Drained{Box: box, Side: 2, All: true, Mass: 79 * pound})

	// Over both, seed lies unevenly.
	c, box, clover := splitBox(t)
	c.own.write(&entry.Filled{Box: box, Lot: clover, Mass: 100 * pound})
	c.own.silent(&entry.Drained{Box: box, Side: 2, All: true, Mass: 65 * pound})
	c, box, clover = splitBox(t)
	c.own.write(&entry.Filled{Box: box, Lot: clover, Mass: 100 * pound})
	c.own.asks(farm.OverDrained, &entry.Drained{Box: box, Side: 2, All: true, Mass: 95 * pound})
}

// More let out than the books have there, though not more than was ever poured,
// is no slip, but a doubt: "not placed" never stands alone below nothing.
func TestMoreLetOutThanTheBooksHaveIsADoubt(t *testing.T) {
	c := worked(t, 120, 3000) // some 100 lb
	c.own.silent(&entry.Drained{Box: c.grain, Mass: 110 * pound})
	if b := boxNow(t, c.own, c.grain); b.Gap >= 0 || !slices.Contains(kinds(c.own, false), farm.Balance) {
		t.Errorf("not placed %v; in doubt %v", b.Gap, kinds(c.own, false))
	}
}
