package main

import (
	"go/ast"
	"go/types"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// boundCalls are the methods that record what is wrong with a field: they are handed its
// name first, and answer nothing, or whether it was sound.
var boundCalls = func() map[string]bool {
	names := map[string]bool{}
	for m := range reflect.TypeFor[*units.Faults]().Methods() {
		t := m.Type // the first argument is the receiver
		sound := t.NumOut() == 0 || t.NumOut() == 1 && t.Out(0).Kind() == reflect.Bool
		named := t.NumIn() > 2 && slices.ContainsFunc([]int{1, 2}, func(i int) bool { return t.In(i) == reflect.TypeFor[string]() })
		names[m.Name] = sound && named && t.In(2) != reflect.TypeFor[error]()
	}
	return names
}()

// checksInput reports whether a call checks an input: a method of what gathers faults, a
// function that makes one, or one that is handed what gathers them.
func checksInput(c *ast.CallExpr, info *types.Info) bool {
	switch f := c.Fun.(type) {
	case *ast.SelectorExpr:
		return boundCalls[f.Sel.Name] && gathersFaults(info.TypeOf(f.X)) || makesFault(c)
	case *ast.Ident:
		return len(c.Args) > 0 && gathersFaults(info.TypeOf(c.Args[0])) || makesFault(c)
	}
	return false
}

// makesFault reports whether a call is one of units.Fault.
func makesFault(c *ast.CallExpr) bool { return types.ExprString(c.Fun) == "units.Fault" }

// gathersFaults reports whether a type is units.Faults or a pointer to it.
func gathersFaults(t types.Type) bool {
	if p, ok := t.(*types.Pointer); ok {
		t = p.Elem()
	}
	n, ok := t.(*types.Named)
	return ok && n.Obj().Name() == "Faults" && n.Obj().Pkg().Name() == "units"
}

// inChecks walks over what stands in a check of an input, or works out what is read in
// checks alone, apart from the rest: visit is told which, and whether to go on below.
func inChecks(root ast.Node, only map[types.Object]bool, info *types.Info, visit func(n ast.Node, bound bool) bool) {
	var walk func(n ast.Node, bound bool)
	walk = func(n ast.Node, bound bool) {
		ast.Inspect(n, func(n ast.Node) bool {
			if n == nil || !visit(n, bound) {
				return false
			}
			if bound {
				return true
			}
			checks, rest := []ast.Node{}, []ast.Node{}
			switch x := n.(type) {
			case *ast.CallExpr:
				switch {
				case checksInput(x, info):
					checks = nodes(x.Args)
				case types.ExprString(x.Fun) == "min" && len(x.Args) == 2 && strings.HasPrefix(types.ExprString(x.Args[0]), "len("):
					checks = nodes(x.Args) // how many of a list are looked at, whose length was checked
				}
			case *ast.ValueSpec:
				if anyOf(x.Names, only, info) {
					checks = nodes(x.Values)
				}
			case *ast.AssignStmt:
				if anyOf(x.Lhs, only, info) {
					checks = nodes(x.Rhs)
				}
			case *ast.IfStmt:
				if onlyFault(x.Body.List, info) {
					checks = []ast.Node{x.Cond, x.Body}
					if x.Init != nil {
						rest = append(rest, x.Init)
					}
					if x.Else != nil {
						rest = append(rest, x.Else)
					}
				}
			case *ast.CaseClause:
				if onlyFault(x.Body, info) {
					checks = append(nodes(x.List), nodes(x.Body)...)
				}
			}
			for _, n := range checks {
				walk(n, true)
			}
			for _, n := range rest {
				walk(n, false)
			}
			return len(checks) == 0
		})
	}
	walk(root, false)
}

func nodes[N ast.Node](list []N) []ast.Node {
	out := make([]ast.Node, len(list))
	for i, n := range list {
		out[i] = n
	}
	return out
}

// sharedBound are the constants that bound the inputs of other packages, too.
var sharedBound = regexp.MustCompile(`^(Min|Max)[A-Z]`)

// onlyBounds finds the constants and variables that are read in checks of inputs alone,
// there or in what such a one is worked out from, and those that are shared bounds.
func onlyBounds(sources []*source, info *types.Info) map[types.Object]bool {
	only := map[types.Object]bool{}
	for {
		inside, outside := map[types.Object]bool{}, map[types.Object]bool{}
		for _, s := range sources {
			inChecks(s.tree, only, info, func(n ast.Node, bound bool) bool {
				if id, ok := n.(*ast.Ident); ok && info.Uses[id] != nil {
					or(bound, inside, outside)[info.Uses[id]] = true
				}
				return true
			})
		}
		before := len(only)
		for o := range inside {
			switch o.(type) {
			case *types.Const, *types.Var:
				if !outside[o] && !o.Exported() {
					only[o] = true
				}
			}
		}
		for id, o := range info.Defs {
			if _, ok := o.(*types.Const); ok && sharedBound.MatchString(id.Name) {
				only[o] = true
			}
		}
		if len(only) == before {
			return only
		}
	}
}

// anyOf reports whether one of the names that are set is of those.
func anyOf[E ast.Expr](list []E, of map[types.Object]bool, info *types.Info) bool {
	return slices.ContainsFunc(list, func(e E) bool {
		id, ok := any(e).(*ast.Ident)
		return ok && of[info.ObjectOf(id)]
	})
}

// onlyFault reports whether statements do nothing but record faults, and leave.
func onlyFault(list []ast.Stmt, info *types.Info) bool {
	n := 0
	for _, s := range list {
		switch x := s.(type) {
		case *ast.BranchStmt:
			continue
		case *ast.ReturnStmt:
			if len(x.Results) > 0 {
				if c, ok := x.Results[len(x.Results)-1].(*ast.CallExpr); ok && makesFault(c) {
					n++
				}
			}
			continue
		case *ast.ExprStmt:
			if c, ok := x.X.(*ast.CallExpr); ok && checksInput(c, info) {
				n++
				continue
			}
		}
		return false
	}
	return n > 0
}
