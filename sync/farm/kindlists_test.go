package farm

import (
	"maps"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// The kinds of doubt are declared in two files and listed in three places: each
// kind is in all that it belongs to, once. Those that slip.go declares are asked
// about before they are written; of the others, only the counter that went back.
func TestEveryKindOfDoubtIsInEachList(t *testing.T) {
	declared := regexp.MustCompile(`(?m)^\t\w+ +DoubtKind = "([a-z-]+)"`)
	kinds := map[string][]DoubtKind{}
	for _, file := range []string{"kind.go", "slip.go"} {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range declared.FindAllStringSubmatch(string(src), -1) {
			kinds[file] = append(kinds[file], DoubtKind(m[1]))
		}
		if n := strings.Count(string(src), `DoubtKind = "`); n != len(kinds[file]) || n == 0 {
			t.Errorf("%s declares %d kinds, and %d are read", file, n, len(kinds[file]))
		}
	}
	all := slices.Sorted(slices.Values(slices.Concat(kinds["kind.go"], kinds["slip.go"])))
	if twice := slices.Compact(slices.Clone(all)); len(twice) != len(all) {
		t.Errorf("two kinds of one name among %v", all)
	}
	same(t, "slipKinds", slices.Sorted(slices.Values(slipKinds)), slices.Sorted(slices.Values(append(kinds["slip.go"], CounterBack))))
	same(t, "looks", slices.Sorted(maps.Keys(looks)), all)
	same(t, "doubtWords", slices.Sorted(maps.Keys(doubtWords)), all)
}

func same(t *testing.T, list string, got, want []DoubtKind) {
	t.Helper()
	for _, k := range want {
		if !slices.Contains(got, k) {
			t.Errorf("%s lacks %s", list, k)
		}
	}
	if !slices.Equal(got, want) {
		t.Errorf("%s has %v, want %v", list, got, want)
	}
}
