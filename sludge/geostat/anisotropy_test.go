package geostat

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/units"
)

// TestFitAnisotropyExactly: semivariances that follow a stretched model give it back, with
// large weights and with small ones.
func TestFitAnisotropyExactly(t *testing.T) {
	for _, c := range []struct {
		ratio, azimuth float64
		weights        FitWeights
	}{{0.4, 30, WeightsCressie}, {0.47, 97, WeightsEqual}, {0.23, 172, WeightsPairs}, {0.68, 3, WeightsCressie}, {0.04, 60, WeightsCressie}} {
		want := Model{Nugget: 0.002, Sill: 0.02, Range: 40, Anisotropy: &Anisotropy{Ratio: c.ratio, Azimuth: c.azimuth}}
		p := &fitProblem{weights: c.weights}
		var azimuths []float64
		r := AnisotropyResult{}
		for i := range directions {
			a := float64(i) * 180 / directions
			sin, cos := math.Sincos(a * math.Pi / 180)
			for d := 3.0; d < 60; d += 6 {
				c := LagClass{Pairs: 50, Distance: units.Length(d), Gamma: want.Gamma(pointAt(0, 0), pointAt(d*sin, d*cos))}
				require.True(t, p.add(c, 0))
				azimuths = append(azimuths, a)
				r.Classes = append(r.Classes, DirectedClass{Azimuth: a, FitClass: FitClass{LagClass: c}})
			}
		}
		p.anisotropy(azimuths, &r)
		if c.ratio < 0.1 {
			require.InDelta(t, 0.1, r.Model.Anisotropy.Ratio, 1e-12, "the least that is looked for")
			continue
		}
		require.InDelta(t, 40, float64(r.Model.Range), 0.5)
		require.InDelta(t, c.ratio, r.Model.Anisotropy.Ratio, 0.01)
		require.InDelta(t, c.azimuth, r.Model.Anisotropy.Azimuth, 0.5)
		require.InDelta(t, 0.02, float64(r.Model.Sill), 2e-4)
		require.Greater(t, r.Gain, 0.99)
		for _, c := range r.Classes {
			require.InDelta(t, float64(c.Gamma), float64(c.Model), 2e-4)
		}
	}
}

// TestFitAnisotropyClasses: the classes are those of the variograms in eight directions,
// eight classes are enough, and the gain is over the fit that is alike in all directions.
func TestFitAnisotropyClasses(t *testing.T) {
	samples := rounded(40)
	for least, classes := range map[int]int{0: 24, 32: 8, 33: 7} {
		r, err := FitAnisotropy(context.Background(), AnisotropySpec{Samples: samples, Classes: 3, MinPairs: least})
		require.NoError(t, err)
		require.Len(t, r.Classes, classes)
		require.Equal(t, classes < 8, r.Status == FitTooFew)
		if classes < 8 {
			require.Zero(t, r.Model)
			continue
		}
		i := 0
		p := &fitProblem{}
		for k := range 8 {
			azimuth := 22.5 * float64(k)
			v, err := Variogram(context.Background(), VariogramSpec{Samples: samples, Classes: 3, Cutoff: diagonal(samples) / 2, Direction: &Direction{azimuth, 11.25}})
			require.NoError(t, err)
			for _, c := range v.Classes {
				if c.Pairs < least {
					continue
				}
				p.add(c, 0)
				require.Equal(t, azimuth, r.Classes[i].Azimuth)
				require.Equal(t, c, r.Classes[i].LagClass)
				i++
			}
		}
		isotropic := p.minimum().objective
		require.InEpsilon(t, isotropic, r.Isotropic, 1e-9)
		require.InDelta(t, 1-r.Objective/isotropic, r.Gain, 1e-12)
		require.GreaterOrEqual(t, r.Gain, 0.0)
	}
}

// TestFitAnisotropy draws a stretched field.
func TestFitAnisotropy(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	normal := distuv.Normal{Mu: 0, Sigma: 1, Src: random}
	field := func(m Model) []Sample {
		list := make([]Sample, 300)
		for i := range list {
			list[i].At = pointAt(100*random.Float64(), 60*random.Float64())
		}
		c := mat.NewSymDense(len(list), nil)
		for i := range list {
			for j := range i {
				c.SetSym(i, j, float64(m.Nugget+m.Sill-m.Gamma(list[i].At, list[j].At)))
			}
			c.SetSym(i, i, float64(m.Nugget+m.Sill))
		}
		var chol mat.Cholesky
		require.True(t, chol.Factorize(c))
		var l mat.TriDense
		chol.LTo(&l)
		white := mat.NewVecDense(len(list), nil)
		for i := range list {
			white.SetVec(i, normal.Rand())
		}
		white.MulVec(&l, white)
		for i := range list {
			list[i].Value = units.Length(1 + white.AtVec(i))
		}
		return list
	}
	m := Model{Nugget: 0.001, Sill: 0.02, Range: 40, Anisotropy: &Anisotropy{Ratio: 0.25, Azimuth: 60}}
	r, err := FitAnisotropy(context.Background(), AnisotropySpec{Samples: field(m), Cutoff: 30})
	require.NoError(t, err)
	require.Equal(t, FitUsable, r.Status, r.Why)
	require.NotNil(t, r.Model.Anisotropy)
	require.InDelta(t, 60, r.Model.Anisotropy.Azimuth, 15)
	require.Less(t, r.Model.Anisotropy.Ratio, 0.5)
	require.Greater(t, r.Gain, 0.4)
	require.NoError(t, r.Model.Check())
	require.Contains(t, r.String(), "gain of the anisotropy")
}

// TestFitAnisotropyStatus: the status is that of the model by its effective range beside the
// first class and the reach of the data, as of a fit that is alike in all directions.
func TestFitAnisotropyStatus(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	between := 0
	for range 25 {
		samples := rounded(40)
		for i := range samples {
			samples[i].Value = units.Length(random.NormFloat64())
		}
		r, err := FitAnisotropy(context.Background(), AnisotropySpec{Samples: samples, Classes: 3, NoNugget: true})
		require.NoError(t, err)
		reach, first := r.Model.EffectiveRange(), r.Classes[0].Distance
		want := FitUsable
		switch {
		case r.Model.Sill <= 1e-6*r.Model.Nugget || reach < first:
			want = FitPureNugget
		case reach > diagonal(samples):
			want = FitBeyondRange
		}
		require.Equal(t, want, r.Status)
		require.Equal(t, want == FitUsable, r.Why.String() == "")
		if reach >= first && reach < r.Classes[1].Distance {
			between++
		}
	}
	require.Positive(t, between)
}

func TestFitAnisotropyFaults(t *testing.T) {
	_, err := FitAnisotropy(context.Background(), AnisotropySpec{Classes: 2, Weights: WeightsIterated})
	require.Equal(t, []string{"samples", "classes", "weights"}, fields(err))
	_, err = FitAnisotropy(context.Background(), AnisotropySpec{Samples: rounded(40), Shape: 9, Cutoff: -1})
	require.Equal(t, []string{"shape", "cutoff"}, fields(err))
	flat := rounded(40)
	for i := range flat {
		flat[i].Value = 1
	}
	r, err := FitAnisotropy(context.Background(), AnisotropySpec{Samples: flat})
	require.NoError(t, err)
	require.Equal(t, FitFlat, r.Status)
}
