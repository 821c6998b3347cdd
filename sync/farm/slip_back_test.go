package farm_test

import (
	"slices"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/units"
)

func (c *crew) stood(r units.Reading) *entry.CounterStood {
	return &entry.CounterStood{Drill: c.drill, Ground: c.bench, Reading: r}
}

// counted is a crew whose counter stood at 212 as work began, and was read at
// 216: 4 ac.
func counted(t *testing.T) *crew {
	c := setUp(t)
	c.begin(212_000)
	c.own.silent(c.reads(216_000))
	c.later(200)
	return c
}

// A reading or a begin below what its writer knew is asked about before it is
// written, and no acres change until somebody has said how it came.
func TestACounterThatRanBackIsAskedAbout(t *testing.T) {
	for _, tt := range []struct {
		name  string
		below func(c *crew) entry.Body
		word  string // that settles it
		done  int64  // hundredths of an acre, then
		next  int64  // and after a reading at 217
	}{
		{"a reading that was misread", func(c *crew) entry.Body { return c.reads(215_000) }, "instead", 400, 500},
		{"after one that was misread", func(c *crew) entry.Body { return c.reads(215_000) }, "instead-2", 300, 500},
		{"a reading written down late", func(c *crew) entry.Body { return c.reads(215_000) }, entry.AsWritten, 400, 500},
		{"a counter set back", func(c *crew) entry.Body { return c.reads(215_000) }, entry.SetBack, 400, 600},
		{"a begin after others had the drill", func(c *crew) entry.Body { return c.stood(213_000) }, entry.AsWritten, 300, 400},
		{"a begin that was misread", func(c *crew) entry.Body { return c.stood(213_000) }, "instead", 400, 500},
		{"a begin after a reading that was misread", func(c *crew) entry.Body { return c.stood(213_000) }, "instead-2", 0, 400},
		{"a begin of a counter set back", func(c *crew) entry.Body { return c.stood(213_000) }, entry.SetBack, 400, 800},
		{"a begin below the first one", func(c *crew) entry.Body { return c.stood(21_000) }, "instead", 400, 500},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := counted(t)
			d := c.own.asks(farm.CounterBack, tt.below(c))
			if done, _ := doneOn(t, c.own, c.bench); done != 400 {
				t.Errorf("%d hundredths of an acre done while it is in doubt, want 400", done)
			}
			c.own.settle(d, tt.word)
			if done, open := doneOn(t, c.own, c.bench); done != tt.done || open {
				t.Errorf("settled by %s: %d hundredths done, want %d", tt.word, done, tt.done)
			}
			if n := len(openOf(c.own, farm.CounterBack)); n != 0 {
				t.Errorf("settled, and %d are in doubt", n)
			}
			c.later(100)
			c.own.silent(c.reads(217_000))
			if done, _ := doneOn(t, c.own, c.bench); done != tt.next {
				t.Errorf("at 217, %d hundredths done, want %d", done, tt.next)
			}
		})
	}
}

// A word that is said of a reading is about that figure, and whoever leaves a
// reading of others out must be allowed to.
func TestWhatIsSaidOfACounterThatRanBack(t *testing.T) {
	c := counted(t)
	d := c.own.asks(farm.CounterBack, c.reads(215_000))
	c.own.settle(d, entry.SetBack)
	c.own.write(&entry.Amended{Entry: d.Entries[0], Body: c.reads(214_000)})
	if done, _ := doneOn(t, c.own, c.bench); done != 400 || len(openOf(c.own, farm.CounterBack)) != 1 {
		t.Errorf("amended, and what was said of 215 stands: %d hundredths done", done)
	}
	c = counted(t)
	c.merge()
	ds := c.help.asked(c.reads(215_000))
	if len(ds) != 1 || slices.ContainsFunc(ds[0].Choices, func(x farm.Choice) bool { return x.Word == "instead-2" }) {
		t.Fatalf("a helper may leave out what an owner read: %+v", ds)
	}
	c.help.write(c.reads(215_000))
	c.help.settle(openOf(c.help, farm.CounterBack)[0], entry.AsWritten)
	if k := kinds(c.help, false); slices.Contains(k, farm.CounterBack) || slices.Contains(k, farm.NoRight) {
		t.Errorf("a helper's own word leaves %v", k)
	}

	// Where work began may be said late, below a first reading of which nobody did.
	c = setUp(t)
	c.own.write(c.reads(214_600))
	c.own.silent(c.stood(212_600))
}
