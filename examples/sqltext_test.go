package examples

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Whatever has a text form goes into a database as that text: a type without Value
// and Scan would be stored as its number, an enumeration as its place in a list.
func TestTextGoesIntoDatabases(t *testing.T) {
	methods := map[string][]string{}
	text := map[string]bool{}
	enumerations := 0
	require.NoError(t, filepath.WalkDir("..", func(file string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if file == filepath.Join("..", "examples") || d.Name() == "internal" || file != ".." && strings.HasPrefix(d.Name(), ".") {
				return fs.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return nil
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		for _, decl := range parsed.Decls {
			if types, ok := decl.(*ast.GenDecl); ok {
				for _, spec := range types.Specs {
					if of, ok := spec.(*ast.TypeSpec); ok {
						if of.Assign.IsValid() {
							if generic, ok := of.Type.(*ast.IndexExpr); ok && fmt.Sprint(generic.X) == "&{units Enum}" {
								enumerations++ // with the text of units.Enum
							}
						}
						if kind, ok := of.Type.(*ast.Ident); ok && kind.Name == "string" {
							text[filepath.Dir(file)+"."+of.Name.Name] = true // is stored as it stands
						}
					}
				}
			}
			f, ok := decl.(*ast.FuncDecl)
			if !ok || f.Recv == nil {
				continue
			}
			on := f.Recv.List[0].Type
			if star, ok := on.(*ast.StarExpr); ok {
				on = star.X
			}
			if generic, ok := on.(*ast.IndexExpr); ok {
				on = generic.X
			}
			if name, ok := on.(*ast.Ident); ok && name.IsExported() {
				key := filepath.Dir(file) + "." + name.Name
				methods[key] = append(methods[key], f.Name.Name)
			}
		}
		return nil
	}))
	n := 0
	for of, list := range methods {
		if slices.Contains(list, "UnmarshalText") && !text[of] {
			n++
			require.Contains(t, list, "Value", of)
			require.Contains(t, list, "Scan", of)
		}
	}
	require.Greater(t, n, 25)
	require.Greater(t, enumerations, 70)
}
