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

// An amendment without a body is refused where it is written; to ask about it is
// no mishap.
func TestAnAmendmentOfNothingIsNoSlip(t *testing.T) {
	if mayBeSlip(&entry.Amended{}) || mayBeSlip(nil) {
		t.Error("nothing is taken for something")
	}
}
