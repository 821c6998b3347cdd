package tell

import (
	"testing"

	"turnrow/sync/entry"
)

// Every kind has its message in the log, and it is more than the kind's name.
func TestEveryKindIsTold(t *testing.T) {
	var s Teller
	for k := range entry.Kinds() {
		if told[k] == nil {
			t.Errorf("no row in told.go says how %s is told", k)
		} else if what := s.What(entry.New(k)); what.IsZero() || what.String() == k.String() {
			t.Errorf("%s is told by no more than its name", k)
		}
	}
	for k := range entry.Kind(entry.LastKind + 10) {
		if got := s.What(&entry.Unknown{Num: k, Why: "torn"}); got.String() != `newer("torn")` {
			t.Errorf("of number %d, unread: %s", k, got)
		}
	}
}
