package geostat

import (
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
		require.InDelta(t, float64(area)/4, float64(len(nodes.at)), 12)
		for _, p := range nodes.at {
			require.True(t, spec.Boundary.Contains(p) && !spec.Islands[0].Contains(p))
		}
		c := newCovariance(m)
		weighted := *nodes
		weighted.weight = make([]float64, len(nodes.at))
		for i := range weighted.weight {
			weighted.weight[i] = 1 / float64(len(nodes.at))
		}
		require.InEpsilon(t, weighted.within(&c), nodes.within(&c), 1e-12)
	}
}

// TestBlockIsMeanOfPoints: the kriged mean is the mean of the kriged points.
func TestBlockIsMeanOfPoints(t *testing.T) {
	k := mustKriging(t, KrigingSpec{Samples: rounded(24), Model: mound})
	spec := BlockSpec{Boundary: fixtures.Edge(), Step: 3}
	b, err := k.Block(spec)
	require.NoError(t, err)
	nodes, _, err := spec.nodes()
	require.NoError(t, err)
	e, err := k.Estimates(nodes.at, 1)
	require.NoError(t, err)
	var sum float64
	for _, v := range e {
		sum += float64(v.Value)
	}
	require.InDelta(t, sum/float64(len(e)), float64(b.Mean), 1e-12)
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
		{"no point inside", BlockSpec{Boundary: plane.Polygon{pointAt(0, 0), pointAt(100, 0), pointAt(100, 10), pointAt(10, 10), pointAt(10, 100), pointAt(0, 100)}, Step: 100}, []string{"step"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := k.Block(c.spec)
			require.Equal(t, c.want, fields(err))
		})
	}
}
