package plan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
)

// Without critical levels of its own the plan goes by those of the state whose rule on P
// it goes by: corn answers to P up to 15 ppm by Bray P1 and to K up to 125 ppm (Critical
// levels of soil tests of Nebraska, undated page). The fields of the farm test from 19 to
// 41 ppm, so that no P has a worth; their K does where it is below. With a test of 12 ppm
// the P of one field has its worth again.
func TestCriticalLevelsOfTheRule(t *testing.T) {
	own, state := read(t, nil), read(t, map[string]any{"land.critical": nil})
	poor := read(t, map[string]any{"land.critical": nil, "land.fields.0.site.soilTest.value": 12})
	has := func(of string, f allocation.FieldState) bool {
		for _, n := range f.Needs {
			if n.Name == of {
				return true
			}
		}
		return false
	}
	for i, f := range state.Fields.Fields {
		got := state.Taken().Spread.Allocated.Fields[i]
		require.Equal(t, f.Name, got.Name)
		require.False(t, has(land.OfP2O5, got), f.Name)
		if i == 1 { // orchardgrass stands in no table of critical levels
			require.Empty(t, f.Critical)
			continue
		}
		require.Equal(t, land.AnswerEnough, f.Answers.P2O5, f.Name)
		require.Equal(t, "Nebraska", f.Critical[0].State)
		require.Equal(t, nutrient.BrayP1, f.Critical[0].Level.Extractant)
	}
	require.Equal(t, land.AnswerCounts, state.Fields.Field("Home Forty").Answers.K2O)
	require.Equal(t, land.AnswerEnough, state.Fields.Field("School Section").Answers.K2O)
	require.True(t, has(land.OfP2O5, poor.Taken().Spread.Allocated.Fields[0]))
	require.Less(t, state.Bill.Worth, own.Bill.Worth)
	require.Less(t, state.Bill.Worth, poor.Bill.Worth)
}

// A field that only N limits has a worth of P2O5 up to what its crops take off in the years
// of the grant: 170 bu of corn at 0.55 lb (35 Ill. Adm. Code 560 Appendix A) for five years.
func TestWorthOfPhosphorusWhereNitrogenLimits(t *testing.T) {
	r := read(t, nil)
	require.False(t, r.Fields.Field("Long Hill").Years[0].Phosphorus.Limited)
	for _, f := range r.Taken().Spread.Allocated.Fields {
		if f.Name != "Long Hill" {
			continue
		}
		for _, n := range f.Needs {
			if n.Name == land.OfP2O5 {
				require.InDelta(t, 5*170*0.55, n.Need.In(units.PoundPerAcre), 0.01)
				return
			}
		}
	}
	require.Fail(t, "no need of P2O5 on Long Hill")
}
