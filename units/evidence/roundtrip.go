package evidence

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// Trips holds the named types that [RoundTrip] sent through JSON.
type Trips map[string]bool

// RoundTrip reads a spec from JSON, writes it and reads it back strictly to the same
// spec, and does so with the result of the computation, whose working it also shows in
// metric units. Give each function once with only its required fields set: what nobody
// set must not stop the writing.
func RoundTrip[S, R any](t *testing.T, seen Trips, run func(S) (R, error), text string) {
	t.Helper()
	var spec S
	if err := strict.Decode([]byte(text), &spec); err != nil {
		t.Errorf("%s: %v", text, err)
		return
	}
	r, err := run(spec)
	if err != nil {
		t.Errorf("%s: %v", text, err)
		return
	}
	there(t, spec)
	there(t, r)
	metric(t, r)
	seen.add(reflect.TypeFor[S]())
	seen.add(reflect.TypeFor[R]())
}

// us is a number in a unit of US trade. (Notes quote the figures of their source.)
var us = regexp.MustCompile(`[0-9] (ft|in|mi|gal|lb|oz|acre|mph|gpm|yd3|ton|ft2)\b`)

// metric demands that the working of r shows no US unit to who asked for metric ones.
func metric(t *testing.T, r any) {
	t.Helper()
	shower, ok := r.(interface{ Working() units.Working })
	if !ok {
		return
	}
	style := units.Style{System: units.SystemMetric}
	for _, l := range style.Lines(shower.Working()) {
		if text := l.Item + ": " + l.Value + ", " + l.How; l.Item != "note" && us.MatchString(text) {
			t.Errorf("%T in metric units: %s", r, text)
		}
	}
}

// there sends v to JSON and back.
func there[V any](t *testing.T, v V) {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Errorf("%T: %v", v, err)
		return
	}
	for name, read := range map[string]func([]byte, any) error{"strict": strict.Decode, "encoding/json": json.Unmarshal} {
		var back V
		if err := read(text, &back); err != nil {
			t.Errorf("%T, %s: %v\n%s", v, name, err, text)
			continue
		}
		// Unexported fields are worked out by constructors and come from nowhere else.
		if d := gocmp.Diff(v, back, gocmp.Exporter(func(reflect.Type) bool { return true })); d != "" {
			t.Errorf("%T comes back otherwise by %s (-there +back):\n%s", v, name, d)
		}
	}
}

// add records the named types that a value of type x holds.
func (s Trips) add(x reflect.Type) {
	switch x.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Array, reflect.Map:
		s.add(x.Elem())
	case reflect.Struct:
		name, _, _ := strings.Cut(x.Name(), "[")
		if s[x.PkgPath()+"."+name] && name != "" {
			return
		}
		s[x.PkgPath()+"."+name] = true
		for i := range x.NumField() {
			s.add(x.Field(i).Type)
		}
	}
}

// Untried lists the exported types of the package in the working directory whose names
// end in Spec or Result and that no [RoundTrip] sent through JSON.
func (s Trips) Untried(t *testing.T, pkg string) (list []string) {
	t.Helper()
	files, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		if name := file.Name(); !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			continue
		}
		tree, err := parser.ParseFile(token.NewFileSet(), file.Name(), nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(tree, func(n ast.Node) bool {
			if x, ok := n.(*ast.TypeSpec); ok {
				name := x.Name.Name
				if x.Name.IsExported() && (strings.HasSuffix(name, "Spec") || strings.HasSuffix(name, "Result")) && !s[pkg+"."+name] {
					list = append(list, name)
				}
			}
			return true
		})
	}
	slices.Sort(list)
	return list
}
