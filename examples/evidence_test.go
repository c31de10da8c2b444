package examples_test

import (
	"encoding/csv"
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// parsePackage returns the files of a folder of the module, those of tests
// apart.
func parsePackage(t *testing.T, set *token.FileSet, folder string) (files, tests []*ast.File) {
	names, err := filepath.Glob(filepath.Join("..", filepath.FromSlash(folder), "*.go"))
	require.NoError(t, err)
	require.NotEmpty(t, names, folder)
	for _, name := range names {
		f, err := parser.ParseFile(set, name, nil, parser.ParseComments)
		require.NoError(t, err)
		if strings.HasSuffix(name, "_test.go") {
			tests = append(tests, f)
		} else {
			files = append(files, f)
		}
	}
	return files, tests
}

// Every row of the page of outside checks belongs to a test that is still
// there and so holds it; the test itself compares the rows.
func TestEveryCheckHasItsTest(t *testing.T) {
	f, err := os.Open("../testdata/checks.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 1)
	has := map[string]map[string]bool{}
	for _, row := range rows[1:] {
		pkg := row[0]
		if has[pkg] == nil {
			has[pkg] = map[string]bool{}
			_, tests := parsePackage(t, token.NewFileSet(), pkg)
			for _, file := range tests {
				for _, d := range file.Decls {
					if fn, ok := d.(*ast.FuncDecl); ok {
						has[pkg][fn.Name.Name] = true
					}
				}
			}
		}
		name, _, _ := strings.Cut(row[1], "/")
		require.True(t, has[pkg][name], "%s has no %s", pkg, name)
	}
}

// Every exported name and field has a comment, and every function an example.
func TestExportedNamesAreDocumented(t *testing.T) {
	for _, pkg := range []string{"units", "units/plane", "units/sample", "volume", "sludge", "sludge/geostat", "sludge/removal",
		"volume/earthwork", "nutrient", "nutrient/allocation", "calibrate", "cover"} {
		set := token.NewFileSet()
		files, tests := parsePackage(t, set, pkg)
		shown := map[string]bool{}
		for _, e := range doc.Examples(tests...) {
			name, _, _ := strings.Cut(e.Name, "_")
			shown[name] = true
		}
		p, err := doc.NewFromFiles(set, files, module+"/"+pkg)
		require.NoError(t, err)
		require.NotEmpty(t, p.Doc, pkg)
		values := func(list []*doc.Value) {
			for _, v := range list {
				for _, s := range v.Decl.Specs {
					s := s.(*ast.ValueSpec)
					require.NotEmpty(t, v.Doc+s.Doc.Text()+s.Comment.Text(), "%s: %s", pkg, s.Names[0])
				}
			}
		}
		funcs := func(list []*doc.Func) {
			for _, f := range list {
				require.NotEmpty(t, f.Doc, "%s: %s %s", pkg, f.Recv, f.Name)
				if f.Recv == "" && !shown[f.Name] {
					t.Errorf("%s: %s has no example", pkg, f.Name)
				}
			}
		}
		values(p.Consts)
		values(p.Vars)
		funcs(p.Funcs)
		for _, typ := range p.Types {
			require.NotEmpty(t, typ.Doc, "%s: %s", pkg, typ.Name)
			if st, ok := typ.Decl.Specs[0].(*ast.TypeSpec).Type.(*ast.StructType); ok {
				for _, f := range st.Fields.List {
					for _, name := range f.Names {
						if name.IsExported() && f.Doc.Text()+f.Comment.Text() == "" {
							t.Errorf("%s: field %s.%s has no comment", pkg, typ.Name, name)
						}
					}
				}
			}
			values(typ.Consts)
			values(typ.Vars)
			funcs(typ.Funcs)
			funcs(typ.Methods)
		}
	}
}
