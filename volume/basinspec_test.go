package volume

import (
	"context"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
	"example.org/earthbasin/volume/internal/plantest"
)

func TestBasinFromJSON(t *testing.T) {
	for name, c := range map[string]struct {
		json string
		want float64 // m3
	}{
		"rectangular": {`{"rectangular": {"length": "10 m", "width": "5 m", "at": "floor", "depth": "2 m", "slopes": [0]}}`, 100},
		"circular":    {`{"circular": {"diameter": "10 m", "at": "top of bank", "depth": "3 m", "slopes": [0]}}`, 235.619449},
		"polygon": {`{"polygon": {"outline": [{"x": "0 m", "y": "0 m"}, {"x": "12 m", "y": "0 m"}, {"x": "12 m", "y": "12 m"}, {"x": "0 m", "y": "12 m"}],
			"at": "top of bank", "depth": "3 m", "slopes": [2]}}`, 144},
		"surveyed": {`{"surveyed": {"areas": [{"elevation": "10 m", "area": "4 m2"}, {"elevation": "12 m", "area": "6 m2"}], "method": "average end area"}}`, 10},
		"floor": {`{"floor": {"top": "3 m", "grid": {"origin": {"x": "0 m", "y": "0 m"}, "stepX": "2 m", "stepY": "1 m",
			"levels": [["1 m", "1 m"], ["0 m", "0 m"]]}}}`, 5},
	} {
		t.Run(name, func(t *testing.T) {
			var s BasinSpec
			require.NoError(t, strict.Decode([]byte(c.json), &s))
			b, err := NewBasin(context.Background(), s)
			require.NoError(t, err)
			require.InEpsilon(t, c.want, float64(Capacity(b)), 1e-8)
		})
	}
}

// Each field of BasinSpec has its line in NewBasin, without which a file could give the
// solid and have it passed over.
func TestEveryPartOfBasinSpecIsBuilt(t *testing.T) {
	kind := reflect.TypeFor[BasinSpec]()
	for i := range kind.NumField() {
		var spec BasinSpec
		reflect.ValueOf(&spec).Elem().Field(i).Set(reflect.New(kind.Field(i).Type.Elem()))
		name, _, _ := strings.Cut(kind.Field(i).Tag.Get("json"), ",")
		_, err := NewBasin(context.Background(), spec)
		found := units.FieldErrors(err)
		require.NotEmpty(t, found, "%v has no line in NewBasin, or its zero spec is a basin", name)
		for _, f := range found {
			require.True(t, units.PathWithin(f.Field, name) && f.Field != name, "%v has no line in NewBasin: %v", name, f)
		}
	}
}

func TestBasinSpecFaults(t *testing.T) {
	b, err := NewBasin(context.Background(), BasinSpec{})
	require.Nil(t, b)
	plantest.RequireFields(t, err, "rectangular")
	b, err = NewBasin(context.Background(), BasinSpec{Circular: &CircularSpec{}, Floor: &FloorSpec{}})
	require.Nil(t, b)
	plantest.RequireFields(t, err, "circular.diameter", "circular.depth", "circular.at", "circular.slopes", "floor.surface", "rectangular")
}
