package farm_test

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"turnrow/sync/farm"
)

// Every kind of doubt that the source declares has plain words of its own, and
// none of them is a code.
func TestEveryDoubtHasPlainWords(t *testing.T) {
	kinds, said := farm.DoubtKinds(), map[string]farm.DoubtKind{}
	for _, file := range []string{"kind.go", "slip.go"} {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range regexp.MustCompile(`DoubtKind = "([a-z-]+)"`).FindAllStringSubmatch(string(src), -1) {
			k := farm.DoubtKind(m[1])
			if w := k.Words(); !slices.Contains(kinds, k) || w == string(k) || strings.Contains(w, "-") {
				t.Errorf("%s is called %q", k, w)
			} else if said[w] != "" {
				t.Errorf("%s and %s are both called %q", k, said[w], w)
			} else {
				said[w] = k
			}
		}
	}
	if len(said) != len(kinds) || len(said) < 30 {
		t.Errorf("%d kinds with words, %d are declared", len(kinds), len(said))
	}
}
