package main

import (
	"bytes"
	"go/ast"
	"go/token"
	"go/types"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"example.org/earthbasin/units"
)

// allKinds are the kinds of places.
var allKinds = []string{"cell", "number", "operator", "field", "bound", "text"}

// place is a piece of a file and what stands there when it is altered.
type place struct {
	kind, file string
	at, line   int
	old, new   string
	unseen     bool // no test could notice it
}

// places lists what can be altered in the source and the data of a package, without
// its tests and its sub-packages, in the order of the files.
func places(folder string) (list []place, err error) {
	err = filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir():
			if path != folder && (d.Name() == "testdata" || holdsSource(path)) {
				return fs.SkipDir
			}
		case strings.HasSuffix(path, ".json") && !strings.HasSuffix(path, ".schema.json"):
			text, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			list = append(list, cells(path, text)...)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	set := token.NewFileSet()
	sources, err := parse(set, folder)
	if err != nil {
		return nil, err
	}
	check, err := checker(folder)
	if err != nil {
		return nil, err
	}
	info := newInfo()
	if faults := check(set, sources, info); len(faults) > 0 {
		return nil, faults[0]
	}
	return append(list, codePlaces(set, sources, info)...), nil
}

func holdsSource(folder string) bool {
	names, _ := filepath.Glob(filepath.Join(folder, "*.go"))
	return len(names) > 0
}

var (
	// A value that begins as a number: bare, or a text that may go on with a unit or
	// hold several.
	value  = regexp.MustCompile(`"((?:[^"\\]|\\.)*)"(\s*:)?|-?[0-9][0-9.eE+-]*`)
	figure = regexp.MustCompile(`[0-9]+(\.[0-9]+)?`)
)

// words are the keys whose values are no figures of a table.
var words = map[string]bool{"id": true, "title": true, "publisher": true, "number": true, "year": true, "edition": true, "url": true, "source": true,
	"place": true, "page": true, "table": true, "note": true, "notes": true, "name": true, "lacks": true, "how": true, "why": true, "purpose": true, "periods": true,
	"label": true, "hint": true, "jurisdiction": true, "a": true, "b": true, "c": true} // the letters are those of footnotes

// cells lists the numbers of a JSON file that stand in values.
func cells(file string, text []byte) (list []place) {
	key := ""
	for _, m := range value.FindAllSubmatchIndex(text, -1) {
		if m[4] >= 0 {
			key = string(text[m[2]:m[3]])
			continue
		}
		from, to := m[0], m[1]
		if m[2] >= 0 {
			from, to = m[2], m[3]
			if from == to || text[from] < '0' || text[from] > '9' {
				continue
			}
		}
		if words[key] {
			continue
		}
		for _, n := range figure.FindAllIndex(text[from:to], -1) {
			at := from + n[0]
			old := string(text[at : from+n[1]])
			list = append(list, place{"cell", file, at, line(text, at), old, altered(old), false})
		}
	}
	return list
}

func line(text []byte, at int) int { return 1 + bytes.Count(text[:at], []byte("\n")) }

// altered is a number a fifth greater, with as many decimals, and another in any case.
func altered(old string) string {
	x, err := strconv.ParseFloat(strings.ReplaceAll(old, "_", ""), 64)
	if err != nil || x == 0 {
		return "1"
	}
	_, decimals, _ := strings.Cut(old, ".")
	if strings.ContainsAny(old, "eE") {
		return strconv.FormatFloat(1.2*x, 'g', -1, 64)
	}
	s := strconv.FormatFloat(1.2*x, 'f', len(decimals), 64)
	if y, _ := strconv.ParseFloat(s, 64); y == x {
		return strconv.FormatFloat(x+1, 'f', len(decimals), 64)
	}
	return s
}

var operators = map[token.Token]string{
	token.ADD: "-", token.SUB: "+", token.MUL: "/", token.QUO: "*", token.LSS: "<=", token.LEQ: "<", token.GTR: ">=", token.GEQ: ">",
	token.EQL: "!=", token.NEQ: "==", token.LAND: "||", token.LOR: "&&", token.ADD_ASSIGN: "-=", token.SUB_ASSIGN: "+=", token.MUL_ASSIGN: "/=", token.QUO_ASSIGN: "*=",
}

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

// textNames are those of functions that only show a thing.
var textNames = regexp.MustCompile(`^(String|Working|working|how|Text|GoString)$`)

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

// codePlaces lists the numbers, operators and fields of source files of a package.
func codePlaces(set *token.FileSet, sources []*source, info *types.Info) (list []place) {
	siblings := map[string]string{}
	small := map[string]bool{}
	for _, s := range sources {
		addSiblings(siblings, s.tree)
		addSmall(small, s.tree)
	}
	only := onlyBounds(sources, info)
	for _, s := range sources {
		shows := false
		equal := unseen(s.tree, small)
		add := func(kind string, pos token.Pos, old, new string) {
			p := set.Position(pos)
			if shows {
				kind = "text"
			}
			list = append(list, place{kind, s.name, p.Offset, p.Line, old, new, equal[pos]})
		}
		var walk func(n ast.Node, bound bool)
		walk = func(n ast.Node, bound bool) {
			ast.Inspect(n, func(n ast.Node) bool {
				switch x := n.(type) {
				case *ast.ImportSpec, *ast.StructType:
					return false
				case *ast.FuncDecl:
					shows = textNames.MatchString(x.Name.Name)
				case *ast.CallExpr:
					if !bound && checksInput(x, info) {
						for _, a := range x.Args {
							walk(a, true)
						}
						return false
					}
				case *ast.ValueSpec:
					if !bound && anyOf(x.Names, only, info) {
						for _, v := range x.Values {
							walk(v, true)
						}
						return false
					}
				case *ast.IfStmt:
					if !bound && onlyFault(x.Body, info) {
						if x.Init != nil {
							walk(x.Init, false)
						}
						walk(x.Cond, true)
						walk(x.Body, true)
						if x.Else != nil {
							walk(x.Else, false)
						}
						return false
					}
				case *ast.BasicLit:
					if x.Kind == token.INT || x.Kind == token.FLOAT {
						add(or(bound, "bound", "number"), x.Pos(), x.Value, altered(x.Value))
					}
				case *ast.BinaryExpr:
					if l, ok := x.Y.(*ast.BasicLit); ok && x.Op == token.ADD && l.Value == "0" {
						walk(x.X, bound) // + 0 makes 0 of -0
						return false
					}
					if o := operators[x.Op]; o != "" {
						add(or(bound, "bound", "operator"), x.OpPos, x.Op.String(), o)
					}
				case *ast.AssignStmt:
					if !bound && anyOf(x.Lhs, only, info) {
						for _, v := range x.Rhs {
							walk(v, true)
						}
						return false
					}
					if o := operators[x.Tok]; o != "" {
						add(or(bound, "bound", "operator"), x.TokPos, x.Tok.String(), o)
					}
				case *ast.Ident:
					if o := map[string]string{"true": "false", "false": "true", "min": "max", "max": "min"}[x.Name]; o != "" {
						add(or(bound, "bound", "operator"), x.Pos(), x.Name, o)
					}
				case *ast.SelectorExpr:
					if o := siblings[x.Sel.Name]; o != "" && !bound {
						add("field", x.Sel.Pos(), x.Sel.Name, o)
					}
				}
				return true
			})
		}
		walk(s.tree, false)
	}
	return list
}

// onlyBounds finds the constants and variables that are read in checks of inputs alone,
// there or in what such a one is worked out from.
func onlyBounds(sources []*source, info *types.Info) map[types.Object]bool {
	only := map[types.Object]bool{}
	for {
		inside, outside := map[types.Object]bool{}, map[types.Object]bool{}
		for _, s := range sources {
			var walk func(n ast.Node, bound bool)
			walk = func(n ast.Node, bound bool) {
				ast.Inspect(n, func(n ast.Node) bool {
					each := func(bound bool, list ...ast.Expr) {
						for _, x := range list {
							walk(x, bound)
						}
					}
					switch x := n.(type) {
					case *ast.Ident:
						if o := info.Uses[x]; o != nil {
							or(bound, inside, outside)[o] = true
						}
					case *ast.CallExpr:
						if !bound && checksInput(x, info) {
							each(true, x.Args...)
							return false
						}
					case *ast.ValueSpec:
						if anyOf(x.Names, only, info) {
							each(true, x.Values...)
							return false
						}
					case *ast.AssignStmt:
						if anyOf(x.Lhs, only, info) {
							each(true, x.Rhs...)
							return false
						}
					case *ast.IfStmt:
						if !bound && onlyFault(x.Body, info) {
							if x.Init != nil {
								walk(x.Init, false)
							}
							walk(x.Cond, true)
							walk(x.Body, true)
							if x.Else != nil {
								walk(x.Else, false)
							}
							return false
						}
					}
					return true
				})
			}
			walk(s.tree, false)
		}
		before := len(only)
		for o := range inside {
			switch o.(type) {
			case *types.Const, *types.Var:
				if !outside[o] && !o.Exported() && info.Defs != nil {
					only[o] = true
				}
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

// onlyFault reports whether a block does nothing but record faults, and leave.
func onlyFault(b *ast.BlockStmt, info *types.Info) bool {
	n := 0
	for _, s := range b.List {
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

func or[T any](x bool, yes, no T) T {
	if x {
		return yes
	}
	return no
}

func newInfo() *types.Info {
	return &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{}}
}

// addSiblings notes for each field of a struct the next field of the same type.
func addSiblings(siblings map[string]string, f *ast.File) {
	ast.Inspect(f, func(n ast.Node) bool {
		s, ok := n.(*ast.StructType)
		if !ok {
			return true
		}
		byType := map[string][]string{}
		for _, field := range s.Fields.List {
			var text strings.Builder
			ast.Inspect(field.Type, func(n ast.Node) bool {
				if id, ok := n.(*ast.Ident); ok {
					text.WriteString(id.Name + " ")
				}
				return true
			})
			for _, name := range field.Names {
				byType[text.String()] = append(byType[text.String()], name.Name)
			}
		}
		for _, names := range byType {
			for i, name := range names {
				if len(names) > 1 && siblings[name] == "" {
					siblings[name] = names[(i+1)%len(names)]
				}
			}
		}
		return true
	})
}
