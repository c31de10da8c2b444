package geostat

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"example.org/earthbasin/units/plane"
)

// TestDriftAgainstWholeEquations solves [C F; F' 0] at once.
func TestDriftAgainstWholeEquations(t *testing.T) {
	samples := rounded(30)
	covariate := func(p plane.Point) []float64 {
		return []float64{1000 + float64(p.X)*3, math.Sqrt(float64(p.Y) + 1)}
	}
	spec := DriftSpec{Samples: samples, Model: mound}
	for _, s := range samples {
		spec.Covariates = append(spec.Covariates, covariate(s.At))
	}
	d, err := NewDrift(context.Background(), spec)
	require.NoError(t, err)
	places := []plane.Point{pointAt(20, 30), pointAt(77, 11), pointAt(200, 200), samples[3].At}
	var rows [][]float64
	for _, p := range places {
		rows = append(rows, covariate(p))
	}
	got, err := d.Estimates(context.Background(), places, rows)
	require.NoError(t, err)
	require.Equal(t, Estimate{Value: samples[3].Value}, got[3])

	n, m := len(samples), 3
	c := newCovariance(mound)
	between := func(p, q plane.Point) float64 {
		if p == q {
			return c.zero()
		}
		x, y := c.place(p.Sub(q))
		return c.at(x*x + y*y)
	}
	whole := mat.NewDense(n+m, n+m, nil)
	for i, p := range samples {
		for j, q := range samples {
			whole.Set(i, j, between(p.At, q.At))
		}
		for j, v := range append([]float64{1}, covariate(p.At)...) {
			whole.Set(i, n+j, v)
			whole.Set(n+j, i, v)
		}
	}
	for i, p := range places[:3] {
		right := mat.NewVecDense(n+m, nil)
		for j, s := range samples {
			right.SetVec(j, between(s.At, p))
		}
		for j, v := range append([]float64{1}, covariate(p)...) {
			right.SetVec(n+j, v)
		}
		var w mat.VecDense
		require.NoError(t, w.SolveVec(whole, right))
		var value float64
		for j, s := range samples {
			value += w.AtVec(j) * float64(s.Value)
		}
		require.InDelta(t, value, float64(got[i].Value), 1e-8)
		require.InDelta(t, c.zero()-mat.Dot(&w, right), float64(got[i].SD)*float64(got[i].SD), 1e-9)
	}
}

// TestDriftOfCovariate: values that are a covariate and nothing else come back, with
// its coefficients.
func TestDriftOfCovariate(t *testing.T) {
	samples := rounded(25)
	spec := DriftSpec{Samples: samples, Model: mound}
	for i := range samples {
		x := float64(i * i % 17)
		spec.Samples[i].Value = 2 + 0.25*sampleAt(0, 0, x).Value
		spec.Covariates = append(spec.Covariates, []float64{x})
	}
	d, err := NewDrift(context.Background(), spec)
	require.NoError(t, err)
	constant, slopes := d.Coefficients()
	require.InDelta(t, 2, float64(constant), 1e-10)
	require.InDelta(t, 0.25, slopes[0], 1e-10)
	e, err := d.Estimates(context.Background(), []plane.Point{pointAt(5, 50)}, [][]float64{{40}})
	require.NoError(t, err)
	require.InDelta(t, 12, float64(e[0].Value), 1e-9)
}

func TestDriftFaults(t *testing.T) {
	_, err := NewDrift(context.Background(), DriftSpec{})
	require.Equal(t, []string{"samples", "model.sill", "covariates[0]"}, fields(err))
	spec := DriftSpec{Samples: rounded(6), Model: mound, Covariates: [][]float64{{1}, {2, 3}, {math.NaN()}, {1}, {2}, {3}}}
	_, err = NewDrift(context.Background(), spec)
	require.Equal(t, []string{"covariates[1]", "covariates[2]"}, fields(err))
	spec.Covariates = [][]float64{{1}, {1}, {1}, {1}, {1}, {1}}
	_, err = NewDrift(context.Background(), spec)
	require.Equal(t, []string{"covariates"}, fields(err), "a constant")
	spec.Covariates = [][]float64{{1}, {2}, {3}, {4}, {5}, {6}}
	spec.Samples[1].At = spec.Samples[0].At
	_, err = NewDrift(context.Background(), spec)
	require.Equal(t, []string{"samples[1].at"}, fields(err))
	for _, v := range []float64{1e12, 1.01e12, -1.01e12, math.Inf(1)} {
		spec.Covariates[2][0] = v
		_, err = NewDrift(context.Background(), DriftSpec{Samples: rounded(6), Model: mound, Covariates: spec.Covariates})
		if math.Abs(v) > 1e12 {
			require.Equal(t, []string{"covariates[2]"}, fields(err))
		} else {
			require.NoError(t, err)
		}
	}
	spec.Covariates[2][0] = 3
	for n, want := range map[int][]string{2: {"samples", "covariates[0]"}, 3: nil} {
		_, err = NewDrift(context.Background(), DriftSpec{Samples: rounded(6)[:n], Model: mound, Covariates: spec.Covariates[:n]})
		require.Equal(t, want, fields(err), "%d samples, two coefficients", n)
	}
	close := []Sample{sampleAt(0, 0, 1), sampleAt(1e-7, 0, 1), sampleAt(2e-7, 1e-7, 1), sampleAt(5, 5, 2)}
	for _, m := range []Model{{Shape: Gaussian, Sill: 1, Range: 30}, {Shape: Gaussian, Sill: 1, Range: 1e5}} {
		_, err = NewDrift(context.Background(), DriftSpec{Samples: close, Model: m, Covariates: spec.Covariates[:4]})
		require.Equal(t, []string{"model"}, fields(err), "samples that the model cannot tell apart")
	}
	_, err = NewDrift(context.Background(), DriftSpec{Samples: rounded(1), Model: mound, Covariates: spec.Covariates[:1]})
	require.Equal(t, []string{"samples", "covariates[0]"}, fields(err))
	_, err = (*Drift)(nil).Estimates(context.Background(), nil, nil)
	require.Equal(t, []string{"drift"}, fields(err))
	spec.Samples = rounded(6)
	d, err := NewDrift(context.Background(), spec)
	require.NoError(t, err)
	_, err = d.Estimates(context.Background(), []plane.Point{pointAt(math.NaN(), 0), pointAt(0, 0)}, [][]float64{{1}})
	require.Equal(t, []string{"points[0].x", "covariates"}, fields(err))
}
