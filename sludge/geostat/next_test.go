package geostat

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/internal/fixtures"
	"example.org/earthbasin/units"
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

// TestNextEdges: the target is reached when the deviation is no more than that, before any
// place and at the first; of places that do as much the first is named; a line is sounded
// along itself, whatever boundary stands beside it.
func TestNextEdges(t *testing.T) {
	samples := rounded(12)
	spec := BlockSpec{Boundary: fixtures.Edge(), Step: 4}
	k := mustKriging(t, KrigingSpec{Samples: samples, Model: mound})
	r, err := k.Next(context.Background(), NextSpec{Block: spec, Most: 3})
	require.NoError(t, err)
	require.False(t, r.Reached)
	require.Len(t, r.Places, 3)
	first := r.Places[0].SD
	for _, c := range []struct {
		target float64
		places int
	}{{float64(r.SD), 0}, {float64(r.SD) * (1 - 1e-9), 1}, {float64(first), 1}, {float64(first) * (1 - 1e-9), 2}} {
		got, err := k.Next(context.Background(), NextSpec{Block: spec, Most: 3, TargetSD: units.Length(c.target)})
		require.NoError(t, err)
		require.True(t, got.Reached)
		require.Equal(t, r.Places[:c.places], append([]NextSounding{}, got.Places...))
	}

	// Four places about a sounding in the middle of a square do the same by symmetry.
	square := BlockSpec{Boundary: box(-10, -10, 10, 10), Step: 1}
	middle := mustKriging(t, KrigingSpec{Samples: []Sample{sampleAt(0, 0, 1)}, Model: mound})
	four := []plane.Point{pointAt(0, 6), pointAt(6, 0), pointAt(0, -6), pointAt(-6, 0)}
	for range four {
		got, err := middle.Next(context.Background(), NextSpec{Block: square, Candidates: four, Most: 1})
		require.NoError(t, err)
		require.Equal(t, four[0], got.Places[0].At)
		four = append(four[1:], four[0])
	}

	line := []plane.Point{pointAt(20, 30), pointAt(100, 50)}
	for _, c := range []BlockSpec{{Line: line, Step: 1}, {Line: line, Step: 1, Boundary: fixtures.Edge()}, {Points: lineNodes(line, float64(line[0].Distance(line[1])), 1).at, Boundary: fixtures.Edge()}} {
		got, err := k.Next(context.Background(), NextSpec{Block: c, Most: 2})
		require.NoError(t, err)
		for _, p := range got.Places {
			require.InDelta(t, 25+float64(p.At.X)/4, float64(p.At.Y), 1e-9, "on the line")
		}
	}

	// Without candidates a lattice of about 400 inside the boundary and off the islands.
	nodes, area, err := spec.nodes()
	require.NoError(t, err)
	spec.Islands = []plane.Polygon{box(40.3, 30.3, 60.3, 50.3)}
	places := spec.places(area, nodes)
	require.InDelta(t, 400*(1-400/float64(area)), len(places), 25)
	for _, p := range places {
		require.True(t, spec.Boundary.Contains(p) && !spec.Islands[0].Contains(p))
	}
	require.InDelta(t, math.Sqrt(float64(area)/400), float64(places[1].X-places[0].X), 0.5)
	require.Equal(t, places[0].Y, places[1].Y)
}
