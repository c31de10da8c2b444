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

// What a spec leaves out follows from what it gives; the samples span 12 m by 9 m.
func TestVariogramLeftOut(t *testing.T) {
	var samples []Sample
	for i := range 13 {
		samples = append(samples, sampleAt(float64(i), 0.75*float64(i), float64(i%5)))
	}
	for _, c := range []struct {
		name          string
		spec          VariogramSpec
		width, cutoff float64
		from, to      float64 // of the last class
	}{
		{"everything", VariogramSpec{}, 1.0 / 3, 5, 14.0 / 3, 5},
		{"cut-off and classes", VariogramSpec{Width: 0.625}, 0.625, 9.375, 8.75 - 0.625, 8.75},
		{"cut-off", VariogramSpec{Width: 1.25, Classes: 4}, 1.25, 5, 3.75, 5},
		{"width and classes", VariogramSpec{Cutoff: 7.5}, 0.5, 7.5, 7, 7.5},
		{"width", VariogramSpec{Cutoff: 7.5, Classes: 3}, 2.5, 7.5, 5, 7.5},
		{"classes, narrow", VariogramSpec{Width: 0.5, Cutoff: 5.2}, 0.5, 5.2, 4.5, 5},
		{"classes, wide", VariogramSpec{Width: 2.5, Cutoff: 6.5}, 2.5, 6.5, 5, 6.5},
		{"one class", VariogramSpec{Width: 2.5, Cutoff: 2.5}, 2.5, 2.5, 0, 2.5},
		{"cut-off of centred classes", VariogramSpec{Lags: LagCentred, Width: 2, Classes: 3}, 2, 7, 5, 7},
	} {
		t.Run(c.name, func(t *testing.T) {
			v, err := Variogram(context.Background(), c.spec.with(samples))
			require.NoError(t, err)
			require.InDelta(t, 15, float64(v.MaxDistance), 1e-12)
			require.InDelta(t, c.width, float64(v.Width), 1e-12)
			require.InDelta(t, c.cutoff, float64(v.Cutoff), 1e-12)
			last := v.Classes[len(v.Classes)-1]
			require.InDelta(t, c.from, float64(last.From), 1e-12)
			require.InDelta(t, c.to, float64(last.To), 1e-12)
		})
	}
	_, err := Variogram(context.Background(), VariogramSpec{Samples: samples, Width: 1, Cutoff: 5, Classes: 4})
	require.Equal(t, []string{"classes"}, fields(err), "they do not reach the cut-off")
	_, err = Variogram(context.Background(), VariogramSpec{Samples: samples, Width: 1, Cutoff: 11000})
	require.ErrorContains(t, err, "enough classes", "more than there may be are not made up")
	_, err = Variogram(context.Background(), VariogramSpec{Samples: samples, Width: 1, Cutoff: 9999})
	require.NoError(t, err)
	_, err = Variogram(context.Background(), VariogramSpec{Samples: samples, Width: 1, Cutoff: 5, Classes: 5})
	require.NoError(t, err)
}

func (s VariogramSpec) with(samples []Sample) VariogramSpec {
	s.Samples = samples
	return s
}

// Pairs along an azimuth, clockwise from north, and those on the limit of the tolerance.
func TestVariogramDirections(t *testing.T) {
	star := []Sample{sampleAt(0, 0, 0)}
	for k := range 8 { // values 1, 2, 4 and so on at every 22.5 degrees
		sin, cos := math.Sincos(float64(k) * math.Pi / 8)
		star = append(star, sampleAt(10*sin, 10*cos, math.Exp2(float64(k))))
	}
	for _, c := range []struct {
		azimuth, tolerance float64
		want               []int
	}{
		{0, 10, []int{0}}, {45, 10, []int{2}}, {-135, 10, []int{2}}, {135, 10, []int{6}}, {90, 22.5, []int{3, 4, 5}}, {0, 22.5, []int{0, 1, 7}}, {77, 12, []int{3}},
	} {
		v, err := Variogram(context.Background(), VariogramSpec{Samples: star, Width: 0.01, Cutoff: 10.005, Direction: &Direction{c.azimuth, c.tolerance}})
		require.NoError(t, err)
		last := v.Classes[len(v.Classes)-1] // pairs with the centre: no others lie 10 m apart
		var sum float64
		for _, k := range c.want {
			sum += math.Exp2(2 * float64(k))
		}
		require.Equal(t, len(c.want), last.Pairs, "azimuth %v", c.azimuth)
		require.InDelta(t, sum/2/float64(len(c.want)), float64(last.Gamma), 1e-9, "azimuth %v", c.azimuth)
	}
}
