package volume

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// Draw-downs of a basin with walls, whose level is what it holds over its area, worked out
// a second time day by day in the words of the fields.
func TestEmptyingInWords(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	between := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	count := map[string]int{}
	for range 200 {
		long, wide, deep := between(3, 60), between(3, 40), between(1, 5)
		area := long * wide
		basin := mustRectangular(t, RectangularSpec{Length: units.Length(long), Width: units.Length(wide), At: ReferenceFloor, Depth: units.Length(deep), Slopes: []float64{0}})
		from := time.Date(2026, time.Month(1+r.IntN(12)), 1+r.IntN(28), 9, 0, 0, 0, time.UTC)
		start, stop := deep*between(0.5, 1), deep*between(0, 0.4)
		s := EmptyingSpec{Basin: basin, StartLevel: units.Length(start), StopLevel: units.Length(stop), Start: from, Until: from.AddDate(0, 0, 5+r.IntN(60)),
			Pump: units.Flow(area * deep * between(0.01, 0.5) / (8 * 3600)), HoursPerDay: 8 * units.Hour}
		s.Months = make([]Weather, 12)
		for m := range s.Months {
			s.Months[m] = Weather{Rain: units.Length(between(0, 0.01)), Evaporation: units.Length(between(0, 0.006))}
		}
		if r.IntN(2) == 0 {
			s.Catchment, s.RunoffShare, s.RunoffLoss = units.Area(area*between(0.1, 3)), between(0.1, 0.9), units.Length(between(0, 0.004))
		}
		if r.IntN(2) == 0 {
			s.Inflow = units.Flow(area * between(0, 0.02) / 86400)
		}
		if r.IntN(2) == 0 {
			s.Seepage = units.DepthRate(between(0, 0.01) / 86400)
		}
		if r.IntN(2) == 0 {
			s.WetDay = units.Length(between(0.003, 0.05))
		}
		if r.IntN(2) == 0 {
			s.RestDays = []time.Weekday{time.Sunday, time.Wednesday}
		}
		storms := map[string]Weather{}
		for range r.IntN(6) {
			at := from.AddDate(0, 0, r.IntN(int(s.Until.Sub(from).Hours()/24)+1))
			if _, twice := storms[at.Format(time.DateOnly)]; twice {
				continue
			}
			w := Weather{Rain: units.Length(between(0.01, 0.4)), Evaporation: units.Length(between(0, 0.003))}
			storms[at.Format(time.DateOnly)] = w
			s.Days = append(s.Days, DatedWeather{Date: at, Weather: w})
			s.RestDates = append(s.RestDates, at.AddDate(0, 0, 1))
		}
		got, err := Emptying(s)
		require.NoError(t, err)

		run := func(dry bool) (days int, extra float64) {
			held := area * start
			level := start
			highest, fall := start, 0.0
			var fallOn time.Time
			sum := [7]float64{}
			empty := false
			for n := 0; !empty; n++ {
				at := from.AddDate(0, 0, n)
				if at.After(s.Until) {
					break
				}
				w, storm := storms[at.Format(time.DateOnly)]
				if !storm {
					w = s.Months[at.Month()-1]
				}
				if dry {
					w.Rain = 0
				}
				rain := area * float64(w.Rain)
				runoff := s.RunoffShare * float64(s.Catchment) * math.Max(0, float64(w.Rain-s.RunoffLoss))
				inflow := float64(s.Inflow) * 86400
				evaporates, seeps := area*float64(w.Evaporation), area*float64(s.Seepage)*86400
				held += rain + runoff + inflow
				spilled := math.Max(0, held-area*deep)
				held -= spilled
				top := held / area
				if evaporates+seeps > held {
					share := held / (evaporates + seeps)
					evaporates, seeps = evaporates*share, seeps*share
					count["dried out"]++
				}
				held -= evaporates + seeps
				pumped := 0.0
				rests := slices.Contains(s.RestDays, at.Weekday()) || slices.ContainsFunc(s.RestDates, func(d time.Time) bool { return d.Format(time.DateOnly) == at.Format(time.DateOnly) })
				if wet := s.WetDay > 0 && w.Rain >= s.WetDay; !rests && !wet {
					pumped = math.Min(float64(s.Pump)*8*3600, math.Max(0, held-area*stop))
				}
				held -= pumped
				now := held / area
				if level-now > fall+1e-12 {
					fall, fallOn = level-now, at
				}
				level = now
				highest = math.Max(highest, top)
				for i, x := range []float64{rain, runoff, inflow, evaporates, seeps, pumped, spilled} {
					sum[i] += x
				}
				days++
				if !dry {
					d := got.Days[n]
					require.Equal(t, at.Format(time.DateOnly), d.Date.Format(time.DateOnly))
					for i, c := range [][2]float64{{rain, float64(d.Rain)}, {runoff, float64(d.Runoff)}, {inflow, float64(d.Inflow)}, {evaporates, float64(d.Evap)}, {seeps, float64(d.Seeped)},
						{pumped, float64(d.Pumped)}, {spilled, float64(d.Spilled)}, {level * area, float64(d.Level) * area}, {top * area, float64(d.Highest) * area}} {
						require.InDelta(t, c[0], c[1], 1e-7*area, "figure %d of day %d", i, n)
					}
					count["spilled"] += int(math.Ceil(spilled / (1 + spilled)))
					count["rested"] += map[bool]int{true: 1}[rests]
				}
				empty = held <= area*stop+1e-9*area*deep
			}
			extra = sum[0] + sum[1] + sum[2] - sum[3] - sum[4] - sum[6]
			if !dry {
				require.Len(t, got.Days, days)
				require.Equal(t, empty, got.Empty)
				require.Equal(t, empty, got.Why.IsZero())
				if empty {
					require.Equal(t, from.AddDate(0, 0, days-1).Format(time.DateOnly), got.EmptyOn.Format(time.DateOnly))
					count["emptied"]++
				} else {
					require.True(t, got.EmptyOn.IsZero())
					count["not emptied"]++
				}
				require.InDelta(t, highest, float64(got.Highest), 1e-7)
				require.InDelta(t, fall, float64(got.Fall), 1e-7)
				require.Equal(t, fallOn.IsZero(), got.FallOn.IsZero())
				for i, x := range []units.Volume{got.Total.Rain, got.Total.Runoff, got.Total.Inflow, got.Total.Evap, got.Total.Seeped, got.Total.Pumped, got.Total.Spilled} {
					require.InDelta(t, sum[i], float64(x), 1e-6*area)
				}
				require.Equal(t, got.Days[days-1].Level, got.Total.Level)
				require.Equal(t, got.Days[days-1].Date, got.Total.Date)
				require.Equal(t, got.Highest, got.Total.Highest)
				require.Equal(t, sum[6] > 0, len(got.Cautions) == 5)
			}
			return days, extra
		}
		_, extra := run(false)
		dryDays, dryExtra := run(true)
		require.InDelta(t, area*(start-stop), float64(got.Stored), 1e-7*area)
		require.InDelta(t, area*(start-stop)/(float64(s.Pump)*8*3600), got.PumpDays, 1e-7)
		require.InDelta(t, extra, float64(got.Extra), 1e-6*area)
		require.InDelta(t, extra-dryExtra, float64(got.ForRain), 1e-6*area)
		require.Equal(t, dryDays, got.DryDays)
	}
	for _, what := range []string{"spilled", "rested", "emptied", "not emptied"} {
		require.Greater(t, count[what], 10, what)
	}
}
