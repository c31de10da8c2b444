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

// Each limit of a mulch holds at the limit itself and not beside it, is left open where the plan
// does not tell, and is shown with what it was held against.
func TestMulchLimitsAtTheirEdges(t *testing.T) {
	rule := cover.MulchRule{ID: "own", Jurisdiction: "own", Material: "straw", Source: "sheet", Rate: &units.Range[units.MassPerArea]{Low: 1 * units.TonPerAcre, High: 2 * units.TonPerAcre},
		MinCover: new(0.8), Thickness: &units.Range[units.Length]{Low: units.Inch, High: 3 * units.Inch}, Anchoring: []cover.Anchoring{cover.AnchoringCrimped}, CrimpDepth: new(2 * units.Inch), MinSlope: new(8. / 3)}
	plan := cover.MulchSpec{Area: units.Acre, Rate: units.TonPerAcre, Cover: 0.8, Thickness: 3 * units.Inch, Anchoring: cover.AnchoringCrimped, Crimp: 2 * units.Inch, Slope: new(8. / 3), Own: []cover.MulchRule{rule}}
	verdicts := func(change func(*cover.MulchSpec)) map[string]cover.Verdict {
		spec := plan
		change(&spec)
		r, err := cover.Mulch(spec)
		require.NoError(t, err)
		got := map[string]cover.Verdict{}
		for _, f := range r.Findings {
			if f.Verdict != cover.VerdictMet {
				got[f.Rule] = f.Verdict
			}
		}
		return got
	}
	require.Empty(t, verdicts(func(*cover.MulchSpec) {}))
	for limit, changes := range map[string][]func(*cover.MulchSpec){
		"own rate": {func(s *cover.MulchSpec) { s.Rate *= 0.999 }, func(s *cover.MulchSpec) { s.Rate *= 2.001 }}, "own cover": {func(s *cover.MulchSpec) { s.Cover = 0.799 }},
		"own thickness":   {func(s *cover.MulchSpec) { s.Thickness *= 1.001 }, func(s *cover.MulchSpec) { s.Thickness *= 0.333 }},
		"own crimp depth": {func(s *cover.MulchSpec) { s.Crimp *= 0.999 }}, "own slope": {func(s *cover.MulchSpec) { s.Slope = new(2.66) }},
	} {
		for _, change := range changes {
			require.Equal(t, map[string]cover.Verdict{limit: cover.VerdictNotMet}, verdicts(change), limit)
		}
	}
	for limit, change := range map[string]func(*cover.MulchSpec){"own cover": func(s *cover.MulchSpec) { s.Cover = 0 }, "own thickness": func(s *cover.MulchSpec) { s.Thickness = 0 },
		"own crimp depth": func(s *cover.MulchSpec) { s.Crimp = 0 }, "own slope": func(s *cover.MulchSpec) { s.Slope = nil }} {
		require.Equal(t, map[string]cover.Verdict{limit: cover.VerdictCannotSay}, verdicts(change), limit)
	}
	require.Equal(t, map[string]cover.Verdict{"own anchoring": cover.VerdictNotMet}, verdicts(func(s *cover.MulchSpec) { s.Anchoring, s.Crimp = cover.AnchoringNetted, 0 }))
	r, err := cover.Mulch(plan)
	require.NoError(t, err)
	for i, want := range []string{"1 ton/acre, want 1 ton/acre to 2 ton/acre", "80 %, want at least 80 %", "3.00 in, want 1.00 in to 3.00 in", "crimped, want crimped", "2.0 in, want at least 2.0 in", "2.667:1, want not steeper than 2.67:1"} {
		require.Equal(t, want, r.Findings[i].Value.String()+", want "+r.Findings[i].Want.String())
	}
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
