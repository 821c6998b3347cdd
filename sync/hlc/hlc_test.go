package hlc_test

import (
	"errors"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/hlc"
)

// The algorithm's send event (Kulkarni et al., OPODIS 2014, figure 5): the
// logical part never falls, takes the wall clock where that is ahead, and else
// counts on.
func TestNextAsThePaperHasIt(t *testing.T) {
	at := func(ms int64, n uint16) hlc.Time {
		x, err := hlc.At(ms, n)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	for _, c := range []struct {
		latest hlc.Time
		wall   int64
		want   hlc.Time
	}{
		{at(10, 3), 11, at(11, 0)},      // the wall clock is ahead: the count starts anew
		{at(10, 3), 10, at(10, 4)},      // it stands still
		{at(10, 3), 2, at(10, 4)},       // it went back
		{at(10, 65_535), 10, at(11, 0)}, // the count runs over into the milliseconds
		{at(10, 0), -5, at(10, 1)},      // before 1970
		{0, 0, at(0, 1)},                // a clock that was never set
	} {
		got, err := hlc.Next(c.latest, c.wall)
		if err != nil || got != c.want {
			t.Errorf("after %d.%d at %d: %d.%d, %v", c.latest.Millis(), c.latest.Count(), c.wall, got.Millis(), got.Count(), err)
		}
	}
}

func TestNextRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		latest := hlc.Time(rapid.Uint64Max(1<<64-2).Draw(t, "latest"))
		wall := rapid.Int64Range(-1, hlc.MaxMillis).Draw(t, "wall")
		next, err := hlc.Next(latest, wall)
		if err != nil {
			t.Fatal(err)
		}
		if next <= latest || next.Millis() < wall {
			t.Fatalf("%d after %d at %d", next, latest, wall)
		}
		again, err := hlc.At(next.Millis(), next.Count())
		if err != nil || again != next {
			t.Fatalf("%d reads back as %d, %v", next, again, err)
		}
	})
}

func TestTheEndOfTheClock(t *testing.T) {
	for _, c := range []struct {
		latest hlc.Time
		wall   int64
	}{{^hlc.Time(0), 0}, {0, hlc.MaxMillis + 1}} {
		if _, err := hlc.Next(c.latest, c.wall); !errors.Is(err, hlc.ErrExhausted) {
			t.Errorf("after %d at %d: %v", c.latest, c.wall, err)
		}
	}
	if _, err := hlc.At(-1, 0); !errors.Is(err, hlc.ErrExhausted) {
		t.Error("a clock before 1970")
	}
}
