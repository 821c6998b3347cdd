package sync_test

import (
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// The tests of this package keep the house in order: who may import whom, what
// the deterministic rooms may not touch, and that floating-point sums come out
// alike on every processor. Each failure says why its rule is there.

// module is the name in go.mod; root is the way there from this folder.
const (
	module = "turnrow"
	root   = ".."
)

// pureRooms are the packages whose results every replica must compute alike.
var pureRooms = []string{
	"sync/units", "sync/hlc", "sync/entry", "sync/chain",
	"sync/rate", "sync/exchange", "sync/wire",
	"sync/farm", "sync/farm/conflict", "sync/farm/order", "sync/farm/thing", "sync/farm/rule", "sync/farm/crew",
	"sync/farm/fact", "sync/farm/work", "sync/farm/view", "sync/farm/tell", "sync/farm/slip", "sync/message",
}

// pkg is what these tests ask of go list.
type pkg struct {
	Dir, ImportPath, Export            string
	Standard                           bool
	GoFiles, TestGoFiles, XTestGoFiles []string
	Imports, TestImports, XTestImports []string
	Deps                               []string
	Error                              *struct{ Err string }
}

// room is the package's path below the module's name; empty for one that is
// not ours.
func (p *pkg) room() string { return room(p.ImportPath) }

func room(importPath string) string {
	r, ok := strings.CutPrefix(importPath, module+"/")
	if !ok {
		return ""
	}
	return r
}

// list runs go list in the module's root. Where env is given it is added to
// the environment.
func list(t *testing.T, env []string, args ...string) []*pkg {
	t.Helper()
	readTree(t)
	cmd := exec.Command("go", append([]string{"list", "-json"}, args...)...)
	cmd.Dir = root
	cmd.Env = append(os.Environ(), env...)
	var stderr strings.Builder
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list %s: %v\n%s", strings.Join(args, " "), err, &stderr)
	}
	var ps []*pkg
	for dec := json.NewDecoder(strings.NewReader(string(out))); ; {
		p := new(pkg)
		switch err := dec.Decode(p); {
		case errors.Is(err, io.EOF):
			return ps
		case err != nil:
			t.Fatalf("what go list says: %v", err)
		}
		ps = append(ps, p)
	}
}

// readTree opens every Go file of the module. The go command keeps a test's
// result for as long as the files that the test opened stay as they are, and
// it does not see what the go command opens for us.
func readTree(t *testing.T) {
	t.Helper()
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == "node_modules" || len(d.Name()) > 2 && d.Name()[0] == '.'):
			return fs.SkipDir
		case path.Ext(p) == ".go" || d.Name() == "go.mod":
			_, err = os.ReadFile(p)
		}
		if errors.Is(err, fs.ErrNotExist) {
			return nil // an editor's file that came and went
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// within says whether the room is one of the rooms, or lies below one.
func within(room string, rooms ...string) bool {
	return slices.ContainsFunc(rooms, func(r string) bool {
		return room == r || strings.HasPrefix(room, r+"/")
	})
}

// TestTopLevelNames fails where something new lies at the top of the tree.
func TestTopLevelNames(t *testing.T) {
	allowed := []string{
		"proto", "server", "client", "sync", "cmd", "testdata", "go.mod", "go.sum",
		"README.md", "DEVELOPERS.md", "buf.yaml", "buf.gen.yaml", "LICENSE",
	}
	names, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	ignored := ignoredNames(t)
	for _, d := range names {
		n := d.Name()
		if n[0] == '.' || slices.Contains(allowed, n) || slices.ContainsFunc(ignored, func(p string) bool {
			ok, _ := path.Match(p, n)
			return ok
		}) {
			continue
		}
		t.Errorf("%s lies at the top of the tree: the top stays short enough to take in at a glance; "+
			"put it below one of %s", n, strings.Join(allowed[:6], ", "))
	}
}

// ignoredNames are the patterns of .gitignore, without their slashes.
func ignoredNames(t *testing.T) []string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(root, ".gitignore"))
	if err != nil {
		t.Fatal(err)
	}
	var ps []string
	for l := range strings.Lines(string(b)) {
		if p := strings.Trim(strings.TrimSpace(l), "/"); p != "" && p[0] != '#' {
			ps = append(ps, p)
		}
	}
	return ps
}
