package plan_test

import (
	"context"
	"encoding/json"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/calendar"
	"example.org/earthbasin/examples/closure/ledger"
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/report"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
)

// edit returns the demo scenario with values replaced, by path; nil takes one out.
func edit(t *testing.T, changes map[string]any) []byte {
	t.Helper()
	var doc map[string]any
	require.NoError(t, json.Unmarshal(plan.Demo(), &doc))
	for path, value := range changes {
		at := any(doc)
		keys := strings.Split(path, ".")
		for i, key := range keys {
			switch node := at.(type) {
			case map[string]any:
				if i == len(keys)-1 {
					node[key] = value
					if value == nil {
						delete(node, key)
					}
				}
				at = node[key]
			case []any:
				n := 0
				require.NoError(t, json.Unmarshal([]byte(key), &n))
				if i == len(keys)-1 {
					node[n] = value
				}
				at = node[n]
			}
		}
	}
	text, err := json.Marshal(doc)
	require.NoError(t, err)
	return text
}

// faults are the paths of what is wrong.
func faults(err error) (list []string) {
	for _, f := range units.FieldErrors(err) {
		list = append(list, f.Field)
	}
	return list
}

// wrong is changes to the demo that are refused at one path.
type wrong struct {
	changes map[string]any
	path    string
}

// refused holds that each of some changes to the demo has one fault, at its path.
func refused(t *testing.T, list map[string]wrong) {
	t.Helper()
	for name, c := range list {
		t.Run(name, func(t *testing.T) {
			_, err := plan.Read(t.Context(), edit(t, c.changes))
			require.Equal(t, []string{c.path}, faults(err), err)
		})
	}
}

// scene is the plan of a scenario of the tests.
func scene(t *testing.T, name string) *plan.Plan {
	t.Helper()
	data, err := os.ReadFile("../testdata/scenarios/" + name + ".json")
	require.NoError(t, err)
	p, err := plan.Read(t.Context(), data)
	require.NoError(t, err)
	return p
}

// part is a part of the demo by its key.
func part(t *testing.T, key string) any {
	t.Helper()
	of, ok := demoAt(key)
	require.True(t, ok, key)
	return of
}

func demoAt(key string) (any, bool) {
	var doc any
	if err := json.Unmarshal(plan.Demo(), &doc); err != nil {
		return nil, false
	}
	return at(doc, strings.Split(key, "."))
}

// read plans the demo with changes, its sludge told and not surveyed, which takes most of
// the time of a plan.
func read(t *testing.T, changes map[string]any) *plan.Results {
	t.Helper()
	file := edit(t, told(changes))
	made.Lock()
	defer made.Unlock()
	if r := made.plans[string(file)]; r != nil {
		return r
	}
	p, err := plan.Read(t.Context(), file)
	require.NoError(t, err)
	made.plans[string(file)] = p.Results
	return p.Results
}

// made are the plans that tests have asked for, which none of them changes.
var made = struct {
	sync.Mutex
	plans map[string]*plan.Results
}{plans: map[string]*plan.Results{}}

// told adds to changes that the sludge is told, where they do not change it.
func told(changes map[string]any) map[string]any {
	all := map[string]any{"sludge": map[string]any{"volume": map[string]any{
		"volume": "414000 gal", "interval": map[string]any{"low": "375000 gal", "high": "450000 gal"}, "source": "a survey of the example"}}}
	for key, value := range changes {
		if key == "sludge" || strings.HasPrefix(key, "sludge.") {
			delete(all, "sludge")
		}
		all[key] = value
	}
	return all
}

// The bill is the sum of its own lines, the headline's cost, and the plan places what
// leaves the basin.
func TestPlanAddsUp(t *testing.T) {
	r := read(t, nil)
	sum, unpriced := stage.Total(r.Bill.Items)
	require.Empty(t, unpriced)
	require.InDelta(t, r.Bill.Cost.Likely, sum.Likely, 1e-6)
	require.InDelta(t, r.Bill.Payment.Spec.Cost, sum.Likely, 1e-6)
	require.InDelta(t, sum.Likely-r.Bill.Payment.Payment, r.Bill.Net.Likely, 1e-6)
	require.Less(t, r.Bill.Cost.Low, r.Bill.Cost.Likely)
	require.Greater(t, r.Bill.Cost.High, r.Bill.Cost.Likely)
	route := r.Taken()
	for _, m := range route.Spread.Allocated.Materials {
		require.InDelta(t, m.Stock.SI(), m.Placed.SI()+m.Left.SI(), 1e-6)
	}
	// What the headline says of the route is what the bill charges for it.
	var removal, spread float64
	for _, i := range r.Bill.Items {
		switch {
		case strings.HasPrefix(i.Key, "removal."):
			removal += i.Cost.Likely
		case strings.HasPrefix(i.Key, "spread."):
			spread += i.Cost.Likely
		}
	}
	require.InDelta(t, route.Cost.Removal, removal, 1e-6)
	require.InDelta(t, route.Cost.Spread, spread, 1e-6)
}

// As much of each constituent goes to the land, on each route, as liquid and sludge held.
func TestNothingIsLostBetweenStages(t *testing.T) {
	for _, drained := range []any{nil, "20 %"} {
		r := read(t, map[string]any{"removal.dig.drained": drained})
		for name, of := range map[string]func(*nutrient.Analysis) nutrient.Content{
			"N": func(a *nutrient.Analysis) nutrient.Content { return a.TotalN }, "ammonium": func(a *nutrient.Analysis) nutrient.Content { return a.AmmoniumN },
			"P": func(a *nutrient.Analysis) nutrient.Content { return a.P }, "K": func(a *nutrient.Analysis) nutrient.Content { return a.K },
			"Cu": func(a *nutrient.Analysis) nutrient.Content { return a.Elements[nutrient.Copper] },
		} {
			in := of(&r.Sampled.Effluent.Analysis).SI()*r.Contents.Liquid.SI() + of(&r.Sampled.Sludge.Analysis).SI()*r.Contents.Sludge.Volume.SI()
			for _, route := range r.Routes.Routes {
				var out float64
				for _, m := range route.Spread.Materials {
					if m.Stream.Works != 0 {
						continue // comes when the basin is empty
					}
					out += of(&m.Analysis).SI() * m.Stock.SI()
				}
				require.InEpsilon(t, in, out, 1e-9, "%s by %v, drained to %v", name, route.Route, drained)
			}
		}
	}
}

// Sludge at the solids of a slurry is not dug and spread from a box: that route is out,
// with the reason, unless it is drained first or asked for.
func TestRouteThatCannotBeHandledIsOut(t *testing.T) {
	r := read(t, nil)
	require.Equal(t, removal.RouteAgitatePump, r.Routes.Taken)
	require.Contains(t, r.Routes.Why().String(), "draw off and dig is out: dig the sludge: at 9.3 % solids")
	r = read(t, map[string]any{"removal.dig.drained": "20 %"})
	require.Empty(t, r.Routes.Routes[0].Out)
	r = read(t, map[string]any{"removal.route": "draw off and dig"})
	require.Equal(t, removal.RouteDrawOffDig, r.Routes.Taken)
	require.Contains(t, r.Routes.Why().String(), "as asked")
	require.True(t, r.Open[0].Stops)
}

// Steps agree with each other: the draw-off begins on the day of the calendar, and the
// machines aim at the rates of the plan, that of the soaked soil in two passes.
func TestStepsAgree(t *testing.T) {
	r := read(t, nil)
	require.True(t, r.Calendar.Kept)
	off, _ := r.Calendar.Row("removal.pump-off")
	require.Equal(t, time.Time(off.Likely.Start), r.Taken().Drawdown.Days[0].Date)
	fill, _ := r.Calendar.Row("closing.fill")
	require.Equal(t, time.Time(fill.Likely.End), r.Pit.Days[len(r.Pit.Days)-1].Date)
	most := map[string]float64{}
	for _, x := range r.Taken().Spread.Allocated.Placements {
		most[x.Material] = max(most[x.Material], x.Rate.SI())
		require.LessOrEqual(t, x.Rate.SI(), x.Highest.SI()*(1+1e-9))
	}
	require.InEpsilon(t, most["effluent"], r.Machines.Machines[0].Liquid.Spec.Target.SI(), 1e-12)
	require.InEpsilon(t, most["slurry"], r.Machines.Machines[2].Liquid.Spec.Target.SI(), 1e-12)
	require.InEpsilon(t, max(most["residual"], most["soaked soil"]/2), r.Machines.Machines[3].Solid.Spec.Target.SI(), 1e-12)
}

// Nothing that the trade does first is missing from the tasks, or comes after what needs
// it.
func TestCustomaryOrder(t *testing.T) {
	for _, l := range calendar.Unmet(read(t, nil).Tasks, calendar.Customs()) {
		// The samples before that digging are taken at the inspection, and those of this kind after it.
		require.Equal(t, "closing.soaked", l.Key, "%v", l)
	}
}

// The N of a crop year counts once, however many seasons lie in it.
func TestCropYearCountsOnce(t *testing.T) {
	spring := map[string]any{"name": "July 2026", "from": "2026-07-01", "to": "2026-07-31", "cropYear": 2027}
	autumn := map[string]any{"name": "autumn 2026", "from": "2026-08-01", "to": "2026-10-15", "cropYear": 2027}
	// Little land, so that both seasons are wanted.
	r := read(t, map[string]any{"land.seasons": []any{spring, autumn}, "land.fields": part(t, "land.fields").([]any)[:1], "materials.0.ways": nil, "materials.2.ways": nil, "materials.3.ways": nil})
	home := r.Fields.Field("Home Forty")
	var brought units.MassPerArea
	seasons := map[string]bool{}
	for _, x := range r.Taken().Spread.Allocated.Placements {
		seasons[x.Season] = true
		brought += r.Taken().Brings(x, func(m *plan.MaterialResult) nutrient.Content { return m.Available.Years[0].N.High })
	}
	require.Len(t, seasons, 2)
	require.LessOrEqual(t, float64(brought), float64(home.Years[0].Nitrogen.Room)*(1+1e-9))
}

// Whatever single part of the scenario is left out, the rest is planned: no figure is
// invented, and the part stands among the open points.
func TestAnyPartMayBeMissing(t *testing.T) {
	for key, open := range map[string]string{
		"date": "", "start": "start", "confidence": "", "basin.liquidDepth": "basin.liquidDepth", "sludge": "sludge", "materials": "materials",
		"removal": "removal", "removal.pumpOff": "removal.pumpOff", "removal.dig": "removal.dig", "removal.agitate": "removal.route", "weather": "weather", "land": "land.fields", "land.fields": "land.fields",
		"land.cropTable": "land.cropTable", "land.siteRule": "land.siteRule", "metals": "metals", "land.banking": "",
		"land.soil": "", "land.seasons": "land.seasons", "land.prices": "land.prices", "land.fields.1.crops": "land.fields.Creek Bottom.crops",
		"land.fields.0.site.soilTest": "", "land.weather": "land.weather", "land.rule": "land.rule", "land.critical": "land.fields.Creek Bottom.critical",
		"machines.1.gauges": "machines.travelling gun", "machines.3.sheets": "machines.box spreader", "materials.0.reports": "materials.effluent.reports",
		"materials.1.reports": "materials.sludge.reports", "materials.0.set": "materials.effluent.set", "materials.1.machine": "materials.slurry.machine",
		"materials.2.spread": "materials.residual.spread", "closing": "closing", "closing.berm": "closing.berm", "closing.prices.import": "closing.prices.import", "cover": "cover", "cover.lime": "cover.lime",
		"cover.limeTest": "cover.lime", "cover.nurse": "cover.nurse", "cover.mix": "cover.mix", "cover.mulch": "cover.mulch", "cover.windows": "cover.windows",
		"cover.soilLoss": "cover.soilLoss", "cover.slope": "cover.soilLoss", "evidence": "evidence", "terms": "",
		"money": "money", "money.mulch": "money.cover.mulch", "money.payment": "",
	} {
		t.Run(key, func(t *testing.T) {
			changes := map[string]any{key: nil}
			switch key {
			case "money.payment":
				changes["money.paymentUnits"] = nil
			case "removal.dig": // whose price has a range
				changes["money.ranges"] = nil
			}
			p, err := plan.Read(t.Context(), edit(t, told(changes)))
			require.NoError(t, err)
			var keys []string
			for _, o := range p.Results.Open {
				keys = append(keys, o.Key)
				require.NotEmpty(t, o.What.String())
				require.NotEmpty(t, o.Needs.String())
				require.NotEmpty(t, o.Who)
			}
			if open != "" {
				require.Contains(t, keys, open)
			}
			text, err := report.New(p, report.Options{Parts: []string{"summary"}}).JSON()
			require.NoError(t, err)
			require.NotContains(t, string(text), "NaN")
		})
	}
}

// The basin alone is a scenario.
func TestBasinAlone(t *testing.T) {
	p, err := plan.Read(t.Context(), []byte(`{"basin": {"circular": {"diameter": "40 m", "at": "top of bank", "depth": "4 m", "slopes": [2.5]}}}`))
	require.NoError(t, err)
	require.NotEmpty(t, p.Results.Contents.Stages)
	require.Nil(t, p.Results.Taken())
	require.Zero(t, p.Results.Bill.Cost)
	text, err := report.New(p, report.Options{}).Text()
	require.NoError(t, err)
	require.Contains(t, string(text), "What is open")
	_, err = plan.Read(t.Context(), []byte(`{}`))
	require.ErrorContains(t, err, "basin.rectangular")
}

func TestMoreSludgeThanContents(t *testing.T) {
	_, err := plan.Read(t.Context(), edit(t, map[string]any{"basin.liquidDepth": "2 ft", "sludge": map[string]any{
		"volume": map[string]any{"volume": "100000 ft3", "source": "a survey of 2024"}}}))
	require.ErrorContains(t, err, "basin.liquidDepth: got 2 ft, want a depth that holds more than the sludge")
}

// A survey that says nothing of its sides has a bracket and no interval.
func TestSurveyWithoutSides(t *testing.T) {
	r := read(t, map[string]any{"sludge.survey.sides": "unknown"})
	require.False(t, r.Contents.Sludge.Firm)
	require.NotNil(t, r.Contents.Sludge.Interval)
}

// The level of the liquid is told in one of three ways, with the same answer.
func TestLevelOfTheLiquid(t *testing.T) {
	depth := read(t, nil).Contents.Held
	for _, way := range []map[string]any{
		{"basin.liquidDepth": nil, "basin.freeboard": "2.5 ft"},
		{"basin.liquidDepth": nil, "basin.liquidLevel": "821.9 ft"},
	} {
		require.InEpsilon(t, depth.SI(), read(t, way).Contents.Held.SI(), 1e-9)
	}
	for key, changes := range map[string]map[string]any{
		"basin.liquidDepth":    {"basin.freeboard": "2.5 ft"},
		"basin.liquidLevel":    {"basin.liquidDepth": nil, "basin.liquidLevel": "700 ft"},
		"basin.floorElevation": {"basin.liquidDepth": nil, "basin.liquidLevel": "821 ft", "basin.floorElevation": nil},
		"basin.freeboard":      {"basin.liquidDepth": nil, "basin.freeboard": "20 ft"},
	} {
		_, err := plan.Read(t.Context(), edit(t, changes))
		require.Len(t, units.FieldErrors(err), 1, "%v", err)
		require.Equal(t, key, units.FieldErrors(err)[0].Field)
	}
}

// What the program writes can be read back by another program of the library.
func TestResultsReadBack(t *testing.T) {
	p, err := plan.Read(t.Context(), plan.Demo())
	require.NoError(t, err)
	text, err := json.Marshal(p.Results)
	require.NoError(t, err)
	var back plan.Results
	require.NoError(t, json.Unmarshal(text, &back))
	again, err := json.Marshal(&back)
	require.NoError(t, err)
	require.JSONEq(t, string(text), string(again))
}

// Nothing is planned for a request that has gone.
func TestEndsWithItsContext(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	p, err := plan.Read(ctx, plan.Demo())
	require.ErrorIs(t, err, context.Canceled)
	require.Nil(t, p)
}

// Nothing counts twice in the high end: it is the sum of the rows, and the contingency of
// the plan leaves out a closing that has its own.
func TestContingencyCountsOnce(t *testing.T) {
	r := read(t, nil)
	var rows, own stage.Cost
	var kept *stage.Cost
	for _, i := range r.Bill.Items {
		if i.Cost == nil {
			continue
		}
		rows = *rows.Plus(i.Cost)
		if i.Key == "contingency" {
			kept = i.Cost
		} else if !strings.HasPrefix(i.Key, "closing.") {
			own = *own.Plus(i.Cost)
		}
	}
	require.InEpsilon(t, rows.High, r.Bill.Cost.High, 1e-12)
	require.NotNil(t, kept)
	require.InEpsilon(t, 0.1*own.Likely, kept.High, 1e-9)
	require.Zero(t, kept.Likely)
}

// The final inspection waits for every piece of work on the site, also in a pond.
func TestFinalInspectionIsLast(t *testing.T) {
	for _, way := range []string{"fill and crown", "breach and grade", "convert to a pond"} {
		r := read(t, map[string]any{"closing.alternative": way, "closing.soaked": nil})
		final, ok := r.Calendar.Row("final")
		require.True(t, ok)
		for _, row := range r.Calendar.Rows {
			if strings.HasPrefix(row.Task.Key, "removal.") || strings.HasPrefix(row.Task.Key, "closing.") {
				require.False(t, final.Likely.Start.Before(row.Likely.End), "%s: %s ends after the final inspection", way, row.Task.Key)
			}
		}
	}
}

// The demo half way: what is done is done, nothing is planned before the day of the
// account, what goes on has the rest of its work, and the plan from the start stands
// beside it. Wrong steps are told at their places.
func TestAsItGoes(t *testing.T) {
	file, err := os.ReadFile("../testdata/scenarios/re-plan-half-way.json")
	require.NoError(t, err)
	p, err := plan.Read(t.Context(), file)
	require.NoError(t, err)
	s := p.Scenario
	check := func(r *plan.Results) {
		require.Len(t, r.Calendar.Rows, len(r.Planned.Rows))
		for _, row := range r.Calendar.Rows {
			for _, w := range row.Worked {
				require.False(t, w.Day.Before(s.AsOf), row.Task.Key)
			}
			if row.State == calendar.Planned {
				require.False(t, row.Likely.Start.Before(s.AsOf), row.Task.Key)
			}
		}
		require.NotEmpty(t, r.Calendar.Next(s.AsOf, 3))
	}
	state := func(r *plan.Results, key string) calendar.State {
		row, ok := r.Calendar.Row(key)
		require.True(t, ok, key)
		return row.State
	}
	check(p.Results)
	require.Equal(t, calendar.Going, state(p.Results, "removal.pump-off"))
	require.Equal(t, calendar.Going, state(p.Results, "removal.pump"))
	require.Equal(t, calendar.DoneBy, state(p.Results, "approval"))
	require.Equal(t, calendar.Planned, state(p.Results, "removal.dig"))
	first, _ := p.Results.Planned.Row("removal.pump-off")
	rest, _ := p.Results.Calendar.Row("removal.pump-off")
	hours := func(row calendar.Row) (sum units.Duration) {
		for _, w := range row.Worked {
			sum += w.To - w.From
		}
		return sum
	}
	require.Less(t, hours(rest), hours(first))

	s.Done.Steps = []ledger.Step{{Key: "approval", From: stage.DayOf(2026, time.June, 3), To: stage.DayOf(2026, time.June, 3)}, {Key: "closing.erosion", From: stage.DayOf(2026, time.July, 6), To: stage.DayOf(2026, time.July, 7)}}
	p, err = plan.New(t.Context(), s)
	require.NoError(t, err)
	check(p.Results)
	require.Equal(t, calendar.Done, state(p.Results, "approval"))
	require.Equal(t, calendar.Done, state(p.Results, "closing.erosion"))
	require.Equal(t, calendar.DoneBy, state(p.Results, "closing.locate"))

	s.Done.Steps = []ledger.Step{{Key: "tea", From: stage.DayOf(2026, time.June, 3)}, {Key: "closing.erosion", From: stage.DayOf(2026, time.July, 10)}, {Key: "closing.strip"}}
	_, err = plan.New(t.Context(), s)
	require.ErrorContains(t, err, "done.steps[2].from: missing")
	s.Done.Steps = s.Done.Steps[:2]
	_, err = plan.New(t.Context(), s)
	require.ErrorContains(t, err, "done.steps[0].key: ")
	require.ErrorContains(t, err, "done.steps[1].from: ")
}
