package plan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
)

func asked(r *plan.Results, key string) bool {
	for _, o := range r.Open {
		if o.Key == key {
			return true
		}
	}
	return false
}

// Where the herd stays, manure still runs in: before work begins somebody says how much.
// With an inflow it is pumped and spread.
func TestHerdThatStays(t *testing.T) {
	require.False(t, asked(read(t, nil), "inflow"))
	stays := read(t, map[string]any{"evidence.conditions.herd stays": true})
	require.True(t, asked(stays, "inflow"))
	require.True(t, stays.Open[0].Stops)
	told := read(t, map[string]any{"evidence.conditions.herd stays": true, "weather.inflow": "5 gpm"})
	require.False(t, asked(told, "inflow"))
	require.Greater(t, told.Taken().Drawdown.Total.Pumped, stays.Taken().Drawdown.Total.Pumped)
}

// Days between agitation and pumping let the solids settle: the plan says how many. Where
// the ground takes slurry on the day after it is silent.
func TestSolidsSettleBeforePumping(t *testing.T) {
	r := read(t, nil)
	a, _ := r.Calendar.Row("removal.agitate")
	p, _ := r.Calendar.Row("removal.pump")
	require.Equal(t, a.Likely.End.Until(p.Likely.Start) >= 2, asked(r, "removal.agitate.again"))
	require.True(t, asked(r, "removal.agitate.again"))
	r = read(t, map[string]any{"land.rule": nil, "land.weather": nil, "weather.wetDay": "0 in"})
	a, _ = r.Calendar.Row("removal.agitate")
	p, _ = r.Calendar.Row("removal.pump")
	require.Less(t, a.Likely.End.Until(p.Likely.Start), 2)
	require.False(t, asked(r, "removal.agitate.again"))
}
