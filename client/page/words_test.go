package page

import (
	"io/fs"
	"os"
	"regexp"
	"strings"
	"testing"

	"turnrow/sync/entry"
)

var (
	wordsInTemplates = regexp.MustCompile(`\b[tn] "([a-z][a-z.]*)"|"(?:text|all)" "([a-z]+\.[a-z.]+)"|print "([a-z]+\.(?:[a-z]+\.)?)"`)
	wordsInCode      = regexp.MustCompile(`(?:texts\.(?:Text|Count)\(|\bway :?= |\bclient\.[A-Z]\w+: *)"([a-z.]+)"`)
)

// usedWords are the keys that templates and code name outright.
func usedWords(t *testing.T) map[string]string {
	t.Helper()
	used := map[string]string{}
	look := func(fsys fs.FS, pattern string, re *regexp.Regexp) {
		names, err := fs.Glob(fsys, pattern)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range names {
			b, err := fs.ReadFile(fsys, name)
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range re.FindAllStringSubmatch(string(b), -1) {
				used[strings.Join(m[1:], "")] = name
			}
		}
	}
	look(files, "templates/*.html", wordsInTemplates)
	look(os.DirFS("."), "[a-z]*.go", wordsInCode)
	return used
}

// Every text that is asked for is in the catalogue.
func TestWordsAreThere(t *testing.T) {
	for key, where := range usedWords(t) {
		if strings.HasSuffix(key, ".") {
			continue // the rest of the key is worked out
		}
		if texts[key] == "" && texts[key+".one"] == "" {
			t.Errorf("%s asks for %q, which the catalogue lacks", where, key)
		}
	}
	for k := range entry.Kinds() {
		if texts["kind."+k.String()] == "" {
			t.Errorf("the catalogue lacks kind %s", k)
		}
	}
}

// Every text in the catalogue is asked for somewhere, and every pair for
// counting is whole.
func TestWordsAreUsed(t *testing.T) {
	used := usedWords(t)
	for key := range texts {
		base, many := strings.CutSuffix(key, ".many")
		if !many {
			base, _ = strings.CutSuffix(key, ".one")
		}
		if many && texts[base+".one"] == "" || strings.HasSuffix(key, ".one") && texts[base+".many"] == "" {
			t.Errorf("%q has no other half", key)
		}
		found := used[base] != ""
		for u := range used {
			found = found || strings.HasSuffix(u, ".") && strings.HasPrefix(base, u)
		}
		if _, err := fs.Stat(files, "templates/"+strings.TrimSuffix(base, ".title")+".html"); err == nil {
			found = true // a view's title
		}
		if !found && !strings.HasPrefix(key, "nav.") {
			t.Errorf("nothing asks for %q", key)
		}
	}
}
