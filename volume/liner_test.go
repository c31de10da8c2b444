package volume

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func TestLinerLimits(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 1))
	for range 100 {
		var b Lined = mustRectangular(t, randomRectangular(r))
		if r.IntN(3) == 0 {
			c, err := NewCircular(CircularSpec{Diameter: units.Length(between(r, 5, 50)), At: ReferenceFloor, Depth: units.Length(between(r, 1, 5)), Slopes: []float64{between(r, 0, 4)}})
			require.NoError(t, err)
			b = c
		}
		volumes := func(thick units.Length) (area, solid float64) {
			a, err := Liner(LinerSpec{Basin: b, Thickness: thick, Method: LinerMethodArea})
			require.NoError(t, err)
			s, err := Liner(LinerSpec{Basin: b, Thickness: thick, Method: LinerMethodOffset})
			require.NoError(t, err)
			return a.Volume.SI(), s.Volume.SI()
		}
		// The offset solid has the toe and corners besides; they vanish with t.
		thick := units.Length(between(r, 0.1, 1))
		area, solid := volumes(thick)
		require.Greater(t, solid, area)
		area, solid = volumes(1e-6)
		require.InEpsilon(t, area, solid, 1e-4)
	}
	_, err := Liner(LinerSpec{})
	for _, want := range []string{"basin", "thickness", "method"} {
		require.ErrorContains(t, err, want)
	}
}

func TestDrain(t *testing.T) {
	holes, err := Drain(DrainSpec{Kind: DrainKindHoles, Length: 100, Width: 45, Size: 1, Spacing: 10, Depth: 0.5})
	require.NoError(t, err)
	require.Equal(t, 50, holes.Count)
	require.InDelta(t, 10, float64(holes.Spacing), 1e-12)
	require.InDelta(t, 50*math.Pi/4/4500, holes.Share, 1e-12)
	require.InDelta(t, 50*math.Pi/8, holes.Volume.SI(), 1e-9)
	r := rand.New(rand.NewPCG(7, 1))
	for range 200 {
		share := between(r, 1e-3, 0.3)
		spec := DrainSpec{Kind: DrainKind(1 + r.IntN(2)), Length: units.Length(between(r, 30, 200)), Width: units.Length(between(r, 30, 200)), Size: units.Length(between(r, 0.3, 1)), Share: share, Depth: 1}
		got, err := Drain(spec)
		require.NoError(t, err)
		require.GreaterOrEqual(t, got.Share, share*(1-1e-9))
		// A floor of any shape needs no more, and the same but for the rounding up.
		spec.Area, spec.Length, spec.Width = spec.Length.Times(spec.Width), 0, 0
		area, err := Drain(spec)
		require.NoError(t, err)
		require.GreaterOrEqual(t, area.Share, share*(1-1e-9))
		require.LessOrEqual(t, area.Share, got.Share*(1+1e-9))
	}
	_, err = Drain(DrainSpec{Kind: DrainKindHoles, Length: 10, Width: 10, Size: 2, Spacing: 1, Depth: 1})
	require.ErrorContains(t, err, "size")
	_, err = Drain(DrainSpec{Kind: DrainKindHoles, Length: 1e5, Width: 1e5, Size: 1e-6, Spacing: 1e-9, Depth: 1})
	require.ErrorContains(t, err, "at most 1e9")
	_, err = Drain(DrainSpec{Spacing: 1, Share: 2})
	require.ErrorContains(t, err, "one of spacing and share")
	_, err = Drain(DrainSpec{Kind: DrainKindTrenches, Area: 5, Width: 3, Size: 1, Share: 2, Depth: 1})
	require.ErrorContains(t, err, "area")
	require.ErrorContains(t, err, "share")
	trenches, err := Drain(DrainSpec{Kind: DrainKindTrenches, Length: 100, Width: 45, Size: 1, Spacing: 10, Depth: 0.5})
	require.NoError(t, err)
	require.Equal(t, 5, trenches.Count)
	require.InDelta(t, 500, float64(trenches.Trenches), 1e-9)
	require.InDelta(t, 250, trenches.Volume.SI(), 1e-9)
}
