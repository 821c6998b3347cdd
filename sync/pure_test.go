package sync_test

import (
	"fmt"
	"go/ast"
	"go/types"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// excuse is what a line must carry where a pure room ranges over a map all the
// same, followed by why that does no harm.
const excuse = "// order does not matter: "

// TestPureRoomsStartNothing fails where a room of the deterministic core
// starts a goroutine or waits on a channel.
func TestPureRoomsStartNothing(t *testing.T) {
	const why = "what runs side by side ends in a different order every time; concurrency is the shell's"
	for _, s := range pureSources(t) {
		s.inspect(func(n ast.Node) {
			switch n.(type) {
			case *ast.GoStmt:
				t.Errorf("%s: a go statement: %s", s.at(n), why)
			case *ast.SelectStmt, *ast.SendStmt, *ast.ChanType:
				t.Errorf("%s: a channel: %s", s.at(n), why)
			}
		})
	}
}

// TestPureRoomsNeverRangeOverMaps fails where the deterministic core goes
// through a map in its random order.
func TestPureRoomsNeverRangeOverMaps(t *testing.T) {
	const why = "Go shuffles maps, so replicas would differ; go through sorted keys, or say at the end of the line %q and why"
	for _, s := range pureSources(t) {
		sorted := s.sortedAtOnce()
		s.inspect(func(n ast.Node) {
			if s.rangesOverMap(n) && !sorted[n] && !s.excused(n) {
				t.Errorf("%s: a map in its random order: "+why, s.at(n), excuse)
			}
		})
	}
}

// rangesOverMap says whether the node goes through a map: a range statement, or
// a call that makes an iterator of one.
func (s *source) rangesOverMap(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.RangeStmt:
		tv, ok := s.info.Types[n.X]
		if !ok {
			return false
		}
		_, isMap := tv.Type.Underlying().(*types.Map)
		return isMap
	case *ast.CallExpr:
		return s.calls(n, "maps", "All", "Keys", "Values")
	}
	return false
}

// sortedAtOnce are the calls that make an iterator which is sorted before
// anyone sees it: slices.Sorted(maps.Keys(m)).
func (s *source) sortedAtOnce() map[ast.Node]bool {
	ok := map[ast.Node]bool{}
	s.inspect(func(n ast.Node) {
		if c, isCall := n.(*ast.CallExpr); isCall && s.calls(c, "slices", "Sorted", "SortedFunc") {
			ok[c.Args[0]] = true
		}
	})
	return ok
}

// calls says whether the call is of one of the package's functions.
func (s *source) calls(c *ast.CallExpr, pkg string, names ...string) bool {
	f, ok := s.callee(c).(*types.Func)
	return ok && f.Pkg() != nil && f.Pkg().Path() == pkg && slices.Contains(names, f.Name())
}

// callee is what the call calls, where it has a name.
func (s *source) callee(c *ast.CallExpr) types.Object {
	fun := ast.Unparen(c.Fun)
	if x, ok := fun.(*ast.IndexExpr); ok {
		fun = x.X // a generic function with its type given
	}
	switch f := fun.(type) {
	case *ast.SelectorExpr:
		return s.info.Uses[f.Sel]
	case *ast.Ident:
		return s.info.Uses[f]
	}
	return nil
}

// excused says whether the node's first line carries the excuse.
func (s *source) excused(n ast.Node) bool {
	line := s.fset.Position(n.Pos()).Line
	for _, f := range s.files {
		if s.fset.File(f.Pos()) != s.fset.File(n.Pos()) {
			continue
		}
		for _, g := range f.Comments {
			for _, c := range g.List {
				if s.fset.Position(c.Pos()).Line == line && strings.HasPrefix(c.Text, excuse) {
					return true
				}
			}
		}
	}
	return false
}

// TestDigestHasNoFloats fails where a function that the farm's digest, or the
// fold under it, goes through does sums with floating-point numbers. It may
// hand on a figure with its doubt from one function of the rate engine to
// another, whose operations round alike everywhere, and take whole numbers
// from it.
func TestDigestHasNoFloats(t *testing.T) {
	const why = "the digest must be the same on every processor for ever, so that what it covers is whole numbers only"
	for _, s := range pureSources(t) {
		if s.room != "sync/farm" {
			continue
		}
		starts := s.methods("State", "Digest", "Apply")
		if len(starts) != 2 {
			t.Fatalf("sync/farm's State has %d of the methods Digest and Apply, want both", len(starts))
		}
		for _, d := range s.reached(starts) {
			ast.Inspect(d.Body, func(n ast.Node) bool {
				if e, ok := n.(ast.Expr); ok && s.isFloat(e) && s.computes(e) {
					t.Errorf("%s: a sum with floats in %s: %s", s.at(e), d.Name.Name, why)
					return false
				}
				return true
			})
		}
	}
}

// methods are the named methods of a type.
func (s *source) methods(typ string, names ...string) (found []types.Object) {
	for o := range s.decls {
		f := o.(*types.Func)
		recv := f.Signature().Recv()
		if recv == nil || !slices.Contains(names, f.Name()) {
			continue
		}
		rt := recv.Type()
		if p, ok := rt.(*types.Pointer); ok {
			rt = p.Elem()
		}
		if n, ok := rt.(*types.Named); ok && n.Obj().Name() == typ {
			found = append(found, o)
		}
	}
	return found
}

// reached are the package's functions that the given ones mention, and those
// that they mention in turn. A method of an interface stands for every method
// of that name.
func (s *source) reached(from []types.Object) map[types.Object]*ast.FuncDecl {
	done := map[types.Object]*ast.FuncDecl{}
	for len(from) > 0 {
		o := from[0]
		from = from[1:]
		d, ours := s.decls[o]
		if !ours || done[o] != nil {
			continue
		}
		done[o] = d
		ast.Inspect(d.Body, func(n ast.Node) bool {
			if id, ok := n.(*ast.Ident); ok {
				from = append(from, s.meant(s.info.Uses[id])...)
			}
			return true
		})
	}
	return done
}

func (s *source) meant(o types.Object) []types.Object {
	f, ok := o.(*types.Func)
	if !ok {
		return nil
	}
	f = f.Origin()
	if recv := f.Signature().Recv(); recv == nil || !types.IsInterface(recv.Type()) {
		return []types.Object{f}
	}
	var all []types.Object
	for d := range s.decls {
		if d.Name() == f.Name() {
			all = append(all, d)
		}
	}
	return all
}

// isFloat says whether the expression is a floating-point number that is
// computed when the program runs.
func (s *source) isFloat(e ast.Expr) bool {
	tv, ok := s.info.Types[e]
	if !ok || tv.IsType() || tv.Value != nil {
		return false
	}
	b, ok := tv.Type.Underlying().(*types.Basic)
	return ok && b.Info()&(types.IsFloat|types.IsComplex) != 0
}

// computes says whether an expression makes a number of its own: an operation
// or a conversion.
func (s *source) computes(e ast.Expr) bool {
	switch x := e.(type) {
	case *ast.BinaryExpr, *ast.UnaryExpr:
		return true
	case *ast.CallExpr:
		return s.info.Types[x.Fun].IsType()
	}
	return false
}

// at is the node's place, for messages.
func (s *source) at(n ast.Node) string {
	p := s.fset.Position(n.Pos())
	return fmt.Sprintf("%s/%s:%d", s.room, filepath.Base(p.Filename), p.Line)
}
