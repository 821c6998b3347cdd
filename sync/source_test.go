package sync_test

import (
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"path/filepath"
	"testing"
)

// source is one package, parsed and typed.
type source struct {
	room  string
	fset  *token.FileSet
	files []*ast.File
	info  *types.Info
	decls map[types.Object]*ast.FuncDecl // the package's functions and methods
}

// pureSources are the packages of the deterministic core, typed against what
// the compiler wrote of their imports.
func pureSources(t *testing.T) []*source {
	t.Helper()
	var patterns []string
	for _, r := range pureRooms {
		if _, err := os.Stat(filepath.Join(root, r)); err == nil {
			patterns = append(patterns, "./"+r)
		}
	}
	ps := list(t, nil, append([]string{"-export", "-deps"}, patterns...)...)
	exports := map[string]string{}
	for _, p := range ps {
		exports[p.ImportPath] = p.Export
	}
	var all []*source
	for _, p := range ps {
		if within(p.room(), pureRooms...) {
			all = append(all, load(t, p, exports))
		}
	}
	return all
}

// load parses and types one package.
func load(t *testing.T, p *pkg, exports map[string]string) *source {
	t.Helper()
	s := &source{
		room: p.room(), fset: token.NewFileSet(), decls: map[types.Object]*ast.FuncDecl{},
		info: &types.Info{
			Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{},
			Uses: map[*ast.Ident]types.Object{},
		},
	}
	for _, name := range p.GoFiles {
		f, err := parser.ParseFile(s.fset, filepath.Join(p.Dir, name), nil, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		s.files = append(s.files, f)
	}
	conf := types.Config{Importer: importer.ForCompiler(s.fset, "gc", func(path string) (io.ReadCloser, error) {
		return os.Open(exports[path])
	})}
	if _, err := conf.Check(p.ImportPath, s.fset, s.files, s.info); err != nil {
		t.Fatal(err)
	}
	s.inspect(func(n ast.Node) {
		if d, ok := n.(*ast.FuncDecl); ok && d.Body != nil {
			s.decls[s.info.Defs[d.Name]] = d
		}
	})
	return s
}

// inspect shows every node of the package's files.
func (s *source) inspect(visit func(ast.Node)) {
	for _, f := range s.files {
		ast.Inspect(f, func(n ast.Node) bool {
			if n != nil {
				visit(n)
			}
			return n != nil
		})
	}
}
