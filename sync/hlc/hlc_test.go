package hlc_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"turnrow/sync/hlc"
)

const hour = 3_600_000

func at(t testing.TB, ms int64, n uint16) hlc.Time {
	x, err := hlc.At(ms, n)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// The algorithm's send event (Kulkarni et al., OPODIS 2014, figure 5): the
// logical part takes the wall clock where that is ahead, and else counts on;
// but it follows nothing that is an hour ahead of the wall clock or more.
func TestNextAsThePaperHasIt(t *testing.T) {
	for _, c := range []struct {
		latest hlc.Time
		wall   int64
		want   hlc.Time
	}{
		{at(t, 10, 3), 11, at(t, 11, 0)},      // the wall clock is ahead: the count starts anew
		{at(t, 10, 3), 10, at(t, 10, 4)},      // it stands still
		{at(t, 10, 3), 2, at(t, 10, 4)},       // it went back
		{at(t, 10, 65_535), 10, at(t, 11, 0)}, // the count runs over into the milliseconds
		{at(t, 10, 0), -5, at(t, 10, 1)},      // before 1970
		{0, 0, at(t, 0, 1)},                   // a clock that was never set
		{at(t, hour-1, 7), 0, at(t, hour-1, 8)},
		{at(t, hour, 0), 0, 0},                                         // an hour ahead: it is wrong, or a lie
		{math.MaxUint64, hour, at(t, hour, 0)},                         // and so is the last clock there is
		{math.MaxUint64, hlc.MaxMillis - 1, at(t, hlc.MaxMillis-1, 0)}, // nothing is later: it stands at the wall
		{at(t, 5, 0), math.MaxInt64, at(t, hlc.MaxMillis, 0)},          // a wall clock past the end stands at the end
	} {
		if got := hlc.Next(c.latest, c.wall); got != c.want {
			t.Errorf("after %d.%d at %d: %d.%d", c.latest.Millis(), c.latest.Count(), c.wall, got.Millis(), got.Count())
		}
	}
}

// Whatever was seen and whatever the wall clock says, there is a next clock; it
// is later than what was seen, or more than that is out of reach. Nothing is later
// than the last clock there is.
func TestThereIsAlwaysANext(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		latest := hlc.Time(rapid.Uint64().Draw(t, "latest"))
		wall := rapid.Int64().Draw(t, "wall")
		next := hlc.Next(latest, wall)
		now := min(max(wall, 0), hlc.MaxMillis)
		if next.Millis() < now || next.Millis() > now+hour {
			t.Fatalf("%d.%d at %d", next.Millis(), next.Count(), wall)
		}
		if next <= latest && latest.Millis() < now+hour && latest != math.MaxUint64 {
			t.Fatalf("%d.%d after %d.%d at %d", next.Millis(), next.Count(), latest.Millis(), latest.Count(), wall)
		}
	})
}

func TestLater(t *testing.T) {
	a, b, far := at(t, 10, 0), at(t, 20, 0), at(t, hour+1000, 0)
	for _, c := range []struct {
		a, b, want hlc.Time
		wall       int64
	}{{a, b, b, 0}, {b, a, b, 0}, {a, far, a, 0}, {a, far, far, hour}} {
		if got := hlc.Later(c.a, c.b, c.wall); got != c.want {
			t.Errorf("of %d and %d at %d: %d", c.a, c.b, c.wall, got)
		}
	}
}

func TestMillisecondsOutOfRange(t *testing.T) {
	for _, ms := range []int64{-1, hlc.MaxMillis + 1} {
		if _, err := hlc.At(ms, 0); !errors.Is(err, hlc.ErrRange) {
			t.Errorf("%d: %v", ms, err)
		}
	}
}
