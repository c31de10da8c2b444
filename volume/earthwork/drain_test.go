package earthwork

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/plantest"
)

func TestDrain(t *testing.T) {
	holes, err := Drain(DrainSpec{Kind: DrainKindHoles, Length: 100, Width: 45, Size: 1, Spacing: 10, Depth: 0.5})
	require.NoError(t, err)
	require.Equal(t, 50, holes.Count)
	require.InDelta(t, 10, float64(holes.Spacing), 1e-12)
	require.InDelta(t, 50*math.Pi/4/4500, holes.Share, 1e-12)
	require.InDelta(t, 50*math.Pi/8, holes.Volume.SI(), 1e-9)
	r := rand.New(rand.NewPCG(7, 1))
	for range 200 {
		share := plantest.Between(r, 1e-3, 0.3)
		spec := DrainSpec{Kind: DrainKind(1 + r.IntN(2)), Length: units.Length(plantest.Between(r, 30, 200)), Width: units.Length(plantest.Between(r, 30, 200)), Size: units.Length(plantest.Between(r, 0.3, 1)), Share: share, Depth: 1}
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
	require.ErrorContains(t, err, "1 of spacing and share")
	_, err = Drain(DrainSpec{Kind: DrainKindTrenches, Area: 5, Width: 3, Size: 1, Share: 2, Depth: 1})
	require.ErrorContains(t, err, "area")
	require.ErrorContains(t, err, "share")
	trenches, err := Drain(DrainSpec{Kind: DrainKindTrenches, Length: 100, Width: 45, Size: 1, Spacing: 10, Depth: 0.5})
	require.NoError(t, err)
	require.Equal(t, 5, trenches.Count)
	require.InDelta(t, 500, float64(trenches.Trenches), 1e-9)
	require.InDelta(t, 250, trenches.Volume.SI(), 1e-9)
}

// A floor smaller than the square of a spacing gets one opening, in either form.
func TestDrainOfASmallFloor(t *testing.T) {
	for _, spec := range []DrainSpec{
		{Kind: DrainKindHoles, Area: 50}, {Kind: DrainKindHoles, Length: 8, Width: 6}, {Kind: DrainKindTrenches, Length: 8, Width: 6},
	} {
		spec.Size, spec.Spacing, spec.Depth = 1, 10, 1
		r, err := Drain(spec)
		require.NoError(t, err)
		require.Equal(t, 1, r.Count)
	}
}

// Rows are nearer to each other than was asked, so that they come out even; holes must fit
// there too: on 10 by 3 m at 2 m stand two rows 1.5 m apart, and along 3 by 10 m likewise.
func TestDrainRowsThatComeNearer(t *testing.T) {
	for _, floor := range [][2]units.Length{{10, 3}, {3, 10}} {
		spec := DrainSpec{Kind: DrainKindHoles, Length: floor[0], Width: floor[1], Size: 1.4, Spacing: 2, Depth: 1}
		r, err := Drain(spec)
		require.NoError(t, err)
		require.Equal(t, 10, r.Count)
		require.Equal(t, units.Length(2), r.Spacing, "the wider way")
		spec.Size = 1.6
		_, err = Drain(spec)
		require.ErrorContains(t, err, "size: got 5.249 ft, want openings that fit beside each other, 4.921 ft apart")
	}
}
