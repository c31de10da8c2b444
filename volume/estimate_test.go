package volume

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/plantest"
)

func TestEstimates(t *testing.T) {
	d, err := SlopeDepth(SlopeDepthSpec{Along: 10, Slope: 1.5})
	require.NoError(t, err)
	require.InDelta(t, 5.547, float64(d), 5e-4)
	for z, angle := range map[float64]float64{0: 90, 1: 45, math.Sqrt(3): 30} {
		got, err := SlopeOfAngle(angle)
		require.NoError(t, err)
		require.InDelta(t, z, got, 1e-12)
	}
	a, err := ShorelineArea(math.Pi * 2 * units.Metre)
	require.NoError(t, err)
	require.InDelta(t, math.Pi, float64(a), 1e-12)
}

func TestEstimateFaults(t *testing.T) {
	_, err := SlopeDepth(SlopeDepthSpec{Along: 0, Slope: -1})
	plantest.RequireFields(t, err, "along", "slope")
	for _, x := range []float64{0, 91, -3, math.NaN()} {
		_, err = SlopeOfAngle(x)
		plantest.RequireFields(t, err, "degrees")
	}
	_, err = ShorelineArea(units.Length(math.NaN()))
	plantest.RequireFields(t, err, "shoreline")
	_, err = MeanDepth(MeanDepthSpec{Soundings: []units.Length{1, -1}, Rule: 0})
	plantest.RequireFields(t, err, "soundings[1]", "rule")
	_, err = MeanDepth(MeanDepthSpec{Soundings: []units.Length{0, 0}, Rule: ShoreRuleOut})
	plantest.RequireFields(t, err, "soundings")
	_, err = MeanDepth(MeanDepthSpec{Soundings: nil, Rule: ShoreRuleIn})
	plantest.RequireFields(t, err, "soundings")
}
