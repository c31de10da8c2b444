package nutrient

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What has to be made by a constructor refuses politely when it was not.
func TestZeroValuesRefuse(t *testing.T) {
	var schedule Schedule
	_, err := schedule.Nitrogen(Analysis{}, 1)
	require.Equal(t, []string{"state"}, fields(err))
	_, err = schedule.Phosphorus(Analysis{}, 1)
	require.Equal(t, []string{"state"}, fields(err))
	var state State
	require.Zero(t, state.Years(PoolOrganic))
	require.Zero(t, state.Years(-1))
	require.Empty(t, state.Keys())
	_, err = state.Answer("organic", nil)
	require.Equal(t, []string{"gives"}, fields(err))
	empty, err := state.Schedule(Query{})
	require.NoError(t, err)
	_, err = empty.Nitrogen(Analysis{}, 1)
	require.Equal(t, []string{"analysis.form"}, fields(err))
	_, err = empty.Nitrogen(Analysis{Form: Liquid}, 1)
	require.Equal(t, []string{"analysis.ammoniumN", "analysis.totalN"}, fields(err))
	_, err = empty.Nitrogen(analyze(t, AnalyzeSpec{Form: Liquid, TKN: perGallons(2), AmmoniumN: perGallons(1)}), 1)
	require.Equal(t, []string{"state", "state"}, fields(err))
	_, err = state.SiteLimit(Site{}, nil)
	require.Error(t, err)
	_, err = state.MetalTable(nil)
	require.Equal(t, []string{"metal"}, fields(err))
	_, err = state.Crop("corn", Yield{PerAcre: 1, Unit: YieldTon}, nil)
	require.Error(t, err)
	require.NotNil(t, state.Schema())
	require.Empty(t, Analysis{}.Working())
	require.Empty(t, SamplesResult{}.Working())
	require.Empty(t, CarryOverResult{}.Working())
	require.Empty(t, BudgetResult{}.Working())
}
