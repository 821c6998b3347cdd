package mobile_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"go/ast"
	"go/parser"
	"go/printer"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// whole has gobind read all that is behind the package, as an app's build does.
var whole = flag.Bool("whole", false, "let gobind read the package with all behind it, from source: 17 s of CPU for a language")

// bound is how a call stands in what gobind writes for a language.
var bound = map[string]func(call string) *regexp.Regexp{
	"java": func(call string) *regexp.Regexp {
		return regexp.MustCompile(`public (static )?(native )?[\w\[\]]+ ` + lowered(call) + `\(`)
	},
	"objc": func(call string) *regexp.Regexp {
		return regexp.MustCompile(`(?m)^- \([^)]+\)` + lowered(call) + `[:;]|^FOUNDATION_EXPORT .* Mobile` + call + `\(`)
	},
}

func lowered(call string) string { return strings.ToLower(call[:1]) + call[1:] }

// gobind leaves out what it cannot bind, and says so in what it writes. Nothing is
// left out, and each call is there in both languages.
func TestGobindSkipsNothing(t *testing.T) {
	needsGobind(t)
	calls, overlay := exported(t)
	if *whole {
		overlay = nil
	}
	for lang, as := range bound {
		written := gobind(t, lang, overlay)
		for line := range strings.Lines(written) {
			if strings.Contains(line, "skipped") {
				t.Errorf("%s: %s", lang, strings.TrimSpace(line))
			}
		}
		for _, call := range calls {
			if !as(call).MatchString(written) {
				t.Errorf("%s: %s is not bound", lang, call)
			}
		}
	}
}

// needsGobind skips where the module of gobind, a tool of go.mod, is not here.
func needsGobind(t *testing.T) {
	t.Helper()
	if out, err := exec.Command("go", "list", "golang.org/x/mobile/cmd/gobind").CombinedOutput(); err != nil {
		t.Skipf("needs golang.org/x/mobile, which go mod download fetches: %s", out)
	}
}

// A call that gobind cannot bind is seen.
func TestGobindSkipsWhatItCannotBind(t *testing.T) {
	needsGobind(t)
	_, overlay := exported(t)
	for name, text := range overlay {
		overlay[name] = text + "\nfunc (h *Home) Several(all []string) map[string]int\n"
		break
	}
	for _, lang := range []string{"java", "objc"} {
		if written := gobind(t, lang, overlay); !strings.Contains(written, "skipped method Home.Several") {
			t.Errorf("%s: nothing tells that Several was left out", lang)
		}
	}
}

// gobind is what gobind writes for a language, all files together.
func gobind(t *testing.T, lang string, overlay map[string]string) (written string) {
	t.Helper()
	dir := t.TempDir()
	replace := map[string]string{}
	for name, text := range overlay {
		file := filepath.Join(dir, filepath.Base(name))
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		replace[name] = file
	}
	b, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		t.Fatal(err)
	}
	list := filepath.Join(dir, "overlay.json")
	if err := os.WriteFile(list, b, 0o600); err != nil {
		t.Fatal(err)
	}
	to := filepath.Join(dir, "out")
	out, err := exec.Command("go", "tool", "gobind", "-lang="+lang, "-overlay="+list, "-outdir="+to, ".").CombinedOutput()
	if err != nil {
		t.Fatalf("gobind -lang=%s: %v\n%s", lang, err, out)
	}
	err = filepath.WalkDir(to, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := os.ReadFile(path)
		written += string(b)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return written + string(out)
}

// exported are the calls of the package, and each file with no more than an
// importer sees: exported declarations, without bodies and imports, which no
// signature here needs. gobind binds these, and reads all behind the package only
// to come to them.
func exported(t *testing.T) (calls []string, files map[string]string) {
	t.Helper()
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	files = map[string]string{}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, name, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		ast.FileExports(file)
		file.Decls, file.Imports = slices.DeleteFunc(file.Decls, hidden), nil
		for _, d := range file.Decls {
			calls = append(calls, callsOf(d)...)
		}
		var text bytes.Buffer
		if err := printer.Fprint(&text, set, file); err != nil {
			t.Fatal(err)
		}
		path, err := filepath.Abs(name)
		if err != nil {
			t.Fatal(err)
		}
		files[path] = text.String()
	}
	for _, call := range []string{"Open", "Record", "Sign", "CarryOut", "Held"} {
		if !slices.Contains(calls, call) {
			t.Fatalf("%s is not among the calls %v", call, calls)
		}
	}
	return calls, files
}

// hidden are declarations that no importer sees: imports, and methods of types
// that are not exported.
func hidden(d ast.Decl) bool {
	switch d := d.(type) {
	case *ast.GenDecl:
		return d.Tok == token.IMPORT
	case *ast.FuncDecl:
		if d.Recv == nil {
			return false
		}
		of, isPointer := d.Recv.List[0].Type.(*ast.StarExpr)
		return !isPointer || !of.X.(*ast.Ident).IsExported()
	}
	return false
}

// callsOf are a function, a method, or the methods of an interface.
func callsOf(d ast.Decl) (calls []string) {
	ast.Inspect(d, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncDecl:
			calls = append(calls, n.Name.Name)
		case *ast.InterfaceType:
			for _, m := range n.Methods.List {
				calls = append(calls, m.Names[0].Name)
			}
		}
		return true
	})
	return calls
}
