package sync_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestAModuleOutsideTheTree builds the README's program in a module of its own,
// which names this tree by a replace line, and nothing that is not here already.
func TestAModuleOutsideTheTree(t *testing.T) {
	readTree(t)
	readme, err := os.ReadFile(filepath.Join(root, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(readme), "\n```go\n")
	program, _, whole := strings.Cut(rest, "\n```\n")
	if !whole {
		t.Fatal("the README has no program")
	}
	sums, err := os.ReadFile(filepath.Join(root, "go.sum"))
	if err != nil {
		t.Fatal(err)
	}
	tree, err := filepath.Abs(root)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for name, text := range map[string]string{
		"main.go": program + "\n", "go.sum": string(sums),
		"go.mod": "module yard\n\ngo 1.26.0\n\nrequire turnrow v0.0.0\n\nreplace turnrow => " + tree + "\n",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	compile := exec.Command("go", "list", "-export", "-f", "{{.Export}}", ".") // all of a build but the linking
	compile.Dir = dir
	compile.Env = append(os.Environ(), "GOFLAGS="+os.Getenv("GOFLAGS")+" -mod=mod", "GOPROXY=off", "GOWORK=off")
	if out, err := compile.CombinedOutput(); err != nil || len(out) < 2 {
		t.Fatalf("%v\n%s", err, out)
	}
}
