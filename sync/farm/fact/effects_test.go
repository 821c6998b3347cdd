package fact

import (
	"testing"

	"turnrow/sync/entry"
)

// Every kind has its row in the table of effects, and in that of what a
// settlement sets aside.
func TestEveryKindHasItsEffect(t *testing.T) {
	for k := range entry.Kinds() {
		if effects[k] == nil {
			t.Errorf("no row in effects.go says what %s does", k)
		}
		if setAside[k] == "" {
			t.Errorf("no row in settle.go says whether %s is set aside", k)
		}
	}
}
