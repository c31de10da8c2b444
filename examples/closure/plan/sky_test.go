package plan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/stage"
)

// A storm that stands in one list of days rains on basin and fields: nobody spreads on the
// soaked soil after it, and the open pit takes it in.
func TestOneSkyOverBasinAndFields(t *testing.T) {
	fit := func(r *plan.Results, day stage.Date) bool {
		w := r.Fields.Window("Home Forty", "summer 2026")
		return w.Days[w.From.Until(day)].Fit
	}
	start := func(r *plan.Results, key string) stage.Date {
		row, ok := r.Calendar.Row(key)
		require.True(t, ok)
		return row.Likely.Start
	}
	storm := func(day, of string) map[string]any {
		return map[string]any{"date": day, "rain": "3 in", of: "0.05 in"}
	}
	none := map[string]any{"weather.days": []any{}, "land.weather.days": []any{}}
	dry := read(t, none)
	last := stage.DayOf(2026, 7, 12)
	require.True(t, fit(dry, last.Plus(1)))
	require.Equal(t, last.Plus(1), start(dry, "removal.pump"))

	basin := read(t, map[string]any{"land.weather.days": []any{}, "weather.days": []any{storm("2026-07-11", "evaporation"), storm("2026-07-12", "evaporation")}})
	require.False(t, fit(basin, last.Plus(1)), "the day after 6 in")
	require.True(t, last.Plus(3).Before(start(basin, "removal.pump")))

	fields := read(t, map[string]any{"weather.days": []any{}, "land.weather.days": []any{storm("2026-07-11", "evapotranspiration"), storm("2026-07-12", "evapotranspiration")}})
	require.Equal(t, start(basin, "removal.pump"), start(fields, "removal.pump"))
	// 6 in less the 0.26 in of two mean days, on the basin at the top of its bank.
	more := float64(fields.Pit.Total.Rain - dry.Pit.Total.Rain)
	days := fields.Pit.Total.Date.Sub(dry.Pit.Total.Date).Hours() / 24
	area := 230 * 150 * 0.3048 * 0.3048
	require.Greater(t, more, area*5.7*0.0254)
	require.Less(t, more, area*(5.75+days*0.13)*0.0254)
}
