package sync_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// The bounds that no file or function goes over. They are far above what is
// usual here; whoever meets one has two ideas in one place.
const (
	maxFileLines = 800
	maxFuncLines = 100
)

// vague are names that say nothing of what a file or package holds.
var vague = []string{"util", "utils", "common", "types", "helper", "helpers", "misc", "base"}

// TestFilesAndFunctionsStaySmall fails where a file or a function is too long
// to be read at a sitting, or a name says nothing.
func TestFilesAndFunctionsStaySmall(t *testing.T) {
	eachFile(t, func(fset *token.FileSet, name string, f *ast.File) {
		if n := fset.File(f.Pos()).LineCount(); n > maxFileLines {
			t.Errorf("%s has %d lines: over %d a file holds more than one idea", name, n, maxFileLines)
		}
		stem := strings.TrimSuffix(filepath.Base(name), ".go")
		if slices.Contains(vague, stem) || slices.Contains(vague, f.Name.Name) {
			t.Errorf("%s, package %s: a file is named for the idea in it", name, f.Name.Name)
		}
		for _, d := range f.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok {
				continue
			}
			if n := fset.Position(fn.End()).Line - fset.Position(fn.Pos()).Line + 1; n > maxFuncLines {
				t.Errorf("%s: %s has %d lines: over %d nobody sees what it does", name, fn.Name.Name, n, maxFuncLines)
			}
		}
	})
}

// TestExportedNamesAreDocumented fails where a name that others may use has no
// comment of its own or of its group.
func TestExportedNamesAreDocumented(t *testing.T) {
	const why = "a reader learns units, ranges and errors from the comment, without the code"
	eachFile(t, func(fset *token.FileSet, name string, f *ast.File) {
		if strings.HasSuffix(name, "_test.go") || f.Name.Name == "main" {
			return
		}
		for _, d := range f.Decls {
			for _, n := range undocumented(d) {
				t.Errorf("%s:%d: %s has no comment: %s", name, fset.Position(n.Pos()).Line, n.Name, why)
			}
		}
	})
}

// undocumented are the exported names of a declaration that no comment covers.
func undocumented(d ast.Decl) (names []*ast.Ident) {
	switch d := d.(type) {
	case *ast.FuncDecl:
		method := d.Recv != nil
		if method && (!exportedReceiver(d.Recv) || slices.Contains(wellKnown, d.Name.Name)) {
			return nil
		}
		if d.Doc == nil && d.Name.IsExported() {
			names = append(names, d.Name)
		}
	case *ast.GenDecl:
		if d.Doc != nil {
			return nil
		}
		for _, s := range d.Specs {
			switch s := s.(type) {
			case *ast.TypeSpec:
				if s.Doc == nil && s.Name.IsExported() {
					names = append(names, s.Name)
				}
			case *ast.ValueSpec:
				if s.Doc == nil && s.Comment == nil && s.Names[0].IsExported() {
					names = append(names, s.Names[0])
				}
			}
		}
	}
	return names
}

// exportedReceiver says whether a method is one of a type that others can name.
// Methods of the others are seen through the interface that they fit.
func exportedReceiver(recv *ast.FieldList) bool {
	typ := recv.List[0].Type
	for {
		switch x := typ.(type) {
		case *ast.StarExpr:
			typ = x.X
		case *ast.IndexExpr:
			typ = x.X
		case *ast.Ident:
			return x.IsExported()
		default:
			return false
		}
	}
}

// wellKnown are methods whose meaning the language or its library gives.
var wellKnown = []string{"Error", "String", "Unwrap", "Is", "As", "Len", "Less", "Swap", "Write", "Read", "Close"}

// ourFile is a Go file of ours, parsed.
type ourFile struct {
	fset *token.FileSet
	name string // from the tree's root
	*ast.File
}

// ourFiles are parsed once for all tests.
var ourFiles []ourFile

// eachFile shows every Go file of ours that no tool made.
func eachFile(t *testing.T, visit func(fset *token.FileSet, name string, f *ast.File)) {
	t.Helper()
	if ourFiles == nil {
		for _, p := range list(t, nil, "-e", "./...") {
			ourFiles = append(ourFiles, parsed(t, p)...)
		}
	}
	for _, f := range ourFiles {
		visit(f.fset, f.name, f.File)
	}
}

func parsed(t *testing.T, p *pkg) (files []ourFile) {
	t.Helper()
	for _, name := range slices.Concat(p.GoFiles, p.TestGoFiles, p.XTestGoFiles) {
		fset := token.NewFileSet()
		f, err := parser.ParseFile(fset, filepath.Join(p.Dir, name), nil, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			t.Error(err)
		} else if !ast.IsGenerated(f) {
			files = append(files, ourFile{fset, p.room() + "/" + name, f})
		}
	}
	return files
}
