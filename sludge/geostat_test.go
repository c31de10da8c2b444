package sludge

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// mound is the model that the benchmarks and tests of the fixed survey use.
var mound = Model{Nugget: 0.0025, Sill: 0.01, Range: 22}

func mustKriging(t testing.TB, spec KrigingSpec) *Kriging {
	t.Helper()
	k, err := NewKriging(spec)
	require.NoError(t, err)
	return k
}

// near compares quantities with a relative and an absolute tolerance in SI.
func near(relative, absolute float64) cmp.Option {
	return cmp.Options{
		cmpopts.EquateApprox(relative, absolute),
		cmp.Transformer("SI", units.Length.SI),
		cmp.Transformer("SI", units.Area.SI),
	}
}

// fields lists the paths of the faults of err.
func fields(err error) []string {
	var list []string
	for _, f := range units.FieldErrors(err) {
		list = append(list, f.Field)
	}
	return list
}

func TestModelConventions(t *testing.T) {
	p, q := pointAt(0, 0), pointAt(3, 4)
	for _, c := range []struct {
		name  string
		model Model
		want  float64
	}{
		{"spherical", Model{Nugget: 1, Sill: 2, Range: 10}, 1 + 2*(1.5*0.5-0.5*0.125)},
		{"beyond the range", Model{Nugget: 1, Sill: 2, Range: 4}, 3},
		{"exponential, plain", Model{Shape: Exponential, Sill: 2, Range: 10}, 2 * (1 - math.Exp(-0.5))},
		{"exponential, effective", Model{Shape: Exponential, Sill: 2, Range: 10, RangeAs: RangeEffective}, 2 * (1 - math.Exp(-1.5))},
		{"Gaussian, plain", Model{Shape: Gaussian, Sill: 2, Range: 10}, 2 * (1 - math.Exp(-0.25))},
		{"Gaussian, effective", Model{Shape: Gaussian, Sill: 2, Range: 10, RangeAs: RangeEffective}, 2 * (1 - math.Exp(-0.75))},
		{"major axis to the north-east along the pair", Model{Shape: Exponential, Sill: 2, Range: 10,
			Anisotropy: &Anisotropy{Ratio: 0.5, Azimuth: math.Atan2(3, 4) * 180 / math.Pi}}, 2 * (1 - math.Exp(-0.5))},
		{"across the major axis", Model{Shape: Exponential, Sill: 2, Range: 10,
			Anisotropy: &Anisotropy{Ratio: 0.5, Azimuth: math.Atan2(3, 4)*180/math.Pi + 90}}, 2 * (1 - math.Exp(-1))},
		{"the same ratio upside down", Model{Shape: Exponential, Sill: 2, Range: 10,
			Anisotropy: &Anisotropy{Ratio: 2, RatioAs: MajorOverMinor, Azimuth: math.Atan2(3, 4)*180/math.Pi + 90}}, 2 * (1 - math.Exp(-1))},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.NoError(t, c.model.Check())
			require.InDelta(t, c.want, float64(c.model.Gamma(p, q)), 1e-12)
			require.Zero(t, c.model.Gamma(p, p))
		})
	}
	require.InDelta(t, 10, float64(Model{Shape: Gaussian, Range: 10 / units.Length(math.Sqrt(3))}.EffectiveRange()), 1e-12)
	require.Equal(t, []string{"shape", "rangeAs", "nugget", "range", "anisotropy.ratio", "anisotropy.azimuth"},
		fields(Model{Shape: 9, RangeAs: -1, Nugget: -1, Sill: 1, Anisotropy: &Anisotropy{Azimuth: math.NaN()}}.Check()))
	require.Equal(t, []string{"sill"}, fields(Model{}.Check()))
}

func TestVariogramConventions(t *testing.T) {
	// Four samples on a line: distances 1 (three times), 2 (twice), 3, and a
	// fifth on top of the last.
	line := []Sample{sampleAt(0, 0, 0), sampleAt(1, 0, 1), sampleAt(2, 0, 3), sampleAt(3, 0, 6), sampleAt(3, 0, 8)}
	v, err := Variogram(VariogramSpec{Samples: line, Width: 1, Cutoff: 3})
	require.NoError(t, err)
	want := []LagClass{
		{From: 0, To: 1, Pairs: 4, Distance: 1, Gamma: (1 + 4 + 9 + 25) / 8.0},
		{From: 1, To: 2, Pairs: 3, Distance: 2, Gamma: (9 + 25 + 49) / 6.0},
		{From: 2, To: 3, Pairs: 2, Distance: 3, Gamma: (36 + 64) / 4.0},
	}
	require.Empty(t, cmp.Diff(want, v.Classes, near(0, 1e-12)))
	require.Equal(t, LagClass{Pairs: 1, Gamma: 2}, v.Coincident)

	v, err = Variogram(VariogramSpec{Samples: line, Lags: LagCentred, Width: 2, Classes: 2})
	require.NoError(t, err)
	want = []LagClass{
		{From: 0, To: 1, Pairs: 1, Distance: 0, Gamma: 2},
		{From: 1, To: 3, Pairs: 7, Distance: 10.0 / 7, Gamma: (1 + 4 + 9 + 25 + 9 + 25 + 49) / 14.0},
		{From: 3, To: 5, Pairs: 2, Distance: 3, Gamma: 25},
	}
	require.Empty(t, cmp.Diff(want, v.Classes, near(0, 1e-12)))

	cross := []Sample{sampleAt(0, 0, 0), sampleAt(0, 1, 1), sampleAt(1, 0, 3)}
	v, err = Variogram(VariogramSpec{Samples: cross, Width: 2, Classes: 1, Direction: &Direction{Azimuth: 180, Tolerance: 20}})
	require.NoError(t, err)
	require.Equal(t, 1, v.Classes[0].Pairs)
	require.Equal(t, units.Area(0.5), v.Classes[0].Gamma, "only the pair to the north")

	robust, err := Variogram(VariogramSpec{Samples: cross[:2], Width: 2, Classes: 1, Estimator: EstimatorRobust})
	require.NoError(t, err)
	require.InDelta(t, 1/(2*(0.457+0.494)), float64(robust.Classes[0].Gamma), 1e-12)
}

func TestVariogramFaults(t *testing.T) {
	_, err := Variogram(VariogramSpec{Samples: []Sample{sampleAt(math.NaN(), 0, math.Inf(1))}, Lags: 7, Width: -1, Estimator: 5,
		Direction: &Direction{Tolerance: 0}})
	require.Equal(t, []string{"samples", "samples[0].at.x", "samples[0].value", "width", "estimator", "direction.tolerance", "lags"}, fields(err))
	_, err = Variogram(VariogramSpec{Samples: []Sample{sampleAt(1, 1, 0), sampleAt(1, 1, 2)}})
	require.Equal(t, []string{"samples"}, fields(err))
	_, err = Variogram(VariogramSpec{Samples: rounded(10), Lags: LagCentred, Cutoff: 3})
	require.Equal(t, []string{"width", "cutoff"}, fields(err))
}

// modelled is a variogram that lies exactly on a model.
func modelled(m Model) VariogramResult {
	v := VariogramResult{MaxDistance: 100}
	for i := range 12 {
		h := units.Length(i+1) * 4
		v.Classes = append(v.Classes, LagClass{From: h - 2, To: h + 2, Pairs: 20 + 7*i, Distance: h, Gamma: m.Gamma(pointAt(0, 0), plane.Point{X: h})})
	}
	return v
}

func TestFitFindsModel(t *testing.T) {
	for shape := Spherical; shape <= Gaussian; shape++ {
		for w := WeightsCressie; w <= WeightsEqual; w++ {
			for _, nugget := range []units.Area{0, 0.3} {
				m := Model{Shape: shape, Nugget: nugget, Sill: 2, Range: 25, RangeAs: RangeEffective}
				r, err := Fit(FitSpec{Variogram: modelled(m), Shape: shape, RangeAs: RangeEffective, Weights: w})
				require.NoError(t, err)
				require.Equal(t, FitUsable, r.Status)
				require.Empty(t, cmp.Diff(m, r.Model, near(1e-5, 1e-6)), "%v %v", shape, w)
			}
		}
	}
}

// TestFitMinimum holds the fit against its neighbours in all three parameters.
func TestFitMinimum(t *testing.T) {
	v, err := Variogram(VariogramSpec{Samples: rounded(200)})
	require.NoError(t, err)
	for shape := Spherical; shape <= Gaussian; shape++ {
		r, err := Fit(FitSpec{Variogram: v, Shape: shape})
		require.NoError(t, err)
		cost := func(m Model) (sum float64) {
			for _, c := range r.Classes {
				d := float64(c.Gamma/m.Gamma(pointAt(0, 0), plane.Point{X: c.Distance})) - 1
				sum += float64(c.Pairs) * d * d
			}
			return sum
		}
		require.InDelta(t, cost(r.Model), r.Objective, 1e-9*r.Objective)
		for _, by := range []float64{0.9, 0.99, 0.999, 1.001, 1.01, 1.1} {
			for i := range 3 {
				m := r.Model
				*[]*float64{(*float64)(&m.Nugget), (*float64)(&m.Sill), (*float64)(&m.Range)}[i] *= by
				require.GreaterOrEqual(t, cost(m), r.Objective*(1-1e-12), "%v, parameter %d times %v", shape, i, by)
			}
		}
	}
}

func TestFitStatus(t *testing.T) {
	flat := make([]Sample, 30)
	for i := range flat {
		flat[i] = sampleAt(float64(i%6), float64(i/6), 1.5)
	}
	v, err := Variogram(VariogramSpec{Samples: flat})
	require.NoError(t, err)
	r, err := Fit(FitSpec{Variogram: v})
	require.NoError(t, err)
	require.Equal(t, FitFlat, r.Status)
	require.Zero(t, r.Model)

	v, err = Variogram(VariogramSpec{Samples: rounded(5), Classes: 3})
	require.NoError(t, err)
	r, err = Fit(FitSpec{Variogram: v})
	require.NoError(t, err)
	require.Equal(t, FitTooFew, r.Status)
	require.Contains(t, r.String(), "too few pairs")

	thin := modelled(Model{Sill: 2, Range: 20})
	for i := range thin.Classes {
		thin.Classes[i].Pairs = 2
	}
	r, err = Fit(FitSpec{Variogram: thin})
	require.NoError(t, err)
	require.Equal(t, FitTooFew, r.Status)
	require.Equal(t, 12, r.Sparse)
	require.Contains(t, r.Why, "24 pairs in all")

	r, err = Fit(FitSpec{Variogram: modelled(Model{Nugget: 3})})
	require.NoError(t, err)
	require.Equal(t, FitPureNugget, r.Status)
	require.InDelta(t, 3, float64(r.Model.Nugget+r.Model.Sill), 1e-6)

	r, err = Fit(FitSpec{Variogram: modelled(Model{Sill: 5, Range: 1000})})
	require.NoError(t, err)
	require.Equal(t, FitBeyondRange, r.Status)

	// A semivariance that falls with distance leaves nothing but a nugget.
	falls := modelled(Model{Sill: 1, Range: 20})
	for i := range falls.Classes {
		falls.Classes[i].Gamma = units.Area(2 - 0.1*float64(i))
	}
	r, err = Fit(FitSpec{Variogram: falls, Weights: WeightsPairs})
	require.NoError(t, err)
	require.Equal(t, FitPureNugget, r.Status)

	bad := VariogramResult{Classes: []LagClass{{Pairs: -1, Distance: -2, Gamma: units.Area(math.NaN())}}}
	_, err = Fit(FitSpec{Variogram: bad, Shape: 8, Weights: 9, RangeAs: 3, MinPairs: -1})
	require.Len(t, units.FieldErrors(err), 7)
}

func TestKrigingProperties(t *testing.T) {
	samples := rounded(40)
	at := []plane.Point{pointAt(30, 30), pointAt(61, 44), samples[7].At, pointAt(500, 500)}
	base, err := mustKriging(t, KrigingSpec{Samples: samples, Model: mound}).Estimates(at, 1)
	require.NoError(t, err)
	require.Equal(t, Estimate{Value: samples[7].Value}, base[2], "a sample is its own estimate")

	t.Run("the sill scales the variance only", func(t *testing.T) {
		m := mound
		m.Nugget, m.Sill = 9*m.Nugget, 9*m.Sill
		got, err := mustKriging(t, KrigingSpec{Samples: samples, Model: m}).Estimates(at, 1)
		require.NoError(t, err)
		for i := range at {
			require.InDelta(t, float64(base[i].Value), float64(got[i].Value), 1e-12)
			require.InDelta(t, 3*float64(base[i].SD), float64(got[i].SD), 1e-12)
		}
	})
	t.Run("values shift with the samples", func(t *testing.T) {
		moved := make([]Sample, len(samples))
		for i, s := range samples {
			moved[i] = Sample{plane.Point{X: s.At.X + 1e6, Y: s.At.Y - 2e6}, s.Value + 100}
		}
		var there []plane.Point
		for _, p := range at {
			there = append(there, plane.Point{X: p.X + 1e6, Y: p.Y - 2e6})
		}
		there[2] = moved[7].At
		got, err := mustKriging(t, KrigingSpec{Samples: moved, Model: mound}).Estimates(there, 1)
		require.NoError(t, err)
		for i := range at {
			require.InDelta(t, float64(base[i].Value)+100, float64(got[i].Value), 1e-8)
			require.InDelta(t, float64(base[i].SD), float64(got[i].SD), 1e-8)
		}
	})
	t.Run("order does not matter", func(t *testing.T) {
		mixed := append([]Sample(nil), samples...)
		rand.New(rand.NewPCG(1, 1)).Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
		got, err := mustKriging(t, KrigingSpec{Samples: mixed, Model: mound}).Estimates(at, 1)
		require.NoError(t, err)
		require.Empty(t, cmp.Diff(base, got, near(1e-12, 0)))
	})
	t.Run("all neighbours are the whole", func(t *testing.T) {
		k := mustKriging(t, KrigingSpec{Samples: samples, Model: mound, Neighbours: 39})
		k.k = 40 // past the constructor's shortcut
		got, err := k.Estimates(at, 1)
		require.NoError(t, err)
		require.Empty(t, cmp.Diff(base, got, near(1e-12, 0)))
	})
	t.Run("a constant stays the constant", func(t *testing.T) {
		flat := make([]Sample, len(samples))
		for i, s := range samples {
			flat[i] = Sample{s.At, 0.7}
		}
		k := mustKriging(t, KrigingSpec{Samples: flat, Model: mound})
		got, err := k.Estimates(at, 1)
		require.NoError(t, err)
		for _, e := range got {
			require.InDelta(t, 0.7, float64(e.Value), 1e-14)
		}
		b, err := k.Block(BlockSpec{Boundary: roundedEdge()})
		require.NoError(t, err)
		require.InDelta(t, 0.7, float64(b.Mean), 1e-14)
		v, err := k.Validate()
		require.NoError(t, err)
		require.InDelta(t, 0, float64(v.RMSE), 1e-14)
	})
	t.Run("the weights answer for the estimate", func(t *testing.T) {
		s, err := mustKriging(t, KrigingSpec{Samples: samples, Model: mound}).System(at[0])
		require.NoError(t, err)
		var sum, value float64
		variance := float64(mound.Nugget+mound.Sill) - float64(s.Multiplier)
		for i, w := range s.Weights {
			sum += w.Weight
			value += w.Weight * float64(samples[w.Sample].Value)
			variance -= w.Weight * float64(s.ToTarget[i])
			line := float64(s.Multiplier)
			for j, v := range s.Weights {
				line += float64(s.Covariances[i][j]) * v.Weight
			}
			require.InDelta(t, float64(s.ToTarget[i]), line, 1e-14)
		}
		require.InDelta(t, 1, sum, 1e-12)
		require.InDelta(t, float64(base[0].Value), value, 1e-12)
		require.InDelta(t, square(base[0].SD), variance, 1e-12)
	})
}

func TestKrigingAnisotropy(t *testing.T) {
	// A plane stretched along an azimuth is isotropic once it is shrunk again.
	samples := rounded(30)
	m := mound
	m.Anisotropy = &Anisotropy{Ratio: 0.25, Azimuth: 90} // east-west is the long way
	shrunk := make([]Sample, len(samples))
	for i, s := range samples {
		shrunk[i] = Sample{plane.Point{X: s.At.X, Y: s.At.Y * 4}, s.Value}
	}
	a, err := mustKriging(t, KrigingSpec{Samples: samples, Model: m}).Estimate(pointAt(40, 30))
	require.NoError(t, err)
	b, err := mustKriging(t, KrigingSpec{Samples: shrunk, Model: mound}).Estimate(pointAt(40, 120))
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(b, a, near(1e-12, 0)))
}

func TestKrigingBitsAtAnyNumberOfWorkers(t *testing.T) {
	at := grid100()[:2000]
	for _, neighbours := range []int{0, 12} {
		k := mustKriging(t, KrigingSpec{Samples: rounded(60), Model: mound, Neighbours: neighbours})
		one, err := k.Estimates(at, 1)
		require.NoError(t, err)
		three, err := k.Estimates(at, 3)
		require.NoError(t, err)
		require.Equal(t, one, three)
		single, err := k.Estimate(at[77])
		require.NoError(t, err)
		require.Empty(t, cmp.Diff(one[77], single, near(0, 1e-12)))
	}
}

func TestKrigingDuplicates(t *testing.T) {
	samples := append(rounded(10), Sample{rounded(3)[2].At, 2})
	_, err := NewKriging(KrigingSpec{Samples: samples, Model: mound})
	require.Equal(t, []string{"samples[10].at"}, fields(err))
	k := mustKriging(t, KrigingSpec{Samples: samples, Model: mound, Duplicates: DuplicatesMean})
	e, err := k.Estimate(samples[10].At)
	require.NoError(t, err)
	require.InDelta(t, float64(samples[2].Value+2)/2, float64(e.Value), 1e-15)
}

// TestKrigingNearDuplicates puts samples next to each other under models that
// can hardly tell them apart: answers stay finite, between sane limits, and the
// system says so.
func TestKrigingNearDuplicates(t *testing.T) {
	smooth := func(p plane.Point) units.Length {
		return units.Length(1 + 0.3*math.Sin(float64(p.X)/40)*math.Cos(float64(p.Y)/50))
	}
	for _, shape := range []Shape{Spherical, Exponential, Gaussian} {
		for _, gap := range []float64{1e-3, 1e-6, 1e-9, 1e-12} {
			var samples []Sample
			for i, s := range rounded(40) {
				samples = append(samples, Sample{s.At, smooth(s.At)})
				if i < 15 {
					by := plane.Point{X: s.At.X + units.Length(gap), Y: s.At.Y}
					samples = append(samples, Sample{by, smooth(by)})
				}
			}
			k := mustKriging(t, KrigingSpec{Samples: samples, Model: Model{Shape: shape, Sill: 0.01, Range: 60}, Duplicates: DuplicatesMean})
			e, err := k.Estimate(pointAt(40, 41))
			require.NoError(t, err)
			require.InDelta(t, float64(smooth(pointAt(40, 41))), float64(e.Value), 0.05, "%v %v", shape, gap)
			require.False(t, math.IsNaN(float64(e.SD)))
			s, err := k.System(pointAt(40, 41))
			require.NoError(t, err)
			if s.Added > 0 {
				require.NotEmpty(t, s.Notes)
			}
			_, err = k.Block(BlockSpec{Boundary: roundedEdge(), Step: 8})
			require.NoError(t, err)
		}
	}
}

func TestKrigingFaults(t *testing.T) {
	_, err := NewKriging(KrigingSpec{Neighbours: -1, Duplicates: 9})
	require.Equal(t, []string{"samples", "model.sill", "neighbours", "duplicates"}, fields(err))
	k := mustKriging(t, KrigingSpec{Samples: rounded(3), Model: mound})
	_, err = k.Estimates([]plane.Point{pointAt(math.Inf(1), math.NaN())}, -1)
	require.Equal(t, []string{"points[0].x", "points[0].y", "workers"}, fields(err))
	none, err := k.Estimates(nil, 4)
	require.NoError(t, err)
	require.Empty(t, none)
	alone := mustKriging(t, KrigingSpec{Samples: rounded(1), Model: mound})
	e, err := alone.Estimate(pointAt(0, 0))
	require.NoError(t, err)
	require.Equal(t, rounded(1)[0].Value, e.Value)
	_, err = alone.Validate()
	require.Equal(t, []string{"samples"}, fields(err))
}

// TestBlockLattice holds the counting of differences against the double sum, on
// an outline with an island and a bay.
func TestBlockLattice(t *testing.T) {
	spec := BlockSpec{
		Boundary: plane.Polygon{pointAt(0, 0), pointAt(60, 0), pointAt(60, 40), pointAt(35, 40), pointAt(30, 12), pointAt(25, 40), pointAt(0, 40)},
		Islands:  []plane.Polygon{box(8, 8, 16.5, 20.5)},
		Step:     2,
	}
	m := mound
	m.Anisotropy = &Anisotropy{Ratio: 0.4, Azimuth: 30}
	for _, shape := range []Shape{Spherical, Exponential, Gaussian} {
		m.Shape = shape
		nodes, area, err := spec.nodes()
		require.NoError(t, err)
		require.InDelta(t, 60*40-10*28/2-8.5*12.5, float64(area), 1e-9)
		require.InDelta(t, float64(area)/4, float64(len(nodes.at)), 12)
		for _, p := range nodes.at {
			require.True(t, spec.Boundary.Contains(p) && !spec.Islands[0].Contains(p))
		}
		c := newCovariance(m)
		weighted := *nodes
		weighted.weight = make([]float64, len(nodes.at))
		for i := range weighted.weight {
			weighted.weight[i] = 1 / float64(len(nodes.at))
		}
		require.InEpsilon(t, weighted.within(&c), nodes.within(&c), 1e-12)

		wanted := make([]bool, len(nodes.at))
		for i := range wanted {
			wanted[i] = i%3 != 0 && i%7 != 2
		}
		kept := nodes.keep(wanted)
		weighted = *kept
		weighted.weight = make([]float64, len(kept.at))
		for i := range weighted.weight {
			weighted.weight[i] = 1 / float64(len(kept.at))
		}
		require.InEpsilon(t, weighted.within(&c), kept.within(&c), 1e-12)
	}
}

// TestBlockIsMeanOfPoints: the kriged mean is the mean of the kriged points.
func TestBlockIsMeanOfPoints(t *testing.T) {
	k := mustKriging(t, KrigingSpec{Samples: rounded(24), Model: mound})
	spec := BlockSpec{Boundary: roundedEdge(), Step: 3}
	b, err := k.Block(spec)
	require.NoError(t, err)
	nodes, _, err := spec.nodes()
	require.NoError(t, err)
	e, err := k.Estimates(nodes.at, 1)
	require.NoError(t, err)
	var sum float64
	for _, v := range e {
		sum += float64(v.Value)
	}
	require.InDelta(t, sum/float64(len(e)), float64(b.Mean), 1e-12)
	require.InDelta(t, 9406.858, float64(b.Area), 20) // the corners are chords
}

func TestBlockFaults(t *testing.T) {
	k := mustKriging(t, KrigingSpec{Samples: rounded(24), Model: mound})
	for _, c := range []struct {
		name string
		spec BlockSpec
		want []string
	}{
		{"no boundary", BlockSpec{Step: -1}, []string{"boundary", "step"}},
		{"island larger than the basin", BlockSpec{Boundary: box(0, 0, 1, 1), Islands: []plane.Polygon{box(-1, -1, 2, 2)}}, []string{"islands"}},
		{"too fine", BlockSpec{Boundary: roundedEdge(), Step: units.Millimetre}, []string{"step"}},
		{"Gauss points need a rectangle", BlockSpec{Boundary: roundedEdge(), Rule: BlockGauss}, []string{"rule"}},
		{"unknown rule", BlockSpec{Boundary: roundedEdge(), Rule: 5}, []string{"rule"}},
		{"no point inside", BlockSpec{Boundary: plane.Polygon{pointAt(0, 0), pointAt(100, 0), pointAt(100, 10), pointAt(10, 10), pointAt(10, 100), pointAt(0, 100)}, Step: 100}, []string{"step"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := k.Block(c.spec)
			require.Equal(t, c.want, fields(err))
		})
	}
}

// TestValidateFast holds the errors from one system against leaving out for real.
func TestValidateFast(t *testing.T) {
	for _, m := range []Model{mound, {Shape: Exponential, Sill: 0.01, Range: 15}, {Nugget: 0.01}} {
		k := mustKriging(t, KrigingSpec{Samples: rounded(35), Model: m})
		fastMiss, fastVariance := k.all.leaveOneOut()
		miss, variance := k.leaveEachOut()
		require.Empty(t, cmp.Diff(miss, fastMiss, near(1e-9, 1e-12)))
		require.Empty(t, cmp.Diff(variance, fastVariance, near(1e-9, 0)))
	}
	local := mustKriging(t, KrigingSpec{Samples: rounded(35), Model: mound, Neighbours: 8})
	v, err := local.Validate()
	require.NoError(t, err)
	rest := append(rounded(35)[:5:5], rounded(35)[6:]...)
	e, err := mustKriging(t, KrigingSpec{Samples: rest, Model: mound, Neighbours: 8}).Estimate(rounded(35)[5].At)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(e, v.Left[5].Estimate, near(1e-12, 0)))
}

// TestInfluences holds each change against kriging without the sample.
func TestInfluences(t *testing.T) {
	samples := rounded(20)
	spec := BlockSpec{Boundary: roundedEdge(), Step: 4}
	k := mustKriging(t, KrigingSpec{Samples: samples, Model: mound})
	with, err := k.Block(spec)
	require.NoError(t, err)
	list, err := k.Influences(spec)
	require.NoError(t, err)
	require.Len(t, list, len(samples))
	for i, inf := range list {
		require.Equal(t, i, inf.Sample)
		rest := append(append([]Sample(nil), samples[:i]...), samples[i+1:]...)
		without, err := mustKriging(t, KrigingSpec{Samples: rest, Model: mound}).Block(spec)
		require.NoError(t, err)
		require.InDelta(t, float64(with.Mean-without.Mean), float64(inf.Change), 1e-12)
		require.InDelta(t, float64(without.SD), float64(inf.SD), 1e-12)
	}
}

// TestNext holds the drop of each place named against kriging with a sample
// there, and the first one against all other candidates.
func TestNext(t *testing.T) {
	samples := rounded(12)
	spec := BlockSpec{Boundary: roundedEdge(), Step: 4}
	var candidates []plane.Point
	for i := range 30 {
		candidates = append(candidates, rounded(80)[40+i].At)
	}
	candidates = append(candidates, samples[0].At)
	k := mustKriging(t, KrigingSpec{Samples: samples, Model: mound})
	r, err := k.Next(NextSpec{Block: spec, Candidates: candidates, Most: 5})
	require.NoError(t, err)
	require.Len(t, r.Places, 5)
	sdWith := func(extra ...plane.Point) float64 {
		more := append([]Sample(nil), samples...)
		for _, p := range extra {
			more = append(more, Sample{p, 1})
		}
		b, err := mustKriging(t, KrigingSpec{Samples: more, Model: mound, Duplicates: DuplicatesMean}).Block(spec)
		require.NoError(t, err)
		return float64(b.SD)
	}
	var named []plane.Point
	last := float64(r.SD)
	for _, p := range r.Places {
		named = append(named, p.At)
		require.InDelta(t, sdWith(named...), float64(p.SD), 1e-12)
		require.Less(t, float64(p.SD), last)
		last = float64(p.SD)
	}
	for _, c := range candidates {
		require.GreaterOrEqual(t, sdWith(c), float64(r.Places[0].SD)-1e-12)
	}

	r, err = k.Next(NextSpec{Block: spec, Most: 200, TargetSD: r.SD / 2})
	require.NoError(t, err)
	require.True(t, r.Reached)
	require.LessOrEqual(t, r.Places[len(r.Places)-1].SD, r.SD/2)

	_, err = k.Next(NextSpec{TargetSD: -1, Candidates: []plane.Point{pointAt(math.NaN(), 0)}})
	require.Equal(t, []string{"block.boundary", "candidates[0].x", "most", "targetSD"}, fields(err))
}

func TestThin(t *testing.T) {
	samples := rounded(3000)
	thin, err := Thin(samples, 10)
	require.NoError(t, err)
	require.Less(t, len(thin), 97)
	require.Greater(t, len(thin), 90)
	one, err := Thin(samples[:7], 1e6)
	require.NoError(t, err)
	var sum units.Length
	for _, s := range samples[:7] {
		sum += s.Value / 7
	}
	require.Len(t, one, 1)
	require.InDelta(t, float64(sum), float64(one[0].Value), 1e-15)
	_, err = Thin(nil, 0)
	require.Equal(t, []string{"samples", "side"}, fields(err))
}

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
	require.False(t, one.HasSpread)
}

func TestPointsRule(t *testing.T) {
	r := PointsRule{SmallBelow: 1.33 * units.Acre, SmallPoints: 8, AreaPer: units.Acre / 6, Most: 24, Rounding: RoundNearest}
	for acres, want := range map[float64]int{0.2: 8, 1.32: 8, 1.33: 8, 1.5: 9, 2: 12, 2.1: 13, 2.05: 12, 3.9: 23, 100: 24} {
		n, err := r.Points(units.Area(acres) * units.Acre)
		require.NoError(t, err)
		require.Equal(t, want, n, fmt.Sprint(acres))
	}
	_, err := PointsRule{SmallBelow: 1, Most: -1, Rounding: 3}.Points(0)
	require.Equal(t, []string{"area", "smallPoints", "areaPer", "most", "rounding"}, fields(err))
	_, err = PointsRule{AreaPer: 1e-12}.Points(1)
	require.Equal(t, []string{"areaPer"}, fields(err))
}

func TestKrigingGrid(t *testing.T) {
	k := mustKriging(t, KrigingSpec{Samples: rounded(24), Model: mound})
	var _ Surface = k
	s := surveyOf(t, roundedEdge(), rounded(24))
	values, sd, err := k.Grid(s, GridSpec{Columns: 12, Rows: 8, Workers: 2})
	require.NoError(t, err)
	slow, err := SurfaceGrid(s, k, GridSpec{Columns: 12, Rows: 8})
	require.NoError(t, err)
	for c := range 12 {
		for r := range 8 {
			want, ok := slow.At(c, r)
			got, in := values.At(c, r)
			require.Equal(t, ok, in)
			require.InDelta(t, float64(want), float64(got), 1e-14)
			e, err := k.Estimate(values.Centre(c, r))
			require.NoError(t, err)
			d, in := sd.At(c, r)
			require.Equal(t, ok, in)
			if in {
				require.InDelta(t, float64(e.SD), float64(d), 1e-12)
			}
		}
	}
	_, _, err = k.Grid(nil, GridSpec{})
	require.Equal(t, []string{"survey"}, fields(err))
	_, _, err = k.Grid(s, GridSpec{Columns: -1, Rows: 3})
	require.Equal(t, []string{"columns"}, fields(err))
	_, ok := k.At(pointAt(math.Inf(1), 0))
	require.False(t, ok)
}

// TestNeighboursOnStrip: a thin strip of places needs few cells.
func TestNeighboursOnStrip(t *testing.T) {
	var places []xy
	for i := range 12 {
		places = append(places, xy{float64(i) * 1e8, float64(i%3) * 1e-4})
	}
	near := newNeighbours(places)
	require.Less(t, near.l.cols*near.l.rows, 20)
	id, distance := make([]int32, 3), make([]float64, 3)
	require.Equal(t, 3, near.find(xy{5.1e8, 0}, id, distance))
	require.Equal(t, []int32{5, 6, 4}, id)
}
