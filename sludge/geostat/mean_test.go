package geostat

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units/plane"
)

func TestMeanAreaWeights(t *testing.T) {
	// Two samples crowd in the left tenth of a square: they share its weight.
	spec := MeanSpec{
		Samples:    []Sample{sampleAt(5, 50, 1), sampleAt(5, 50, 3), sampleAt(15, 50, 10)},
		Boundary:   box(0, 0, 100, 100),
		Weighting:  WeightingArea,
		Confidence: 0.9,
	}
	m, err := Mean(spec)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff([]float64{0.05, 0.05, 0.9}, m.Shares, near(1e-12, 0)))
	require.InDelta(t, 9.2, float64(m.Mean), 1e-12)
	spec.Islands = []plane.Polygon{box(2, 10, 8, 90)}
	m, err = Mean(spec)
	require.NoError(t, err)
	require.InDelta(t, (1000-480)/(1e4-480)/2, m.Shares[0], 1e-12)
	require.InDelta(t, 1e4-480, float64(m.Area), 1e-9)

	// A regular grid: all cells alike, and so the plain mean.
	var grid []Sample
	for i := range 100 {
		grid = append(grid, sampleAt(5+10*float64(i%10), 5+10*float64(i/10), float64(i*i%17)))
	}
	spec = MeanSpec{Samples: grid, Boundary: box(0, 0, 100, 100), Confidence: 0.95}
	plain, err := Mean(spec)
	require.NoError(t, err)
	spec.Weighting = WeightingArea
	byArea, err := Mean(spec)
	require.NoError(t, err)
	require.InDelta(t, float64(plain.Mean), float64(byArea.Mean), 1e-12)
	require.InDelta(t, float64(plain.Error), float64(byArea.Error), 1e-12)
	require.Contains(t, byArea.String(), "area weights")

	n, err := plain.Needed(plain.Interval.Half() * 1.000001)
	require.NoError(t, err)
	require.Equal(t, 100, n, "as many as there are")
	_, err = plain.Needed(0)
	require.Equal(t, []string{"half"}, fields(err))
	_, err = plain.Needed(1e-9)
	require.Equal(t, []string{"half"}, fields(err))
	_, err = MeanResult{N: 1}.Needed(1)
	require.Equal(t, []string{"n"}, fields(err))

	_, err = Mean(MeanSpec{Confidence: 1, Weighting: 4})
	require.Equal(t, []string{"samples", "boundary", "weighting", "confidence"}, fields(err))
	one, err := Mean(MeanSpec{Samples: grid[:1], Boundary: box(0, 0, 1, 1), Confidence: 0.95})
	require.NoError(t, err)
	require.Nil(t, one.Interval)
}
