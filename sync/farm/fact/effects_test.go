package fact

import (
	"testing"

	"turnrow/sync/entry"
)

// Every kind has its row in the table of effects.
func TestEveryKindHasItsEffect(t *testing.T) {
	for k := range entry.Kinds() {
		if effects[k] == nil {
			t.Errorf("no row in effects.go says what %s does", k)
		}
	}
}
