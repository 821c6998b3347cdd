package farm

import (
	"testing"

	"turnrow/sync/entry"
)

// Of every kind it is said whether a slip may be about it.
func TestEveryKindMayBeASlipOrNot(t *testing.T) {
	for k := range entry.Kinds() {
		if mayBeSlips[k] == nil {
			t.Errorf("no row in try.go says whether a slip may be about %s", k)
		}
	}
}
