package earthwork

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Each way to lay out a drain, counted by hand on a floor of 40 m by 20 m.
func TestDrainByHand(t *testing.T) {
	hole := math.Pi / 4 // of 1 m
	for _, c := range []struct {
		name                     string
		spec                     DrainSpec
		rows, count              int
		trenches, spacing, share float64
	}{
		// 20/3 and 40/3 m give 7 rows of 14, 20/7 and 40/14 m apart.
		{"holes by spacing", DrainSpec{Kind: DrainKindHoles, Length: 40, Width: 20, Size: 1, Spacing: 3, Depth: 2}, 7, 98, 0, 20.0 / 7, 98 * hole / 800},
		// 5 % of the floor is a hole for each 3.963 m squared: 6 rows of 11.
		{"holes by share", DrainSpec{Kind: DrainKindHoles, Length: 40, Width: 20, Size: 1, Share: 0.05, Depth: 2}, 6, 66, 0, 40.0 / 11, 66 * hole / 800},
		// 800/9 is 88.9.
		{"holes in an area", DrainSpec{Kind: DrainKindHoles, Area: 800, Size: 1, Spacing: 3, Depth: 2}, 0, 89, 0, 3, 89 * hole / 800},
		{"holes in an area by share", DrainSpec{Kind: DrainKindHoles, Area: 800, Size: 1, Share: 0.05, Depth: 2}, 0, 51, 0, math.Sqrt(hole / 0.05), 51 * hole / 800},
		{"trenches by spacing", DrainSpec{Kind: DrainKindTrenches, Length: 40, Width: 20, Size: 0.5, Spacing: 6, Depth: 2}, 0, 4, 160, 5, 0.1},
		{"trenches by share", DrainSpec{Kind: DrainKindTrenches, Length: 40, Width: 20, Size: 0.5, Share: 0.08, Depth: 2}, 0, 4, 160, 5, 0.1},
		{"trenches in an area", DrainSpec{Kind: DrainKindTrenches, Area: 800, Size: 0.5, Spacing: 4, Depth: 2}, 0, 0, 200, 4, 0.125},
		{"trenches in an area by share", DrainSpec{Kind: DrainKindTrenches, Area: 800, Size: 0.5, Share: 0.125, Depth: 2}, 0, 0, 200, 4, 0.125},
		{"one hole", DrainSpec{Kind: DrainKindHoles, Area: 800, Size: 1, Spacing: 100, Depth: 2}, 0, 1, 0, 100, hole / 800},
		{"openings that touch", DrainSpec{Kind: DrainKindTrenches, Area: 800, Size: 4, Spacing: 4, Depth: 2}, 0, 0, 200, 4, 1},
	} {
		r, err := Drain(c.spec)
		require.NoError(t, err, c.name)
		require.InDelta(t, 800, r.Floor.SI(), 1e-9, c.name)
		require.Equal(t, c.rows, r.Rows, c.name)
		require.Equal(t, c.count, r.Count, c.name)
		require.InDelta(t, c.trenches, r.Trenches.SI(), 1e-9, c.name)
		require.InDelta(t, c.spacing, r.Spacing.SI(), 1e-9, c.name)
		require.InDelta(t, c.share, r.Share, 1e-12, c.name)
		require.InDelta(t, 1600*c.share, r.Volume.SI(), 1e-9, c.name)
	}
	_, err := Drain(DrainSpec{Kind: DrainKindTrenches, Area: 800, Size: 4.001, Spacing: 4, Depth: 2})
	require.ErrorContains(t, err, "size")
}
