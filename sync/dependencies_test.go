package sync_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestEachDependencyHasItsReason fails where a library is imported, or a tool
// listed in go.mod, that DEVELOPERS.md gives no reason for, or a reason is left
// over.
func TestEachDependencyHasItsReason(t *testing.T) {
	reasons := reasoned(t)
	used := map[string]bool{}
	drawn := map[string][]string{"go.mod": tools(t)}
	for _, p := range list(t, nil, "-e", "./...") {
		drawn[p.ImportPath] = slices.Concat(p.Imports, p.TestImports, p.XTestImports)
	}
	for by, imports := range drawn {
		for _, imp := range imports {
			if first, _, _ := strings.Cut(imp, "/"); !strings.Contains(first, ".") {
				continue // ours, or the standard library's
			}
			i := slices.IndexFunc(reasons, func(lib string) bool { return within(imp, lib) })
			if i < 0 {
				t.Errorf("%s imports %s: what is drawn in has to be kept up to date by somebody; "+
					"say in DEVELOPERS.md why it is worth that", by, imp)
				continue
			}
			used[reasons[i]] = true
		}
	}
	for _, lib := range reasons {
		if !used[lib] {
			t.Errorf("DEVELOPERS.md gives a reason for %s, and nothing uses it", lib)
		}
	}
}

// tools are the programs that go.mod lists as tools.
func tools(t *testing.T) (all []string) {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(root, "go.mod"))
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(b)) {
		if tool, ok := strings.CutPrefix(line, "tool "); ok {
			all = append(all, strings.TrimSpace(tool))
		}
	}
	return all
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
