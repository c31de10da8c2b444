package geostat

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units/plane"
)

// TestDriftAgainstGstat holds universal kriging of log zinc on easting and northing
// against the R package gstat 2.1.0 (krige with a formula); testdata/outside.R prints the
// values, to 12 decimals.
func TestDriftAgainstGstat(t *testing.T) {
	samples := table(t, "meuse.csv", math.Log)
	spec := DriftSpec{Samples: samples, Model: Model{Nugget: 0.05, Sill: 0.25, Range: 900}}
	for _, s := range samples {
		spec.Covariates = append(spec.Covariates, []float64{float64(s.At.X), float64(s.At.Y)})
	}
	d, err := NewDrift(context.Background(), spec)
	require.NoError(t, err)
	for _, want := range []struct{ x, y, value, variance float64 }{
		{179500, 330500, 5.175933063164, 0.107444918313},
		{180200, 331900, 5.545398342478, 0.084441321752},
		{181000, 333400, 6.440979365801, 0.094852254250},
		{178700, 329800, 6.561455695703, 0.151430129317},
	} {
		got, err := d.Estimates(context.Background(), []plane.Point{pointAt(want.x, want.y)}, [][]float64{{want.x, want.y}})
		require.NoError(t, err)
		// gstat solves with the coordinates as they are, which costs it a few digits.
		require.InDelta(t, want.value, float64(got[0].Value), 1e-8)
		require.InDelta(t, want.variance, square(got[0].SD), 1e-8)
	}
}
