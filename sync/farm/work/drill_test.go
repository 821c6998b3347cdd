package work

import (
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/units"
)

// What a counter shows after so much more ground is what that ground is by the
// counter. An acre is 40,468,564.224 cm² and a hectare 100,000,000 (NIST Special
// Publication 811, Appendix B).
func TestAfter(t *testing.T) {
	const acre, hectare units.Area = 40_468_564, 100_000_000
	read := &Reading{Reading: 125_900}
	for _, c := range []struct {
		d    Drill
		more units.Area
		want units.Reading
	}{
		{Drill{Reading: read, Counter: entry.CountsAcres}, acre, 126_900},
		{Drill{Reading: read, Counter: entry.CountsHectares}, 2 * hectare, 127_900},
		{Drill{Reading: read, Counter: entry.CountsTurns, CounterTurns: 480_000}, acre / 2, 365_900},
		{Drill{Reading: read, Counter: entry.CountsAcres, Correction: 1_250}, acre, 126_700}, // it shows 4 where 5 were worked
		{Drill{Reading: read, Counter: entry.CountsAcres}, 0, 125_900},
	} {
		if got, ok := c.d.After(c.more); !ok || got < c.want-1 || got > c.want+1 {
			t.Errorf("%v more by %v: %v (%t), want %v", c.more, c.d.Counter, got, ok, c.want)
		}
	}
	for _, d := range []Drill{{Counter: entry.CountsAcres}, {Reading: read}, {Reading: read, Counter: entry.CountsTurns}} {
		if got, ok := d.After(acre); ok {
			t.Errorf("%+v: %v, though too little is known", d, got)
		}
	}
}
