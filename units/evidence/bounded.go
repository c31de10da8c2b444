package evidence

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// oddNumbers are what no job has.
var oddNumbers = []float64{math.SmallestNonzeroFloat64, 1e-310, 1e-200, -1e-310, 1e200, 1e308, -1e308, math.Inf(1), math.Inf(-1), math.NaN()}

// Bounded runs a computation with each number of a sound spec, given as JSON, replaced
// by numbers that no job has, one at a time. Each is a fault with a path, or, where it
// is next to 0, gives a result of finite numbers; and -0 is 0.
func Bounded[S any, R fmt.Stringer](t *testing.T, run func(S) (R, error), text string) {
	t.Helper()
	read := func() (spec S) {
		if err := strict.Decode([]byte(text), &spec); err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		return spec
	}
	sound := read()
	if _, err := run(sound); err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	_, paths := leaves(reflect.ValueOf(&sound), "")
	for i, path := range paths {
		with := func(x float64) (R, error) {
			spec := read()
			numbers, _ := leaves(reflect.ValueOf(&spec), "")
			numbers[i].SetFloat(x)
			return run(spec)
		}
		for _, x := range oddNumbers {
			r, err := with(x)
			if err != nil {
				if !slices.ContainsFunc(units.FieldErrors(err), func(e *units.FieldError) bool { return e.Field != "" }) {
					t.Errorf("%T%s at %g: no fault with a path: %v", sound, path, x, err)
				}
				continue
			}
			if !(math.Abs(x) <= 1e-200) {
				t.Errorf("%T%s may be %g", sound, path, x)
			}
			if _, err = json.Marshal(r); err != nil {
				t.Errorf("%T%s at %g: %v", sound, path, x, err)
			}
			if text := r.String(); strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
				t.Errorf("%T%s at %g prints %s", sound, path, x, text)
			}
		}
		zero, zeroErr := with(0)
		minus, minusErr := with(math.Copysign(0, -1))
		if (zeroErr == nil) != (minusErr == nil) || zeroErr == nil && zero.String() != minus.String() {
			t.Errorf("%T%s: -0 is not 0:\n%v%v\n%v%v", sound, path, zero, zeroErr, minus, minusErr)
		}
	}
}

// leaves lists the numbers within v with their paths.
func leaves(v reflect.Value, path string) (numbers []reflect.Value, paths []string) {
	add := func(v reflect.Value, path string) {
		n, p := leaves(v, path)
		numbers, paths = append(numbers, n...), append(paths, p...)
	}
	switch v.Kind() {
	case reflect.Float64:
		return []reflect.Value{v}, []string{path}
	case reflect.Pointer:
		if !v.IsNil() {
			add(v.Elem(), path)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() {
				add(v.Field(i), path+"."+f.Name)
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			add(v.Index(i), fmt.Sprintf("%s[%d]", path, i))
		}
	}
	return numbers, paths
}
