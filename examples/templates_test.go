package examples_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// templateArgs says which arguments of a call by its name are templates.
var templateArgs = map[string][]int{
	"Words": {0}, "Word": {0}, "And": {0},
	"Missing": {1}, "Say": {1, 2}, "Lacking": {1, 2}, "Count": {2, 3}, "CountBetween": {2}, "Fault": {3},
}

var verbs, words = regexp.MustCompile(`%[-+0-9.#]*[a-z]`), regexp.MustCompile(`[A-Za-z]`)

// templates collects, of the files of a folder, what a [units.Style] may translate: the
// literals given to working, phrases and faults, also through a function of the same
// folder that hands its parameter on, and the words of enumerations.
// glued are those put together with what is only known when the program runs, which no
// translator can find.
func templates(files []*ast.File) (list, glued map[string]bool) {
	found, through, glued := map[string]bool{}, map[string][]int{}, map[string]bool{}
	for grown := true; grown; { // until no more functions hand a template on
		grown = false
		for _, file := range files {
			var names []string // of the functions around a node, with their parameters
			params := map[string][2]any{}
			enter := func(name string, t *ast.FuncType) {
				names = append(names, name)
				i := 0
				for _, field := range t.Params.List {
					for _, p := range field.Names {
						params[p.Name] = [2]any{name, i}
						i++
					}
				}
			}
			workings := map[string]bool{}
			take := func(e ast.Expr) {
				if text, ok := literal(e); ok {
					found[text] = true
				} else if sum, ok := e.(*ast.BinaryExpr); ok && sum.Op == token.ADD {
					glued[texts(sum)] = true
				} else if id, ok := e.(*ast.Ident); ok && params[id.Name][0] != nil {
					name, at := params[id.Name][0].(string), params[id.Name][1].(int)
					if name != "" && !slices.Contains(through[name], at) {
						through[name], grown = append(through[name], at), true
					}
				}
			}
			ast.Inspect(file, func(n ast.Node) bool {
				switch n := n.(type) {
				case *ast.FuncDecl:
					params, workings = map[string][2]any{}, map[string]bool{}
					enter(n.Name.Name, n.Type)
				case *ast.AssignStmt:
					for i, right := range n.Rhs {
						if f, ok := right.(*ast.FuncLit); ok && i < len(n.Lhs) {
							if id, ok := n.Lhs[i].(*ast.Ident); ok {
								enter(id.Name, f.Type)
							}
						}
					}
				case *ast.ValueSpec:
					for _, id := range n.Names {
						workings[id.Name] = workings[id.Name] || n.Type != nil && strings.HasSuffix(typeText(n.Type), "Working")
					}
				case *ast.Field:
					for _, id := range n.Names {
						workings[id.Name] = workings[id.Name] || strings.HasSuffix(typeText(n.Type), "Working")
					}
				case *ast.CompositeLit:
					if n.Type != nil && strings.TrimPrefix(typeText(n.Type), "units.") == "Names" {
						for _, e := range n.Elts {
							if kv, ok := e.(*ast.KeyValueExpr); ok {
								e = kv.Value
							}
							take(e)
						}
					}
				case *ast.CallExpr:
					name, on := "", ""
					switch f := n.Fun.(type) {
					case *ast.Ident:
						name = f.Name
					case *ast.SelectorExpr:
						name, on = f.Sel.Name, typeText(f.X)
					}
					at := slices.Concat(templateArgs[name], through[name])
					if name == "Add" {
						at = []int{2}
						if workings[on] {
							at = []int{0, 2}
						}
					}
					for _, i := range at {
						if i < len(n.Args) {
							take(n.Args[i])
						}
					}
				}
				return true
			})
		}
	}
	noWords := func(text string, _ bool) bool { return !words.MatchString(verbs.ReplaceAllString(text, "")) }
	maps.DeleteFunc(found, noWords)
	maps.DeleteFunc(glued, noWords)
	return found, glued
}

// texts is what of a sum is literal, with the rest as dots.
func texts(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.BasicLit:
		text, _ := strconv.Unquote(e.Value)
		return text
	case *ast.BinaryExpr:
		return texts(e.X) + texts(e.Y)
	}
	return "..."
}

// literal is the text of a string literal or of several put together.
func literal(e ast.Expr) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		text, err := strconv.Unquote(e.Value)
		return text, err == nil && e.Kind == token.STRING
	case *ast.BinaryExpr:
		a, ok := literal(e.X)
		b, also := literal(e.Y)
		return a + b, ok && also && e.Op == token.ADD
	}
	return "", false
}

func typeText(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.StarExpr:
		return typeText(e.X)
	case *ast.SelectorExpr:
		return typeText(e.X) + "." + e.Sel.Name
	}
	return ""
}

// The list of the templates that a translator needs is complete.
func TestListIsCompleteOfTemplates(t *testing.T) {
	folders := map[string][]*ast.File{}
	require.NoError(t, filepath.WalkDir("..", func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() && (d.Name() == "testdata" || len(d.Name()) > 2 && d.Name()[0] == '.') {
			if err == nil {
				err = fs.SkipDir
			}
			return err
		}
		if !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return nil
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
		at := path.Dir(strings.TrimPrefix(filepath.ToSlash(file), "../"))
		folders[at] = append(folders[at], parsed)
		return err
	}))
	var b strings.Builder
	for _, folder := range slices.Sorted(maps.Keys(folders)) {
		found, glued := templates(folders[folder])
		if !strings.HasPrefix(folder, "examples/") || folder == "examples/statecalc" {
			assert.Empty(t, glued, "%s: give the parts as arguments of one template", folder)
		}
		if len(found) > 0 {
			fmt.Fprintf(&b, "%s\n", folder)
			for _, text := range slices.Sorted(maps.Keys(found)) {
				fmt.Fprintf(&b, "\t%q\n", text)
			}
		}
	}
	list := filepath.Join("testdata", "templates.txt")
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o777))
		require.NoError(t, os.WriteFile(list, []byte(b.String()), 0o666))
	}
	got, err := os.ReadFile(list)
	require.NoError(t, err)
	if b.String() != string(got) {
		t.Fatal("the list of templates is not that of the code; rewrite it with go test ./examples -run TestListIsComplete -update")
	}
}

// A template is found where it is given, put together, and handed on.
func TestTemplatesAreFound(t *testing.T) {
	file, err := parser.ParseFile(token.NewFileSet(), "a.go", `package a
var names = units.Names{"dry", "wet"}
func (r R) Working() units.Working {
	var w units.Working
	w.Add("item", r.V, "how %v", r.X)
	put := func(v units.Volume, what string) { w.Put(units.Words("of %s", units.Word(what)), v, units.Words("a " + "b").And("; more")) }
	put(r.V, "handed on")
	return w
}
func check(f *units.Faults) { f.Add("field", "got", "%v to %v"); f.Add("field", "got", "%.1f %%"); f.Add("field", "got", "want"); f.Missing("field", "a length"); f.Say("field", "none", "one"); f.Add("field", "got", near("got") + "or nothing") }
`, 0)
	require.NoError(t, err)
	found, glued := templates([]*ast.File{file})
	require.Equal(t, []string{"...or nothing"}, slices.Sorted(maps.Keys(glued)))
	require.Equal(t, []string{"%v to %v", "; more", "a b", "a length", "dry", "handed on", "how %v", "item", "none", "of %s", "one", "want", "wet"},
		slices.Sorted(maps.Keys(found)))
}
