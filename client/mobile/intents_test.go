package mobile

import (
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"turnrow/client"
	"turnrow/sync/farm"
)

// INTENTS.md has a row for each intent, with the very fields that it reads.
func TestIntentsAreAsListed(t *testing.T) {
	h := foundHome(t)
	f, err := h.farm()
	if err != nil {
		t.Fatal(err)
	}
	v := f.View()
	listed := fieldsListed(t)
	for name := range intents {
		fields, ok := listed[name]
		if !ok {
			t.Errorf("INTENTS.md has no row for %s", name)
		}
		if got := fieldsRead(f, v, name, fields); !slices.Equal(got, slices.Sorted(slices.Values(fields))) {
			t.Errorf("%s reads %v, and INTENTS.md lists %v", name, got, fields)
		}
	}
	for name := range listed {
		if intents[name] == nil {
			t.Errorf("INTENTS.md has a row for %s, which is no intent", name)
		}
	}
}

// fieldsRead are the fields that an intent reads, where something stands in each.
func fieldsRead(f *client.Farm, v *farm.View, name string, fields []string) []string {
	typed := &typed{values: map[string][]string{"intent": {name}}, read: map[string]bool{}}
	for _, field := range fields {
		typed.values[field] = []string{"1"}
	}
	_, _ = read(f, func() *farm.View { return v }, typed) // there is no such box: what counts is what was read
	delete(typed.read, "intent")
	return slices.Sorted(maps.Keys(typed.read))
}

func fieldsListed(t *testing.T) map[string][]string {
	t.Helper()
	text, err := os.ReadFile("INTENTS.md")
	if err != nil {
		t.Fatal(err)
	}
	listed := map[string][]string{}
	for line := range strings.Lines(string(text)) {
		cells := strings.Split(line, "|")
		if len(cells) == 5 && !strings.Contains(line, "---") && strings.TrimSpace(cells[1]) != "intent" {
			listed[strings.TrimSpace(cells[1])] = strings.Split(strings.TrimSpace(cells[2]), ", ")
		}
	}
	return listed
}

// elsewhere are the intents of package client that have no JSON here, and where
// an app's person finds them.
var elsewhere = map[string]string{
	"Amend": "the page", "Catch": "the page", "Stand": "the page", "KeepOut": "the page", "LetIn": "the page", "SetRole": "the page", "TakeIn": "the page",
	"Chart": "set", "Ground": "set", "Lot": "set", "Plan": "set",
}

// Each intent of package client is written by some intent here, or stands
// elsewhere.
func TestEachIntentHasItsJSON(t *testing.T) {
	used := clientNames(t)
	for _, intent := range clientIntents(t) {
		_, other := elsewhere[intent]
		if !other && !used[intent] {
			t.Errorf("client.%s has no JSON: add a row to intents, or say in elsewhere where it is written", intent)
		}
		if other && used[intent] {
			t.Errorf("client.%s is written here, too: take it out of elsewhere", intent)
		}
	}
}

// clientIntents are the types of package client with the method bodies.
func clientIntents(t *testing.T) (all []string) {
	for _, file := range parsed(t, "../intent*.go") {
		for _, d := range file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && f.Name.Name == "bodies" && f.Recv != nil {
				all = append(all, f.Recv.List[0].Type.(*ast.Ident).Name)
			}
		}
	}
	if len(all) < 25 {
		t.Fatalf("only %d intents found", len(all))
	}
	return all
}

// clientNames are what of packages client and fields this package names: a
// reader of package fields has the name of its intent.
func clientNames(t *testing.T) map[string]bool {
	used := map[string]bool{}
	for _, file := range parsed(t, "*.go") {
		ast.Inspect(file, func(n ast.Node) bool {
			if sel, ok := n.(*ast.SelectorExpr); ok {
				if of, ok := sel.X.(*ast.Ident); ok && (of.Name == "client" || of.Name == "s") {
					used[sel.Sel.Name] = true
				}
			}
			return true
		})
	}
	return used
}

func parsed(t *testing.T, pattern string) (files []*ast.File) {
	t.Helper()
	names, err := filepath.Glob(pattern)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, file)
	}
	return files
}

// openHome is a home in a folder of its own, closed at the test's end.
func openHome(t *testing.T) *Home {
	t.Helper()
	h, err := Open(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := h.Close(); err != nil {
			t.Error(err)
		}
	})
	return h
}

// foundHome is a home that Ada founded Upper Lea in, without a server.
func foundHome(t *testing.T) *Home {
	t.Helper()
	h := openHome(t)
	if _, err := h.Found("Upper Lea", "Ada", "tablet", "", "", ""); err != nil {
		t.Fatal(err)
	}
	return h
}
