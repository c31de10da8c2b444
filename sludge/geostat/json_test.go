package geostat

import (
	"context"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units/evidence"
	"example.org/earthbasin/units/plane"
)

// Every spec and result survives JSON, and shows no US unit to who asks for metric ones.
func TestJSON(t *testing.T) {
	seen := evidence.Trips{}
	ctx := t.Context()
	samples := rounded(40)
	edge := plane.Polygon{pointAt(0, 0), pointAt(60, 0), pointAt(60, 40), pointAt(0, 40)}
	k := mustKriging(t, KrigingSpec{Samples: samples, Model: mound})
	variogram := func(spec VariogramSpec) (VariogramResult, error) { return Variogram(ctx, spec) }
	v, err := variogram(VariogramSpec{Samples: samples})
	require.NoError(t, err)
	short := v
	short.Classes = v.Classes[:5]
	far := v
	far.MaxDistance = 1

	evidence.RoundTrip(t, seen, variogram, text(t, VariogramSpec{Samples: samples}))
	for _, of := range []VariogramResult{v, short, far, {Classes: v.Classes[:2]}} {
		evidence.RoundTrip(t, seen, Fit, text(t, FitSpec{Variogram: of}))
	}
	evidence.RoundTrip(t, seen, func(spec AnisotropySpec) (AnisotropyResult, error) { return FitAnisotropy(ctx, spec) }, text(t, AnisotropySpec{Samples: samples}))
	evidence.RoundTrip(t, seen, Mean, text(t, MeanSpec{Samples: samples, Boundary: edge, Confidence: 0.95}))
	evidence.RoundTrip(t, seen, k.Block, text(t, BlockSpec{Boundary: edge}))
	evidence.RoundTrip(t, seen, func(spec NextSpec) (NextResult, error) { return k.Next(ctx, spec) }, text(t, NextSpec{Block: BlockSpec{Boundary: edge}, Most: 2}))
	evidence.RoundTrip(t, seen, func(spec KrigingSpec) (ValidationResult, error) {
		k, err := NewKriging(ctx, spec)
		require.NoError(t, err)
		return k.Validate(ctx)
	}, text(t, KrigingSpec{Samples: samples, Model: mound}))
	close := []Sample{sampleAt(0, 0, 1), sampleAt(0.001, 0, 1.1), sampleAt(9, 9, 2)}
	evidence.RoundTrip(t, seen, func(spec KrigingSpec) (KrigingSystem, error) {
		k, err := NewKriging(ctx, spec)
		require.NoError(t, err)
		s, err := k.System(pointAt(5, 5))
		require.NotEmpty(t, s.Notes)
		return s, err
	}, text(t, KrigingSpec{Samples: close, Model: Model{Shape: Gaussian, Sill: 1, Range: 30}}))
	drift := DriftSpec{Samples: samples, Model: mound}
	for i := range samples {
		drift.Covariates = append(drift.Covariates, []float64{float64(i % 7)})
	}
	evidence.RoundTrip(t, seen, func(spec DriftSpec) (e []Estimate, err error) {
		d, err := NewDrift(context.Background(), spec)
		require.NoError(t, err)
		return d.Estimates(ctx, []plane.Point{pointAt(5, 5)}, [][]float64{{3}})
	}, text(t, drift))
	evidence.RoundTrip(t, seen, func(spec FieldSpec) (FieldEstimate, error) {
		k, err := NewField(ctx, spec)
		require.NoError(t, err)
		return k.At(pointAt(5, 5))
	}, text(t, FieldSpec{Samples: samples, Confidence: 0.9}))
	require.Empty(t, seen.Untried(t, "example.org/earthbasin/sludge/geostat"))
}

func text(t *testing.T, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	require.NoError(t, err)
	return string(b)
}
