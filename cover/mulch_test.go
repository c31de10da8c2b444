package cover_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
)

func TestMulchLimitsAreSeparate(t *testing.T) {
	r, err := cover.Mulch(cover.MulchSpec{Area: units.Acre, Rate: 3 * units.TonPerAcre, Slope: 2.5, Anchoring: cover.Crimped, Crimp: 2 * units.Inch,
		Cover: 0.9, Thickness: 2 * units.Inch, Rules: []string{"north-carolina", "pennsylvania-crimped", "washington-straw", "pennsylvania-tackified"}})
	require.NoError(t, err)
	got := map[string]cover.Verdict{}
	for _, f := range r.Findings {
		got[f.Rule] = f.Verdict
	}
	require.Equal(t, map[string]cover.Verdict{
		"north-carolina rate": cover.NotMet, "north-carolina cover": cover.Met, "north-carolina slope": cover.Met,
		"pennsylvania-crimped rate": cover.Met, "pennsylvania-crimped anchoring": cover.Met, "pennsylvania-crimped crimp depth": cover.NotMet, "pennsylvania-crimped slope": cover.NotMet,
		"washington-straw rate": cover.Met, "washington-straw thickness": cover.Met,
		"pennsylvania-tackified rate": cover.Met, "pennsylvania-tackified anchoring": cover.NotMet,
	}, got)
	_, err = cover.Mulch(cover.MulchSpec{Area: 1, Rate: 1, Anchoring: cover.Netted, Crimp: 1, Slope: -1, Bale: 1e-30, Rules: []string{"?"}})
	require.Equal(t, []string{"slope", "crimp", "rules[0]"}, fields(err))
}

func TestNurseAndTopsoil(t *testing.T) {
	n, err := cover.Nurse(cover.NurseSpec{Name: "oats", TemporaryRate: 96 * units.PoundPerAcre, Share: 0.6, MostShare: 0.5, Area: 2 * units.Acre, Bag: 50 * units.Pound})
	require.NoError(t, err)
	require.Equal(t, cover.NotMet, n.Finding.Verdict)
	require.Equal(t, 3, n.Bags)
	s, err := cover.Topsoil(cover.TopsoilSpec{Area: units.Acre, Depth: 6 * units.Inch, Loss: 0.2, Stock: 2000 * units.CubicYard})
	require.NoError(t, err)
	require.InDelta(t, 1008.33, s.Hauled.In(units.CubicYard), 0.01)
	require.Zero(t, s.Bought)
	require.InDelta(t, 991.67, s.Left.In(units.CubicYard), 0.01)
}
