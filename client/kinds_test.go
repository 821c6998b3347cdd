package client

import (
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Of every kind that can be amended it is said by which intent's rules.
func TestEveryKindIsSaidByAnIntentOrNot(t *testing.T) {
	for k := range entry.Kinds() {
		if farm.Amendable(k) != (saidBy[k] != nil) {
			t.Errorf("%s can be amended: %t; intent_entry.go has a row: %t", k, farm.Amendable(k), saidBy[k] != nil)
		}
	}
}
