package words

import (
	"os"
	"regexp"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm/conflict"
)

// Every kind has its words in the log, and they are more than its name.
func TestEveryKindIsTold(t *testing.T) {
	var s Words
	for k := range entry.Kinds() {
		if told[k] == nil {
			t.Errorf("no row in told.go says how %s is told", k)
		} else if s.What(entry.New(k)) == k.String() {
			t.Errorf("%s is told by no more than its name", k)
		}
	}
	for k := range entry.Kind(entry.LastKind + 10) {
		if got := s.What(&entry.Unknown{Num: k, Why: "torn"}); got != "written by a newer version: torn" {
			t.Errorf("of number %d, unread: %s", k, got)
		}
	}
}

// Every kind of doubt that is declared says where to look, and none besides.
func TestEveryDoubtSaysWhereToLook(t *testing.T) {
	src, err := os.ReadFile("../conflict/kind.go")
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, m := range regexp.MustCompile(`DoubtKind = "([a-z-]+)"`).FindAllStringSubmatch(string(src), -1) {
		if n++; looks[conflict.DoubtKind(m[1])] == "" {
			t.Errorf("%s does not say where to look", m[1])
		}
	}
	if n != len(looks) || n < 30 {
		t.Errorf("%d kinds are declared, and %d say where to look", n, len(looks))
	}
}
