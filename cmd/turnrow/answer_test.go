package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What --json prints is of package answer, so that others can read it: a command
// has no answer of its own. The door's calls are between two of this program.
func TestAnswersAreOfTheLibrary(t *testing.T) {
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if name != "door.go" && !strings.HasSuffix(name, "_test.go") && strings.Contains(string(text), "`json:") {
			t.Errorf("%s has an answer of its own: it belongs in client/answer", name)
		}
	}
}
