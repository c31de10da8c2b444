package geostat

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/sludge/internal/field"
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
	var means, scales []float64
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
		means, scales = append(means, e), append(scales, math.Sqrt(v))
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

	// An equal share of the mixture of t lies beyond each end of the interval.
	for end, share := range map[units.Length]float64{got.Interval.Low: 0.025, got.Interval.High: 0.975} {
		var below float64
		for i, s := range k.Structures() {
			d := distuv.StudentsT{Mu: means[i], Sigma: scales[i], Nu: float64(n - 1)}
			below += s.Weight * d.CDF(float64(end))
		}
		require.InDelta(t, share, below, 1e-7)
	}

	one, err := k.Mean(context.Background(), BlockSpec{Points: []plane.Point{p}})
	require.NoError(t, err)
	require.InDelta(t, float64(got.Value), float64(one.Value), 1e-12)
	require.Less(t, one.SD, got.SD, "the nugget is left out")
}

// TestFieldMean: the mean over an area, a line and points is that of the estimates at the
// nodes, its variance is that of the kriging equations for the mean solved whole, and 400
// points stand for an area or a line when no step is told.
func TestFieldMean(t *testing.T) {
	samples := rounded(20)
	k, err := NewField(context.Background(), FieldSpec{Samples: samples, Confidence: 0.95})
	require.NoError(t, err)
	n := len(samples)
	points := []plane.Point{pointAt(20, 20), pointAt(31, 28), pointAt(33, 50), pointAt(90, 41)}
	for name, spec := range map[string]BlockSpec{
		"points": {Points: points},
		"line":   {Line: points, Step: 12},
		"area":   {Boundary: box(20, 20, 80, 50), Islands: []plane.Polygon{box(30, 30, 37, 41)}, Step: 6},
	} {
		nodes, _, err := spec.nodes()
		require.NoError(t, err)
		var value, squares float64
		for _, s := range k.Structures() {
			between := func(p, q plane.Point) float64 {
				return (1 - s.Nugget) * matern(s.Smoothness, float64(p.Distance(q)/s.Range))
			}
			c, right, z := mat.NewDense(n+1, n+1, nil), mat.NewVecDense(n+1, nil), mat.NewVecDense(n+1, nil)
			for i, a := range samples {
				for j, b := range samples {
					c.Set(i, j, between(a.At, b.At))
				}
				c.Set(i, i, 1)
				c.Set(i, n, 1)
				c.Set(n, i, 1)
				z.SetVec(i, float64(a.Value))
				for j, p := range nodes.at {
					right.SetVec(i, right.AtVec(i)+nodes.weight[j]*between(a.At, p))
				}
			}
			right.SetVec(n, 1)
			own := 0.0
			for i, p := range nodes.at {
				for j, q := range nodes.at {
					own += nodes.weight[i] * nodes.weight[j] * between(p, q)
				}
			}
			var w mat.VecDense
			require.NoError(t, w.SolveVec(c, right))
			e := mat.Dot(&w, z)
			v := (own - mat.Dot(&w, right)) * float64(s.SD*s.SD)
			value += s.Weight * e
			squares += s.Weight * (v*float64(n-1)/float64(n-3) + e*e)
		}
		got, err := k.Mean(context.Background(), spec)
		require.NoError(t, err)
		require.InDelta(t, value, float64(got.Value), 1e-9, name)
		require.InDelta(t, math.Sqrt(squares-value*value), float64(got.SD), 1e-6, name)
		require.True(t, got.Interval.Has(got.Value), name)
	}
	smooth := rounded(60) // few structures are as likely
	for i, s := range smooth {
		smooth[i].Value = units.Length(math.Sin(float64(s.At.X)/40) * math.Cos(float64(s.At.Y)/30))
	}
	k, err = NewField(context.Background(), FieldSpec{Samples: smooth, Confidence: 0.95})
	require.NoError(t, err)
	for _, c := range []struct {
		spec BlockSpec
		step units.Length
	}{{BlockSpec{Line: points[:2]}, points[0].Distance(points[1]) / 400}, {BlockSpec{Line: points}, (points[0].Distance(points[1]) + points[1].Distance(points[2]) + points[2].Distance(points[3])) / 400},
		{BlockSpec{Boundary: box(0, 0, 80, 50)}, units.Length(math.Sqrt(10))}} {
		without, err := k.Mean(context.Background(), c.spec)
		require.NoError(t, err)
		c.spec.Step = c.step
		with, err := k.Mean(context.Background(), c.spec)
		require.NoError(t, err)
		require.Empty(t, cmp.Diff(with.Value, without.Value, near(1e-13, 0)))
		require.Empty(t, cmp.Diff(with.SD, without.SD, near(1e-12, 0)))
	}
	_, err = k.Mean(context.Background(), BlockSpec{Boundary: box(0, 0, 80, 50), Step: 1})
	require.Equal(t, []string{"step"}, fields(err), "4000 points")
}

// TestFieldWeights: ranges from half of the mean spacing to twice the extent, three families
// and the shares that each can tell are weighed by their likelihood, and those below 1e-4 of
// the best left out.
func TestFieldWeights(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	noise := rounded(15) // for which short ranges are as good as long ones
	for i := range noise {
		noise[i].Value = units.Length(random.NormFloat64())
	}
	line := rounded(12) // the spacing is then a hundredth of the extent by the root of their number
	for i := range line {
		line[i].At.Y = 3
	}
	for n, samples := range [][]Sample{noise, rounded(40), line} {
		k, err := NewField(context.Background(), FieldSpec{Samples: samples, ReadingSD: 0.02, Confidence: 0.95})
		require.NoError(t, err)
		var places plane.Polygon
		var sites field.Sites
		var y []float64
		for _, s := range samples {
			places = append(places, s.At)
			sites.X, sites.Y, sites.Readings = append(sites.X, float64(s.At.X)), append(sites.Y, float64(s.At.Y)), append(sites.Readings, 1)
			y = append(y, float64(s.Value))
		}
		low, high := places.Bounds()
		w, h := float64(high.X-low.X), float64(high.Y-low.Y)
		area := w * h
		if n == 2 { // which has no area
			area = math.Hypot(w, h) * math.Hypot(w, h) / 1e4
		}
		var structures []field.Structure
		for f := range field.Family(3) {
			first, last := math.Sqrt(area/float64(len(samples)))/2, 2*math.Hypot(w, h)
			for i := range 8 {
				for _, share := range [][]float64{{}, {0.001}, {0.0001, 0.001}}[f] {
					st := field.Structure{Family: f, Range: first * math.Pow(last/first, float64(i)/7), Share: share, Metric: field.Isotropic}
					if share == 0.0001 {
						st.LogPrior = math.Log(0.25) // to be earned
					}
					structures = append(structures, st)
				}
				for _, share := range []float64{0.01, 0.05, 0.2, 0.5} {
					structures = append(structures, field.Structure{Family: f, Range: first * math.Pow(last/first, float64(i)/7), Share: share, Metric: field.Isotropic})
				}
			}
		}
		fits := field.NewFactors(sites, structures).Fits(0, field.Values{Y: y, ReadingVariance: 0.0004})[0]
		best, _ := field.Best(fits)
		want := map[int]float64{}
		var total float64
		for i, f := range fits {
			if v := math.Exp(f.LogLikelihood - best.LogLikelihood); v >= 1e-4 {
				want[i] = v
				total += v
			}
		}
		got := k.Structures()
		require.Len(t, got, len(want))
		for n, s := range got {
			require.True(t, n == 0 || s.Weight <= got[n-1].Weight, "the weightiest first")
			found := false
			for i, v := range want {
				st := structures[i]
				if s.Smoothness == 0.5+float64(st.Family) && s.Nugget == st.Share && math.Abs(float64(s.Range)/st.Range-1) < 1e-9 {
					found = true
					require.InEpsilon(t, v/total, s.Weight, 1e-6)
					require.InEpsilon(t, math.Sqrt(fits[i].Sigma2), float64(s.SD), 1e-9)
				}
			}
			require.True(t, found, "%v", s)
		}
	}
}

// TestFieldReadings: readings at one place are their mean, and weigh as that.
func TestFieldReadings(t *testing.T) {
	samples := rounded(12)
	again := append(append([]Sample(nil), samples...), Sample{samples[3].At, samples[3].Value + 0.3}, Sample{samples[3].At, samples[3].Value - 0.9})
	k, err := NewField(context.Background(), FieldSpec{Samples: again, Confidence: 0.9})
	require.NoError(t, err)
	require.Len(t, k.y, 12)
	require.InDelta(t, float64(samples[3].Value)-0.2, k.y[3], 1e-12)
	require.Equal(t, 3.0, k.sites.Readings[3])
	require.Equal(t, 1.0, k.sites.Readings[4])
	require.InDelta(t, float64(samples[4].At.X-samples[0].At.X), k.sites.X[4], 1e-12)
	require.InDelta(t, float64(samples[4].At.Y-samples[0].At.Y), k.sites.Y[4], 1e-12)
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
