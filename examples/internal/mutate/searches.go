package main

import (
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strconv"
)

// signOnly finds the numbers that a function that compares two answers: their sign counts.
func signOnly(args []ast.Expr, at map[token.Pos]bool) {
	for _, a := range args {
		f, ok := a.(*ast.FuncLit)
		if !ok || f.Type.Results.NumFields() != 1 || types.ExprString(f.Type.Results.List[0].Type) != "int" {
			continue
		}
		ast.Inspect(f.Body, func(n ast.Node) bool {
			if r, ok := n.(*ast.ReturnStmt); ok && len(r.Results) == 1 {
				if l := positive(r.Results[0]); l != nil && l.Value != "0" {
					at[l.Pos()] = true
				}
			}
			return true
		})
	}
}

// positive is the number of an expression that is no more than one, with a sign or without.
func positive(x ast.Expr) *ast.BasicLit {
	if u, ok := x.(*ast.UnaryExpr); ok && u.Op == token.SUB {
		x = u.X
	}
	l, _ := x.(*ast.BasicLit)
	return l
}

// noneYet finds the numbers below 0 that stand for none in variables of a declaration
// that are asked whether they are below 0, and neither reckoned with nor compared with
// anything else.
func noneYet(d ast.Decl, at map[token.Pos]bool) {
	asked, other := askedBelow(d)
	negatives(d, func(name string, l *ast.BasicLit) {
		if asked[name] && !other[name] {
			at[l.Pos()] = true
		}
	})
}

// askedBelow tells the names of a declaration that are asked whether they are below 0, and
// those that are compared with anything else or reckoned with.
func askedBelow(d ast.Decl) (asked, other map[string]bool) {
	asked, other = map[string]bool{}, map[string]bool{}
	ast.Inspect(d, func(n ast.Node) bool {
		switch x := n.(type) {
		case *ast.BinaryExpr:
			id, ok := x.X.(*ast.Ident)
			if l, zero := x.Y.(*ast.BasicLit); ok && zero && l.Value == "0" && (x.Op == token.LSS || x.Op == token.GEQ) {
				asked[id.Name] = true
				return false
			}
			for _, e := range []ast.Expr{x.X, x.Y} {
				if id, ok := e.(*ast.Ident); ok {
					other[id.Name] = true
				}
			}
		case *ast.IncDecStmt:
			other[types.ExprString(x.X)] = true
		case *ast.AssignStmt:
			if x.Tok != token.ASSIGN && x.Tok != token.DEFINE {
				other[types.ExprString(x.Lhs[0])] = true
			}
		}
		return true
	})
	return asked, other
}

// negatives visits the names of a declaration that are set to a number below 0.
func negatives(d ast.Decl, visit func(name string, l *ast.BasicLit)) {
	ast.Inspect(d, func(n ast.Node) bool {
		if x, ok := n.(*ast.AssignStmt); ok && len(x.Lhs) == len(x.Rhs) {
			for i, e := range x.Rhs {
				if u, ok := e.(*ast.UnaryExpr); ok && u.Op == token.SUB {
					if l := positive(e); l != nil {
						visit(types.ExprString(x.Lhs[i]), l)
					}
				}
			}
		}
		return true
	})
}

// noneReturned finds the numbers below 0 that stand for none in what an unexported function
// returns, where each of its callers asks of that whether it is below 0, and neither
// reckons with it nor compares it with anything else; nor does the function.
func noneReturned(sources []*source, info *types.Info) map[token.Pos]bool {
	at := map[token.Pos]bool{}
	calls, asked := map[types.Object]int{}, map[types.Object]int{}
	function := func(e ast.Expr) types.Object {
		c, ok := e.(*ast.CallExpr)
		if !ok {
			return nil
		}
		switch f := c.Fun.(type) {
		case *ast.Ident:
			return info.Uses[f]
		case *ast.SelectorExpr:
			return info.Uses[f.Sel]
		}
		return nil
	}
	declarations := func(visit func(d *ast.FuncDecl)) {
		for _, s := range sources {
			for _, d := range s.tree.Decls {
				if f, ok := d.(*ast.FuncDecl); ok && f.Body != nil {
					visit(f)
				}
			}
		}
	}
	declarations(func(d *ast.FuncDecl) {
		below, other := askedBelow(d)
		ast.Inspect(d, func(n ast.Node) bool {
			switch x := n.(type) {
			case *ast.CallExpr:
				if f := function(x); f != nil {
					calls[f]++
				}
			case *ast.AssignStmt:
				if len(x.Lhs) == 1 && len(x.Rhs) == 1 {
					name := types.ExprString(x.Lhs[0])
					if f := function(x.Rhs[0]); f != nil && below[name] && !other[name] {
						asked[f]++
					}
				}
			}
			return true
		})
	})
	declarations(func(d *ast.FuncDecl) {
		f := info.Defs[d.Name]
		if f == nil || f.Exported() || calls[f] == 0 || calls[f] != asked[f] || d.Type.Results.NumFields() != 1 {
			return
		}
		_, other := askedBelow(d)
		returned := map[string]bool{}
		ast.Inspect(d.Body, func(n ast.Node) bool {
			if r, ok := n.(*ast.ReturnStmt); ok && len(r.Results) == 1 {
				returned[types.ExprString(r.Results[0])] = true
			}
			return true
		})
		negatives(d, func(name string, l *ast.BasicLit) {
			if returned[name] && !other[name] {
				at[l.Pos()] = true
			}
		})
	})
	return at
}

// leaves reports whether a body ends its loop by itself.
func leaves(body *ast.BlockStmt) (yes bool) {
	ast.PreorderStack(body, nil, func(n ast.Node, above []ast.Node) bool {
		switch x := n.(type) {
		case *ast.FuncLit:
			return false
		case *ast.ReturnStmt:
			yes = true
		case *ast.BranchStmt:
			yes = yes || x.Tok == token.BREAK && !slices.ContainsFunc(above, func(n ast.Node) bool {
				switch n.(type) {
				case *ast.ForStmt, *ast.RangeStmt, *ast.SwitchStmt, *ast.SelectStmt:
					return true
				}
				return false
			})
		}
		return true
	})
	return yes
}

// ofNumbers reports whether an expression holds a number of 20 or more as such: how often
// a search may go on.
func ofNumbers(x ast.Expr) (yes bool) {
	ast.Inspect(x, func(n ast.Node) bool {
		if l, ok := n.(*ast.BasicLit); ok {
			v, err := strconv.Atoi(l.Value)
			yes = yes || err == nil && v >= 20
		}
		return true
	})
	return yes
}
