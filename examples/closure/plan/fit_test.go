package plan_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/stage"
)

// The pump of the draw-off and that of the open pit go by the days of the calendar: on
// random weather and soils nothing is pumped on a day on which no field may be spread on,
// and the draw-off ends with its task.
func TestPumpGoesByTheCalendar(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	pumped, rested := 0, 0
	for range 12 {
		var storms, fields []any
		for day := range 100 {
			if r.IntN(6) == 0 {
				date := time.Date(2026, 7, 1+day, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
				rain := fmt.Sprintf("%.2f in", 2*r.Float64())
				storms = append(storms, map[string]any{"date": date, "rain": rain, "evaporation": "0.05 in"})
				fields = append(fields, map[string]any{"date": date, "rain": rain, "evapotranspiration": "0.05 in"})
			}
		}
		res := read(t, map[string]any{"weather.days": storms, "land.weather.days": fields, "land.soil.drainage": fmt.Sprintf("%.3f in/h", 0.002+0.03*r.Float64())})
		fit := map[stage.Date]bool{}
		for i := range res.Fields.Windows {
			w := &res.Fields.Windows[i]
			for k, d := range w.Days {
				fit[w.From.Plus(k)] = fit[w.From.Plus(k)] || d.Fit
			}
		}
		check := func(day time.Time, volume float64, what string) {
			if volume > 0 {
				pumped++
				require.True(t, fit[stage.DateOf(day)], "%s on %v", what, day)
			} else if !fit[stage.DateOf(day)] {
				rested++
			}
		}
		if res.Taken() == nil {
			continue // the days do not do for the draw-off
		}
		down := res.Taken().Drawdown
		require.NotNil(t, down)
		for _, d := range down.Days {
			check(d.Date, float64(d.Pumped), "draw-off")
		}
		if res.Pit != nil {
			for _, d := range res.Pit.Days {
				check(d.Date, float64(d.Pumped), "open pit")
			}
		}
	}
	require.Greater(t, pumped, 50)
	require.Greater(t, rested, 10)
}
