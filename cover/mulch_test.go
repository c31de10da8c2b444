package cover_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
)

func TestMulchLimitsAreSeparate(t *testing.T) {
	r, err := cover.Mulch(cover.MulchSpec{Area: units.Acre, Rate: 3 * units.TonPerAcre, Slope: new(2.5), Anchoring: cover.AnchoringCrimped, Crimp: 2 * units.Inch,
		Cover: 0.9, Thickness: 2 * units.Inch, Rules: []string{"north-carolina", "pennsylvania-crimped", "washington-straw", "pennsylvania-tackified"}})
	require.NoError(t, err)
	got := map[string]cover.Verdict{}
	for _, f := range r.Findings {
		got[f.Rule] = f.Verdict
	}
	require.Equal(t, map[string]cover.Verdict{
		"north-carolina rate": cover.VerdictNotMet, "north-carolina cover": cover.VerdictMet, "north-carolina slope": cover.VerdictMet,
		"pennsylvania-crimped rate": cover.VerdictMet, "pennsylvania-crimped anchoring": cover.VerdictMet, "pennsylvania-crimped crimp depth": cover.VerdictNotMet, "pennsylvania-crimped slope": cover.VerdictNotMet,
		"washington-straw rate": cover.VerdictMet, "washington-straw thickness": cover.VerdictMet,
		"pennsylvania-tackified rate": cover.VerdictMet, "pennsylvania-tackified anchoring": cover.VerdictNotMet,
	}, got)
	// A slope that was left out is not level ground.
	unknown, err := cover.Mulch(cover.MulchSpec{Area: units.Acre, Rate: 2 * units.TonPerAcre, Anchoring: cover.AnchoringNone, Rules: []string{"north-carolina"}})
	require.NoError(t, err)
	for _, f := range unknown.Findings {
		if f.Rule == "north-carolina slope" {
			require.Equal(t, cover.VerdictCannotSay, f.Verdict)
			require.Contains(t, f.Why, "slope is not given")
		}
	}
	_, err = cover.Mulch(cover.MulchSpec{Area: 1, Rate: 1, Anchoring: cover.AnchoringNetted, Crimp: 1, Slope: new(-1.0), Bale: 1e-30, Rules: []string{"?"}})
	require.Equal(t, []string{"slope", "crimp", "bale", "rules[0]"}, fields(err))
}

func TestNurseAndTopsoil(t *testing.T) {
	n, err := cover.Nurse(cover.NurseSpec{Name: "oats", TemporaryRate: 96 * units.PoundPerAcre, Share: 0.6, MostShare: 0.5, Area: 2 * units.Acre, Bag: 50 * units.Pound})
	require.NoError(t, err)
	require.Equal(t, cover.VerdictNotMet, n.Finding.Verdict)
	require.Equal(t, 3, n.Bags)
	s, err := cover.TopsoilOrder(cover.TopsoilOrderSpec{Area: units.Acre, Depth: 6 * units.Inch, Loss: 0.2, Stock: 2000 * units.CubicYard})
	require.NoError(t, err)
	require.InDelta(t, 1008.33, s.Hauled.In(units.CubicYard), 0.01)
	require.Zero(t, s.Bought)
	require.InDelta(t, 991.67, s.Left.In(units.CubicYard), 0.01)
}
