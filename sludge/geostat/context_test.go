package geostat

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Work that can take long ends with its context and gives no half answer.
func TestContextEndsWork(t *testing.T) {
	samples := rounded(60)
	all := mustKriging(t, KrigingSpec{Samples: samples, Model: mound})
	near := mustKriging(t, KrigingSpec{Samples: samples, Model: mound, Neighbours: 8})
	at := []plane.Point{pointAt(1, 1), pointAt(30, 20)}
	covariates := make([][]float64, len(samples))
	for i, s := range samples {
		covariates[i] = []float64{float64(s.At.X)}
	}
	drift := DriftSpec{Samples: samples, Covariates: covariates, Model: Model{Nugget: 0.01, Sill: 1, Range: 30}}
	d, err := NewDrift(context.Background(), drift)
	require.NoError(t, err)
	next := NextSpec{Block: BlockSpec{Boundary: box(0, 0, 100, 100)}, Most: 2}

	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for name, run := range map[string]func() (any, error){
		"new":         func() (any, error) { return NewKriging(ctx, KrigingSpec{Samples: samples, Model: mound}) },
		"estimates":   func() (any, error) { return all.Estimates(ctx, at, 2) },
		"near":        func() (any, error) { return near.Estimates(ctx, at, 1) },
		"values":      func() (any, error) { return all.Values(ctx, at, 2) },
		"near values": func() (any, error) { return near.Values(ctx, at, 1) },
		"validate":    func() (any, error) { return all.Validate(ctx) },
		"each":        func() (any, error) { return near.Validate(ctx) },
		"influences":  func() (any, error) { return all.Influences(ctx, next.Block) },
		"next":        func() (any, error) { return all.Next(ctx, next) },
		"drift":       func() (any, error) { return NewDrift(ctx, drift) },
		"drifted":     func() (any, error) { return d.Estimates(ctx, at, [][]float64{{1}, {30}}) },
		"variogram":   func() (any, error) { return Variogram(ctx, VariogramSpec{Samples: samples}) },
		"anisotropy":  func() (any, error) { return FitAnisotropy(ctx, AnisotropySpec{Samples: samples}) },
	} {
		got, err := run()
		require.ErrorIs(t, err, context.Canceled, name)
		require.Zero(t, got, name)
	}

	// What is wrong with the spec comes first.
	_, err = NewKriging(ctx, KrigingSpec{})
	var fault *units.FieldError
	require.ErrorAs(t, err, &fault)
}
