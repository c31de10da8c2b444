package closing_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/closing"
	"example.org/earthbasin/units"
)

// Whatever number stands at whatever place, the plan is made of numbers or the faults name
// the field, the same each time.
func TestOddNumbers(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	odd := []float64{0, math.Copysign(0, -1), 1e-310, 1e-13, 1e-6, 1, 1e3, 1e9, 1e308, -1, math.NaN(), math.Inf(1)}
	accepted := 0
	for range 1000 {
		spec := whole(t)
		var places []reflect.Value
		floats(reflect.ValueOf(&spec).Elem(), &places)
		for range 1 + r.IntN(2) {
			v := places[r.IntN(len(places))]
			if r.IntN(2) == 0 {
				v.SetFloat(odd[r.IntN(len(odd))])
			} else {
				v.SetFloat(v.Float() * math.Pow(10, 4*r.NormFloat64()))
			}
		}
		got, err := closing.Plan(spec)
		if err != nil {
			for _, f := range units.FieldErrors(err) {
				require.NotEmpty(t, f.Field, err)
			}
			continue
		}
		accepted++
		text, err := json.Marshal(got)
		require.NoError(t, err, "no number")
		for _, o := range got.Outcomes {
			require.False(t, math.IsNaN(o.Cost.High) || math.IsInf(o.Cost.High, 0))
			require.LessOrEqual(t, o.Cost.Low, o.Cost.High)
		}
		again, err := closing.Plan(spec)
		require.NoError(t, err)
		same, err := json.Marshal(again)
		require.NoError(t, err)
		require.Equal(t, string(text), string(same))
	}
	require.Greater(t, accepted, 200)
}

// floats are the places of the numbers in v, without the basin.
func floats(v reflect.Value, list *[]reflect.Value) {
	switch v.Kind() {
	case reflect.Float64:
		*list = append(*list, v)
	case reflect.Pointer:
		if !v.IsNil() {
			floats(v.Elem(), list)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			floats(v.Index(i), list)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).Tag.Get("json") != "-" {
				floats(v.Field(i), list)
			}
		}
	}
}
