package geostat

import (
	"context"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

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
	v, err := Variogram(context.Background(), VariogramSpec{Samples: rounded(200)})
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

// TestFitRenewed: with the weights N/G^2 of its own model held still, the model is
// the least-squares minimum.
func TestFitRenewed(t *testing.T) {
	v, err := Variogram(context.Background(), VariogramSpec{Samples: rounded(200)})
	require.NoError(t, err)
	r, err := Fit(FitSpec{Variogram: v, Weights: WeightsIterated})
	require.NoError(t, err)
	cost := func(m Model) (sum float64) {
		for _, c := range r.Classes {
			d := float64((c.Gamma - m.Gamma(pointAt(0, 0), plane.Point{X: c.Distance})) / c.Model)
			sum += float64(c.Pairs) * d * d
		}
		return sum
	}
	require.InDelta(t, cost(r.Model), r.Objective, 1e-6*r.Objective)
	for _, by := range []float64{0.95, 0.999, 1.001, 1.05} {
		for i := range 3 {
			m := r.Model
			*[]*float64{(*float64)(&m.Nugget), (*float64)(&m.Sill), (*float64)(&m.Range)}[i] *= by
			require.GreaterOrEqual(t, cost(m), cost(r.Model)*(1-1e-12), "parameter %d times %v", i, by)
		}
	}
}

func TestFitStatus(t *testing.T) {
	flat := make([]Sample, 30)
	for i := range flat {
		flat[i] = sampleAt(float64(i%6), float64(i/6), 1.5)
	}
	v, err := Variogram(context.Background(), VariogramSpec{Samples: flat})
	require.NoError(t, err)
	r, err := Fit(FitSpec{Variogram: v})
	require.NoError(t, err)
	require.Equal(t, FitFlat, r.Status)
	require.Zero(t, r.Model)

	v, err = Variogram(context.Background(), VariogramSpec{Samples: rounded(5), Classes: 3})
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
	require.Contains(t, r.Why.String(), "24 pairs in all")

	r, err = Fit(FitSpec{Variogram: modelled(Model{Nugget: 3})})
	require.NoError(t, err)
	require.Equal(t, FitPureNugget, r.Status)
	require.InDelta(t, 3, float64(r.Model.Nugget+r.Model.Sill), 1e-6)

	r, err = Fit(FitSpec{Variogram: modelled(Model{Nugget: 3}), NoNugget: true})
	require.NoError(t, err)
	require.Equal(t, FitPureNugget, r.Status, "a range short of the first class is a nugget by another name")
	require.Contains(t, r.Why.String(), "before the first class")

	r, err = Fit(FitSpec{Variogram: modelled(Model{Sill: 5, Range: 1000})})
	require.NoError(t, err)
	require.Equal(t, FitBeyondRange, r.Status)

	// A semivariance that falls with distance leaves nothing but a nugget.
	falls := modelled(Model{Sill: 1, Range: 20})
	for i := range falls.Classes {
		falls.Classes[i].Gamma = units.Area(2 - 0.1*float64(i))
	}
	for w := WeightsCressie; w <= WeightsEqual; w++ {
		r, err = Fit(FitSpec{Variogram: falls, Weights: w})
		require.NoError(t, err)
		require.Equal(t, FitPureNugget, r.Status, "%v", w)
		require.Zero(t, r.Model.Sill, "%v", w)
		require.Positive(t, float64(r.Model.Nugget))
	}
	// Without a nugget the shortest range that is looked for is the best.
	r, err = Fit(FitSpec{Variogram: falls, Shape: Exponential, Weights: WeightsEqual, NoNugget: true})
	require.NoError(t, err)
	require.InEpsilon(t, float64(falls.Classes[0].Distance)/4, float64(r.Model.Range), 1e-6)

	bad := VariogramResult{Classes: []LagClass{{Pairs: -1, Distance: -2, Gamma: units.Area(math.NaN())}}}
	_, err = Fit(FitSpec{Variogram: bad, Shape: 8, Weights: 9, RangeAs: 3, MinPairs: -1})
	require.Len(t, units.FieldErrors(err), 7)
}

// TestFitObjective: the objective is the sum of squares that the weights define, over the
// classes that take part.
func TestFitObjective(t *testing.T) {
	v := modelled(Model{Nugget: 0.3, Sill: 2, Range: 25})
	for i := range v.Classes {
		v.Classes[i].Gamma *= units.Area(1 + 0.05*float64(i%3))
	}
	v.Classes[0].Gamma = 0
	for w, weight := range map[FitWeights]func(n, h, g, model float64) float64{
		WeightsOverDistance: func(n, h, _, _ float64) float64 { return n / (h * h) },
		WeightsOverGamma: func(n, _, g, _ float64) float64 {
			if g == 0 {
				return 0
			}
			return n / (g * g)
		},
		WeightsPairs:    func(n, _, _, _ float64) float64 { return n },
		WeightsEqual:    func(_, _, _, _ float64) float64 { return 1 },
		WeightsCressie:  func(n, _, _, model float64) float64 { return n / (model * model) },
		WeightsIterated: func(n, _, _, model float64) float64 { return n / (model * model) },
	} {
		for least, classes := range map[int]int{0: 12, 20: 12, 21: 11} { // the first class has 20 pairs
			r, err := Fit(FitSpec{Variogram: v, Weights: w, MinPairs: least})
			require.NoError(t, err)
			require.Len(t, r.Classes, classes)
			var sum float64
			for _, c := range r.Classes {
				require.InDelta(t, float64(r.Model.Gamma(pointAt(0, 0), plane.Point{X: c.Distance})), float64(c.Model), 1e-12)
				d := float64(c.Gamma - c.Model)
				sum += weight(float64(c.Pairs), float64(c.Distance), float64(c.Gamma), float64(c.Model)) * d * d
			}
			require.InEpsilon(t, sum, r.Objective, 1e-6, "%v", w)
		}
	}
	// A class without a difference does not count where it would weigh without end.
	with, err := Fit(FitSpec{Variogram: v, Weights: WeightsOverGamma})
	require.NoError(t, err)
	v.Classes = v.Classes[1:]
	without, err := Fit(FitSpec{Variogram: v, Weights: WeightsOverGamma})
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(without.Model, with.Model, near(1e-6, 1e-9)))
}

// TestFitLeastClasses: as many classes as parameters and one more, and pairs at distance
// zero are none of them.
func TestFitLeastClasses(t *testing.T) {
	v := modelled(Model{Sill: 2, Range: 15})
	fit := func(classes int, noNugget bool) FitResult {
		some := v
		some.Classes = append([]LagClass{{Pairs: 40, Gamma: 0.1}}, v.Classes[:classes]...)
		r, err := Fit(FitSpec{Variogram: some, NoNugget: noNugget})
		require.NoError(t, err)
		return r
	}
	for _, noNugget := range []bool{false, true} {
		least := 4
		if noNugget {
			least = 3
		}
		r := fit(least-1, noNugget)
		require.Equal(t, FitTooFew, r.Status)
		require.Zero(t, r.Model)
		r = fit(least, noNugget)
		require.Equal(t, FitUsable, r.Status)
		require.Len(t, r.Classes, least)
	}
	// Thirty pairs in all are enough, and a class of thirty is not sparse.
	for i := range v.Classes {
		v.Classes[i].Pairs = 2
	}
	v.Classes = v.Classes[:6]
	v.Classes[5].Pairs = 20
	r, err := Fit(FitSpec{Variogram: v})
	require.NoError(t, err)
	require.Equal(t, FitUsable, r.Status, r.Why)
	require.Equal(t, 6, r.Sparse)
	v.Classes[5].Pairs = 19
	r, err = Fit(FitSpec{Variogram: v})
	require.NoError(t, err)
	require.Equal(t, FitTooFew, r.Status)
	v.Classes[5].Pairs = 30
	r, err = Fit(FitSpec{Variogram: v})
	require.NoError(t, err)
	require.Equal(t, 5, r.Sparse)

	// Differences of 1e-15 m are rounding.
	for gamma, want := range map[units.Area]FitStatus{0.9e-30: FitFlat, 1.1e-30: FitPureNugget} {
		rounding := modelled(Model{Nugget: 1})
		for i := range rounding.Classes {
			rounding.Classes[i].Gamma = gamma
		}
		r, err := Fit(FitSpec{Variogram: rounding})
		require.NoError(t, err)
		require.Equal(t, want, r.Status, "%v", float64(gamma))
	}

	// A nugget alone has no sill, and the range of the first class.
	r, err = Fit(FitSpec{Variogram: modelled(Model{Nugget: 3})})
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(Model{Nugget: 3, Range: 4}, r.Model, near(1e-9, 1e-9)))
}

// TestFitEdges holds the statuses from both sides: the effective range beside the reach of
// the data and beside the first class, and the nugget that would be negative.
func TestFitEdges(t *testing.T) {
	v := modelled(Model{Nugget: 0.2, Sill: 2, Range: 30})
	r, err := Fit(FitSpec{Variogram: v})
	require.NoError(t, err)
	require.False(t, r.AtZero)
	reach := r.Model.EffectiveRange()
	for _, c := range []struct {
		reach units.Length
		want  FitStatus
	}{{reach, FitUsable}, {reach * 0.999999, FitBeyondRange}} {
		v.MaxDistance = c.reach
		r, err = Fit(FitSpec{Variogram: v})
		require.NoError(t, err)
		require.Equal(t, c.want, r.Status)
		require.Equal(t, c.reach, r.MaxReach)
	}
	falls := modelled(Model{Sill: 2, Range: 30})
	for i := range falls.Classes {
		falls.Classes[i].Gamma = max(0.01, falls.Classes[i].Gamma-0.2)
	}
	r, err = Fit(FitSpec{Variogram: falls})
	require.NoError(t, err)
	require.True(t, r.AtZero)
	r, err = Fit(FitSpec{Variogram: falls, NoNugget: true})
	require.NoError(t, err)
	require.False(t, r.AtZero, "it was not fitted")
}
