package main

import (
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
)

// Every kind that can be amended is amended by flags, or it is said why not.
func TestEveryKindIsAmendedOrNot(t *testing.T) {
	for k := range entry.Kinds() {
		row := amends[k]
		if given := row.change != nil || row.not != ""; given != farm.Amendable(k) || row.change != nil && row.not != "" {
			t.Errorf("%s, which can be amended: %t: amends.go has a change %t, and says why not %q", k, farm.Amendable(k), row.change != nil, row.not)
		}
	}
}
