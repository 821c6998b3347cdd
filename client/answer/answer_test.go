package answer

import (
	"encoding/json"
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the listing anew")

// listed is the golden listing of this version's answers.
const listed = "testdata/answers.golden"

// Others read these fields by their names and types. The listing shows in review
// what changed: a field may be added; one that goes, or is of another type,
// makes a new Version. Each field says beside it what it is, and in which unit.
func TestAnswersAreAsListed(t *testing.T) {
	got := fmt.Sprintf("version %d\n", Version)
	for _, line := range answers(t) {
		got += line + "\n"
	}
	if *update {
		if err := os.WriteFile(listed, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(listed)
	if err != nil {
		t.Fatal(err)
	}
	if got == string(want) {
		return
	}
	have, had := strings.Split(got, "\n"), strings.Split(string(want), "\n")
	for _, line := range had {
		if !slices.Contains(have, line) {
			t.Errorf("gone, or of another type: %s", line)
		}
	}
	for _, line := range have {
		if !slices.Contains(had, line) {
			t.Errorf("new: %s", line)
		}
	}
	t.Error("where this is wanted: go test ./client/answer -update, and raise Version where a field went or changed")
}

// answers lists each field of each type: Type.Field, its type and its key. A
// field without a remark is an error.
func answers(t *testing.T) (lines []string) {
	t.Helper()
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if spec, ok := n.(*ast.TypeSpec); ok {
				lines = append(lines, fieldsOf(t, spec)...)
			}
			return true
		})
	}
	slices.Sort(lines)
	return lines
}

func fieldsOf(t *testing.T, spec *ast.TypeSpec) (lines []string) {
	t.Helper()
	st, ok := spec.Type.(*ast.StructType)
	if !ok {
		return nil
	}
	for _, f := range st.Fields.List {
		kind, key := types.ExprString(f.Type), ""
		if f.Tag != nil {
			key = " " + f.Tag.Value
		}
		if len(f.Names) == 0 {
			lines = append(lines, spec.Name.Name+": the fields of "+kind)
		}
		for _, n := range f.Names {
			lines = append(lines, fmt.Sprintf("%s.%s %s%s", spec.Name.Name, n.Name, kind, key))
			if f.Comment == nil && key != "" {
				t.Errorf("%s.%s does not say what it is", spec.Name.Name, n.Name)
			}
		}
	}
	return lines
}

// A figure carries six significant ones, and null where it is none; a sum's
// steps and doubts stand behind its own keys.
func TestAnswersAsTheyArePrinted(t *testing.T) {
	for _, c := range []struct {
		value any
		want  string
	}{
		{Number(29.999999996), "30"}, {Number(1234567.8), "1234570"}, {Number(math.NaN()), "null"}, {Number(math.Inf(1)), "null"}, {Some(0.1), "0.1"},
		{Explained{RatePace{AcPerH: 5}, []string{"5 = 5"}}, `{"ac_per_h":5,"ha_per_h":0,"explain":["5 = 5"]}`},
		{Doubted{struct{}{}, []Unlikely{{"that", nil}}}, `{"unlikely":[{"what":"that","instead":null}]}`},
		{Explained{[]Species{}, nil}, "[]"},
	} {
		got, err := json.Marshal(c.value)
		if err != nil || string(got) != c.want {
			t.Errorf("%+v is %s, %v; want %s", c.value, got, err, c.want)
		}
	}
}

// What others read back is what was printed, as far as figures go.
func TestAnswersAreReadBack(t *testing.T) {
	var d Doubt
	text := `{"id":"3f2a9c11","kind":"two-settings","about":"box grain","what":"w","look":"l","entries":["a/1"],"choices":[{"word":"42","what":"x","stands":["a/1"]}],"settled":false}`
	if err := json.Unmarshal([]byte(text), &d); err != nil {
		t.Fatal(err)
	}
	if back, err := json.Marshal(d); err != nil || string(back) != text {
		t.Errorf("%s, %v", back, err)
	}
}
