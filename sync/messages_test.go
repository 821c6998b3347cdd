package sync_test

import (
	"go/ast"
	"go/constant"
	"go/types"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// catalogue is the words for what the core says.
func catalogue(t *testing.T) map[string]string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(root, "client/words/english.txt"))
	if err != nil {
		t.Fatal(err)
	}
	texts := map[string]string{}
	for line := range strings.Lines(string(b)) {
		if key, text, ok := strings.Cut(strings.TrimSpace(line), " = "); ok && line[0] != '#' {
			texts[key] = text
		}
	}
	return texts
}

// Every message of the core stands in the catalogue with room for as many
// arguments as it has, and every text of the catalogue is a message's, or a word
// of a list.
func TestEveryMessageHasWords(t *testing.T) {
	texts := catalogue(t)
	used := map[string]string{}
	for _, s := range pureSources(t) {
		for e, v := range s.info.Types {
			if id, ok := messageID(v); ok && id != "" {
				used[id] = s.at(e)
			}
		}
		s.inspect(func(n ast.Node) {
			if c, ok := n.(*ast.CallExpr); ok && s.calls(c, "turnrow/sync/message", "Of") && !c.Ellipsis.IsValid() {
				if id, ok := messageID(s.info.Types[c.Args[0]]); ok {
					checkArgs(t, s.at(n), id, texts, len(c.Args)-1)
				}
			}
		})
	}
	if len(used) < 250 {
		t.Errorf("%d messages: the search has lost its way", len(used))
	}
	for id, where := range used {
		if texts[id] == "" && (texts[id+".one"] == "" || texts[id+".many"] == "") {
			t.Errorf("%s: message %q has no words", where, id)
		}
	}
	for key := range texts {
		id := strings.TrimSuffix(strings.TrimSuffix(key, ".one"), ".many")
		if list, _, _ := strings.Cut(key, "."); used[id] == "" && !slices.Contains(wordLists, list) {
			t.Errorf("nothing says %q", key)
		}
	}
}

// wordLists are lists whose words are not messages of their own: two of them
// have a word for each kind of doubt, see TestEveryDoubtHasWords of client/words.
var wordLists = []string{"doubt", "look", "choice-word", "on-device", "hold-seen"}

func messageID(v types.TypeAndValue) (string, bool) {
	if v.Value == nil || v.Type == nil || v.Type.String() != "turnrow/sync/message.ID" {
		return "", false
	}
	return constant.StringVal(v.Value), true
}

func checkArgs(t *testing.T, where, id string, texts map[string]string, n int) {
	t.Helper()
	if text, ok := texts[id]; ok && strings.Count(text, "%s") != n {
		t.Errorf("%s: message %q has %d arguments, and its words room for %d: %s", where, id, n, strings.Count(text, "%s"), text)
	}
	if text, ok := texts[id+".many"]; ok && strings.Count(text, "%s") != n {
		t.Errorf("%s: message %q has %d arguments, and its words room for %d: %s", where, id, n, strings.Count(text, "%s"), text)
	}
}

// sentence is a text with two words in it.
var sentence = regexp.MustCompile(`[a-z]+ [a-z]+`)

// The farm says what it has to say as messages: the only sentences in it are
// those of errors, and those that the digest spells out.
func TestTheFarmHoldsNoSentences(t *testing.T) {
	for _, s := range pureSources(t) {
		if !within(s.room, "sync/farm") {
			continue
		}
		excused := map[ast.Node]bool{}
		s.inspect(func(n ast.Node) {
			switch n := n.(type) {
			case *ast.CallExpr:
				if s.calls(n, "fmt", "Errorf") || s.calls(n, "errors", "New") {
					excused[n.Args[0]] = true
				}
			case *ast.FuncDecl:
				if n.Name.Name == "spelling" {
					ast.Inspect(n, func(in ast.Node) bool { excused[in] = true; return true })
				}
			}
		})
		s.inspect(func(n ast.Node) {
			if l, ok := n.(*ast.BasicLit); ok && !excused[n] && sentence.MatchString(l.Value) {
				t.Errorf("%s: the farm says %s of its own, and no message", s.at(n), l.Value)
			}
		})
	}
}
