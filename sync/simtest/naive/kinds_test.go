package naive

import (
	"testing"

	"turnrow/sync/entry"
)

// Every kind has an answer here.
func TestEveryKindIsAnswered(t *testing.T) {
	for k := range entry.Kinds() {
		if _, ok := kinds[k]; !ok {
			t.Errorf("the second fold says nothing of %s: give it a row in kinds.go", k)
		}
	}
}
