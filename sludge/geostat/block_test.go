package geostat

import (
	"context"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
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

// TestBlockNodesOfRectangle: every cell of a lattice that fits is whole and one run a row,
// the points of an area lie at most a step apart, and those of a line are the middles of
// equal pieces of its legs.
func TestBlockNodesOfRectangle(t *testing.T) {
	spec := BlockSpec{Boundary: box(10, 20, 110, 80), Step: 2.5}
	nodes, _, err := spec.nodes()
	require.NoError(t, err)
	require.Empty(t, nodes.cut)
	require.Len(t, nodes.at, 40*24)
	for _, runs := range nodes.rows {
		require.Equal(t, []run{{0, 40}}, runs)
	}
	require.Equal(t, pointAt(11.25, 21.25), nodes.at[0])
	require.Equal(t, pointAt(13.75, 21.25), nodes.at[1])

	line := []plane.Point{pointAt(0, 0), pointAt(3, 4), pointAt(3, 14)}
	got, err := BlockSpec{Line: line, Step: 4}.Nodes()
	require.NoError(t, err)
	var at []plane.Point
	for _, n := range got {
		require.Zero(t, n.Area)
		at = append(at, n.At)
	}
	want := []plane.Point{pointAt(0.75, 1), pointAt(2.25, 3), pointAt(3, 4+5.0/3), pointAt(3, 9), pointAt(3, 14-5.0/3)}
	require.Empty(t, cmp.Diff(want, at, near(1e-12, 0)))
	one := lineNodes(line, 15, 20)
	require.Equal(t, []plane.Point{pointAt(1.5, 2), pointAt(3, 9)}, one.at, "one of each leg at least")
	along := lineNodes(line, 15, 4).weight
	require.InDeltaSlice(t, []float64{1.0 / 6, 1.0 / 6, 2.0 / 9, 2.0 / 9, 2.0 / 9}, along, 1e-12)

	// Without a step about a thousand points stand for an area and a line.
	k := mustKriging(t, KrigingSpec{Samples: rounded(5), Model: mound})
	for _, spec := range []BlockSpec{{Boundary: box(0, 0, 80, 50)}, {Line: line[:2]}} {
		b, err := k.Block(spec)
		require.NoError(t, err)
		require.InDelta(t, 1000, b.Points, 20)
	}
	_, err = k.Block(BlockSpec{Line: []plane.Point{pointAt(0, 0), pointAt(math.NaN(), 1)}})
	require.Equal(t, []string{"line[1].x"}, fields(err))
	_, err = k.Block(BlockSpec{Points: []plane.Point{pointAt(0, math.NaN())}})
	require.Equal(t, []string{"points[0].y"}, fields(err))
}

// TestBlockWithin: the mean covariance within points, a line and a rectangle is the double
// sum over their nodes, and the mean of a block is that of its weights.
func TestBlockWithin(t *testing.T) {
	samples := rounded(24)
	m := mound
	m.Anisotropy = &Anisotropy{Ratio: 0.5, Azimuth: 20}
	k := mustKriging(t, KrigingSpec{Samples: samples, Model: m})
	for _, spec := range []BlockSpec{
		{Points: []plane.Point{pointAt(20, 20), pointAt(31, 28), pointAt(33, 50)}},
		{Line: []plane.Point{pointAt(20, 20), pointAt(31, 28), pointAt(33, 50)}, Step: 3},
		{Boundary: box(20, 20, 60, 50), Step: 4},
		{Boundary: box(20, 20, 60, 50), Rule: BlockGauss},
	} {
		b, err := k.Block(spec)
		require.NoError(t, err)
		nodes, _, err := spec.nodes()
		require.NoError(t, err)
		var within, sum, weights float64
		for i, p := range nodes.at {
			for j, q := range nodes.at {
				within += nodes.weight[i] * nodes.weight[j] * float64(m.Nugget+m.Sill-m.Gamma(p, q))
				if i == j {
					within -= nodes.weight[i] * nodes.weight[j] * float64(m.Nugget)
				}
			}
		}
		require.InEpsilon(t, within, float64(b.Within), 1e-9)
		for _, w := range b.Weights {
			sum += w.Weight * float64(samples[w.Sample].Value)
			weights += w.Weight
		}
		require.InDelta(t, 1, weights, 1e-9)
		require.InDelta(t, sum, float64(b.Mean), 1e-9)
		require.Equal(t, spec.Rule, b.Rule)
		require.Equal(t, len(nodes.at), b.Points)
	}
	// With neighbours the samples are those nearest to the middle.
	few := mustKriging(t, KrigingSpec{Samples: samples, Model: m, Neighbours: 4})
	spec := BlockSpec{Boundary: box(70, 40, 110, 70), Step: 4}
	b, err := few.Block(spec)
	require.NoError(t, err)
	s, err := few.System(pointAt(90, 55))
	require.NoError(t, err)
	for i, w := range s.Weights {
		require.Equal(t, w.Sample, b.Weights[i].Sample)
	}
}
