package field

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

func TestStudentCDF(t *testing.T) {
	for nu := 1; nu <= 130; nu++ {
		d := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(nu)}
		for _, x := range []float64{-25, -4, -1, -1e-3, 0, 0.3, 2.1, 17} {
			require.InDelta(t, d.CDF(x), studentCDF(x, nu), 1e-11, "%d at %g", nu, x)
			require.InDelta(t, d.CDF(x), StudentCDF(x, float64(nu)), 1e-11)
		}
	}
	require.InEpsilon(t, 1.0/math.Pi/1e6, StudentCDF(-1e6, 1), 1e-9, "Cauchy's tail")
}

// The Matern correlations are 0.05 at one practical range and fall from 1.
func TestFamilies(t *testing.T) {
	for f := range families {
		require.Equal(t, 1.0, f.At(0))
		require.InDelta(t, 0.05, f.At(1), 5e-4)
		require.Greater(t, f.At(0.3), f.At(0.4))
	}
	// Matern's correlation by Bessel's function, which is an integral: K_n(v) is that of
	// exp(-v cosh x) cosh(n x) from 0 on (NIST Digital Library of Mathematical Functions,
	// 10.32.9, from memory).
	for f := range families {
		order := 0.5 + float64(f)
		for _, u := range []float64{0.05, 0.3, 1, 2.2} {
			v := u * []float64{3, 4.7439, 5.9181}[f]
			bessel := quad.Fixed(func(x float64) float64 { return math.Exp(-v*math.Cosh(x)) * math.Cosh(order*x) }, 0, 8, 400, nil, 0)
			require.InDelta(t, math.Pow(2, 1-order)/math.Gamma(order)*math.Pow(v, order)*bessel, f.At(u), 1e-9, "%d at %g", f, u)
		}
	}
	m := Stretched(0.7, 2.5)
	angle, ratio := m.Axis()
	require.InDelta(t, 0.7, angle, 1e-12)
	require.InDelta(t, 2.5, ratio, 1e-12)
	along := m.length(math.Cos(0.7), math.Sin(0.7))
	require.InDelta(t, 2.5, m.length(-math.Sin(0.7), math.Cos(0.7))/along, 1e-12)
	require.InDelta(t, 1/math.Sqrt(2.5), along, 1e-12, "the area of a range is kept")
	require.True(t, Stretched(0, 1) == Isotropic, "not stretched at all")
	angle, ratio = Isotropic.Axis()
	require.Equal(t, [2]float64{0, 1}, [2]float64{angle, ratio})
	require.InDelta(t, 5, Isotropic.length(3, -4), 1e-15)
	require.InDeltaSlice(t, []float64{2, 6, 18, 54}, Geometric(2, 54, 4), 1e-12)
	require.Equal(t, []Structure{
		{Family: Matern05, Range: 1, Share: 0.1, Metric: m}, {Family: Matern05, Range: 1, Share: 0.2, Metric: m}, {Family: Matern05, Range: 5, Share: 0.1, Metric: m}, {Family: Matern05, Range: 5, Share: 0.2, Metric: m},
	}, Grid([]float64{1, 5}, []float64{0.1, 0.2}, m)[:4])
	usual := UsualGrid([]float64{1, 5})
	require.Len(t, usual, 2*(4+5+6))
	for i, st := range usual {
		require.Equal(t, []float64{1, 5}[i/15], st.Range, "those of one range stand together")
		require.GreaterOrEqual(t, st.Share, []float64{0.01, 0.001, 0.0001}[st.Family])
		require.InDelta(t, map[bool]float64{true: math.Log(0.25)}[st.Share == 0.0001], st.LogPrior, 1e-12)
	}
}

// The exponential and the normal distribution of the loops against those of the library.
func TestTables(t *testing.T) {
	for v := -700.0; v < 690; v += 0.0137 {
		require.InEpsilon(t, math.Exp(-v), falling(v), 2e-15+3e-16*math.Abs(v), "%g", v)
	}
	for v := 690.0; v < 2000; v += 0.37 {
		require.True(t, falling(v) > 0 && falling(v) < 1.001*math.Exp(-690), "%g", v)
	}
	require.Positive(t, falling(math.MaxFloat64))
	require.Less(t, falling(math.Inf(1)), 1e-300)
	for x := -9.0; x < 9; x += 0.00137 {
		below, density := normal(x)
		require.InEpsilon(t, distuv.UnitNormal.CDF(x), below, 3e-12, "%g", x) // one more term than the density has
		// The series of the density ends before d^5 h5/120, with d up to 1/256.
		u := math.Abs(x)
		last := math.Pow(1.0/256, 5) / 120 * (math.Pow(u, 5) + 10*math.Pow(u, 3) + 15*u)
		require.InEpsilon(t, distuv.UnitNormal.Prob(x), density, 2*last+1e-14, "%g", x)
	}
}

// The rows that factors share with those of other sites are as if worked out anew.
func TestWith(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	const n, common = 41, 17
	var a, b Sites
	y := make([]float64, n)
	for i := range n {
		x, z, k := 100*r.Float64(), 60*r.Float64(), float64(1+i%3)
		b.X, b.Y, b.Readings = append(b.X, x), append(b.Y, z), append(b.Readings, k)
		if i >= common {
			x += 3
		}
		a.X, a.Y, a.Readings = append(a.X, x), append(a.Y, z), append(a.Readings, k)
		y[i] = r.NormFloat64()
	}
	structures := Grid([]float64{10, 40}, []float64{0.01, 0.2}, Isotropic)
	want := NewFactors(b, structures)
	like := NewFactors(a, structures[:5])
	like.Extend(structures[5:]) // batches that are not full
	got := like.With(b, common)
	fits := want.Fits(0, Values{Y: y})[0]
	for k, f := range got.Fits(0, Values{Y: y})[0] {
		require.InEpsilon(t, fits[k].LogLikelihood, f.LogLikelihood, 1e-10)
		wantMean, wantVariance := want.Predictor(fits[k], y).At(33, 21)
		mean, variance := got.Predictor(f, y).At(33, 21)
		require.InEpsilon(t, wantMean, mean, 1e-9)
		require.InEpsilon(t, wantVariance, variance, 1e-9)
	}
	// A place that stands twice and no nugget: no pivot, whether shared or not.
	b.X[1], b.Y[1], b.X[common], b.Y[common] = b.X[0], b.Y[0], b.X[0], b.Y[0]
	singular := NewFactors(b, []Structure{{Range: 10, Metric: Isotropic}})
	require.False(t, singular.Fits(0, Values{Y: y})[0][0].OK)
	require.False(t, singular.With(a, common).Fits(0, Values{Y: y})[0][0].OK)
	require.True(t, singular.With(a, 1).Fits(0, Values{Y: y})[0][0].OK)
}

// The products of rows are those of their numbers, whatever the length.
func TestDots(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for n := range 2*longRow + 3 {
		var list [4][]float64
		for k := range list {
			for range n + 2 {
				list[k] = append(list[k], r.NormFloat64())
			}
		}
		a, b, l, m := list[0][:n], list[1], list[2], list[3]
		of := func(x, y []float64) (sum float64) {
			for i := range n {
				sum += x[i] * y[i]
			}
			return sum
		}
		require.InDelta(t, of(a, b), dot(a, b), 1e-12)
		x, y := make([]lane, n), make([]lane, n+2) // one is longer
		for i := range n {
			x[i], y[i] = lane{a[i], a[i], b[i], l[i]}, lane{l[i], m[i], l[i], m[i]}
		}
		got := product(x, y)
		require.InDeltaSlice(t, []float64{of(a, l), of(a, m), of(b, l), of(l, m)}, got[:], 1e-12)
	}
}

// Values that are worked out together are as if each were alone.
func TestFitsTogether(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for _, n := range []int{3, 4, 24, 41} {
		var s Sites
		values := make([]Values, 5)
		for i := range n {
			s.X, s.Y, s.Readings = append(s.X, 100*r.Float64()), append(s.Y, 60*r.Float64()), append(s.Readings, float64(1+i%2))
			for k := range values {
				values[k].Y = append(values[k].Y, r.NormFloat64())
			}
		}
		values[1].ReadingVariance = 0.5
		fs := NewFactors(s, Grid([]float64{10, 40, 400}, []float64{0.001, 0.01, 0.2}, Isotropic))
		for k, got := range fs.Fits(2, values...) {
			require.Empty(t, cmp.Diff(fs.Fits(0, values[k])[0][2:], got, cmpopts.EquateApprox(1e-12, 1e-12)))
		}
	}
	require.Empty(t, NewFactors(Sites{}, nil).Fits(0))
}

// The mean of a field that is cut, and its slope, against quadrature.
func TestClipped(t *testing.T) {
	for _, c := range []struct{ mean, sd, low, height float64 }{
		{1, 0.3, 0, 3}, {0.1, 0.4, 0.2, 0.5}, {2, 0.01, 0.5, 1}, {-1, 0.5, 0, 1}, {0.4, 2, 0, 0.1}, {3, 0.2, 1, 0.9},
	} {
		cut := func(s float64) float64 { return min(max(s-c.low, 0), c.height) }
		normal := func(shift float64) float64 {
			return quad.Fixed(func(z float64) float64 { return cut(c.mean+shift+c.sd*z) * phi(z) }, -9, 9, 40000, nil, 0)
		}
		band := LogBand(c.low, c.height)
		value, slope := band.Clipped(c.mean, c.sd)
		require.InDelta(t, normal(0), value, 1e-6)
		require.InDelta(t, (normal(1e-3)-normal(-1e-3))/2e-3, slope, 1e-3)
		log := quad.Fixed(func(z float64) float64 { return cut(math.Exp(c.mean+c.sd*z)) * phi(z) }, -9, 9, 40000, nil, 0)
		value, slope = band.ClippedLog(c.mean, c.sd)
		require.InDelta(t, log, value, 2e-4*max(1, c.height), "beyond 3.8 standard deviations the bound counts as settled")
		more, _ := band.ClippedLog(c.mean+1e-5, c.sd)
		less, _ := band.ClippedLog(c.mean-1e-5, c.sd)
		require.InDelta(t, (more-less)/2e-5, slope, 1e-5*max(1, slope))
	}
	limit := LogBand(1, 2) // what is wider than 30 counts as 30, what is beyond 200 as 200
	for _, same := range [][2][2]float64{{{0, 30}, {0, 1e6}}, {{0, 30}, {0, 31}}, {{200, 25}, {1e6, 25}}, {{-200, 60}, {-201, 60}}} {
		value, slope := limit.ClippedLog(same[0][0], same[0][1])
		other, otherSlope := limit.ClippedLog(same[1][0], same[1][1])
		require.Equal(t, [2]float64{value, slope}, [2]float64{other, otherSlope})
	}
	for _, wide := range []float64{5, 60, 1e6} {
		band := LogBand(1, 2)
		value, slope := band.ClippedLog(0, wide)
		require.True(t, value > 0 && value < 2 && slope >= 0 && !math.IsInf(slope, 0), "sd %g: %g, %g", wide, value, slope)
	}
}

// Likelihood, prediction and the variance of a sum against dense matrices.
func TestAgainstDense(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for _, n := range []int{4, 7, 40, 71} {
		var s Sites
		y := make([]float64, n)
		for i := range n {
			s.X, s.Y, s.Readings = append(s.X, 100*r.Float64()), append(s.Y, 60*r.Float64()), append(s.Readings, float64(1+i%3))
			y[i] = 1 + r.NormFloat64()
		}
		st := Structure{Family: Family(n % 3), Range: 60, Share: 0.05, Metric: Stretched(0.4, 1.7)}
		fs := NewFactors(s, []Structure{st})
		sigma := mat.NewSymDense(n, nil)
		for i := range n {
			for j := range i + 1 {
				c := (1 - st.Share) * st.Family.At(st.Metric.length(s.X[i]-s.X[j], s.Y[i]-s.Y[j])/st.Range)
				if i == j {
					c += st.Share / s.Readings[i]
				}
				sigma.SetSym(i, j, c)
			}
		}
		var chol mat.Cholesky
		require.True(t, chol.Factorize(sigma))
		var inverse mat.SymDense
		require.NoError(t, chol.InverseTo(&inverse))
		quadratic := func(a, b *mat.VecDense) float64 { return mat.Inner(a, &inverse, b) }
		one, values := mat.NewVecDense(n, nil), mat.NewVecDense(n, y)
		for i := range n {
			one.SetVec(i, 1)
		}
		o := quadratic(one, one)
		beta := quadratic(one, values) / o
		ss := quadratic(values, values) - beta*beta*o
		fit := fs.Fits(0, Values{Y: y})[0][0]
		require.InEpsilon(t, beta, fit.Beta, 1e-9)
		require.InEpsilon(t, ss/float64(n-1), fit.Sigma2, 1e-9)
		require.InDelta(t, -chol.LogDet()/2-math.Log(o)/2-float64(n-1)/2*math.Log(ss/2), fit.LogLikelihood, 1e-8)

		// At a place, and for a mean whose correlation with itself is told.
		r0 := mat.NewVecDense(n, nil)
		for i := range n {
			r0.SetVec(i, (1-st.Share)*st.Family.At(st.Metric.length(s.X[i]-33, s.Y[i]-21)/st.Range))
		}
		off := mat.NewVecDense(n, nil)
		for i := range n {
			off.SetVec(i, y[i]-beta)
		}
		miss := 1 - quadratic(one, r0)
		for own, got := range map[float64]func() (mean, variance float64){
			1:   func() (mean, variance float64) { return fs.Predictor(fit, y).At(33, 21) },
			0.9: func() (mean, variance float64) { return fs.Predictor(fit, y).Linear(mat.Col(nil, 0, r0), 0.9) },
		} {
			mean, variance := got()
			require.InDelta(t, beta+quadratic(r0, off), mean, 1e-8)
			require.InDelta(t, (own-quadratic(r0, r0)+miss*miss/o)*ss/float64(n-1), variance, 1e-8)
		}

		l := Lattice{DX: 20, DY: 20, Cols: 5, Rows: 3} // ranges of fewer than 8 cells take means over cells
		l.DX, l.DY = 5, 5
		used := make([]bool, l.Len())
		for i := range used {
			used[i] = i%4 != 3
		}
		targets := NewTargets(l, used)
		f := fs.Field(0, fs.Room(targets), nil)
		m := len(targets.Used)
		w, all := make([]float64, m), make([]float64, l.Len())
		for k := range w {
			w[k] = r.Float64()
			all[targets.Used[k]] = w[k]
		}
		variance, weights := f.Linear(w, all)
		// The covariances of the field itself, summed one by one.
		c := make([]float64, m*m)
		f.Covariance(targets, c)
		var sum, estimate float64
		for i := range m {
			for j := range m {
				sum += w[i] * w[j] * c[i*m+j]
			}
		}
		require.InEpsilon(t, sum, variance, 1e-9)
		mean := make([]float64, m)
		f.Mean(mean, y, fit.Beta)
		for k, v := range mean {
			estimate += w[k] * v
		}
		var byWeights, total float64
		for i, v := range weights {
			byWeights += v * y[i]
			total += v
		}
		require.InDelta(t, estimate, byWeights, 1e-8, "the weights of the sites give the sum")
		var of float64
		for _, v := range w {
			of += v
		}
		require.InDelta(t, of, total, 1e-8, "and add up to its weights")

		// Two fields that have nothing to do with each other are one and one.
		p := NewPairs(s, s, st, []float64{0})[0]
		require.NotNil(t, p)
		both := p.Fit(y, y)
		require.InEpsilon(t, fit.Beta, both.Beta[0], 1e-9)
		require.InEpsilon(t, fit.Beta, both.Beta[1], 1e-9)
		pf := p.Field([2]*Room{fs.Room(targets), fs.Room(targets)})
		require.InEpsilon(t, 2*variance, pf.Linear([2][]float64{w, w}, [2][]float64{all, all}), 1e-8)
	}
}

// A prior on the error of a reading costs where the nugget is smaller, by the square of
// the logarithm, and nothing where it is larger; the prior of a structure adds to it.
func TestPriors(t *testing.T) {
	s := Sites{X: []float64{0, 9, 21, 40}, Y: []float64{3, 11, 0, 20}, Readings: []float64{1, 1, 2, 1}}
	y := []float64{1, 1.4, 0.7, 2}
	structures := Grid([]float64{30}, []float64{0.01, 0.3}, Isotropic)
	plain := NewFactors(s, structures).Fits(0, Values{Y: y})[0]
	for k, f := range plain {
		nugget := structures[k].Share * f.Sigma2
		for _, times := range []float64{0.5, 1, 1.001, 3} {
			got := NewFactors(s, structures).Fits(0, Values{Y: y, ReadingVariance: nugget * times})[0][k]
			r := math.Log(max(1, times)) / 0.35
			require.InDelta(t, f.LogLikelihood-r*r/2, got.LogLikelihood, 1e-9, "%v times", times)
		}
		structures[k].LogPrior = -1.5
		require.InDelta(t, f.LogLikelihood-1.5, NewFactors(s, structures).Fits(0, Values{Y: y})[0][k].LogLikelihood, 1e-9)
	}
	best, ok := Best([]Fit{{LogLikelihood: 9}, {LogLikelihood: -3, OK: true, Structure: 1}, {LogLikelihood: -2, OK: true, Structure: 2}, {LogLikelihood: -4, OK: true, Structure: 3}})
	require.True(t, ok)
	require.Equal(t, 2, best.Structure)
	_, ok = Best([]Fit{{LogLikelihood: 9}})
	require.False(t, ok)
}

// The determinant of many sites neither overflows nor loses its logarithm.
func TestDeterminantOfMany(t *testing.T) {
	const n = 150
	var s Sites
	var y []float64
	for i := range n { // far apart: Sigma is the identity over the readings
		s.X, s.Y, s.Readings = append(s.X, 1e6*float64(i)), append(s.Y, 0), append(s.Readings, 1e5)
		y = append(y, float64(i%3))
	}
	f := NewFactors(s, []Structure{{Range: 1, Share: 0.9999, Metric: Isotropic}}).Fits(0, Values{Y: y})[0][0]
	v := 1e-4 + 0.9999/1e5
	const ss = 2.0 / 3 * n // of the values about their mean
	require.InDelta(t, -n*math.Log(v)/2-math.Log(n/v)/2-float64(n-1)/2*math.Log(ss/v/2), f.LogLikelihood, 1e-6)
	require.InDelta(t, 1, f.Beta, 1e-9)
}

// The distribution of a part is Student's, of the value or of its logarithm, and a step
// where it has no scale.
func TestParts(t *testing.T) {
	student := func(z, df float64) float64 {
		switch { // beyond 30 scales a tail counts as nothing
		case z > 30:
			return 1
		case z < -30:
			return 0
		}
		return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.CDF(z)
	}
	for _, df := range []int{1, 2, 3, 9, 40} {
		p := Part{Value: 4, Scale: 0.5, DF: df}
		require.InDelta(t, 0.25*float64(df)/max(float64(df)-2, 0.5), p.Variance(), 1e-12)
		log := p
		log.Log = true
		l := math.Log(1 + 0.25/16)
		for _, v := range []float64{-20, -11.1, -10.9, 0, 1e-9, 0.1, 1, 3.7, 4, 4.2, 9, 18.9, 20} {
			require.InDelta(t, student((v-4)/0.5, float64(df)), p.CDF(v), 1e-11, "df %d at %g", df, v)
			want := 0.0
			if v > 0 {
				want = student((math.Log(v)-math.Log(4)+l/2)/math.Sqrt(l), float64(df))
			}
			require.InDelta(t, want, log.CDF(v), 1e-11, "df %d at %g", df, v)
		}
	}
	for v, want := range map[float64]float64{-1: 0, 2.999: 0, 3: 1, 4: 1} {
		require.Equal(t, want, Part{Value: 3, DF: 5}.CDF(v))
	}
	require.Equal(t, 1.0, Part{Value: 0, Scale: 1, DF: 5, Log: true}.CDF(1e-3), "nothing for sure")
	require.Equal(t, 0.0, Part{Value: 0, Scale: 1, DF: 5, Log: true}.CDF(0))

	two := Mixture{{Weight: 0.3, Value: 4, Scale: 0.5, DF: 6}, {Weight: 0.7, Value: 10, Scale: 2, DF: 12}}
	require.InDelta(t, 0.3*4+0.7*10, two.Mean(), 1e-12)
	mean := two.Mean()
	require.InDelta(t, 0.3*(0.25*6/4+(4-mean)*(4-mean))+0.7*(4*12/10.0+(10-mean)*(10-mean)), two.SD()*two.SD(), 1e-12)
	require.InDelta(t, 0.3*distuv.StudentsT{Mu: 4, Sigma: 0.5, Nu: 6}.CDF(5)+0.7*distuv.StudentsT{Mu: 10, Sigma: 2, Nu: 12}.CDF(5), two.CDF(5), 1e-11)
	require.Equal(t, 2.0, two.Quantile(1e-9, 2, 30), "nor below it")
}

// A mixture has the quantiles of its parts, and those of many by its distribution.
func TestMixture(t *testing.T) {
	one := Mixture{{Weight: 1, Value: 100, Scale: 10, DF: 7}}
	d := distuv.StudentsT{Mu: 100, Sigma: 10, Nu: 7}
	require.InDelta(t, d.Quantile(0.025), one.Quantile(0.025, 0, 1e4), 1e-8)
	require.InDelta(t, 10*math.Sqrt(7.0/5), one.SD(), 1e-12)
	r := rand.New(rand.NewPCG(1, 1))
	for range 50 {
		var m Mixture
		for range 30 {
			m = append(m, Part{Weight: 1.0 / 30, Value: 50 + 100*r.Float64(), Scale: 20 * r.Float64(), DF: 3 + r.IntN(100), Log: r.IntN(2) == 0})
		}
		for _, p := range []float64{0.005, 0.025, 0.5, 0.9, 0.975} {
			q := m.Quantile(p, 0, 1e6)
			require.InDelta(t, p, m.CDF(q), 1e-9)
		}
	}
	require.Equal(t, 3.0, one.Quantile(0.5, 0, 3), "never beyond the bracket")
	sure := Mixture{{Weight: 1, Value: 5, DF: 4}}
	require.InDelta(t, 5, sure.Quantile(0.3, 0, 10), 1e-9)
}
