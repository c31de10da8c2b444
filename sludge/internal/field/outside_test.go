package field

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/internal/fixtures"
)

// TestLikelihoodAgainstFields holds how likely each structure is against the restricted
// likelihood of the R package fields 14.1, for the log zinc of the first 40 samples of
// the river Meuse: script outside.R in the testdata of geostat. The variance is
// integrated out here and put at its best value there, which differs by a constant, so
// the differences between structures are compared.
func TestLikelihoodAgainstFields(t *testing.T) {
	places, values, err := fixtures.Table("../../../testdata/meuse.csv")
	require.NoError(t, err)
	const n = 40
	s := Sites{Readings: make([]float64, n)}
	var y []float64
	for i := range n {
		s.X, s.Y = append(s.X, float64(places[i].X)), append(s.Y, float64(places[i].Y))
		s.Readings[i] = 1
		y = append(y, math.Log(float64(values[i])))
	}
	want := []float64{
		-28.692597512, -33.021086299, -15.207153292, -24.498692873,
		-23.818180742, -30.257200838, -6.616869811, -19.926933573,
		-21.722075808, -29.207973219, -5.325469633, -18.936652828,
	}
	structures := Grid([]float64{300, 900}, []float64{0.05, 0.4}, Isotropic)
	for i := range structures {
		structures[i].LogPrior = 0
	}
	fits := NewFactors(s, structures).Fits(0, Values{Y: y})[0]
	require.Len(t, fits, len(want))
	for i, f := range fits {
		require.True(t, f.OK)
		require.InDelta(t, want[i]-want[0], f.LogLikelihood-fits[0].LogLikelihood, 2e-8, "%v", structures[i])
	}
}
