package units_test

import (
	"testing"

	"turnrow/sync/units"
)

func TestCountedIsPluralForAllButOne(t *testing.T) {
	for _, c := range [][3]string{
		{"1", "bag", "1 bag"}, {"0", "bag", "0 bags"}, {"0.5", "bag", "0.5 bags"}, {"1.5", "turn", "1.5 turns"}, {"2", "entry", "2 entries"},
		{"1", "entry", "1 entry"}, {"3", "box", "3 boxes"}, {"2", "catch", "2 catches"}, {"2", "day", "2 days"}, {"11", "row", "11 rows"},
	} {
		if got := units.Counted(c[0], c[1]); got != c[2] {
			t.Errorf("Counted(%q, %q) = %q, want %q", c[0], c[1], got, c[2])
		}
	}
}
