package volume

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/plantest"
)

func pondSpec(b Basin) PondSpec {
	return PondSpec{
		Basin: b, WaterLevel: 9 * ft,
		DepthRules: []DepthRule{{"deep water", 6 * ft, 0.25}, {"deeper than the pond", 12 * ft, 0.1}},
		Left:       20000 * units.CubicFoot, LeftN: 400 * units.MilligramPerLitre,
		Rinse: 80000 * units.CubicFoot, CleanN: 1 * units.MilligramPerLitre,
		TargetN: 3 * units.MilligramPerLitre, MaxRinses: 10,
	}
}

func TestPondDilution(t *testing.T) {
	b := formBasin(t)
	s := pondSpec(b)
	r, err := Pond(s)
	require.NoError(t, err)
	require.True(t, r.Met)
	// Without release each rinse leaves the excess times V/(V+R): 1/5.
	for i, step := range r.Steps {
		excess := 399 * math.Pow(0.2, float64(i))
		require.InDelta(t, 1+excess, step.LeftN.In(units.MilligramPerLitre), 1e-9)
		require.InDelta(t, 1+excess*float64(s.Left/r.Volume), step.RefillN.In(units.MilligramPerLitre), 1e-9)
		require.Equal(t, i == len(r.Steps)-1, step.RefillN <= s.TargetN)
	}
	// The nitrogen of the start is in the rinse water or still there.
	clean := s.CleanN.Times(r.RinseWater)
	left := r.Steps[len(r.Steps)-1].LeftN.Times(s.Left)
	require.InDelta(t, float64(s.LeftN.Times(s.Left)+clean), float64(r.RinsedN+left), 1e-9)
	require.True(t, r.Depths[0].Met)
	require.InDelta(t, float64(b.AreaAt(3*ft)/b.AreaAt(9*ft)), r.Depths[0].Share, 1e-12)
	require.False(t, r.Depths[1].Met)
}

func TestPondNeverCleanEnough(t *testing.T) {
	s := pondSpec(formBasin(t))
	s.ReleaseN, s.MaxRinses = 100*units.Kilogram, 200
	r, err := Pond(s)
	require.NoError(t, err)
	require.False(t, r.Met)
	require.Len(t, r.Steps, 201)
	require.InEpsilon(t, float64(r.MinN), float64(r.Steps[200].RefillN), 1e-9)
	require.Greater(t, r.MinN, s.TargetN)
}

func TestPondFaults(t *testing.T) {
	_, err := Pond(PondSpec{})
	plantest.RequireFields(t, err, "basin", "left", "rinse", "targetN")
	s := pondSpec(formBasin(t))
	s.WaterLevel = 11 * ft
	_, err = Pond(s)
	plantest.RequireFields(t, err, "waterLevel")
	s.WaterLevel, s.Left, s.Rinse = 1*ft, 400000*units.CubicFoot, 200000*units.CubicFoot
	_, err = Pond(s)
	plantest.RequireFields(t, err, "left", "rinse")
	s = pondSpec(formBasin(t))
	s.DepthRules, s.MaxRinses = []DepthRule{{Share: 2}}, -1
	_, err = Pond(s)
	plantest.RequireFields(t, err, "maxRinses", "depthRules[0].name", "depthRules[0].depth", "depthRules[0].share")
}
