package allocation

import (
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
