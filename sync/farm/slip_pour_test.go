package farm_test

import (
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

const pound = 453_592 // mg, to the nearest

// twelveBushels is setUp with a box of 12 bu, 384 lb of oats at the legal 32 lb.
func twelveBushels(t *testing.T) *crew {
	c := setUp(t)
	c.own.write(&entry.BoxSet{Box: c.grain, Capacity: entry.Some(units.Volume(12 * 35_239))})
	c.merge()
	return c
}

// worked is twelveBushels after so many lb were poured, which is asked about by
// nobody, and the drill was worked from 0 up to a reading.
func worked(t *testing.T, lb units.Mass, upTo units.Reading) *crew {
	c := twelveBushels(t)
	c.own.write(c.dialled(33_000))
	c.own.write(c.reads(0))
	c.own.silent(c.pour(0, lb))
	c.own.write(c.reads(upTo))
	return c
}

func (c *crew) pour(bags units.Count, lb units.Mass) *entry.Filled {
	return &entry.Filled{Box: c.grain, Lot: c.oat, Bags: bags * 1000, Mass: lb * pound}
}

func TestMoreThanTheBoxHoldsIsAskedAbout(t *testing.T) {
	c := twelveBushels(t)
	instead(t, c.help.asks(farm.OverFull, c.pour(50, 0)), offer(message.MassAs(pounds(50), units.InPounds), "how.pounds-not-bags"))
	c = twelveBushels(t)
	instead(t, c.help.asks(farm.OverFull, c.pour(0, 2000)), offer(message.MassAs(200*pound, 0), "how.point-left-out"))
	c = twelveBushels(t)
	c.help.silent(c.pour(8, 0))              // 400 lb: good oats weigh 40 lb to the bushel
	c.help.asks(farm.OverFull, c.pour(6, 0)) // with nothing gone out
	c = worked(t, 350, 4000)
	c.own.silent(c.pour(5, 0)) // some 130 lb went out by the chart, which may be half of what did
	c.own.asks(farm.OverFull, c.pour(8, 0))
}

// What is said to be in a box is what the books say is likely, and what is
// there at the least is called so.
func TestWhatIsInABoxIsNotItsLowEnd(t *testing.T) {
	c := worked(t, 385, 1000) // some 34 lb
	likely := boxNow(t, c.own, c.grain).Left
	d := c.own.asks(farm.OverFull, c.pour(5, 0))
	if d.Why.ID != "slip.over-full-with" {
		t.Fatal(d.Why)
	}
	in := d.Why.Args[1].(message.Message)
	if in.ID != "held.likely-least" || in.Args[0] != message.AboutMass(likely) {
		t.Fatalf("says %s, want likely %v", in, likely)
	}
	least := in.Args[1].(message.Quantity)
	if lb := units.Mass(least.N).Pounds(); least != message.AboutMass(units.Mass(least.N)) || lb < 315 || lb > 325 {
		t.Errorf("says at least %.1f lb, want about 320: %#v", lb, least)
	}
}

func TestTheSameFillTwiceIsAskedAbout(t *testing.T) {
	c := twelveBushels(t)
	c.help.silent(c.pour(2, 0))
	d := c.help.asks(farm.PouredTwice, c.pour(2, 0))
	if len(d.Entries) != 2 || c.help.state.View().Boxes[0].Left != 4*22_679_618 {
		t.Errorf("%+v, in the box %v", d, c.help.state.View().Boxes[0].Left)
	}
	c.help.settle(d, entry.Instead)
	if left := c.help.state.View().Boxes[0].Left; left != 2*22_679_618 {
		t.Errorf("filled once, %v is in it", left)
	}
	if open := openOf(c.help, farm.PouredTwice); len(open) > 0 {
		t.Errorf("still open: %v", open)
	}

	// Who pours bag by bag and writes each is asked once.
	c = twelveBushels(t)
	c.help.silent(c.pour(1, 0))
	c.help.settle(c.help.asks(farm.PouredTwice, c.pour(1, 0)), entry.AsWritten)
	c.help.silent(c.pour(1, 0))
	c.help.silent(c.pour(1, 0))

	// Other amounts, other people, and minutes later.
	c = twelveBushels(t)
	c.help.silent(c.pour(1, 0))
	c.help.silent(c.pour(2, 0))
	c.merge()
	c.op.silent(c.pour(2, 0))
	*c.op.wall += 4 * 60_000
	c.op.silent(c.pour(2, 0))
}

// A fill that is struck says why: what was chosen, where nobody said more.
func TestAFillThatIsStruckSaysWhy(t *testing.T) {
	c := twelveBushels(t)
	c.help.silent(c.pour(2, 0))
	d := c.help.asks(farm.PouredTwice, c.pour(2, 0))
	for why, want := range map[string]string{"": "filled once", "counted": "counted"} {
		for _, once := range d.Choices[1:] {
			if s, ok := d.Settling(once, why, "filled once")[0].(*entry.Struck); !ok || s.Entry != d.Entries[1] || s.Why != want {
				t.Errorf("said %q: struck %+v, want why %q", why, s, want)
			}
		}
	}
	if len(d.Choices) != 2 {
		t.Errorf("offers %+v", d.Choices)
	}
}

func TestALevelAboveAllThatWasPouredIsAskedAbout(t *testing.T) {
	c := twelveBushels(t)
	c.help.write(c.pour(0, 40))
	half := &entry.LevelRead{Box: c.grain, Share: entry.Some(units.Share(50_000))}
	instead(t, c.help.asks(farm.LevelTooHigh, half), offer(message.Of("of-full", message.Decimal(units.Share(5_000))), "how.point-left-out"))
	if left := c.help.state.View().Boxes[0].Left; left != 40*pound {
		t.Errorf("a level in doubt stands: %v", left)
	}
	c.help.settle(openOf(c.help, farm.LevelTooHigh)[0], entry.AsWritten)
	if left := c.help.state.View().Boxes[0].Left; left < 190*pound {
		t.Errorf("a level that somebody looked at again does not stand: %v", left)
	}

	c = twelveBushels(t)
	c.help.write(c.pour(0, 200))
	c.help.silent(&entry.LevelRead{Box: c.grain, Share: entry.Some(units.Share(60_000))}) // judged by eye
	c.help.silent(&entry.LevelRead{Box: c.grain, Mass: entry.Some(units.Mass(205 * pound))})
	instead(t, c.help.asks(farm.LevelTooHigh, &entry.LevelRead{Box: c.grain, Mass: entry.Some(units.Mass(1900 * pound))}), offer(message.MassAs(190*pound, 0), "how.point-left-out"))
	c = twelveBushels(t)
	c.help.silent(&entry.LevelRead{Box: c.grain, Share: entry.Some(units.Share(60_000))}) // of seed that was in it before
}

func TestMoreLetOutThanWasInIsAskedAbout(t *testing.T) {
	c := twelveBushels(t)
	c.help.write(c.pour(0, 40))
	instead(t, c.help.asks(farm.OverDrained, &entry.Drained{Box: c.grain, Mass: 380 * pound}), offer(message.MassAs(38*pound, 0), "how.point-left-out"))
	c = twelveBushels(t)
	c.help.write(c.pour(0, 40))
	c.help.silent(&entry.Drained{Box: c.grain, Mass: 41 * pound})
}

func TestMoreThanCameIsAskedAbout(t *testing.T) {
	c := twelveBushels(t)
	c.help.silent(c.pour(7, 0)) // no bags were written: nothing to hold it against
	c.help.silent(&entry.BagsIn{Lot: c.oat, Bags: 8000})
	c.help.silent(&entry.Drained{Box: c.grain, All: true, Mass: 345 * pound})
	c.help.silent(c.pour(6, 0)) // what was let out is poured again
	c.help.silent(c.pour(0, 60))
	d := c.help.asks(farm.MoreThanCame, &entry.BagsOut{Lot: c.oat, Bags: 3000})
	if len(d.Choices) != 2 || d.Choices[1].Word != "more-came" {
		t.Errorf("offers %+v", d.Choices)
	}
	// It was not written yet that more came: when it is, nothing is in doubt.
	c.help.silent(&entry.BagsIn{Lot: c.oat, Bags: 8000})
	if open := openOf(c.help, farm.MoreThanCame); len(open) > 0 {
		t.Errorf("still open: %v", open)
	}
}

// A question names the figure that was written: bags, a mass or a volume.
func TestMoreThanTheBoxHoldsNamesWhatWasWritten(t *testing.T) {
	for field, b := range map[string]func(*crew) entry.Body{
		"bags":   func(c *crew) entry.Body { return c.pour(50, 0) },
		"mass":   func(c *crew) entry.Body { return c.pour(0, 2000) },
		"volume": func(c *crew) entry.Body { return &entry.VolumeFilled{Box: c.grain, Lot: c.oat, Volume: 40 * 35_239} },
	} {
		c := twelveBushels(t)
		if d := c.help.asks(farm.OverFull, b(c)); d.Field != field {
			t.Errorf("a fill by %s: the question is about %q", field, d.Field)
		}
	}
}

// Grams that were typed for the pounds on a bag are asked about; what is left of
// a bag, or a few pounds for a corner, are not.
func TestHardlyAnythingPouredIsAskedAbout(t *testing.T) {
	c := twelveBushels(t)
	grams := &entry.Filled{Box: c.grain, Lot: c.oat, Mass: 150_000, MassIn: units.InGrams}
	d := c.help.asks(farm.LittlePoured, grams)
	instead(t, d, offer(message.MassAs(pounds(150), units.InPounds), "how.not-grams"))
	c.help.settle(d, entry.Instead)
	if left := boxNow(t, c.help, c.grain).Left; left != 68_038_856 {
		t.Errorf("in the box %v, want 150 lb", left)
	}
	c = twelveBushels(t)
	instead(t, c.help.asks(farm.LittlePoured, &entry.Filled{Box: c.grain, Lot: c.oat, Mass: 5 * pound / 16, MassIn: units.InOunces}), offer(message.MassAs(5*pound/16*16, units.InPounds), "how.not-ounces"))
	c = twelveBushels(t)
	c.help.write(c.pour(0, 360)) // 150 lb more do not go in
	if d := c.help.asks(farm.LittlePoured, grams); len(d.Choices) != 1 {
		t.Errorf("offers %+v", d.Choices)
	}
	c = twelveBushels(t)
	c.help.silent(c.pour(0, 1))
	c.help.silent(&entry.Filled{Box: c.grain, Lot: c.oat, Mass: 300_000, MassIn: units.InGrams})
}
