package sync_test

import (
	"go/ast"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// speaksToPeople are rooms whose texts a person reads as they are: sheets say by
// which command a figure can be traced.
var speaksToPeople = []string{"client/sheet"}

// TestLibrariesNameNoCommands fails where a text of a library tells its caller
// to type something: an app that holds the library has no such commands.
func TestLibrariesNameNoCommands(t *testing.T) {
	typed := typedText(t)
	eachFile(t, func(fset *token.FileSet, name string, f *ast.File) {
		dir := filepath.ToSlash(filepath.Dir(name))
		if strings.HasSuffix(name, "_test.go") || !within(dir, "client", "server", "sync") || within(dir, speaksToPeople...) {
			return
		}
		ast.Inspect(f, func(n ast.Node) bool {
			if l, ok := n.(*ast.BasicLit); ok && l.Kind == token.STRING {
				if text, err := strconv.Unquote(l.Value); err != nil || typed.MatchString(text) {
					t.Errorf("%s:%d: %s names what is typed at a terminal: the program adds that advice", name, fset.Position(l.Pos()).Line, l.Value)
				}
			}
			return true
		})
	})
}

// typedText matches a flag, and a call of either program by one of its commands;
// tags of hashes and formats, which end with a version, are none.
func typedText(t *testing.T) *regexp.Regexp {
	t.Helper()
	use := regexp.MustCompile(`\b(?:use|Use): +"([a-z-]+)`)
	names := map[string]bool{}
	files, err := filepath.Glob(filepath.Join(root, "cmd/turnrow*/*.go"))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range use.FindAllStringSubmatch(string(src), -1) {
			names[m[1]] = true
		}
	}
	if len(names) < 40 || !names["sync"] || !names["serve"] {
		t.Fatalf("found %d commands", len(names))
	}
	var list []string
	for n := range names {
		list = append(list, n)
	}
	return regexp.MustCompile(`--[a-z]|\bturnrowd?\b (` + strings.Join(list, "|") + `)\b($|[^ ]| [^0-9])|\bturnrowd\b`)
}
