package allocation

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

func TestCostOfLimits(t *testing.T) {
	// By N alone all 500 of effluent and 200 of sludge fit near: 700 x 7.
	s := twoByTwo()
	s.Fields[0].Limits[0].Room = 100 * units.PoundPerAcre
	c, err := CostOfLimits(t.Context(), CostOfLimitsSpec{s, nutrient.LimitPhosphorus})
	require.NoError(t, err)
	require.InDelta(t, 5400-700*7, c.Extra, 1e-6)
	require.InDelta(t, 100, c.ExtraArea.In(units.Acre), 1e-9)
	// N limits cannot be taken out when nothing else limits the amount.
	for k := range s.Fields {
		s.Fields[k].Limits = s.Fields[k].Limits[:1]
	}
	_, err = CostOfLimits(t.Context(), CostOfLimitsSpec{s, nutrient.LimitNitrogen})
	require.ErrorContains(t, err, "nitrogen")
	// A kind of which there is no limit costs nothing and is more likely a slip.
	_, err = CostOfLimits(t.Context(), CostOfLimitsSpec{s, "zink"})
	require.Equal(t, []string{"kind"}, faultFields(err))
	require.ErrorContains(t, err, "nitrogen")
	require.Contains(t, c.String(), "cost of the limits on phosphorus")
	require.NotContains(t, units.Style{System: units.SystemMetric}.Working(c.With.Working()), "acre", "nothing is finished text")
}

// The cost of limits is the difference of two plans made by themselves, also where whole loads
// cost more than the program, and the land that of the fields that take anything in one of them
// and not in the other.
func TestCostOfLimitsIsTheDifferenceOfTwoPlans(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	rounded, land := 0, 0
	for n := range 40 {
		s := farm(r, 1+r.IntN(2), 3+r.IntN(6), 1)
		s.Prices = nil
		for i := range s.Materials {
			timesAmount(&s.Materials[i].Load, 4)
		}
		c, err := CostOfLimits(t.Context(), CostOfLimitsSpec{s, nutrient.LimitPhosphorus})
		require.NoError(t, err)
		free := s
		free.Fields = slices.Clone(s.Fields)
		for k := range free.Fields {
			free.Fields[k].Limits = slices.DeleteFunc(slices.Clone(s.Fields[k].Limits), func(l Limit) bool { return l.Kind == nutrient.LimitPhosphorus })
		}
		var plans [2]AllocateResult
		var area [2]units.Area
		for i, spec := range []AllocateSpec{s, free} {
			plans[i], err = allocate(spec)
			require.NoError(t, err)
			for _, f := range s.Fields {
				if slices.ContainsFunc(plans[i].Placements, func(p Placement) bool { return p.Field == f.Name }) {
					area[i] += f.Area
				}
			}
		}
		require.Equal(t, plans[0], c.With)
		require.Equal(t, plans[1], c.WithoutThem)
		require.InDelta(t, plans[0].Net-plans[1].Net, c.Extra, 1e-9*plans[0].Cost, n)
		require.InDelta(t, float64(area[0]-area[1]), float64(c.ExtraArea), 1e-6, n)
		if math.Abs(c.Extra-(plans[0].Fractional-plans[1].Fractional)) > 1 {
			rounded++
		}
		if area[0] > area[1] {
			land++
		}
	}
	require.Greater(t, min(rounded, land), 5, "%d %d", rounded, land)
}
