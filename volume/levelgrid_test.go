package volume_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume"
)

// The level in each of the four triangles of a cell, by hand: corners at 0, 4, 8 and 20
// have their mean, 8, at the centre.
func TestLevelsOfACell(t *testing.T) {
	g := volume.LevelGrid{Origin: plane.Point{X: 100, Y: 50}, StepX: 10, StepY: 20, Levels: [][]units.Length{{0, 4, 7}, {8, 20, 1}, {5, 5, 9}}}
	require.NoError(t, g.Check())
	rows, cols := g.Size()
	require.Equal(t, []int{3, 3}, []int{rows, cols})
	require.Equal(t, plane.Point{X: 120, Y: 70}, g.At(1, 2))
	at := func(u, v float64) float64 {
		return g.LevelAt(plane.Point{X: units.Length(100 + 10*u), Y: units.Length(50 + 20*v)}).SI()
	}
	for _, c := range []struct{ u, v, want float64 }{
		{0, 0, 0}, {1, 0, 4}, {0, 1, 8}, {1, 1, 20}, {0.5, 0.5, 8},
		{0.5, 0, 2}, {0.25, 0, 1}, {0.5, 0.25, 5}, {0.5, 1, 14}, {0.25, 1, 11}, {0.5, 0.75, 11},
		{0, 0.5, 4}, {0, 0.25, 2}, {0.25, 0.5, 6}, {1, 0.5, 12}, {1, 0.25, 8}, {0.75, 0.5, 10},
		{0.25, 0.25, 4}, {0.75, 0.25, 6}, {0.25, 0.75, 8}, {0.75, 0.75, 14}, // on the diagonals, half way to the centre
		{0.6, 0.2, 4.8}, {0.6, 0.8, 12.8}, {0.2, 0.6, 6.4}, {0.8, 0.6, 12}, // away from every line of symmetry
		{2, 0, 7}, {2, 1, 1}, {2, 2, 9}, {1.5, 1.5, 8.75}, {1.5, 1, 10.5}, {1.5, 1.25, 9.625},
		{-3, 0.25, 2}, {9, 1, 1}, {0.25, -5, 1}, {2, 11, 9}, {math.NaN(), 0.25, 2},
	} {
		require.InDelta(t, c.want, at(c.u, c.v), 1e-9, "%v, %v", c.u, c.v)
	}
	require.Zero(t, volume.LevelGrid{}.LevelAt(plane.Point{}).SI())
	require.Zero(t, volume.LevelGrid{StepX: 1, StepY: 1, Levels: [][]units.Length{{5, 5}, {5}}}.LevelAt(plane.Point{}).SI())
	require.Zero(t, volume.LevelGrid{StepX: 1, StepY: 1, Levels: [][]units.Length{{5}, {5, 5}}}.LevelAt(plane.Point{}).SI())
}
