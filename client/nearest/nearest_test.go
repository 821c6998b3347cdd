package nearest

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestNamesFindsWhatWasMeant(t *testing.T) {
	boxes := []string{"grain", "legume", "small seed", "native"}
	for wanted, want := range map[string]string{
		"grian": "grain", "LEGUME": "legume", "legum": "legume", "seed": "small seed", "gr": "grain",
	} {
		if got := Names(wanted, boxes); len(got) == 0 || got[0] != want {
			t.Errorf("Names(%q) = %q, want %q first", wanted, got, want)
		}
	}
	if got := Names("tractor", boxes); len(got) != 0 {
		t.Errorf("Names(tractor) = %q, want none", got)
	}
}

func TestHintSaysWhatThereIs(t *testing.T) {
	for _, c := range []struct {
		known []string
		want  string
	}{
		{nil, "there are no boxes yet"},
		{[]string{"grain", "legume"}, "the boxes are grain, legume"},
		{strings.Fields("a b c d e f g h i j"), "the boxes are a, b, c, d, e, f, g, h and others"},
	} {
		if got := Hint("tractor", "boxes", c.known); got != c.want {
			t.Errorf("Hint = %q, want %q", got, c.want)
		}
	}
}

// The distance is a metric (Levenshtein 1966): zero only between equals, alike
// both ways, and no way round is shorter.
func TestEditsIsAMetric(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.StringMatching(`[abc]{0,6}`)
		a, b, c := word.Draw(t, "a"), word.Draw(t, "b"), word.Draw(t, "c")
		ab := edits(a, b)
		if (ab == 0) != (a == b) || ab != edits(b, a) || ab > edits(a, c)+edits(c, b) {
			t.Fatalf("edits(%q, %q) = %d, edits back %d, by way of %q %d", a, b, ab, edits(b, a), c, edits(a, c)+edits(c, b))
		}
	})
}

func FuzzNames(f *testing.F) {
	f.Add("grian", "grain,legume")
	f.Fuzz(func(t *testing.T, wanted, list string) {
		known := strings.Split(list, ",")
		for _, n := range Names(wanted, known) {
			if !slices.Contains(known, n) {
				t.Errorf("Names(%q) gave %q, which is not known", wanted, n)
			}
		}
	})
}
