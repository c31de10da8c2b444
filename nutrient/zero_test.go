package nutrient

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What has to be made by a constructor refuses politely when it was not.
func TestZeroValuesRefuse(t *testing.T) {
	var schedule Schedule
	_, err := schedule.Nitrogen(Analysis{}, 1)
	require.Equal(t, []string{"set"}, fields(err))
	_, err = schedule.Phosphorus(Analysis{}, 1)
	require.Equal(t, []string{"set"}, fields(err))
	var set Set
	require.Zero(t, set.Years(PoolOrganic))
	require.Zero(t, set.Years(-1))
	require.Empty(t, set.Keys())
	_, err = set.Factor(PoolOrganic, 1, Query{Species: "cows"})
	require.Equal(t, []string{"pool"}, fields(err))
	empty, err := set.Schedule(Query{})
	require.NoError(t, err)
	_, err = empty.Nitrogen(Analysis{}, 1)
	require.Equal(t, []string{"analysis.form"}, fields(err))
	_, err = empty.Nitrogen(Analysis{Form: Liquid}, 1)
	require.Equal(t, []string{"analysis.ammoniumN", "analysis.organicN"}, fields(err))
	_, err = empty.Nitrogen(analyze(t, AnalyzeSpec{Form: Liquid, TKN: perGallons(2), AmmoniumN: perGallons(1)}), 1)
	require.Equal(t, []string{"set", "set"}, fields(err))
	var rule SiteRule
	_, err = rule.Limit(Site{})
	require.Error(t, err)
	var table CropTable
	_, err = table.For("corn", Yield{PerAcre: 1, Unit: YieldTon})
	require.Equal(t, []string{"crop"}, fields(err))
	require.Empty(t, Analysis{}.Working())
	require.Empty(t, SamplesResult{}.Working())
	require.Empty(t, CarryOverResult{}.Working())
	require.Empty(t, BudgetResult{}.Working())
}
