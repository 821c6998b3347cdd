package simtest_test

import (
	"os"
	"strings"
	"testing"

	"turnrow/sync/simtest"
)

func TestZZ(t *testing.T) {
	b, err := os.ReadFile(os.Getenv("STORY"))
	if err != nil {
		t.Skip()
	}
	w := simtest.New()
	for _, l := range strings.Split(string(b), "\n") {
		if err := w.Do(l); err != nil {
			t.Log(l, err)
		}
	}
	for _, p := range w.Places() {
		if err := w.Plain(p); err != nil {
			t.Errorf("%s: %v", p.Name, err)
		}
	}
	if err := w.Healed(); err != nil {
		t.Error(err)
	}
}
