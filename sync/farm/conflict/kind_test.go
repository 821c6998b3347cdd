package conflict

import (
	"maps"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// Every kind of doubt is declared once, has plain words of its own, and stands
// among the slips where it is declared as one; of the others only the counter
// that went back is asked about before it is written.
func TestEveryKindIsInEachList(t *testing.T) {
	src, err := os.ReadFile("kind.go")
	if err != nil {
		t.Fatal(err)
	}
	plain, slips, ok := strings.Cut(string(src), "// The kinds of slips.")
	if !ok {
		t.Fatal("kind.go does not say where the slips begin")
	}
	others, asked := declared(plain), append(declared(slips), CounterBack)
	all := slices.Concat(others, declared(slips))
	if len(all) < 30 || len(slices.Compact(slices.Sorted(slices.Values(all)))) != len(all) {
		t.Errorf("%d kinds, or two of one name: %v", len(all), all)
	}
	same(t, "slipKinds", slipKinds, asked)
	same(t, "doubtWords", slices.Collect(maps.Keys(doubtWords)), all)
	said := map[string]DoubtKind{}
	for _, k := range all {
		if w := k.Words(); strings.Contains(w, "-") || said[w] != "" {
			t.Errorf("%s is called %q, as is %q", k, w, said[w])
		} else {
			said[w] = k
		}
	}
}

func declared(src string) (kinds []DoubtKind) {
	for _, m := range regexp.MustCompile(`(?m)^\t\w+ +DoubtKind = "([a-z-]+)"`).FindAllStringSubmatch(src, -1) {
		kinds = append(kinds, DoubtKind(m[1]))
	}
	return kinds
}

func same(t *testing.T, list string, got, want []DoubtKind) {
	t.Helper()
	got, want = slices.Sorted(slices.Values(got)), slices.Sorted(slices.Values(want))
	if !slices.Equal(got, want) {
		t.Errorf("%s has %v, want %v", list, got, want)
	}
}
