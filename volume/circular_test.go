package volume

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/plantest"
)

func TestCircularIdentities(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 500 {
		s := CircularSpec{Diameter: units.Length(3 + 100*r.Float64()), At: ReferenceFloor, Depth: units.Length(0.5 + 6*r.Float64()),
			Slopes: []float64{4 * r.Float64()}}
		c, err := NewCircular(s)
		require.NoError(t, err)
		h := units.Length(r.Float64()) * s.Depth
		v := float64(c.VolumeAt(h))
		// The frustum of a cone in its form of radii.
		r0, r1 := float64(s.Diameter)/2, float64(c.DiameterAt(h))/2
		require.InEpsilon(t, math.Pi/3*float64(h)*(r0*r0+r0*r1+r1*r1), v, 1e-12)
		// What is above h is a basin with its floor there.
		above, err := NewCircular(CircularSpec{Diameter: c.DiameterAt(h), At: ReferenceFloor, Depth: s.Depth - h + 1, Slopes: s.Slopes})
		require.NoError(t, err)
		require.InDelta(t, float64(Capacity(c)), v+float64(above.VolumeAt(s.Depth-h)), 1e-9*float64(Capacity(c)))
		// All lengths times k give k³.
		k := units.Length(0.5 + 3*r.Float64())
		big, err := NewCircular(CircularSpec{Diameter: k * s.Diameter, At: ReferenceFloor, Depth: k * s.Depth, Slopes: s.Slopes})
		require.NoError(t, err)
		require.InEpsilon(t, v*cube(float64(k)), float64(big.VolumeAt(k*h)), 1e-12)
		// Given at its top it is the same basin.
		top, err := NewCircular(CircularSpec{Diameter: c.DiameterAt(s.Depth), At: ReferenceTop, Depth: s.Depth, Slopes: s.Slopes})
		require.NoError(t, err)
		require.InEpsilon(t, v, float64(top.VolumeAt(h)), 1e-9)
		require.Equal(t, s.Slopes[0], c.Slope())
	}
}

func TestCircularFaults(t *testing.T) {
	_, err := NewCircular(CircularSpec{})
	plantest.RequireFields(t, err, "diameter", "depth", "at", "slopes")
	_, err = NewCircular(CircularSpec{Diameter: 20, At: ReferenceTop, Depth: 6, Slopes: []float64{2}})
	plantest.RequireFields(t, err, "depth")
	_, err = NewCircular(CircularSpec{Diameter: 20, At: ReferenceTop, Depth: 2, Slopes: []float64{2, 3}})
	plantest.RequireFields(t, err, "slopes")
}
