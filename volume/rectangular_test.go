package volume

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/plantest"
)

const ft = units.Foot

// randomRectangular draws a basin of realistic size, sometimes with walls.
func randomRectangular(r *rand.Rand) RectangularSpec {
	s := RectangularSpec{
		Length: units.Length(5 + 200*r.Float64()), Width: units.Length(5 + 100*r.Float64()),
		At: ReferenceFloor, Depth: units.Length(0.5 + 6*r.Float64()),
		Slopes: []float64{4 * r.Float64(), 4 * r.Float64(), 4 * r.Float64(), 4 * r.Float64()},
	}
	if r.IntN(5) == 0 {
		s.Slopes[r.IntN(4)] = 0
	}
	return s
}

func mustRectangular(t testing.TB, s RectangularSpec) *Rectangular {
	t.Helper()
	b, err := NewRectangular(s)
	require.NoError(t, err)
	return b
}

func TestRectangularReferenceLevels(t *testing.T) {
	// One solid, given at its three levels.
	floor := mustRectangular(t, RectangularSpec{Length: 200 * ft, Width: 115 * ft, At: ReferenceFloor, Depth: 12 * ft, Slopes: []float64{3}})
	top := mustRectangular(t, RectangularSpec{Length: 272 * ft, Width: 187 * ft, At: ReferenceTop, Depth: 12 * ft, Slopes: []float64{3}})
	water := mustRectangular(t, RectangularSpec{Length: 258.8 * ft, Width: 173.8 * ft, At: ReferenceWaterLine,
		WaterDepth: 9.8 * ft, Depth: 12 * ft, Slopes: []float64{3, 3, 3, 3}})
	for _, h := range []units.Length{0, 1, 2, 3.5} {
		require.InEpsilon(t, 1+float64(floor.VolumeAt(h)), 1+float64(top.VolumeAt(h)), 1e-12)
		require.InEpsilon(t, 1+float64(floor.VolumeAt(h)), 1+float64(water.VolumeAt(h)), 1e-12)
	}
	require.Equal(t, [4]float64{3, 3, 3, 3}, top.Slopes())
	l, w := top.SizeAt(0)
	require.InDelta(t, 200, l.In(ft), 1e-9)
	require.InDelta(t, 115, w.In(ft), 1e-9)
}

func TestRectangularOutside(t *testing.T) {
	b := mustRectangular(t, RectangularSpec{Length: 40, Width: 20, At: ReferenceFloor, Depth: 3, Slopes: []float64{2}})
	for _, h := range []units.Length{-1, units.Length(math.NaN()), units.Length(math.Inf(-1))} {
		require.Equal(t, units.Volume(0), b.VolumeAt(h))
		require.Equal(t, units.Area(800), b.AreaAt(h))
	}
	for _, h := range []units.Length{4, units.Length(math.Inf(1))} {
		require.Equal(t, Capacity(b), b.VolumeAt(h))
		require.Equal(t, b.AreaAt(3), b.AreaAt(h))
	}
}

func TestRectangularFaults(t *testing.T) {
	for name, c := range map[string]struct {
		spec   RectangularSpec
		fields []string
	}{
		"zero value": {RectangularSpec{}, []string{"length", "width", "depth", "at", "slopes"}},
		"not numbers": {RectangularSpec{Length: units.Length(math.NaN()), Width: units.Length(math.Inf(1)), At: ReferenceTop,
			Depth: -1, Slopes: []float64{math.NaN()}}, []string{"length", "width", "depth", "slopes[0]"}},
		"two slopes": {RectangularSpec{Length: 10, Width: 10, At: ReferenceTop, Depth: 1, Slopes: []float64{1, 2}}, []string{"slopes"}},
		"banks meet": {RectangularSpec{Length: 10, Width: 10, At: ReferenceTop, Depth: 3, Slopes: []float64{2}}, []string{"depth", "depth"}},
		"banks meet below the water": {RectangularSpec{Length: 10, Width: 20, At: ReferenceWaterLine, WaterDepth: 3, Depth: 4, Slopes: []float64{2}},
			[]string{"waterDepth"}},
		"water above bank": {RectangularSpec{Length: 10, Width: 10, At: ReferenceWaterLine, WaterDepth: 4, Depth: 3, Slopes: []float64{0}},
			[]string{"waterDepth"}},
		"needless water": {RectangularSpec{Length: 10, Width: 10, At: ReferenceFloor, WaterDepth: 1, Depth: 3, Slopes: []float64{0}},
			[]string{"waterDepth"}},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := NewRectangular(c.spec)
			plantest.RequireFields(t, err, c.fields...)
		})
	}
}

func TestRectangularWedgeAndPoint(t *testing.T) {
	// The banks just meet: legal. A pyramid holds a third of its prism.
	b := mustRectangular(t, RectangularSpec{Length: 12, Width: 12, At: ReferenceTop, Depth: 3, Slopes: []float64{2}})
	require.InDelta(t, 144, float64(Capacity(b)), 1e-9)
	require.Zero(t, b.AreaAt(0))
	wedge := mustRectangular(t, RectangularSpec{Length: 12, Width: 12, At: ReferenceTop, Depth: 3, Slopes: []float64{2, 2, 0, 0}})
	require.InDelta(t, 216, float64(Capacity(wedge)), 1e-9)
}

func TestSlopeArea(t *testing.T) {
	// 425 x 100 ft, 3:1, 6.2 ft: (A_top - A_floor) sqrt(1+z2)/z.
	b := mustRectangular(t, RectangularSpec{Length: 425 * ft, Width: 100 * ft, At: ReferenceFloor, Depth: 6.2 * ft, Slopes: []float64{3}})
	require.InDelta(t, 22045.123, b.SlopeAreaAt(b.Depth()).In(units.SquareFoot), 0.0005)
	wall := mustRectangular(t, RectangularSpec{Length: 5, Width: 4, At: ReferenceFloor, Depth: 2, Slopes: []float64{0}})
	require.InDelta(t, 36, float64(wall.SlopeAreaAt(wall.Depth())), 1e-12)
	c, err := NewCircular(CircularSpec{Diameter: 20, At: ReferenceFloor, Depth: 2, Slopes: []float64{2}})
	require.NoError(t, err)
	require.InDelta(t, float64(c.AreaAt(2)-c.AreaAt(0))*math.Sqrt(5)/2, float64(c.SlopeAreaAt(c.Depth())), 1e-9)
}

func TestRectangularIdentities(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 500 {
		s := randomRectangular(r)
		b := mustRectangular(t, s)
		h := units.Length(r.Float64()) * s.Depth
		v := float64(b.VolumeAt(h))
		same := func(s RectangularSpec, h units.Length, want float64) {
			t.Helper()
			require.InEpsilon(t, want, float64(mustRectangular(t, s).VolumeAt(h)), 1e-10)
		}
		// Only the sum of opposite slopes counts.
		moved := s
		moved.Slopes = []float64{s.Slopes[0] + s.Slopes[1], 0, s.Slopes[2] / 2, s.Slopes[3] + s.Slopes[2]/2}
		same(moved, h, v)
		// Length and width may change places.
		swapped := s
		swapped.Length, swapped.Width = s.Width, s.Length
		swapped.Slopes = []float64{s.Slopes[2], s.Slopes[3], s.Slopes[0], s.Slopes[1]}
		same(swapped, h, v)
		// All lengths times k give k³.
		k := units.Length(0.5 + 3*r.Float64())
		scaled := s
		scaled.Length, scaled.Width, scaled.Depth = k*s.Length, k*s.Width, k*s.Depth
		same(scaled, k*h, v*cube(float64(k)))
		// What is above h is a basin with its floor there.
		l, w := b.SizeAt(h)
		rest := s
		rest.Length, rest.Width, rest.Depth = l, w, s.Depth-h
		require.InDelta(t, float64(Capacity(b)), v+float64(Capacity(mustRectangular(t, rest))), 1e-9*float64(Capacity(b)))
		// The derivative of the volume is the area: over a short step, its mean.
		const e = 1e-3
		if h+e < s.Depth {
			require.InEpsilon(t, float64(b.AreaAt(h+e/2)), float64(b.VolumeAt(h+e)-b.VolumeAt(h))/e, 1e-6)
		}
	}
}
