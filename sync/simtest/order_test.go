package simtest_test

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"turnrow/sync/entry"
	"turnrow/sync/farm"
	"turnrow/sync/simtest"
	"turnrow/sync/simtest/naive"
)

// small is the most entries of a day whose orders of arrival are all tried:
// 720 of them, if each is another device's.
const small = 6

// TestEveryOrderOfArrival lets the entries of each short story come in every
// order that their devices allow, causes first or not.
func TestEveryOrderOfArrival(t *testing.T) {
	tried := 0
	eachStory(t, func(t *testing.T, _ string, s *simtest.Story) {
		told, err := s.Tell(simtest.New())
		if err != nil {
			t.Fatal(err)
		}
		if told.Day() > small {
			t.Skipf("does not apply: its day has %d entries", told.Day())
		}
		var first [32]byte
		n, err := told.Orders(func(branches []naive.Branch, es []entry.Entry) error {
			st := farm.New(told.World.Farm)
			for _, b := range branches {
				st.Branch(b.Name, b.Of)
			}
			for _, e := range es {
				st.Apply(e)
			}
			d := st.Digest()
			if first == ([32]byte{}) {
				first = d
			}
			if d != first || st.Waiting() > 0 {
				return fmt.Errorf("another state, %d wait", st.Waiting())
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		tried += n
	})
	if tried < 200 {
		t.Errorf("%d orders tried in all", tried)
	}
}

// golden is the digest of the state at each story's end: the same on every
// processor.
const golden = "../../testdata/golden/stories.golden"

// TestDigestsAreTheSameEverywhere pins each story's last state, digit for digit.
func TestDigestsAreTheSameEverywhere(t *testing.T) {
	want, err := os.ReadFile(golden)
	if err != nil && !*update {
		t.Fatal(err)
	}
	var lines []string
	eachStory(t, func(t *testing.T, _ string, s *simtest.Story) {
		w := simtest.New()
		if _, err := s.Tell(w); err != nil {
			t.Fatal(err)
		}
		line := s.Name + " " + digests(w)
		lines = append(lines, line)
		if !*update && !slices.Contains(strings.Split(string(want), "\n"), line) {
			t.Errorf("digest %s is not the golden one; where the state was meant to change, run with -update", line)
		}
	})
	if *update {
		if err := os.WriteFile(golden, []byte(strings.Join(lines, "\n")+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// digests is one digest over those of all places, in their order.
func digests(w *simtest.World) string {
	h := sha256.New()
	for _, p := range w.Places() {
		d := p.Digest()
		h.Write(d[:])
	}
	return hex.EncodeToString(h.Sum(nil))
}
