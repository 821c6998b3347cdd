package farm_test

import (
	"testing"

	"turnrow/sync/farm"
)

// A misspelt word is asked about only beside the same numbers: with another
// number it is another name, whatever its words.
func TestAMisspeltNameWithAnotherNumberIsAnotherName(t *testing.T) {
	for _, n := range []struct {
		known, name string
		asks        bool
	}{
		{"bench 1", "bnech 1", true},
		{"bench 2", "bnech 1", false},
		{"bench 1", "bnech 2", false},
		{"bench 12", "bnech 21", false},
		{"field A", "feild A", true},
		{"field A", "feild B", false},
		{"piece II", "peice II", true},
		{"piece II", "peice III", false},
	} {
		c := setUp(t)
		c.own.write(c.ground(n.known))
		switch {
		case n.asks:
			c.own.asks(farm.NearName, c.ground(n.name))
		default:
			c.own.silent(c.ground(n.name))
		}
	}
}
