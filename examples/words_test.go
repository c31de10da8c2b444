package examples_test

import (
	"go/ast"
	"go/token"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The comment of each constant of an enumeration says the word by which files and
// databases know it.
func TestConstantsSayTheirWords(t *testing.T) {
	counted := 0
	for _, pkg := range []string{"units", "volume", "sludge", "sludge/geostat", "sludge/removal",
		"volume/earthwork", "nutrient", "nutrient/allocation", "calibrate", "cover"} {
		files, _ := parsePackage(t, token.NewFileSet(), pkg)
		e := enumerations{words: map[string][]string{}, list: map[string]string{}, by: map[string]string{}, consts: map[string][]*ast.ValueSpec{}}
		for _, f := range files {
			for _, d := range f.Decls {
				e.read(d)
			}
		}
		for name, by := range e.by { // behind the constants may stand their count
			words, consts := e.words[e.list[by]], e.consts[name]
			require.GreaterOrEqual(t, len(consts), len(words), "%s.%s", pkg, name)
			for i, c := range consts[:len(words)] {
				require.Contains(t, c.Doc.Text()+c.Comment.Text(), strconv.Quote(words[i]), "%s.%s", pkg, c.Names[0])
				counted++
			}
		}
	}
	require.Greater(t, counted, 250)
}

// enumerations is what a package declares of units.Enum.
type enumerations struct {
	words  map[string][]string // variable of units.Names: its words
	list   map[string]string   // type that has the words: that variable
	by     map[string]string   // enumeration: that type
	consts map[string][]*ast.ValueSpec
}

func (e enumerations) read(d ast.Decl) {
	if f, ok := d.(*ast.FuncDecl); ok {
		if f.Name.Name == "Names" && f.Recv != nil && len(f.Body.List) == 1 {
			if list, ok := f.Body.List[0].(*ast.ReturnStmt).Results[0].(*ast.Ident); ok {
				e.list[f.Recv.List[0].Type.(*ast.Ident).Name] = list.Name
			}
		}
		return
	}
	of := "" // type of the constants of a group, which a line hands on to the next
	for _, s := range d.(*ast.GenDecl).Specs {
		switch s := s.(type) {
		case *ast.TypeSpec:
			if x, ok := s.Type.(*ast.IndexExpr); ok && strings.HasSuffix(text(x.X), "Enum") {
				e.by[s.Name.Name] = text(x.Index)
			}
		case *ast.ValueSpec:
			if s.Type != nil || len(s.Values) > 0 {
				of = text(s.Type)
			}
			if of != "" {
				e.consts[of] = append(e.consts[of], s)
			}
			for i, v := range s.Values {
				if names, ok := v.(*ast.CompositeLit); ok && strings.HasSuffix(text(names.Type), "Names") {
					e.words[s.Names[i].Name] = literals(names.Elts)
				}
			}
		}
	}
}

// text returns the last name of an expression, "" for none.
func text(x ast.Expr) string {
	switch x := x.(type) {
	case *ast.Ident:
		return x.Name
	case *ast.SelectorExpr:
		return x.Sel.Name
	}
	return ""
}

// literals returns the words of a list, without those that are empty.
func literals(list []ast.Expr) (words []string) {
	for _, x := range list {
		if kv, ok := x.(*ast.KeyValueExpr); ok {
			x = kv.Value
		}
		if word, err := strconv.Unquote(x.(*ast.BasicLit).Value); err == nil && word != "" {
			words = append(words, word)
		}
	}
	return words
}
