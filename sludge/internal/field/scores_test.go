package field

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// The score of a value is what it misses the estimate from the others by, over the
// standard deviation of that, worked out here by dense matrices without it.
func TestScores(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	const n = 9
	s := Sites{X: make([]float64, n), Y: make([]float64, n), Readings: make([]float64, n)}
	y := make([]float64, n)
	for i := range n {
		s.X[i], s.Y[i], s.Readings[i], y[i] = 50*r.Float64(), 50*r.Float64(), float64(1+i%2), 1+r.NormFloat64()
	}
	fs := NewFactors(s, Grid([]float64{40}, []float64{0.1}, Isotropic))
	for _, fit := range fs.Fits(0, Values{Y: y})[0] {
		st := fs.Structures[fit.Structure]
		between := func(i, j int) float64 {
			c := st.Between(s.X[i]-s.X[j], s.Y[i]-s.Y[j])
			if i == j {
				c += st.Share / s.Readings[i]
			}
			return fit.Sigma2 * c
		}
		for i, got := range fs.Scores(fit, y) {
			k, c, off := mat.NewSymDense(n-1, nil), mat.NewVecDense(n-1, nil), mat.NewVecDense(n-1, nil)
			others := make([]int, 0, n-1)
			for j := range n {
				if j != i {
					others = append(others, j)
				}
			}
			for a, j := range others {
				c.SetVec(a, between(i, j))
				off.SetVec(a, y[j]-fit.Beta)
				for b, l := range others[:a+1] {
					k.SetSym(a, b, between(j, l))
				}
			}
			var weights mat.VecDense
			require.NoError(t, weights.SolveVec(k, c))
			variance := between(i, i) - mat.Dot(&weights, c)
			require.InDelta(t, (y[i]-fit.Beta-mat.Dot(&weights, off))/math.Sqrt(variance), got, 1e-9)
		}
	}
}
