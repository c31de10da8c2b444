package geostat

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// matern is the correlation of the smoothness at u practical ranges.
func matern(smoothness, u float64) float64 {
	switch smoothness {
	case 0.5:
		return math.Exp(-3 * u)
	case 1.5:
		v := 4.7439 * u
		return (1 + v) * math.Exp(-v)
	}
	v := 5.9181 * u
	return (1 + v + v*v/3) * math.Exp(-v)
}

// TestFieldAgainstWholeEquations solves the kriging equations of every structure whole
// and averages them by their weights.
func TestFieldAgainstWholeEquations(t *testing.T) {
	samples := rounded(20)
	k, err := NewField(context.Background(), FieldSpec{Samples: samples, Confidence: 0.95})
	require.NoError(t, err)
	p := pointAt(55, 37)
	n := len(samples)
	var value, square, sum float64
	for _, s := range k.Structures() {
		c := mat.NewDense(n+1, n+1, nil)
		right := mat.NewVecDense(n+1, nil)
		z := mat.NewVecDense(n+1, nil)
		for i, a := range samples {
			for j, b := range samples {
				c.Set(i, j, (1-s.Nugget)*matern(s.Smoothness, float64(a.At.Distance(b.At)/s.Range)))
			}
			c.Set(i, i, 1)
			c.Set(i, n, 1)
			c.Set(n, i, 1)
			right.SetVec(i, (1-s.Nugget)*matern(s.Smoothness, float64(a.At.Distance(p)/s.Range)))
			z.SetVec(i, float64(a.Value))
		}
		right.SetVec(n, 1)
		var w mat.VecDense
		require.NoError(t, w.SolveVec(c, right))
		e := mat.Dot(&w, z)
		v := (1 - mat.Dot(&w, right)) * float64(s.SD*s.SD)
		value += s.Weight * e
		square += s.Weight * (v*float64(n-1)/float64(n-3) + e*e)
		sum += s.Weight
	}
	require.InDelta(t, 1, sum, 1e-12)
	got, err := k.At(p)
	require.NoError(t, err)
	require.InDelta(t, value, float64(got.Value), 1e-9)
	require.InDelta(t, math.Sqrt(square-value*value), float64(got.SD), 1e-6)
	require.True(t, got.Interval.Has(got.Value))

	one, err := k.Mean(context.Background(), BlockSpec{Points: []plane.Point{p}})
	require.NoError(t, err)
	require.InDelta(t, float64(got.Value), float64(one.Value), 1e-12)
	require.Less(t, one.SD, got.SD, "the nugget is left out")
}

// TestFieldCoverage simulates fields whose covariance nobody tells and asks how often
// the interval of the mean holds the mean.
func TestFieldCoverage(t *testing.T) {
	if testing.Short() {
		t.Skip("simulation")
	}
	rng := rand.New(rand.NewPCG(1, 1))
	var nodes []plane.Point
	for i := range 10 {
		for j := range 6 {
			nodes = append(nodes, pointAt(5+10*float64(i), 5+10*float64(j)))
		}
	}
	const n, runs = 16, 200
	held := 0
	for range runs {
		places := append([]plane.Point(nil), nodes...)
		for range n {
			places = append(places, pointAt(100*rng.Float64(), 60*rng.Float64()))
		}
		cov := mat.NewSymDense(len(places), nil)
		for i, a := range places {
			for j := range i + 1 {
				cov.SetSym(i, j, 0.2*matern(0.5, float64(a.Distance(places[j]))/40))
			}
			cov.SetSym(i, i, 0.2+1e-9)
		}
		var chol mat.Cholesky
		require.True(t, chol.Factorize(cov))
		var l mat.TriDense
		chol.LTo(&l)
		e, z := mat.NewVecDense(len(places), nil), mat.NewVecDense(len(places), nil)
		for i := range places {
			e.SetVec(i, rng.NormFloat64())
		}
		z.MulVec(&l, e)
		truth := 0.0
		for i := range nodes {
			truth += z.AtVec(i) / float64(len(nodes))
		}
		var samples []Sample
		for i := len(nodes); i < len(places); i++ {
			samples = append(samples, Sample{places[i], units.Length(z.AtVec(i))})
		}
		k, err := NewField(context.Background(), FieldSpec{Samples: samples, Confidence: 0.95})
		require.NoError(t, err)
		m, err := k.Mean(context.Background(), BlockSpec{Points: nodes})
		require.NoError(t, err)
		if m.Interval.Has(units.Length(truth)) {
			held++
		}
	}
	t.Logf("held %d of %d", held, runs)
	require.GreaterOrEqual(t, held, 180, "three standard deviations of 200 draws below 95 %")
}

// TestFieldOfSmoothSurface asks for the mean of a surface without roughness: one that is
// never tried with a small nugget is taken for rough, with an interval a third wider.
func TestFieldOfSmoothSurface(t *testing.T) {
	height := func(x, y float64) float64 { return 2 * math.Exp(-((x-40)*(x-40)+(y-25)*(y-25))/1800) }
	mean, nodes := 0.0, []plane.Point(nil)
	for i := range 20 {
		for j := range 12 {
			x, y := 2.5+5*float64(i), 2.5+5*float64(j)
			nodes = append(nodes, pointAt(x, y))
			mean += height(x, y) / 240
		}
	}
	width := 0.0
	const runs = 12
	for seed := range uint64(runs) {
		rng := rand.New(rand.NewPCG(1, seed))
		var samples []Sample
		for range 24 {
			x, y := 100*rng.Float64(), 60*rng.Float64()
			samples = append(samples, Sample{pointAt(x, y), units.Length(height(x, y))})
		}
		k, err := NewField(context.Background(), FieldSpec{Samples: samples, Confidence: 0.95})
		require.NoError(t, err)
		m, err := k.Mean(context.Background(), BlockSpec{Points: nodes})
		require.NoError(t, err)
		require.True(t, m.Interval.Has(units.Length(mean)))
		width += float64(m.Interval.High-m.Interval.Low) / mean / runs
	}
	require.Less(t, width, 0.04, "0.047 where no nugget is below 0.001")
}

func TestFieldFaults(t *testing.T) {
	_, err := NewField(context.Background(), FieldSpec{Samples: rounded(3), ReadingSD: -1, Confidence: 1})
	require.Equal(t, []string{"samples", "readingSD", "confidence"}, fields(err))
	same := rounded(1)
	_, err = NewField(context.Background(), FieldSpec{Samples: append(append(same, same...), append(same, same...)...), Confidence: 0.9})
	require.Equal(t, []string{"samples"}, fields(err))
	done, stop := context.WithCancel(context.Background())
	stop()
	_, err = NewField(done, FieldSpec{Samples: rounded(9), Confidence: 0.9})
	require.ErrorIs(t, err, context.Canceled)
	k, err := NewField(context.Background(), FieldSpec{Samples: rounded(9), Confidence: 0.9})
	require.NoError(t, err)
	_, err = k.At(pointAt(math.NaN(), 1))
	require.Equal(t, []string{"x"}, fields(err))
	_, err = k.Mean(done, BlockSpec{Points: []plane.Point{pointAt(1, 1)}})
	require.ErrorIs(t, err, context.Canceled)
	_, err = k.Mean(context.Background(), BlockSpec{Boundary: plane.Polygon{pointAt(0, 0), pointAt(1, 1)}})
	require.Error(t, err)

	// A constant field, and a reading repeated at a place.
	flat := rounded(8)
	for i := range flat {
		flat[i].Value = 2
	}
	k, err = NewField(context.Background(), FieldSpec{Samples: append(flat, flat[0]), Confidence: 0.9})
	require.NoError(t, err)
	e, err := k.At(pointAt(60, 40))
	require.NoError(t, err)
	require.InDelta(t, 2, float64(e.Value), 1e-6)
	require.Less(t, e.SD, units.Length(1e-3))
}

// A field that NewField did not make is a fault.
func TestFieldNotMade(t *testing.T) {
	square := plane.Polygon{{}, {X: 9}, {X: 9, Y: 9}, {Y: 9}}
	for _, k := range []*Field{nil, {}} {
		_, err := k.At(plane.Point{X: 1, Y: 1})
		require.ErrorContains(t, err, "field: missing; want a field made by NewField")
		_, err = k.Mean(t.Context(), BlockSpec{Boundary: square})
		require.ErrorContains(t, err, "field: missing; want a field made by NewField")
	}
}
