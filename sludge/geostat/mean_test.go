package geostat

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/units"
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

// TestMeanByHand: mean, spread, error and interval by their formulas.
func TestMeanByHand(t *testing.T) {
	spec := MeanSpec{
		Samples:    []Sample{sampleAt(5, 50, 1), sampleAt(25, 50, 3), sampleAt(65, 50, 8)},
		Boundary:   box(0, 0, 100, 50),
		Confidence: 0.9,
	}
	m, err := Mean(spec)
	require.NoError(t, err)
	sd := math.Sqrt((9 + 1 + 16) / 2.0)
	t2 := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: 2}
	require.InDelta(t, 4, float64(m.Mean), 1e-12)
	require.InDelta(t, sd, float64(m.SD), 1e-12)
	require.InDelta(t, sd/math.Sqrt(3), float64(m.Error), 1e-12)
	require.InDelta(t, t2.Quantile(0.95), m.T, 1e-9)
	require.InDelta(t, 4-t2.Quantile(0.95)*sd/math.Sqrt(3), float64(m.Interval.Low), 1e-9)
	require.InDelta(t, 4+t2.Quantile(0.95)*sd/math.Sqrt(3), float64(m.Interval.High), 1e-9)
	require.InDelta(t, 4+t2.Quantile(0.9)*sd/math.Sqrt(3), float64(m.Upper), 1e-9)
	require.InDelta(t, 20000, float64(m.Volume), 1e-9)
	require.InDelta(t, 5000*float64(m.Interval.Low), float64(m.VolumeInterval.Low), 1e-9)
	require.InDelta(t, 5000*float64(m.Interval.High), float64(m.VolumeInterval.High), 1e-9)

	spec.Weighting = WeightingArea // the bisectors lie at 15 and 45
	m, err = Mean(spec)
	require.NoError(t, err)
	w := []float64{0.15, 0.3, 0.55}
	require.InDeltaSlice(t, w, m.Shares, 1e-12)
	mean := 0.15*1 + 0.3*3 + 0.55*8
	require.InDelta(t, mean, float64(m.Mean), 1e-12)
	var sum float64
	for i, z := range []float64{1, 3, 8} {
		sum += w[i] * w[i] * (z - mean) * (z - mean)
	}
	require.InDelta(t, math.Sqrt(1.5*sum), float64(m.Error), 1e-12)

	// Without spread two samples are as good as any number.
	for i := range spec.Samples {
		spec.Samples[i].Value = 3
	}
	m, err = Mean(spec)
	require.NoError(t, err)
	n, err := m.Needed(0.1)
	require.NoError(t, err)
	require.Equal(t, 2, n)
	// A deviation of 1: the least n with t(n-1)/sqrt(n) no more than the half-width.
	m.SD = 1
	for _, half := range []float64{0.2, 0.5, 3} {
		n, err := m.Needed(units.Length(half))
		require.NoError(t, err)
		reached := func(n int) bool {
			return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(n - 1)}.Quantile(0.95)/math.Sqrt(float64(n)) <= half
		}
		require.True(t, reached(n) && !reached(n-1), "%v: %d", half, n)
	}
}
