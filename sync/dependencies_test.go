package sync_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestEachDependencyHasItsReason fails where a library is imported that
// DEVELOPERS.md gives no reason for, or a reason is left over.
func TestEachDependencyHasItsReason(t *testing.T) {
	reasons := reasoned(t)
	used := map[string]bool{}
	for _, p := range list(t, nil, "-e", "./...") {
		for _, imp := range slices.Concat(p.Imports, p.TestImports, p.XTestImports) {
			if first, _, _ := strings.Cut(imp, "/"); !strings.Contains(first, ".") {
				continue // ours, or the standard library's
			}
			i := slices.IndexFunc(reasons, func(lib string) bool { return within(imp, lib) })
			if i < 0 {
				t.Errorf("%s imports %s: what is drawn in has to be kept up to date by somebody; "+
					"say in DEVELOPERS.md why it is worth that", p.room(), imp)
				continue
			}
			used[reasons[i]] = true
		}
	}
	for _, lib := range reasons {
		if !used[lib] {
			t.Errorf("DEVELOPERS.md gives a reason for %s, and nothing imports it", lib)
		}
	}
}

// reasoned are the libraries in DEVELOPERS.md's table of direct dependencies.
func reasoned(t *testing.T) (libs []string) {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, table, _ := strings.Cut(string(b), "## Direct dependencies")
	for line := range strings.Lines(table) {
		cells := strings.Split(line, "|")
		if len(cells) < 4 || !strings.Contains(cells[1], ".") {
			continue
		}
		for lib := range strings.SplitSeq(cells[1], ",") {
			libs = append(libs, strings.TrimSpace(lib))
		}
	}
	return libs
}
