package geostat

import (
	"context"
	"math"
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

// TestValidateByHand: the measures are those of the errors listed, in the order of the
// samples, and the verdict changes at 1 -+ 3 sqrt(2/n).
func TestValidateByHand(t *testing.T) {
	samples := rounded(30)
	k := mustKriging(t, KrigingSpec{Samples: samples, Model: mound})
	v, err := k.Validate(context.Background())
	require.NoError(t, err)
	require.Equal(t, 30, v.N)
	var sum, squares, absolute, ratio float64
	for i, l := range v.Left {
		require.Equal(t, i, l.Sample)
		require.Equal(t, samples[i].Value, l.Observed)
		require.InDelta(t, float64(l.Observed-l.Estimate.Value), float64(l.Error), 1e-12)
		e := float64(l.Error)
		sum, squares, absolute, ratio = sum+e, squares+e*e, absolute+math.Abs(e), ratio+e*e/square(l.Estimate.SD)
	}
	require.InDelta(t, sum/30, float64(v.MeanError), 1e-12)
	require.InDelta(t, math.Sqrt(squares/30), float64(v.RMSE), 1e-12)
	require.InDelta(t, absolute/30, float64(v.MAE), 1e-12)
	require.InDelta(t, ratio/30, v.MSDR, 1e-9)
	half := 3 * math.Sqrt(2.0/30)
	require.InDelta(t, 1-half, v.MSDRRange.Low, 1e-12)
	require.InDelta(t, 1+half, v.MSDRRange.High, 1e-12)
	for msdr, want := range map[float64]MSDRVerdict{v.MSDRRange.Low: MSDRFits, v.MSDRRange.Low - 1e-9: MSDRTooLow, v.MSDRRange.High: MSDRFits, v.MSDRRange.High + 1e-9: MSDRTooHigh} {
		of := ValidationResult{N: 30, MSDR: msdr}
		of.judge()
		require.Equal(t, want, of.Verdict, "%v", msdr)
	}
	few := ValidationResult{N: 8, MSDR: 0.01}
	few.judge()
	require.Equal(t, MSDRFits, few.Verdict, "eight cannot be too careful")
	require.Zero(t, few.MSDRRange.Low)

	// Influences with neighbours: those of the samples nearest to the middle of the area.
	near := mustKriging(t, KrigingSpec{Samples: samples, Model: mound, Neighbours: 6})
	spec := BlockSpec{Boundary: box(70, 40, 110, 70), Step: 4}
	list, err := near.Influences(context.Background(), spec)
	require.NoError(t, err)
	b, err := near.Block(spec)
	require.NoError(t, err)
	require.Len(t, list, 6)
	for i, inf := range list {
		require.Equal(t, b.Weights[i], Weight{inf.Sample, inf.Weight})
		rest := make([]Sample, 0, 5)
		for j, other := range list {
			if j != i {
				rest = append(rest, samples[other.Sample])
			}
		}
		without, err := mustKriging(t, KrigingSpec{Samples: rest, Model: mound}).Block(spec)
		require.NoError(t, err)
		require.InDelta(t, float64(b.Mean-without.Mean), float64(inf.Change), 1e-12)
		require.InDelta(t, float64(without.SD), float64(inf.SD), 1e-12)
	}
}
