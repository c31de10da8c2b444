package geostat

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/internal/fixtures"
	"example.org/earthbasin/units/plane"
)

// TestNext holds the drop of each place named against kriging with a sample
// there, and the first one against all other candidates.
func TestNext(t *testing.T) {
	samples := rounded(12)
	spec := BlockSpec{Boundary: fixtures.Edge(), Step: 4}
	var candidates []plane.Point
	for i := range 30 {
		candidates = append(candidates, rounded(80)[40+i].At)
	}
	candidates = append(candidates, samples[0].At)
	k := mustKriging(t, KrigingSpec{Samples: samples, Model: mound})
	r, err := k.Next(context.Background(), NextSpec{Block: spec, Candidates: candidates, Most: 5})
	require.NoError(t, err)
	require.Len(t, r.Places, 5)
	sdWith := func(extra ...plane.Point) float64 {
		more := append([]Sample(nil), samples...)
		for _, p := range extra {
			more = append(more, Sample{p, 1})
		}
		b, err := mustKriging(t, KrigingSpec{Samples: more, Model: mound, Average: true}).Block(spec)
		require.NoError(t, err)
		return float64(b.SD)
	}
	var named []plane.Point
	last := float64(r.SD)
	for _, p := range r.Places {
		named = append(named, p.At)
		require.InDelta(t, sdWith(named...), float64(p.SD), 1e-12)
		require.Less(t, float64(p.SD), last)
		last = float64(p.SD)
	}
	for _, c := range candidates {
		require.GreaterOrEqual(t, sdWith(c), float64(r.Places[0].SD)-1e-12)
	}

	r, err = k.Next(context.Background(), NextSpec{Block: spec, Most: 200, TargetSD: r.SD / 2})
	require.NoError(t, err)
	require.True(t, r.Reached)
	require.LessOrEqual(t, r.Places[len(r.Places)-1].SD, r.SD/2)

	_, err = k.Next(context.Background(), NextSpec{TargetSD: -1, Candidates: []plane.Point{pointAt(math.NaN(), 0)}})
	require.Equal(t, []string{"block.boundary", "candidates[0].x", "most", "targetSD"}, fields(err))
	require.Contains(t, r.String(), "Drowning")
	_, err = k.Next(context.Background(), NextSpec{Block: spec, Most: 1, Candidates: make([]plane.Point, maxCandidates+1)})
	require.Equal(t, []string{"candidates"}, fields(err))
	near := mustKriging(t, KrigingSpec{Samples: samples, Model: mound, Neighbours: 5})
	_, err = near.Next(context.Background(), NextSpec{Block: spec, Most: 1})
	require.Equal(t, []string{"neighbours"}, fields(err))
	r, err = k.Next(context.Background(), NextSpec{Block: spec, Candidates: []plane.Point{samples[3].At}, Most: 4})
	require.NoError(t, err)
	require.Empty(t, r.Places, "a place that is sounded already helps nothing")
}
