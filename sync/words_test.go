package sync_test

import (
	"go/ast"
	"go/token"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestWordsNameWhatIsThere fails where a word in DEVELOPERS.md stands twice, or
// names something in the code that is not there.
func TestWordsNameWhatIsThere(t *testing.T) {
	there := declared(t)
	guide, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(guide), "\n## Words\n")
	table, _, _ := strings.Cut(rest, "\n## ")
	rows := regexp.MustCompile(`(?m)^\| ([^|]+) \| ([^|]+) \| ([^|]+) \|$`).FindAllStringSubmatch(table, -1)
	words := map[string]bool{}
	for _, row := range rows[1:] {
		for _, w := range strings.Split(row[1], ", ") {
			if words[w] {
				t.Errorf("%s stands there twice", w)
			}
			words[w] = true
		}
		for _, name := range regexp.MustCompile("`([a-z]+\\.[A-Za-z]+)`").FindAllStringSubmatch(row[3], -1) {
			if !there[name[1]] {
				t.Errorf("%s: there is no %s", row[1], name[1])
			}
		}
	}
	if len(words) < 25 {
		t.Errorf("found %d words", len(words))
	}
}

// declared are the types and functions of each package, as package.Name.
func declared(t *testing.T) map[string]bool {
	there := map[string]bool{}
	eachFile(t, func(_ *token.FileSet, name string, f *ast.File) {
		in := path.Base(path.Dir(name)) + "."
		for _, d := range f.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				there[in+d.Name.Name] = d.Recv == nil || there[in+d.Name.Name]
			case *ast.GenDecl:
				for _, s := range d.Specs {
					if s, ok := s.(*ast.TypeSpec); ok {
						there[in+s.Name.Name] = true
					}
				}
			}
		}
	})
	return there
}
