package allocation

import (
	"context"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// least is a spec with its required fields only.
func least() AllocateSpec {
	return AllocateSpec{
		Seasons: []string{"fall"},
		Materials: []Material{{Name: "slurry", Stock: nutrient.LiquidAmount(400), Holds: []Holding{{Of: "N", Content: lb1000(10)}},
			Spread: nutrient.LiquidPrice(2), HaulPerMile: nutrient.LiquidPrice(0.5)}},
		Fields: []Field{{Name: "near", Area: units.Hectare, Limits: []Limit{{Kind: nutrient.LimitNitrogen, Of: "N", Room: 0.01}}}},
	}
}

// back returns v from its JSON, read as strictly as a file is.
func back[T any](t *testing.T, v T) (read T) {
	t.Helper()
	text, err := json.Marshal(v)
	require.NoError(t, err)
	require.NoError(t, strict.Decode(text, &read), "%s", text)
	return read
}

// A spec with only its required fields and its result come back from JSON as they
// were, with a shortage and without, and the working is made from what came back.
func TestLeastSpecSurvivesJSON(t *testing.T) {
	for _, stock := range []units.Volume{40, 400} {
		s := least()
		s.Materials[0].Stock = nutrient.LiquidAmount(stock)
		require.Equal(t, s, back(t, s))
		want, err := allocate(s)
		require.NoError(t, err)
		got, err := allocate(back(t, s))
		require.NoError(t, err)
		require.Equal(t, want, got)
		require.Equal(t, want, back(t, want))
		require.Equal(t, want.Working(), back(t, want).Working())
	}
	limits := least()
	limits.Fields[0].Limits = append(limits.Fields[0].Limits, Limit{Kind: nutrient.LimitPass, Rate: nutrient.LiquidRate(0.02)})
	spec := CostOfLimitsSpec{limits, nutrient.LimitNitrogen}
	require.Equal(t, spec, back(t, spec))
	cost, err := CostOfLimits(t.Context(), spec)
	require.NoError(t, err)
	require.Equal(t, cost, back(t, cost))
}

// Where nothing fits the plan is empty and says what is missing.
func TestNothingPlacedSurvivesJSON(t *testing.T) {
	s := least()
	s.Fields[0].Limits[0].Room = 0
	r, err := allocate(s)
	require.NoError(t, err)
	require.Empty(t, r.Placements)
	require.NotNil(t, r.Shortage)
	require.Equal(t, r, back(t, r))
}

// A plan that nobody waits for any longer ends with the error of the context.
func TestAllocateEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := Allocate(ctx, least())
	require.ErrorIs(t, err, context.Canceled)
	_, err = CostOfLimits(ctx, CostOfLimitsSpec{least(), nutrient.LimitNitrogen})
	require.ErrorIs(t, err, context.Canceled)
}
