package simtest_test

import (
	"testing"

	"turnrow/sync/simtest"
)

// The stories are of honest people: what turnrow would have asked them about is
// no more than one entry in a hundred. What each story plants on purpose (a
// seed that no plan names, say) has a doubt of another kind.
func TestStoriesAreSeldomAskedAbout(t *testing.T) {
	entries, asked := 0, 0
	eachStory(t, func(t *testing.T, _ string, s *simtest.Story) {
		w := simtest.New()
		if _, err := s.Tell(w); err != nil {
			t.Fatal(err)
		}
		v := w.Places()[0].View()
		entries += v.Entries
		for d := range v.Doubts() {
			if d.Kind.IsSlip() {
				asked++
				t.Logf("%s: %s", d.Kind, d.Why)
			}
		}
	})
	t.Logf("%d of %d entries", asked, entries)
	if entries < 500 || asked*100 > entries {
		t.Errorf("asked about %d of %d entries, want at most one in a hundred", asked, entries)
	}
}
