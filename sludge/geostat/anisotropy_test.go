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

// TestFitAnisotropyExactly: semivariances that follow a stretched model give it back.
func TestFitAnisotropyExactly(t *testing.T) {
	want := Model{Nugget: 0.002, Sill: 0.02, Range: 40, Anisotropy: &Anisotropy{Ratio: 0.4, Azimuth: 30}}
	p := &fitProblem{}
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
	require.InDelta(t, 40, float64(r.Model.Range), 0.5)
	require.InDelta(t, 0.4, r.Model.Anisotropy.Ratio, 0.01)
	require.InDelta(t, 30, r.Model.Anisotropy.Azimuth, 0.5)
	require.InDelta(t, 0.02, float64(r.Model.Sill), 2e-4)
	require.Greater(t, r.Gain, 0.99)
	for _, c := range r.Classes {
		require.InDelta(t, float64(c.Gamma), float64(c.Model), 2e-4)
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
