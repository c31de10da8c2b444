package volume

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/volume/internal/plantest"

	"example.org/earthbasin/units/strict"
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
			b, err := NewBasin(s)
			require.NoError(t, err)
			require.InEpsilon(t, c.want, float64(Capacity(b)), 1e-8)
		})
	}
}

func TestBasinSpecFaults(t *testing.T) {
	b, err := NewBasin(BasinSpec{})
	require.Nil(t, b)
	plantest.RequireFields(t, err, "rectangular")
	b, err = NewBasin(BasinSpec{Circular: &CircularSpec{}, Floor: &FloorSpec{}})
	require.Nil(t, b)
	plantest.RequireFields(t, err, "circular.diameter", "circular.depth", "circular.at", "circular.slopes", "floor.surface", "rectangular")
}
