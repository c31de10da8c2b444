package plan_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
)

// The basin is the floor of its survey, wherever the origin of that lies; a boundary that
// is not its waterline is said, and then the soundings alone tell the floor.
func TestBasinIsTheFloorOfItsSurvey(t *testing.T) {
	planned := func(change func(survey map[string]any)) *plan.SludgeResult {
		var doc map[string]any
		require.NoError(t, json.Unmarshal(plan.Demo(), &doc))
		change(doc["sludge"].(map[string]any)["survey"].(map[string]any))
		data, err := json.Marshal(doc)
		require.NoError(t, err)
		p, err := plan.Read(t.Context(), data)
		require.NoError(t, err)
		return p.Results.Contents.Sludge
	}
	corners := func(x0, y0, x1, y1 string) []any {
		at := func(x, y string) any { return map[string]any{"x": x, "y": y} }
		return []any{at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1)}
	}
	as := planned(func(map[string]any) {})
	require.NotNil(t, as.Interval)
	require.Zero(t, as.Estimate.FloorShare)
	moved := planned(func(survey map[string]any) {
		survey["boundary"] = corners("7507.5 ft", "6.25 ft", "7723.75 ft", "143.75 ft")
		for _, s := range survey["soundings"].([]any) {
			at := s.(map[string]any)["at"].(map[string]any)
			at["x"] = at["x"].(string)[:len(at["x"].(string))-3] + " ft"
			var feet float64
			require.NoError(t, json.Unmarshal([]byte(at["x"].(string)[:len(at["x"].(string))-3]), &feet))
			at["x"] = number(t, feet+7500) + " ft"
		}
	})
	require.InEpsilon(t, float64(as.Volume), float64(moved.Volume), 1e-9)
	within := planned(func(survey map[string]any) {
		survey["boundary"] = corners("11 ft", "11 ft", "219 ft", "139 ft")
	})
	require.Greater(t, within.Estimate.FloorShare, 0.0)
	require.Contains(t, within.Doubts[len(within.Doubts)-1].String(), "is not the waterline of the basin as drawn")
}

func number(t *testing.T, x float64) string {
	t.Helper()
	text, err := json.Marshal(x)
	require.NoError(t, err)
	return string(text)
}
