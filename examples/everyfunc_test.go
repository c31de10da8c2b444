package examples_test

import (
	"bytes"
	"flag"
	"fmt"
	"go/ast"
	"go/format"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the list of functions anew")

// instances gives the type arguments that a generic function is tried with. A
// generic function that is missing here fails the test of the list.
var instances = map[string][]string{
	"calibrate.Correct":       {"units.MassPerArea", "units.VolumePerArea"},
	"calibrate.EmptyDistance": {"units.Mass, units.MassPerArea", "units.Volume, units.VolumePerArea"},
	"calibrate.LoadArea":      {"units.Mass, units.MassPerArea", "units.Volume, units.VolumePerArea"},
	"calibrate.MeasuredOf":    {"units.VolumePerArea"},
	"sample.FindOutlier":      {"units.Length"},
	"sample.Summarize":        {"units.Length"},
	"strict.Make":             {"plane.Point, plane.Point"},
	"units.As":                {"units.Volume"},
	"units.Point":             {"units.Length"},
	"units.PricePer":          {"units.Mass"},
	"units.UnmarshalName":     {"int"},
	"units.Values":            {"units.Oxides"},
}

// apart holds the folders without arithmetic for users: what serves tests, and
// what only the module itself can import.
var apart = []string{"examples", "units/evidence"}

// exported lists every exported function below the root of the module as
// package path and call, such as "earthwork.Crown".
func exported(t *testing.T, root string) (imports map[string]string, calls []string) {
	imports = map[string]string{"units": module + "/units"}
	require.NoError(t, filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(root, file)
		rel = filepath.ToSlash(rel)
		if d.IsDir() {
			if slices.Contains(apart, rel) || d.Name() == "internal" || d.Name() == "testdata" || rel != "." && strings.HasPrefix(d.Name(), ".") {
				return fs.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(rel, ".go") || strings.HasSuffix(rel, "_test.go") {
			return nil
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		for _, decl := range parsed.Decls {
			f, ok := decl.(*ast.FuncDecl)
			if !ok || f.Recv != nil || !f.Name.IsExported() {
				continue
			}
			call := parsed.Name.Name + "." + f.Name.Name
			imports[parsed.Name.Name] = module + "/" + path.Dir(rel)
			if f.Type.TypeParams == nil {
				calls = append(calls, call)
				continue
			}
			require.Contains(t, instances, call, "say which type arguments the generic function is tried with")
			for _, args := range instances[call] {
				calls = append(calls, call+"["+args+"]")
			}
		}
		return nil
	}))
	slices.Sort(calls)
	return imports, calls
}

func TestListIsComplete(t *testing.T) {
	imports, calls := exported(t, "..")
	var b bytes.Buffer
	b.WriteString("// Written by go test -update; do not edit.\n\npackage everyfunc\n\nimport (\n")
	for _, path := range slices.Sorted(func(yield func(string) bool) {
		for _, p := range imports {
			if !yield(p) {
				return
			}
		}
	}) {
		fmt.Fprintf(&b, "%q\n", path)
	}
	b.WriteString(")\n\n// functions is every exported function of the library.\nvar functions = map[string]any{\n")
	for _, call := range calls {
		fmt.Fprintf(&b, "%q: %s,\n", call, call)
	}
	b.WriteString("}\n")
	want, err := format.Source(b.Bytes())
	require.NoError(t, err)
	const file = "internal/everyfunc/functions_test.go"
	if *update {
		require.NoError(t, os.WriteFile(file, want, 0o644))
	}
	got, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(string(got), string(want)), "run go test ./examples -run TestListIsComplete -update")
}
