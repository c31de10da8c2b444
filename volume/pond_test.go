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

// A pond of 1,000 m2 by hand: 100 m3 of 91 mg/L stay, 900 m3 of clean water rinse it to
// 9.1 mg/L, of which 900 m3 are pumped; 3 m deep it is refilled with 2,900 m3.
func TestPondByHand(t *testing.T) {
	mg := units.MilligramPerLitre
	spec := PondSpec{Basin: tank(t), WaterLevel: 3, Left: 100, LeftN: 91 * mg, Rinse: 900, TargetN: 1 * mg, MaxRinses: 5,
		DepthRules: []DepthRule{{"as deep as it is", 3, 1}, {"deeper", 3.001, 0}}}
	r, err := Pond(spec)
	require.NoError(t, err)
	require.InDelta(t, 3000, r.Volume.SI(), 1e-9)
	require.InDelta(t, 2900, r.Refill.SI(), 1e-9)
	require.True(t, r.Met)
	require.Len(t, r.Steps, 2)
	for i, want := range []struct{ left, refill, pumped, kilograms float64 }{{91, 91.0 / 30, 0, 0}, {9.1, 9.1 / 30, 900, 8.19}} {
		s := r.Steps[i]
		require.Equal(t, i, s.Rinses)
		require.InDeltaSlice(t, []float64{want.left, want.refill, want.pumped, want.kilograms}, []float64{s.LeftN.In(mg), s.RefillN.In(mg), s.Pumped.SI(), s.PumpedN.SI()}, 1e-9)
	}
	require.InDelta(t, 900, r.RinseWater.SI(), 1e-9)
	require.InDelta(t, 8.19, r.RinsedN.SI(), 1e-9)
	require.InDelta(t, 0, r.MinN.SI(), 1e-12)
	require.Equal(t, []DepthVerdict{{spec.DepthRules[0], 1, true}, {spec.DepthRules[1], 0, true}}, r.Depths)
	// What is just clean enough takes no further rinse, and without one no more is tried.
	spec.TargetN = r.Steps[0].RefillN
	r, err = Pond(spec)
	require.NoError(t, err)
	require.True(t, r.Met)
	require.Len(t, r.Steps, 1)
	require.Zero(t, r.RinseWater)
	spec.TargetN, spec.MaxRinses = 1*mg, 0
	r, err = Pond(spec)
	require.NoError(t, err)
	require.False(t, r.Met)
	require.Len(t, r.Steps, 1)
	// 29 kg given off into each filling are 10 mg/L of 2,900 m3, and 32.2 of the 900 m3
	// of a rinse, of which a thirtieth stays: without end 29 (1 + 1/9)/3 mg/L.
	spec.ReleaseN = 29 * units.Kilogram
	r, err = Pond(spec)
	require.NoError(t, err)
	require.InDelta(t, 29*(1+1.0/9)/3, r.MinN.In(mg), 1e-9)
	// A pond as full as the bank, and a rinse that just fits.
	spec.WaterLevel, spec.Rinse = 4, 3900
	_, err = Pond(spec)
	require.NoError(t, err)
	spec.Rinse = 3900.001
	_, err = Pond(spec)
	plantest.RequireFields(t, err, "rinse")
	spec.Rinse, spec.Left = 1, 4000
	_, err = Pond(spec)
	plantest.RequireFields(t, err, "left", "rinse")
}
