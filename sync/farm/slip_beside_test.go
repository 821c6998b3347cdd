package farm_test

import (
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/message"
	"turnrow/sync/units"
)

// besides is all that may have a reading beside it.
func (c *crew) besides(r units.Reading) []entry.Body {
	at := entry.Some(r)
	caught := c.caught(140)
	caught.Reading = at
	return []entry.Body{
		&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 2000, Reading: at},
		&entry.VolumeFilled{Box: c.grain, Lot: c.oat, Volume: 35_239, Reading: at},
		&entry.Drained{Box: c.grain, Mass: 1_000_000, Reading: at},
		&entry.LevelRead{Box: c.grain, Mass: entry.Some(units.Mass(60_000_000)), Reading: at},
		&entry.DialMoved{Box: c.grain, To: 34_000, Reading: at},
		caught,
	}
}

// atWork is a crew with seed in the box that began at 212.6 and read 214.6.
func atWork(t *testing.T) *crew {
	c := setUp(t)
	c.own.write(&entry.Filled{Box: c.grain, Lot: c.oat, Bags: 4000})
	c.own.write(&entry.DialMoved{Box: c.grain, To: 33_000})
	c.begin(212_600)
	c.own.silent(c.reads(214_600))
	c.later(100)
	return c
}

// A reading beside what was done to a box is asked about like one that was
// read: more acres than there are, a pace that no drill has, and one from
// before the work.
func TestAReadingBesideADeedIsAskedAbout(t *testing.T) {
	leftOut := offer(message.Of("choice.leave-reading-out"), "how.not-known")
	for _, tt := range []struct {
		name    string
		reading units.Reading
		kind    farm.DoubtKind
		instead message.Message // the likeliest other
	}{
		{"a point left out", 2_146_000, farm.TooManyAcres, offer(message.Decimal(units.Reading(214_600)), "how.point-left-out")},
		{"digits swapped", 241_600, farm.TooManyAcres, offer(message.Decimal(units.Reading(214_600)), "how.digits-swapped")},
		{"another digit", 234_600, farm.TooManyAcres, leftOut},
		{"a point too far left", 21_460, farm.TooFarBack, offer(message.Decimal(units.Reading(214_600)), "how.point-too-far-left")},
		{"two places too far left", 2_150, farm.TooFarBack, offer(message.Decimal(units.Reading(215_000)), "how.point-too-far-left")},
		{"from before the work", 100_000, farm.TooFarBack, leftOut},
	} {
		for i := range atWork(t).besides(tt.reading) {
			c := atWork(t)
			b := c.besides(tt.reading)[i]
			t.Run(tt.name+" "+b.Kind().String(), func(t *testing.T) {
				d := c.own.asks(tt.kind, b)
				instead(t, d, tt.instead)
				if d.Field != "reading" {
					t.Errorf("field %q", d.Field)
				}
				c.own.settle(d, "no-reading")
				if ds := openOf(c.own, tt.kind); len(ds) != 0 {
					t.Errorf("left out, and in doubt: %+v", ds)
				}
				c.own.silent(c.reads(216_600))
			})
		}
	}
}

// What is settled by the likelier reading, or as it was written, is no doubt
// any more, and is what comes after is held against.
func TestAReadingBesideADeedIsSettled(t *testing.T) {
	for _, word := range []string{entry.AsWritten, "instead"} {
		c := atWork(t)
		d := c.own.asks(farm.TooManyAcres, c.besides(2_146_000)[0])
		if word == "instead" { // one that is in doubt is no measure of the next
			c.own.silent(c.besides(214_700)[4])
		}
		c.own.settle(d, word)
		if ds := openOf(c.own, farm.TooManyAcres); len(ds) != 0 {
			t.Errorf("settled by %s, and in doubt: %+v", word, ds)
		}
		if word == entry.AsWritten {
			c.own.silent(c.besides(2_146_000)[1])
		}
	}
	// An entry that is amended to one is asked about too.
	c := atWork(t)
	fill := c.besides(214_600)[0]
	c.own.silent(fill)
	id := c.own.head
	ds := c.own.asked(&entry.Amended{Entry: entry.ID{Log: id.Log, Seq: id.Seq}, Body: c.besides(2_146_000)[0]})
	if len(ds) != 1 || ds[0].Kind != farm.TooManyAcres {
		t.Errorf("amended: asked %+v", ds)
	}
}

func TestAPaceBesideADeedIsAskedAbout(t *testing.T) {
	c := setUp(t)
	c.begin(0)
	c.own.silent(c.reads(1_000))
	c.later(10)
	c.own.asks(farm.TooFast, c.besides(6_900)[4])
}

// What is typed in late, or before anybody read the counter, is in its place.
func TestAnHonestReadingBesideADeedIsNot(t *testing.T) {
	c := atWork(t)
	for _, at := range []units.Reading{214_600, 213_000, 212_600, 212_000, 216_000} {
		for _, i := range []int{0, 2} {
			c.own.silent(c.besides(at)[i])
			c.later(60)
		}
	}
	c = setUp(t)
	c.own.silent(c.besides(212_600)[0])
	c.own.silent(c.reads(214_600))
	// Others had the drill since it was filled at home, or it was set to nought.
	for _, at := range []units.Reading{150_000, 980_000} {
		c = setUp(t)
		c.own.write(c.besides(at)[0])
		c.begin(212_600)
		if k := openOf(c.own, farm.TooFarBack); len(k) != 0 {
			t.Errorf("filled at %v: %+v", at, k)
		}
		if k := openOf(c.own, farm.TooManyAcres); len(k) != 0 {
			t.Errorf("filled at %v: %+v", at, k)
		}
	}
	// A wrong one that came first is a doubt once the counter was read.
	c = setUp(t)
	c.own.write(c.besides(2_126_000)[0])
	c.begin(212_600)
	ds := openOf(c.own, farm.TooManyAcres)
	if len(ds) != 1 {
		t.Fatalf("filled at 2126 before a begin at 212.6: %+v", ds)
	}
	instead(t, ds[0], offer(message.Decimal(units.Reading(212_600)), "how.point-left-out"))
}

// Where two of them contradict each other, either may be the wrong one.
func TestTheReadingBesideTheDeedBeforeMayBeWrong(t *testing.T) {
	for before, kind := range map[units.Reading]farm.DoubtKind{2_126_000: farm.TooFarBack, 21_260: farm.TooManyAcres} {
		c := setUp(t)
		c.own.silent(c.besides(before)[0])
		d := c.own.asks(kind, c.besides(212_600)[4])
		c.own.settle(d, "other")
		c.begin(212_600)
		for _, kind := range []farm.DoubtKind{farm.TooFarBack, farm.TooManyAcres} {
			if ds := openOf(c.own, kind); len(ds) != 0 {
				t.Errorf("%v before, settled, and in doubt: %+v", before, ds)
			}
		}
	}
}

// One that the counter itself bears out is not offered to be left out.
func TestTheReadingBesideTheDeedBeforeWasRight(t *testing.T) {
	c := atWork(t)
	c.own.silent(c.besides(214_600)[4])
	for reading, kind := range map[units.Reading]farm.DoubtKind{100_000: farm.TooFarBack, 21_460: farm.TooFarBack, 2_146_000: farm.TooManyAcres} {
		for _, o := range c.own.asks(kind, c.besides(reading)[3]).Choices {
			if o.Word == "other" {
				t.Errorf("%v: %s", reading, o.What)
			}
		}
	}
}
