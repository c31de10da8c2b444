package plan_test

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/calendar"
	"example.org/earthbasin/examples/closure/ledger"
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// randomFarm is changes of the demo: another basin, level, sludge, first day, seasons,
// rest days, lags, weather, windows, route and way to close.
func randomFarm(t *testing.T, r *rand.Rand) map[string]any {
	first := time.Date(2026, time.January, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, r.IntN(365))
	season := first.AddDate(0, 0, r.IntN(120))
	day := func(t time.Time) string { return t.Format(time.DateOnly) }
	pick := func(list ...any) any { return list[r.IntN(len(list))] }
	depth := 9 + 4*r.Float64()
	held := 0.4 + 0.5*r.Float64() // of the depth
	changes := map[string]any{
		"basin": pick(
			map[string]any{"rectangular": map[string]any{"length": "230 ft", "width": "150 ft", "at": "top of bank", "depth": fmt.Sprintf("%.1f ft", depth), "slopes": []any{2.5}}, "liquidDepth": fmt.Sprintf("%.1f ft", held*depth)},
			map[string]any{"circular": map[string]any{"diameter": "180 ft", "at": "top of bank", "depth": fmt.Sprintf("%.1f ft", depth), "slopes": []any{2}}, "freeboard": fmt.Sprintf("%.1f ft", (1-held)*depth)}),
		"sludge":               map[string]any{"thickness": map[string]any{"mean": fmt.Sprintf("%.1f ft", 0.5+1.5*r.Float64()), "sd": "0.2 ft", "source": "an example"}},
		"start":                day(first),
		"land.seasons":         []any{map[string]any{"name": "first", "from": day(season), "to": day(season.AddDate(0, 0, 20+r.IntN(100)))}, map[string]any{"name": "second", "from": day(season.AddDate(0, 6, 0)), "to": day(season.AddDate(0, 9, 0))}},
		"land.weather":         pick(part(t, "land.weather"), nil),
		"land.soil":            nil,
		"terms.crew":           map[string]any{"hours": pick("6 h", "9 h"), "restDays": pick([]any{}, []any{"Sunday"}, []any{"Saturday", "Sunday"})},
		"closing.ground":       fmt.Sprintf("%.1f ft", depth-3),
		"closing.alternative":  pick("fill and crown", "breach and grade", "convert to a pond"),
		"closing.highestLevel": nil,
		"closing.pond":         nil,
		"removal.route":        pick(nil, "agitate and pump", "draw off and dig"),
		"weather.wetDay":       pick("0.25 in", "0.1 in", "0 in"),
		"evidence":             pick(part(t, "evidence"), nil),
		"money.paymentUnits":   nil, "money.payment": nil,
	}
	return changes
}

var seed = flag.Uint64("seed", 1, "of the farms at random")

// Whatever the farm, a plan is made or faults are told; no task works on a day that is not
// fit for it or on a day of rest, and none begins before what it needs. So it is when the
// farm is planned again on some day, on which some of its tasks are done.
func TestRandomFarms(t *testing.T) {
	r := rand.New(rand.NewPCG(*seed, *seed))
	planned, kept, again := 0, 0, 0
	n := 60
	if testing.Short() {
		n = 25
	}
	for range n {
		file := edit(t, randomFarm(t, r))
		p, err := plan.Read(t.Context(), file)
		if err != nil {
			require.NotContains(t, err.Error(), "NaN")
			continue
		}
		planned++
		if p.Results.Calendar.Kept {
			kept++
		}
		keeps(t, p)
		if r.IntN(3) > 0 {
			continue
		}
		s := p.Scenario
		s.AsOf = s.Start.Plus(10 + r.IntN(150))
		for _, row := range p.Results.Calendar.Rows {
			if row.Placed && row.Likely.End.Before(s.AsOf) && r.IntN(2) == 0 {
				s.Done.Steps = append(s.Done.Steps, ledger.Step{Key: row.Task.Key, From: row.Likely.Start, To: row.Likely.End})
			}
		}
		p, err = plan.New(t.Context(), s)
		require.NoError(t, err)
		if p.Results.Planned == nil {
			continue // nothing is planned of the fields, so that there is no account
		}
		again++
		keeps(t, p)
		for _, row := range p.Results.Calendar.Rows {
			for _, day := range row.Worked {
				require.False(t, day.Day.Before(s.AsOf), "%s before the day of the account", row.Task.Key)
			}
		}
	}
	require.Greater(t, planned, n/2)
	require.Greater(t, kept, n/10)
	require.Greater(t, again, n/12)
}

// keeps holds the days of a plan to the rules.
func keeps(t *testing.T, p *plan.Plan) {
	cal := p.Results.Calendar
	rest := map[time.Weekday]bool{}
	for _, d := range p.Scenario.Terms.Crew.RestDays {
		rest[time.Weekday(d)] = true
	}
	for _, row := range cal.Rows {
		if !row.Placed || row.State != calendar.Planned {
			continue
		}
		for _, need := range row.Task.Needs {
			before, ok := cal.Row(need.Key)
			require.True(t, ok, need.Key)
			from := before.Likely.End
			if need.FromStart {
				from = before.Likely.Start
			}
			require.True(t, before.Placed || need.FromStart, "%s needs %s", row.Task.Key, need.Key)
			require.False(t, row.Likely.Start.Before(from.Plus(need.Least)), "%s begins before %s", row.Task.Key, need.Key)
		}
		for _, day := range row.Worked {
			require.False(t, row.Task.Work > 0 && rest[time.Time(day.Day).Weekday()], "%s on a day of rest", row.Task.Key)
			if row.Task.Fit == stage.SpreadDay {
				require.True(t, fit(p, day.Day), "%s on %v", row.Task.Key, day.Day)
			}
		}
	}
}

// fit is whether any field may be spread on.
func fit(p *plan.Plan, day stage.Date) bool {
	for _, w := range p.Results.Fields.Windows {
		if i := w.From.Until(day); i >= 0 && i < len(w.Days) && w.Days[i].Fit {
			return true
		}
	}
	return false
}

// What is left goes where it may, with the room and the passes that are left; together
// with what was put on it stays within every limit.
func TestRestStaysWithinLimits(t *testing.T) {
	r := read(t, map[string]any{"asOf": "2026-07-09", "done": map[string]any{"records": []any{
		map[string]any{"day": "2026-07-01", "field": "Home Forty", "material": "effluent", "amount": "371000 gal"},
		map[string]any{"day": "2026-07-08", "field": "Home Forty", "material": "slurry", "loads": 28, "load": "6175 gal"},
	}}})
	require.NotNil(t, r.Account)
	require.Empty(t, r.Account.Over)
	home := r.Fields.Field("Home Forty")
	var n, effluent float64
	for _, x := range r.Rest.Allocated.Placements {
		if x.Field != "Home Forty" {
			continue
		}
		for _, m := range r.Rest.Materials {
			if m.Name == x.Material {
				load, err := x.Rate.Carrying(m.Available.Years[0].N.High)
				require.NoError(t, err)
				n += float64(load)
			}
		}
		if x.Material == "effluent" {
			effluent += x.Amount.SI()
		}
	}
	for _, room := range r.Account.Rooms {
		if room.Field == "Home Forty" && room.Allowance.Kind == "nitrogen" {
			n += float64(room.Used)
		}
	}
	require.LessOrEqual(t, n, float64(home.Years[0].Nitrogen.Room)*(1+1e-9))
	pass := r.Taken().Spread.Materials[0]
	require.Equal(t, "effluent", pass.Name)
	require.InDelta(t, 378000-371000, effluent/0.003785411784, 1, "one pass of 10,500 gal/acre on 36 acres")
	_, err := plan.Read(t.Context(), edit(t, told(map[string]any{"asOf": "2026-07-09", "done": map[string]any{"records": []any{map[string]any{"day": "2026-07-01", "field": "Nowhere", "material": "effluent", "amount": "3 gal"}}}})))
	require.ErrorContains(t, err, "done.records[0].field")
}

// What names nothing of the scenario is told in the first round, and a basin at fault
// accuses no sounding.
func TestNamesAndDays(t *testing.T) {
	_, err := plan.Read(t.Context(), edit(t, told(map[string]any{"land.fields.0.reach.1": "balloon", "removal.workDay": "30 h", "done": map[string]any{"records": []any{
		map[string]any{"day": "2026-07-01", "field": "Nowhere", "material": "broth", "amount": "3 gal"}}}})))
	require.ElementsMatch(t, []string{"land.fields[0].reach[1]", "removal.workDay", "asOf", "done.records[0].field", "done.records[0].material"}, faults(err))
	survey := part(t, "sludge.survey.soundings").([]any)
	for _, s := range survey {
		delete(s.(map[string]any), "toFloor")
	}
	_, err = plan.Read(t.Context(), edit(t, map[string]any{"basin.rectangular.depth": nil, "sludge.survey.soundings": survey}))
	require.Len(t, units.FieldErrors(err), 1, "%v", err)
	require.Equal(t, "basin.rectangular.depth", units.FieldErrors(err)[0].Field)
}
