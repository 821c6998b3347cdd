// Package proto_test keeps the schema's promises: the Go code beside it is
// what its tools make of it, and no change breaks what is already written.
package proto_test

import (
	"bytes"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// The tools, at the versions that the committed code was made with.
var tools = []struct{ name, flag, version string }{
	{"buf", "--version", "1.75.0"},
	{"protoc-gen-go", "--version", "v1.36.12"},
	{"protoc-gen-go-grpc", "--version", "1.6.2"},
}

// need skips the test where one of the tools is missing or of another version.
func need(t *testing.T, names int) {
	t.Helper()
	for _, tool := range tools[:names] {
		out, err := exec.Command(tool.name, tool.flag).CombinedOutput()
		if err != nil {
			t.Skipf("%s is missing: .ci/run installs it and runs this test (%v)", tool.name, err)
		}
		if got := strings.TrimSpace(string(out)); !strings.HasSuffix(got, tool.version) {
			t.Skipf("%s is %q, want version %s", tool.name, got, tool.version)
		}
	}
}

// buf runs buf in the module's root.
func buf(t *testing.T, args ...string) {
	t.Helper()
	cmd := exec.Command("buf", args...)
	cmd.Dir = ".."
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("buf %s: %v\n%s", strings.Join(args, " "), err, out)
	}
}

// TestGeneratedCodeIsFresh makes the Go code again and compares every file.
func TestGeneratedCodeIsFresh(t *testing.T) {
	need(t, len(tools))
	dir := t.TempDir()
	buf(t, "generate", "-o", dir)
	want := generated(t, filepath.Join(dir, "proto"))
	got := generated(t, ".")
	for name, code := range want {
		if !bytes.Equal(code, got[name]) {
			t.Errorf("%s is stale: run buf generate", name)
		}
	}
	for name := range got {
		if want[name] == nil {
			t.Errorf("%s is made from no .proto file any more: remove it", name)
		}
	}
	if len(want) == 0 {
		t.Error("buf generate made nothing")
	}
}

// generated are the generated files below a folder. The schema and buf's
// settings are read too, so that a test result that the go command kept does
// not outlive them.
func generated(t *testing.T, dir string) map[string][]byte {
	t.Helper()
	files := map[string][]byte{}
	for _, name := range []string{"../buf.yaml", "../buf.gen.yaml"} {
		if _, err := os.ReadFile(name); err != nil {
			t.Fatal(err)
		}
	}
	err := filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := os.ReadFile(p)
		if rel, _ := filepath.Rel(dir, p); strings.HasSuffix(p, ".pb.go") {
			files[rel] = b
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// TestSchemaBreaksNothing holds the schema against the committed image of what
// devices in the field already write: no number may change its meaning.
func TestSchemaBreaksNothing(t *testing.T) {
	need(t, 1)
	generated(t, ".")
	const image = "testdata/schema/turnrow.binpb"
	if _, err := os.Stat(filepath.Join("..", image)); err != nil {
		t.Fatal(err)
	}
	buf(t, "breaking", "--against", image)
}
