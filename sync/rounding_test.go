package sync_test

import (
	"go/ast"
	"go/token"
	"go/types"
	"maps"
	"slices"
	"testing"
)

// TestProductsAreRoundedBeforeTheyAreAdded fails where a float product goes
// into a sum without a conversion: as an operand, or by way of a variable, a
// field or the result of a function. Go may compute x*y + z with one rounding
// on arm64 and with two on amd64, across statements too; an explicit
// conversion rounds: float64(x*y) + z. (The Go Programming Language
// Specification, Floating-point operators.)
func TestProductsAreRoundedBeforeTheyAreAdded(t *testing.T) {
	const why = "arm64 would round the two together, once, and amd64 twice, so that two devices show different figures; write float64(x*y)"
	sources := pureSources(t)
	bare := bareProducts{}
	for _, s := range sources {
		bare.collect(s)
	}
	sums := map[string]string{} // by product
	for _, s := range sources {
		s.inspect(func(n ast.Node) {
			for _, e := range s.summands(n) {
				if s.unroundedProduct(e) {
					sums[s.at(e)] = s.at(n)
				}
				if from := bare.of(s, e); from != "" {
					sums[from] = s.at(n)
				}
			}
		})
	}
	for _, product := range slices.Sorted(maps.Keys(sums)) {
		t.Errorf("%s: a product that goes into the sum at %s: %s", product, sums[product], why)
	}
}

// bareProducts says where a variable, field or function got a product that no
// conversion rounds. A name stands for it, since one object differs between
// the package's source and what another package imports.
type bareProducts map[string]string

// collect notes every assignment and result that is a bare product.
func (b bareProducts) collect(s *source) {
	s.inspect(func(n ast.Node) {
		switch n := n.(type) {
		case *ast.AssignStmt:
			for i, l := range n.Lhs {
				product := n.Tok == token.MUL_ASSIGN && s.isFloat(l)
				if product || i < len(n.Rhs) && s.unroundedProduct(n.Rhs[i]) {
					b[s.name(l)] = s.at(l)
				}
			}
		case *ast.KeyValueExpr:
			if s.unroundedProduct(n.Value) {
				b[s.name(n.Key)] = s.at(n)
			}
		}
	})
	for o, d := range s.decls {
		ast.Inspect(d.Body, func(n ast.Node) bool {
			r, ok := n.(*ast.ReturnStmt)
			if ok && slices.ContainsFunc(r.Results, s.unroundedProduct) {
				b[o.(*types.Func).FullName()] = s.at(r)
			}
			return true
		})
	}
	delete(b, "")
}

// of says where the operand got a bare product; empty where it did not.
func (b bareProducts) of(s *source, e ast.Expr) string {
	e = unsigned(e)
	if c, ok := e.(*ast.CallExpr); ok {
		if f, ok := s.callee(c).(*types.Func); ok {
			return b[f.Origin().FullName()]
		}
		return ""
	}
	return b[s.name(e)]
}

// name tells variables and fields apart: by place where they were declared in
// this package. It is empty for any other expression.
func (s *source) name(e ast.Expr) string {
	id, ok := e.(*ast.Ident)
	if sel, isSel := e.(*ast.SelectorExpr); isSel {
		id, ok = sel.Sel, true
	}
	if !ok {
		return ""
	}
	o := s.info.ObjectOf(id)
	if _, isVar := o.(*types.Var); !isVar || !o.Pos().IsValid() {
		return ""
	}
	return s.fset.Position(o.Pos()).String()
}

// summands are the operands of a sum or difference of floats.
func (s *source) summands(n ast.Node) []ast.Expr {
	switch n := n.(type) {
	case *ast.BinaryExpr:
		if (n.Op == token.ADD || n.Op == token.SUB) && s.isFloat(n) {
			return []ast.Expr{n.X, n.Y}
		}
	case *ast.AssignStmt:
		if (n.Tok == token.ADD_ASSIGN || n.Tok == token.SUB_ASSIGN) && s.isFloat(n.Rhs[0]) {
			return []ast.Expr{n.Lhs[0], n.Rhs[0]}
		}
	}
	return nil
}

// unroundedProduct says whether the expression is a product, under parentheses
// and signs only.
func (s *source) unroundedProduct(e ast.Expr) bool {
	b, ok := unsigned(e).(*ast.BinaryExpr)
	return ok && b.Op == token.MUL && s.isFloat(b)
}

// unsigned takes parentheses and signs off.
func unsigned(e ast.Expr) ast.Expr {
	for {
		e = ast.Unparen(e)
		u, ok := e.(*ast.UnaryExpr)
		if !ok || u.Op != token.SUB && u.Op != token.ADD {
			return e
		}
		e = u.X
	}
}

// exactMath are the functions of package math whose results are the same to
// the last bit on every processor: they round once, as IEEE 754 says, or move
// bits only. Exp, Log, Pow and their kin have assembly of their own on some.
var exactMath = []string{
	"Abs", "Cbrt", "Ceil", "Copysign", "FMA", "Float64bits", "Float64frombits", "Floor", "Frexp", "Inf", "IsInf",
	"IsNaN", "Ldexp", "Max", "Min", "Mod", "NaN", "Nextafter", "Round", "RoundToEven", "Signbit", "Sqrt", "Trunc",
}

// TestMathIsTheSameEverywhere fails where the deterministic core calls a
// function of package math whose last digits depend on the processor.
func TestMathIsTheSameEverywhere(t *testing.T) {
	const why = "its last digits differ between amd64, arm64 and wasm; use arithmetic and square roots, or a table"
	for _, s := range pureSources(t) {
		s.inspect(func(n ast.Node) {
			id, ok := n.(*ast.Ident)
			if !ok {
				return
			}
			f, ok := s.info.Uses[id].(*types.Func)
			if ok && f.Pkg() != nil && f.Pkg().Path() == "math" && !slices.Contains(exactMath, f.Name()) {
				t.Errorf("%s: math.%s: %s", s.at(id), f.Name(), why)
			}
		})
	}
}
