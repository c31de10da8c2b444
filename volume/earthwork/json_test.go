package earthwork_test

import (
	"encoding/json"
	"fmt"
	"reflect"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// Every spec and every result goes through JSON both ways, also with any one field
// left out that can be left out: the same answer comes back, and an answer read from
// a file shows its working as the one that was computed.
func TestSpecsAndResultsSurviveJSON(t *testing.T) {
	for _, j := range jobs(t) {
		t.Run(j.name, func(t *testing.T) {
			survives(t, j, j.spec, "every field set")
			fields := j.spec.Elem()
			left := 0
			for i := range fields.NumField() {
				spec := clone(j.spec)
				spec.Elem().Field(i).SetZero()
				if _, err := j.run(spec.Interface()); err == nil {
					left++
					survives(t, j, spec, fmt.Sprintf("%s left out", fields.Type().Field(i).Name))
				}
			}
			t.Log(left, "fields can be left out")
		})
	}
}

func survives(t *testing.T, j job, spec reflect.Value, what string) {
	t.Helper()
	want, err := j.run(spec.Interface())
	require.NoError(t, err, what)
	data, err := json.Marshal(spec.Interface())
	require.NoError(t, err, what)
	for name, decode := range map[string]func([]byte, any) error{"encoding/json": json.Unmarshal, "strict": strict.Decode} {
		back := reflect.New(spec.Type().Elem())
		require.NoError(t, decode(data, back.Interface()), "%s, %s: %s", name, what, data)
		// What is no data, a basin or a surface, comes from the program again.
		for i := range back.Elem().NumField() {
			if back.Elem().Type().Field(i).Tag.Get("json") == "-" {
				back.Elem().Field(i).Set(spec.Elem().Field(i))
			}
		}
		got, err := j.run(back.Interface())
		require.NoError(t, err, "%s, %s", name, what)
		require.Equal(t, text(t, want), text(t, got), "%s, %s", name, what)

		result := reflect.New(reflect.TypeOf(want))
		require.NoError(t, decode([]byte(text(t, want)), result.Interface()), "%s, %s", name, what)
		read := result.Elem().Interface()
		require.Empty(t, cmp.Diff(text(t, want), text(t, read)), "%s, %s", name, what)
		if w, ok := want.(interface{ Working() units.Working }); ok {
			require.NotEmpty(t, w.Working(), what)
			require.Empty(t, cmp.Diff(w.Working(), read.(interface{ Working() units.Working }).Working(), cmpopts.EquateEmpty()), "%s, %s", name, what)
			require.Equal(t, w.(fmt.Stringer).String(), read.(fmt.Stringer).String())
		}
	}
}
