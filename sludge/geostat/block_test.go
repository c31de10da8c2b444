package geostat

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/internal/fixtures"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// TestBlockLattice holds the counting of differences against the double sum, on
// an outline with an island and a bay.
func TestBlockLattice(t *testing.T) {
	spec := BlockSpec{
		Boundary: plane.Polygon{pointAt(0, 0), pointAt(60, 0), pointAt(60, 40), pointAt(35, 40), pointAt(30, 12), pointAt(25, 40), pointAt(0, 40)},
		Islands:  []plane.Polygon{box(8, 8, 16.5, 20.5)},
		Step:     2,
	}
	m := mound
	m.Anisotropy = &Anisotropy{Ratio: 0.4, Azimuth: 30}
	for _, shape := range []Shape{Spherical, Exponential, Gaussian} {
		m.Shape = shape
		nodes, area, err := spec.nodes()
		require.NoError(t, err)
		require.InDelta(t, 60*40-10*28/2-8.5*12.5, float64(area), 1e-9)
		var weight, x, y float64
		for i, p := range nodes.at {
			require.True(t, spec.Boundary.Contains(p) && !spec.Islands[0].Contains(p))
			weight += nodes.weight[i]
			x += nodes.weight[i] * float64(p.X)
			y += nodes.weight[i] * float64(p.Y)
		}
		require.InDelta(t, 1, weight, 1e-12)
		whole, hole := spec.Boundary.Centroid(), spec.Islands[0].Centroid()
		of := float64(spec.Boundary.Area()) / float64(area)
		require.InDelta(t, float64(whole.X)*of+float64(hole.X)*(1-of), x, 1e-9, "the mean of a plane is exact")
		require.InDelta(t, float64(whole.Y)*of+float64(hole.Y)*(1-of), y, 1e-9)

		// The same cells one by one, at their centres.
		c := newCovariance(m)
		cells := blockNodes{}
		add := func(col, row int, w float64) {
			cells.at = append(cells.at, pointAt((float64(col)+0.5)*nodes.dx, (float64(row)+0.5)*nodes.dy))
			cells.weight = append(cells.weight, w)
		}
		for row, runs := range nodes.rows {
			for _, r := range runs {
				for col := r.from; col < r.to; col++ {
					add(col, row, nodes.whole)
				}
			}
		}
		for _, p := range nodes.cut {
			add(p.col, p.row, p.weight)
		}
		require.Len(t, cells.at, len(nodes.at))
		require.InEpsilon(t, cells.within(&c), nodes.within(&c), 1e-12)
	}
}

// TestBlockArea: the area of a plain basin is exact whatever the step, and the mean
// along a line and of points is that of the estimates.
func TestBlockAreaLineAndPoints(t *testing.T) {
	k := mustKriging(t, KrigingSpec{Samples: rounded(24), Model: mound})
	for _, step := range []units.Length{0, 1.9, 3, 7, 11, 50} {
		nodes, err := BlockSpec{Boundary: box(0, 0, 100, 60), Step: step}.Nodes()
		require.NoError(t, err)
		var area units.Area
		for _, n := range nodes {
			area += n.Area
		}
		require.InDelta(t, 6000, float64(area), 1e-8, "step %v", step)
	}
	line := []plane.Point{pointAt(10, 10), pointAt(60, 20), pointAt(60, 70)}
	b, err := k.Block(BlockSpec{Line: line, Step: 0.5})
	require.NoError(t, err)
	require.Zero(t, b.Area)
	nodes := lineNodes(line, float64(line[0].Distance(line[1])+line[1].Distance(line[2])), 0.5)
	values, err := k.Values(context.Background(), nodes.at, 1)
	require.NoError(t, err)
	var mean, sum float64
	for i, v := range values {
		mean += nodes.weight[i] * float64(v)
		sum += nodes.weight[i]
	}
	require.InDelta(t, 1, sum, 1e-12)
	require.InDelta(t, mean, float64(b.Mean), 1e-9)
	one, err := k.Block(BlockSpec{Points: line[:1]})
	require.NoError(t, err)
	e, err := k.Estimate(line[0])
	require.NoError(t, err)
	require.InDelta(t, float64(e.Value), float64(one.Mean), 1e-12)
	smooth := float64(one.SD)*float64(one.SD) + float64(mound.Nugget) // a block leaves the nugget out
	require.InDelta(t, float64(e.SD)*float64(e.SD), smooth, 1e-12)
	_, err = k.Block(BlockSpec{Line: line[:1]})
	require.Equal(t, []string{"line"}, fields(err))
	_, err = k.Block(BlockSpec{Line: line, Points: line, Step: -1})
	require.Equal(t, []string{"step", "line"}, fields(err))
	_, err = k.Block(BlockSpec{})
	require.Equal(t, []string{"boundary"}, fields(err))
}

// TestBlockOnSliver: a narrow area across its box has nodes and places to sample,
// without a lattice of millions of cells.
func TestBlockOnSliver(t *testing.T) {
	k := mustKriging(t, KrigingSpec{Samples: rounded(24), Model: mound})
	sliver := plane.Polygon{pointAt(0, 0), pointAt(120, 80), pointAt(120, 80.000001)}
	b, err := k.Block(BlockSpec{Boundary: sliver})
	require.NoError(t, err)
	require.Less(t, b.Points, 10000)
	require.Greater(t, b.Points, 100)
	next, err := k.Next(context.Background(), NextSpec{Block: BlockSpec{Boundary: sliver}, Most: 2})
	require.NoError(t, err)
	require.NotEmpty(t, next.Places)
}

// TestBlockIsMeanOfPoints: the kriged mean is the mean of the kriged points.
func TestBlockIsMeanOfPoints(t *testing.T) {
	k := mustKriging(t, KrigingSpec{Samples: rounded(24), Model: mound})
	spec := BlockSpec{Boundary: fixtures.Edge(), Step: 3}
	b, err := k.Block(spec)
	require.NoError(t, err)
	nodes, _, err := spec.nodes()
	require.NoError(t, err)
	e, err := k.Estimates(context.Background(), nodes.at, 1)
	require.NoError(t, err)
	var sum float64
	for i, v := range e {
		sum += nodes.weight[i] * float64(v.Value)
	}
	require.InDelta(t, sum, float64(b.Mean), 1e-12)
	require.InDelta(t, 9406.858, float64(b.Area), 20) // the corners are chords
}

func TestBlockFaults(t *testing.T) {
	k := mustKriging(t, KrigingSpec{Samples: rounded(24), Model: mound})
	for _, c := range []struct {
		name string
		spec BlockSpec
		want []string
	}{
		{"no boundary", BlockSpec{Step: -1}, []string{"boundary", "step"}},
		{"island larger than the basin", BlockSpec{Boundary: box(0, 0, 1, 1), Islands: []plane.Polygon{box(-1, -1, 2, 2)}}, []string{"islands[0]"}},
		{"island beside the basin", BlockSpec{Boundary: box(0, 0, 9, 9), Islands: []plane.Polygon{box(20, 20, 21, 21)}}, []string{"islands[0]"}},
		{"one island on another", BlockSpec{Boundary: box(0, 0, 9, 9), Islands: []plane.Polygon{box(2, 2, 5, 5), box(3, 3, 4, 4)}}, []string{"islands[1]"}},
		{"too fine", BlockSpec{Boundary: fixtures.Edge(), Step: units.Millimetre}, []string{"step"}},
		{"Gauss points need a rectangle", BlockSpec{Boundary: fixtures.Edge(), Rule: BlockGauss}, []string{"rule"}},
		{"unknown rule", BlockSpec{Boundary: fixtures.Edge(), Rule: 5}, []string{"rule"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := k.Block(c.spec)
			require.Equal(t, c.want, fields(err))
		})
	}
}
