package plan_test

import (
	"context"
	"encoding/json"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/report"
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

func TestBadScenarioListsEveryFault(t *testing.T) {
	_, err := plan.Read(t.Context(), edit(t, map[string]any{
		"basin.depth":                       "60 ft",         // banks meet below that
		"survey.soundings.3.toFloor":        "1 ft",          // above the sludge top
		"survey.soundings.5.toSludge":       7,               // no unit
		"materials.sludge.reports.0.tkn":    "3 lb/1000 gal", // below ammonium
		"materials.effluent.set":            "atlantis",      // no such set
		"land.fields.1.setback":             "40 acre",       // more than the field
		"land.fields.2.colour":              "green",         // unknown key
		"calibration.sheets.sheets.0.gross": "2 lb",          // below the tare
		"calibration.hose.width":            "0 ft",          //
		"works.plugs.0.plug.inside":         "-10 in",        //
		"cover.mix.items.0.lot.purity":      1.2,             //
		"cover.lime.cce":                    0,               //
		"start":                             "June",          //
		"removal.workDay":                   "30 h",          //
	}))
	list := "\n" + err.Error()
	for _, want := range []string{
		"basin.depth: got 60 ft", "survey.soundings[5].toSludge: got 7", "materials.sludge.reports[0].ammoniumN", "materials.effluent.set: got",
		"land.fields[2].colour: an unknown key", "calibration.sheets.sheets[0].gross", "calibration.hose", "land.fields[1].setback", "removal.workDay",
		"works.plugs[0].plug.inside: got -10 in", "cover.mix.items[0].lot.purity: got 1.2", "cover.lime.cce", `start: got "June"`,
	} {
		require.Contains(t, list, want)
	}
	// What could not be read is not reported once more as missing.
	require.Equal(t, 1, strings.Count(list, "soundings[5]"), list)
	require.Equal(t, 1, strings.Count(list, "\nstart: "), list)
}

// Hours and money on the cost page are sums of its own lines, and the plan
// places what the basin holds.
func TestPlanAddsUp(t *testing.T) {
	p, err := plan.Read(t.Context(), plan.Demo())
	require.NoError(t, err)
	var sum float64
	for _, c := range p.Results.Costs {
		sum += c.Amount
	}
	require.InDelta(t, p.Results.Cover.Payment.Spec.Cost, sum, 1e-6)
	require.InDelta(t, sum-p.Results.Cover.Payment.Payment, p.Results.Cover.Payment.Net, 1e-6)
	total := p.Results.Basin.Liquid + p.Results.Sludge.Volume.Volume + p.Results.Emptying.Extra
	stock := p.Results.Effluent.Stock.SI() + p.Results.Slurry.Stock.SI()
	require.InEpsilon(t, total.SI(), stock, 1e-9)
	for _, m := range p.Results.Allocated.Materials {
		require.InDelta(t, m.Stock.SI(), m.Placed.SI()+m.Left.SI(), 1e-6)
	}
}

// Steps agree with each other: the pump starts on the day of the work order, the
// machines aim at the rates of the plan, and the section is that of the crown.
func TestStepsAgree(t *testing.T) {
	p, err := plan.Read(t.Context(), plan.Demo())
	require.NoError(t, err)
	r := p.Results
	starts := map[string]time.Time{}
	for _, task := range r.WorkOrder {
		starts[task.Key] = time.Time(task.Start)
	}
	require.Equal(t, starts["draw"], r.Emptying.Days[0].Date)
	require.True(t, starts["remove"].After(r.Emptying.EmptyOn))
	require.True(t, starts["fill"].After(starts["inspect"]))
	most := map[string]float64{}
	for _, x := range r.Allocated.Placements {
		most[x.Material] = max(most[x.Material], x.Rate.SI())
		require.LessOrEqual(t, x.Rate.SI(), x.Highest.SI()*(1+1e-9))
	}
	require.InEpsilon(t, most["effluent"], r.Machines.HoseCorrect.Spec.Target.SI(), 1e-12)
	require.InEpsilon(t, most["sludge"], r.Machines.LoadsCorrect.Spec.Target.SI(), 1e-12)
	var ground, ridge, left float64
	for i, q := range r.Works.Profile.Points {
		if i == 0 {
			ground = q.Existing.SI()
		}
		ridge, left = max(ridge, q.Built.SI()), max(left, q.Final.SI())
	}
	require.InDelta(t, r.Works.Crown.Peak.SI(), ridge-ground, 1e-9)
	require.InDelta(t, r.Works.Settled.PeakLeft.SI(), left-ground, 1e-9)
}

// A fault is told where the scenario can be mended.
func TestPaths(t *testing.T) {
	for path, c := range map[string]struct {
		key   string
		value any
	}{
		"materials.effluent.mostPerPass":         {"materials.effluent.mostPerPass", "0 gal/acre"},
		"materials.sludge.mostPerPass":           {"materials.sludge.mostPerPass", nil},
		"materials.effluent.reports[0].k2o":      {"materials.effluent.reports.0.k2o", nil},
		"materials.sludge.reports[1].elements":   {"materials.sludge.reports.1.elements", nil},
		"basin.slopes":                           {"basin.slopes.2", 0},
		"calibration.hoseSpeed.now":              {"calibration.hoseSpeed.now", "0 mph"},
		"land.banking.available":                 {"land.banking.available", 0},
		"start":                                  {"start", "0001-01-01"},
		"money.import":                           {"money.import", nil},
		"money.labSample":                        {"money.labSample", nil},
		"date":                                   {"date", nil},
		"removal.pumpOff.cost":                   {"removal.pumpOff.cost", nil},
		"removal.agitate.pump.cost":              {"removal.agitate.pump.cost", nil},
		"works.leastGrade":                       {"works.leastGrade", nil},
		"land.fields[0].distance":                {"land.fields.0.distance", nil},
		"land.fields[0].yield.perAcre":           {"land.fields.0.yield.perAcre", nil},
		"land.fields[0].site.soilTest.value":     {"land.fields.0.site.soilTest.value", nil},
		"land.banking.rest":                      {"land.banking.rest", -4},
		"survey.boundary[0].x":                   {"survey.boundary.0.x", nil},
		"emptying.storms.2026-04-09.rain":        {"emptying.storms.2026-04-09.rain", "-1 in"},
		"land.soil.layers[0].texture":            {"land.soil.layers.0.holds", nil},
		"materials.sludge.reports":               {"materials.sludge.reports", []any{}},
		"materials.effluent.reports[0].organicN": {"materials.effluent.reports.0.tkn", nil},
		"survey.soundings":                       {"survey.soundings", []any{map[string]any{"at": map[string]string{"x": "90 ft", "y": "60 ft"}, "thickness": "2 ft"}}},
		"survey.soundings[4].toFloor":            {"survey.soundings.4.toFloor", "30 ft"},
	} {
		_, err := plan.Read(t.Context(), edit(t, map[string]any{c.key: c.value}))
		var at []string
		for _, f := range units.FieldErrors(err) {
			at = append(at, f.Field)
		}
		require.Contains(t, at, path, err)
		require.LessOrEqual(t, len(at), 2, err)
	}
}

func TestMoreSludgeThanContents(t *testing.T) {
	core := func(x, y string) map[string]any {
		return map[string]any{"at": map[string]string{"x": x, "y": y}, "thickness": "9 ft"}
	}
	_, err := plan.Read(t.Context(), edit(t, map[string]any{"liquidDepth": "4 ft", "survey.sides": "vertical", "survey.boundary": box(26, 21, 208, 129),
		"survey.soundings": []any{core("40 ft", "40 ft"), core("90 ft", "60 ft"), core("150 ft", "100 ft"), core("120 ft", "50 ft")}}))
	require.ErrorContains(t, err, "liquidDepth: got 4 ft, want a depth that holds more than the sludge")
}

// A plan rests on an interval, and that on what the sides are.
func TestSurveyWithoutSides(t *testing.T) {
	_, err := plan.Read(t.Context(), edit(t, map[string]any{"survey.sides": "unknown"}))
	require.ErrorContains(t, err, "survey.sides")
	require.ErrorContains(t, err, "nothing is known of the sides")
}

// A table that has words in place of a figure does not count as no need.
func TestLegumeNeedsAFigure(t *testing.T) {
	legume := map[string]any{"land.fields.0.crop": "alfalfa", "land.fields.0.yield": map[string]any{"perAcre": 5, "unit": "ton"}}
	_, err := plan.Read(t.Context(), edit(t, legume))
	require.ErrorContains(t, err, "land.fields[0].nitrogen.need: missing; want what the crop needs")
	legume["land.fields.0.nitrogen.need"] = "150 lb/acre"
	p, err := plan.Read(t.Context(), edit(t, legume))
	require.NoError(t, err)
	require.InDelta(t, 150, p.Results.Fields[0].Nitrogen.Room.In(units.PoundPerAcre), 1e-9)
}

func TestOtherScenarios(t *testing.T) {
	var s, full struct {
		Land struct {
			Fields []map[string]any `json:"fields"`
		} `json:"land"`
	}
	require.NoError(t, json.Unmarshal(plan.Demo(), &s))
	require.NoError(t, json.Unmarshal(plan.Demo(), &full))
	for _, f := range full.Land.Fields {
		f["nitrogen"] = map[string]any{"legume": "400 lb/acre"}
	}
	for _, f := range s.Land.Fields {
		f["effluent"] = false
	}
	for name, c := range map[string]struct {
		changes map[string]any
		want    string
	}{
		"dug":              {map[string]any{"removal.route": "draw off and dig"}, "The plan goes on with: draw off and dig."},
		"one route":        {map[string]any{"removal.agitate": nil}, "No other was asked for. The plan goes on with: draw off and dig."},
		"all agitated":     {map[string]any{"removal.agitate.mix": "all"}, "Nothing is drawn off first"},
		"no banking":       {map[string]any{"land.banking": nil}, "Phosphorus budget to the end of 2026"},
		"no pipeline":      {map[string]any{"land.fields": s.Land.Fields}, "NOTHING STARTS before there is a place"},
		"first field full": {map[string]any{"land.fields.0.nitrogen.legume": "300 lb/acre"}, "Worth of the slurry on Creek Bottom"},
		"every field full": {map[string]any{"land.fields": full.Land.Fields}, "NOTHING STARTS before there is a place"},
		"free soil":        {map[string]any{"money.import": "0 per yd3"}, "The plan goes on with: agitate and pump."},
		"late seeding":     {map[string]any{"cover.windows": []any{map[string]any{"name": "dormant", "from": "1 November", "to": "15 March", "dormant": true}}}, "Sow the nurse crop as temporary"},
		"flat crown":       {map[string]any{"works.crown.grade": 0.01}, "does NOT shed water"},
		"hostile heading":  {map[string]any{"title": "<script>alert(1)</script>"}, "&lt;script&gt;alert"},
	} {
		t.Run(name, func(t *testing.T) {
			p, err := plan.Read(t.Context(), edit(t, c.changes))
			require.NoError(t, err)
			text, err := report.New(p).Text()
			require.NoError(t, err)
			page, err := report.New(p).HTML()
			require.NoError(t, err)
			_, err = report.New(p).JSON()
			require.NoError(t, err)
			require.Contains(t, strings.Join(strings.Fields(string(text)+string(page)), " "), c.want)
			for _, line := range strings.Split(string(text), "\n") {
				require.LessOrEqual(t, utf8.RuneCountInString(line), 100, line)
			}
		})
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
