package geostat

import (
	"context"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func TestVariogramConventions(t *testing.T) {
	// Four samples on a line: distances 1 (three times), 2 (twice), 3, and a
	// fifth on top of the last.
	line := []Sample{sampleAt(0, 0, 0), sampleAt(1, 0, 1), sampleAt(2, 0, 3), sampleAt(3, 0, 6), sampleAt(3, 0, 8)}
	v, err := Variogram(context.Background(), VariogramSpec{Samples: line, Width: 1, Cutoff: 3})
	require.NoError(t, err)
	want := []LagClass{
		{From: 0, To: 1, Pairs: 4, Distance: 1, Gamma: (1 + 4 + 9 + 25) / 8.0},
		{From: 1, To: 2, Pairs: 3, Distance: 2, Gamma: (9 + 25 + 49) / 6.0},
		{From: 2, To: 3, Pairs: 2, Distance: 3, Gamma: (36 + 64) / 4.0},
	}
	require.Empty(t, cmp.Diff(want, v.Classes, near(0, 1e-12)))
	require.Equal(t, LagClass{Pairs: 1, Gamma: 2}, v.Coincident)

	v, err = Variogram(context.Background(), VariogramSpec{Samples: line, Lags: LagCentred, Width: 2, Classes: 2})
	require.NoError(t, err)
	want = []LagClass{
		{From: 0, To: 1, Pairs: 1, Distance: 0, Gamma: 2},
		{From: 1, To: 3, Pairs: 7, Distance: 10.0 / 7, Gamma: (1 + 4 + 9 + 25 + 9 + 25 + 49) / 14.0},
		{From: 3, To: 5, Pairs: 2, Distance: 3, Gamma: 25},
	}
	require.Empty(t, cmp.Diff(want, v.Classes, near(0, 1e-12)))

	cross := []Sample{sampleAt(0, 0, 0), sampleAt(0, 1, 1), sampleAt(1, 0, 3)}
	v, err = Variogram(context.Background(), VariogramSpec{Samples: cross, Width: 2, Classes: 1, Direction: &Direction{Azimuth: 180, Tolerance: 20}})
	require.NoError(t, err)
	require.Equal(t, 1, v.Classes[0].Pairs)
	require.Equal(t, units.Area(0.5), v.Classes[0].Gamma, "only the pair to the north")

	// Thirteen times a thirteenth of this cut-off falls short of it by rounding: a
	// pair at the cut-off is in the last class all the same.
	const cutoff = 59.538135322313046
	v, err = Variogram(context.Background(), VariogramSpec{Samples: []Sample{sampleAt(0, 0, 0), sampleAt(cutoff, 0, 1)}, Cutoff: cutoff, Classes: 13})
	require.NoError(t, err)
	require.Len(t, v.Classes, 1)
	require.Less(t, float64(v.Classes[0].From), 0.95*cutoff)

	robust, err := Variogram(context.Background(), VariogramSpec{Samples: cross[:2], Width: 2, Classes: 1, Estimator: EstimatorRobust})
	require.NoError(t, err)
	require.InDelta(t, 1/(2*(0.457+0.494)), float64(robust.Classes[0].Gamma), 1e-12)
}

func TestVariogramFaults(t *testing.T) {
	_, err := Variogram(context.Background(), VariogramSpec{Samples: []Sample{sampleAt(math.NaN(), 0, math.Inf(1))}, Lags: 7, Width: -1, Estimator: 5,
		Direction: &Direction{Tolerance: 0}})
	require.Equal(t, []string{"samples", "samples[0].at.x", "samples[0].value", "width", "estimator", "direction.tolerance", "lags"}, fields(err))
	_, err = Variogram(context.Background(), VariogramSpec{Samples: []Sample{sampleAt(1, 1, 0), sampleAt(1, 1, 2)}})
	require.Equal(t, []string{"samples"}, fields(err))
	_, err = Variogram(context.Background(), VariogramSpec{Samples: rounded(10), Lags: LagCentred, Cutoff: 3})
	require.Equal(t, []string{"width", "cutoff"}, fields(err))
}
