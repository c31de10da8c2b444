package main

import (
	"go/ast"
	"go/token"
	"go/types"
	"regexp"
	"strconv"
	"strings"
)

// unseen finds the places of a file whose alteration no test could notice, whatever it
// looks at: what stands beside an error, beside an ok that is false or beside what is
// wanted, room set aside in advance, which infinity a number other than 0 stands for, the
// size of a number as text, how often a loop that ends by itself may go round at most, the
// size of what a comparison answers and of what stands for none, ties at which both sides
// are the same, and tolerances below a millionth and their factors. small are the constants
// that are such.
func unseen(f *ast.File, small map[string]bool) map[token.Pos]bool {
	at := map[token.Pos]bool{}
	var results *ast.FieldList
	walk := func(root ast.Node, visit func(n, parent ast.Node)) {
		ast.PreorderStack(root, nil, func(n ast.Node, above []ast.Node) bool {
			visit(n, parentOf(above))
			return true
		})
	}
	body := func(list []ast.Stmt, failed bool) {
		for i, s := range list {
			r, ok := s.(*ast.ReturnStmt)
			if !ok || len(r.Results) < 2 {
				continue
			}
			last := r.Results[len(r.Results)-1]
			if !(okFalse(results, last) || wanted(results, last) || fails(last, failed, list[:i])) {
				continue
			}
			for _, x := range r.Results[:len(r.Results)-1] {
				switch x.(type) {
				case *ast.BasicLit, *ast.Ident:
					at[x.Pos()] = true
				}
			}
		}
	}
	for _, d := range f.Decls {
		noneYet(d, at)
		results = nil
		if fn, ok := d.(*ast.FuncDecl); ok {
			results = fn.Type.Results
		}
		walk(d, func(n, parent ast.Node) {
			switch x := n.(type) {
			case *ast.BlockStmt:
				s, ok := parent.(*ast.IfStmt)
				body(x.List, ok && s.Body == x && refused.MatchString(types.ExprString(s.Cond)))
			case *ast.CaseClause:
				body(x.Body, false)
			case *ast.CallExpr:
				if strings.HasPrefix(types.ExprString(x.Fun), "slices.") {
					signOnly(x.Args, at)
				}
				for i, a := range x.Args {
					if l, ok := a.(*ast.UnaryExpr); ok && l.Op == token.SUB {
						a = l.X
					}
					name := types.ExprString(x.Fun)
					switch l, isNumber := a.(*ast.BasicLit); {
					case name == "math.Inf" && isNumber, name == "math.IsInf" && i == 1 && isNumber && l.Value != "0":
						at[a.Pos()] = true
					case name == "strconv.ParseFloat" && i == 1 && isNumber, name == "strconv.FormatFloat" && i == 2 && a != x.Args[2],
						name == "strconv.AppendFloat" && i == 3 && a != x.Args[3]:
						at[a.Pos()] = true // any size but 32 is 64, any count below 0 is as many as needed
					case name == "bySize" && i == 0: // the first name is that of what is smaller, too
						walk(a, func(n, _ ast.Node) { at[altersAt(n)] = true })
					case name == "make" && (i == 2 || i == 1 && isMap(x.Args[0])), name == "slices.Grow" && i == 1:
						walk(a, func(n, _ ast.Node) { at[altersAt(n)] = true })
					}
				}
			case *ast.BasicLit:
				switch p := parent.(type) {
				case *ast.CompositeLit, *ast.KeyValueExpr: // an entry of a table
				case *ast.ValueSpec:
					at[x.Pos()] = at[x.Pos()] || p.Type == nil && tiny(x, nil) // else a quantity
				case *ast.BinaryExpr: // with the factor of a tolerance
					at[x.Pos()] = at[x.Pos()] || tiny(x, nil) || p.Op == token.MUL && p.X == x && tiny(p.Y, small) && isIdent(p.Y)
				default:
					at[x.Pos()] = at[x.Pos()] || tiny(x, nil)
				}
			case *ast.BinaryExpr:
				switch x.Op {
				case token.ADD, token.SUB, token.LSS, token.LEQ, token.GTR, token.GEQ:
					_, sum := ast.Unparen(x.Y).(*ast.BinaryExpr)
					if tiny(x.Y, small) && !(sum && (x.Op == token.ADD || x.Op == token.SUB)) {
						at[x.OpPos] = true
					}
				}
			case *ast.RangeStmt:
				if x.Key == nil && leaves(x.Body) && ofNumbers(x.X) {
					walk(x.X, func(n, _ ast.Node) { at[altersAt(n)] = true })
				}
			case *ast.IfStmt:
				if c, ok := x.Cond.(*ast.BinaryExpr); ok && x.Else == nil && takesOther(c, x.Body.List) {
					at[c.OpPos] = true
				}
			}
		})
	}
	return at
}

// parentOf is the last of the nodes above one, nil where none is.
func parentOf(above []ast.Node) ast.Node {
	if len(above) == 0 {
		return nil
	}
	return above[len(above)-1]
}

// refused is a condition under which there is an error.
var refused = regexp.MustCompile(`^[^|]*\b(err|\w+\.Err\(\)) != nil[^|]*$`)

// altersAt is where a number, an operator or a field stands.
func altersAt(n ast.Node) token.Pos {
	switch x := n.(type) {
	case *ast.BinaryExpr:
		return x.OpPos
	case *ast.SelectorExpr:
		return x.Sel.Pos()
	case nil:
		return token.NoPos
	}
	return n.Pos()
}

// okFalse reports whether x is the false of the only bool of the results.
func okFalse(results *ast.FieldList, x ast.Expr) bool {
	if id, ok := x.(*ast.Ident); !ok || id.Name != "false" || results == nil {
		return false
	}
	n := 0
	named := ""
	for _, f := range results.List {
		if types.ExprString(f.Type) == "bool" {
			n += max(1, len(f.Names))
			for _, id := range f.Names {
				named = id.Name
			}
		}
	}
	return n == 1 && (named == "" || named == "ok")
}

// wanted reports whether x, the last result, says what is wanted in place of what was refused.
func wanted(results *ast.FieldList, x ast.Expr) bool {
	if results.NumFields() == 0 {
		return false
	}
	names := results.List[len(results.List)-1].Names
	l, isText := x.(*ast.BasicLit)
	return len(names) > 0 && names[len(names)-1].Name == "want" && !(isText && l.Value == `""`)
}

// sentinel matches the errors of a package that have names.
var sentinel = regexp.MustCompile(`^([a-z]\w*\.)?Err[A-Z]\w*$`)

// fails reports whether x is an error that is not nil: err where it was looked at, one
// made on the spot, or the faults to which one was just added.
func fails(x ast.Expr, failed bool, before []ast.Stmt) bool {
	switch text := types.ExprString(x); {
	case text == "err" || strings.HasSuffix(text, ".Err()") && failed:
		return failed
	case strings.HasPrefix(text, "fmt.Errorf(") || strings.HasPrefix(text, "errors.New(") || sentinel.MatchString(text):
		return true
	case strings.HasSuffix(text, ".Err()") && len(before) > 0:
		s, ok := before[len(before)-1].(*ast.ExprStmt)
		if !ok {
			return false
		}
		c, ok := s.X.(*ast.CallExpr)
		return ok && types.ExprString(c.Fun) == strings.TrimSuffix(text, ".Err()")+".Add"
	}
	return false
}

func isMap(x ast.Expr) bool {
	_, ok := x.(*ast.MapType)
	return ok
}

func isIdent(x ast.Expr) bool { _, ok := x.(*ast.Ident); return ok }

// tiny reports whether x is a power of ten below 1e-6, as tolerances are, a constant that
// is one, or with small given what is reckoned with one.
func tiny(x ast.Expr, small map[string]bool) bool {
	switch x := x.(type) {
	case *ast.Ident:
		return small[x.Name]
	case *ast.ParenExpr:
		return tiny(x.X, small)
	case *ast.BinaryExpr: // such as 1 + slack or slack*x, in a comparison
		return small != nil && (tiny(x.X, small) || tiny(x.Y, small))
	case *ast.BasicLit:
		v, err := strconv.ParseFloat(x.Value, 64)
		return err == nil && strings.HasPrefix(x.Value, "1e-") && v < 1e-6
	}
	return false
}

// addSmall notes the constants of a file that are tolerances below 1e-6.
func addSmall(small map[string]bool, f *ast.File) {
	ast.Inspect(f, func(n ast.Node) bool {
		if s, ok := n.(*ast.ValueSpec); ok {
			for i, v := range s.Values {
				if s.Type == nil && tiny(v, nil) {
					small[s.Names[i].Name] = true
				}
			}
		}
		return true
	})
}

// takesOther reports whether a body does no more than to set one side of the comparison
// to the other, which changes nothing where they are the same.
func takesOther(c *ast.BinaryExpr, body []ast.Stmt) bool {
	switch c.Op {
	case token.LSS, token.LEQ, token.GTR, token.GEQ:
	default:
		return false
	}
	if len(body) != 1 {
		return false
	}
	s, ok := body[0].(*ast.AssignStmt)
	if !ok || s.Tok != token.ASSIGN || len(s.Lhs) != 1 {
		return false
	}
	x, y, to, from := types.ExprString(c.X), types.ExprString(c.Y), types.ExprString(s.Lhs[0]), types.ExprString(s.Rhs[0])
	return x == to && y == from || x == from && y == to
}
