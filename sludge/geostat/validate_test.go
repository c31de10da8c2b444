package geostat

import (
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/internal/fixtures"
)

// TestValidateFast holds the errors from one system against leaving out for real.
func TestValidateFast(t *testing.T) {
	for _, m := range []Model{mound, {Shape: Exponential, Sill: 0.01, Range: 15}, {Nugget: 0.01}} {
		k := mustKriging(t, KrigingSpec{Samples: rounded(batch + 22), Model: m, Average: true}) // more than one batch
		fastMiss, fastVariance, err := k.all.leaveOneOut(context.Background())
		require.NoError(t, err)
		miss, variance := k.leaveEachOut(context.Background())
		require.Empty(t, cmp.Diff(miss, fastMiss, near(1e-9, 1e-12)))
		require.Empty(t, cmp.Diff(variance, fastVariance, near(1e-9, 0)))
	}
	local := mustKriging(t, KrigingSpec{Samples: rounded(35), Model: mound, Neighbours: 8})
	v, err := local.Validate(context.Background())
	require.NoError(t, err)
	rest := append(rounded(35)[:5:5], rounded(35)[6:]...)
	e, err := mustKriging(t, KrigingSpec{Samples: rest, Model: mound, Neighbours: 8}).Estimate(rounded(35)[5].At)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(e, v.Left[5].Estimate, near(1e-12, 0)))
}

// TestInfluences holds each change against kriging without the sample.
func TestInfluences(t *testing.T) {
	samples := rounded(20)
	spec := BlockSpec{Boundary: fixtures.Edge(), Step: 4}
	k := mustKriging(t, KrigingSpec{Samples: samples, Model: mound})
	with, err := k.Block(spec)
	require.NoError(t, err)
	list, err := k.Influences(context.Background(), spec)
	require.NoError(t, err)
	require.Len(t, list, len(samples))
	for i, inf := range list {
		require.Equal(t, i, inf.Sample)
		rest := append(append([]Sample(nil), samples[:i]...), samples[i+1:]...)
		without, err := mustKriging(t, KrigingSpec{Samples: rest, Model: mound}).Block(spec)
		require.NoError(t, err)
		require.InDelta(t, float64(with.Mean-without.Mean), float64(inf.Change), 1e-12)
		require.InDelta(t, float64(without.SD), float64(inf.SD), 1e-12)
	}
}
