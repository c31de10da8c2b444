package main

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strings"
)

// oneLength finds the fields of slices of which no more than the length is asked, by len or
// by a loop over their indices, where the field that would take their place always has the
// same one: siblings tells its name.
func oneLength(sources []*source, info *types.Info, siblings map[string]string) map[token.Pos]bool {
	at := map[token.Pos]bool{}
	set := lengthsSet(sources, info)
	asked := func(x ast.Expr) {
		s, ok := x.(*ast.SelectorExpr)
		if !ok || info.Uses[s.Sel] == nil {
			return
		}
		other := fieldOf(info.TypeOf(s.X), siblings[s.Sel.Name])
		if how := set[info.Uses[s.Sel]]; how != "" && other != nil && set[other] == how {
			at[s.Sel.Pos()] = true
		}
	}
	for _, s := range sources {
		ast.Inspect(s.tree, func(n ast.Node) bool {
			switch x := n.(type) {
			case *ast.CallExpr:
				if types.ExprString(x.Fun) == "len" && len(x.Args) == 1 {
					asked(x.Args[0])
				}
			case *ast.RangeStmt:
				if x.Value == nil {
					asked(x.X)
				}
			}
			return true
		})
	}
	return at
}

// lengthsSet tells of each field that the package alone can set how its length is set,
// place by place: by making it of a length or appending one value. Fields of which that is
// the same word for word are of one length. It has none that is set in another way.
func lengthsSet(sources []*source, info *types.Info) map[types.Object]string {
	how := map[types.Object][]string{}
	other := map[types.Object]bool{}
	field := func(x ast.Expr) types.Object {
		var id *ast.Ident
		switch x := x.(type) {
		case *ast.SelectorExpr:
			id = x.Sel
		case *ast.Ident:
			id = x
		default:
			return nil
		}
		if v, ok := info.Uses[id].(*types.Var); ok && v.IsField() {
			return v
		}
		return nil
	}
	note := func(f types.Object, n ast.Node, of, to string, value ast.Expr) {
		c, ok := value.(*ast.CallExpr)
		if !ok || f.Exported() {
			other[f] = true
			return
		}
		switch name := types.ExprString(c.Fun); {
		case name == "make":
			var args []string
			for _, a := range c.Args[1:] {
				args = append(args, types.ExprString(a))
			}
			how[f] = append(how[f], fmt.Sprint(n.Pos(), " ", of, " make ", args))
		case name == "append" && len(c.Args) == 2 && !c.Ellipsis.IsValid() && types.ExprString(c.Args[0]) == to:
			how[f] = append(how[f], fmt.Sprint(n.Pos(), " ", of, " append"))
		default:
			other[f] = true
		}
	}
	for _, s := range sources {
		ast.Inspect(s.tree, func(n ast.Node) bool {
			switch x := n.(type) {
			case *ast.AssignStmt:
				for i, to := range x.Lhs {
					f := field(to)
					switch s, ok := to.(*ast.SelectorExpr); {
					case f == nil:
					case ok && len(x.Lhs) == len(x.Rhs):
						note(f, x, types.ExprString(s.X), types.ExprString(s), x.Rhs[i])
					default:
						other[f] = true
					}
				}
			case *ast.CompositeLit:
				for i, e := range x.Elts {
					if kv, ok := e.(*ast.KeyValueExpr); !ok {
						if f := fieldNumber(info.TypeOf(x), i); f != nil {
							other[f] = true
						}
					} else if f := field(kv.Key); f != nil {
						note(f, x, "", "", kv.Value)
					}
				}
			case *ast.UnaryExpr:
				if f := field(x.X); x.Op == token.AND && f != nil {
					other[f] = true
				}
			}
			return true
		})
	}
	set := map[types.Object]string{}
	for f, list := range how {
		if !other[f] {
			slices.Sort(list)
			set[f] = strings.Join(list, "\n")
		}
	}
	return set
}

// structOf is the struct of a type or of what it points to, nil where it is none.
func structOf(t types.Type) *types.Struct {
	if t == nil {
		return nil
	}
	if p, ok := t.Underlying().(*types.Pointer); ok {
		t = p.Elem()
	}
	s, _ := t.Underlying().(*types.Struct)
	return s
}

// fieldOf is the field of a struct that has the name, nil where none has.
func fieldOf(t types.Type, name string) types.Object {
	if s := structOf(t); s != nil {
		for v := range s.Fields() {
			if v.Name() == name {
				return v
			}
		}
	}
	return nil
}

// fieldNumber is field i of a struct.
func fieldNumber(t types.Type, i int) types.Object {
	if s := structOf(t); s != nil && i < s.NumFields() {
		return s.Field(i)
	}
	return nil
}
