package doubt

import (
	"encoding/json"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/scenarios/study"
	"example.org/earthbasin/units"
	_ "example.org/earthbasin/units/evidence" // for -update, which all tests of the examples get
)

func demoScenario(t testing.TB) plan.Scenario {
	p, err := plan.Read(t.Context(), plan.Demo())
	require.NoError(t, err)
	return p.Scenario
}

// read makes a spec of a short list of inputs.
func read(t testing.TB, inputs string, more ...string) study.Spec {
	s, err := study.ReadSpec([]byte(`{"inputs": [` + inputs + `]` + strings.Join(more, "") + `}`))
	require.NoError(t, err)
	return s
}

// With every input at one value a draw is the plan of the scenario itself.
func TestDrawIsThePlan(t *testing.T) {
	scenario := demoScenario(t)
	p, err := plan.New(t.Context(), scenario)
	require.NoError(t, err)
	volume, err := p.Results.Contents.Sludge.Volume.MarshalText()
	require.NoError(t, err)
	s, err := New(t.Context(), scenario, read(t, `{"path": "closing.prices.import.likely", "kind": "list", "values": ["7.5 per yd3"]},
		{"path": "sludge.volume", "kind": "fixed", "value": "`+string(volume)+`"}`), "test")
	require.NoError(t, err)
	j, err := s.Start(study.Design{Draws: 2}, study.Part{})
	require.NoError(t, err)
	require.NoError(t, j.Run(t.Context(), study.Options{Workers: 1}))
	got := map[string]float64{}
	for _, o := range j.Result().Outputs {
		got[o.Name] = o.Mean
	}
	r := p.Results
	require.InEpsilon(t, r.Bill.Cost.Likely, got["cost"], 1e-9)
	require.InEpsilon(t, r.Bill.Worth, got["worth of nutrients"], 1e-9)
	require.InEpsilon(t, r.Bill.Net.Likely-r.Bill.Worth, got["cost less payments and worth"], 1e-9)
	require.InEpsilon(t, float64(r.Taken().Days), got["days to empty"], 1e-9)
	require.EqualValues(t, 1, got["all is placed"])
}

// The doubt of the sludge volume goes with the cost of removal as the plan has it at
// the ends, and what a price of nothing but money does is known beforehand.
func TestWhatADrawMoves(t *testing.T) {
	scenario := demoScenario(t)
	s, err := New(t.Context(), scenario, read(t, `{"path": "closing.prices.import.likely", "kind": "uniform", "low": "6 per yd3", "high": "9 per yd3"},
		{"path": "sludge.volume", "kind": "fixed", "value": "400,000 gal"}`), "test")
	require.NoError(t, err)
	j, err := s.Start(study.Design{Sampling: study.SamplingLatin, Draws: 300, Seed: 1}, study.Part{})
	require.NoError(t, err)
	require.NoError(t, j.Run(t.Context(), study.Options{Workers: 2}))
	r := j.Result()
	cost, soil := r.Outputs[0], r.Outputs[8]
	require.Equal(t, "soil brought in", soil.Name)
	require.Equal(t, soil.Min, soil.Max, "a price moves no soil")
	require.InEpsilon(t, 3*soil.Mean, cost.Max-cost.Min, 0.1) // topsoil has a price of its own
	require.Greater(t, cost.Effects[0].FirstOrder, 0.98)
}

// Every fault is told with its place, in one round.
func TestFaults(t *testing.T) {
	spec := read(t, `
		{"path": "basin.liquidDepht", "kind": "fixed", "value": "9 ft"},
		{"path": "basin.liquidDepth", "kind": "uniform", "low": "9 ft", "high": "9 acre"},
		{"path": "closing.prices.import.likely", "kind": "normal", "mean": "7 per yd3", "sd": "9 per yd3"},
		{"path": "materials[0].machine", "kind": "uniform", "low": 3, "high": 5},
		{"path": "removal.agitate.residual", "kind": "fixed", "value": "12 ft"},
		{"path": "materials[1].set", "kind": "list", "values": ["alberta-2006", 5]}`)
	_, err := New(t.Context(), demoScenario(t), spec, "test")
	var got []string
	for _, f := range units.FieldErrors(err) {
		got = append(got, f.Field)
	}
	require.Equal(t, []string{"inputs[0].path", "inputs[1].high", "inputs[2].kind", "inputs[3].kind", "inputs[4].value", "inputs[5].values[1]"}, got, "%v", err)

	// What the scenario cannot have is told before the draws.
	_, err = New(t.Context(), demoScenario(t), read(t, `{"path": "removal.agitate.residual", "kind": "uniform", "low": 0.1, "high": 1.4}`), "test")
	require.ErrorContains(t, err, "inputs[0].kind: values of which some give a fault: removal.agitate.residual: got 1.39")
	_, err = New(t.Context(), demoScenario(t), read(t, `{"path": "closing.prices.import.likely", "kind": "uniform", "low": "6 per yd3", "high": "9 per yd3"}`, `, "show": ["price of eggs"]`), "test")
	require.ErrorContains(t, err, "show[0]: price of eggs; want an output that is no share: cost, worth of nutrients")
	_, err = New(t.Context(), demoScenario(t), read(t, `{"path": "closing.prices.import.likely", "kind": "uniform", "low": "6 per yd3", "high": "9 per yd3"}`,
		`, "correlations": [{"a": "closing.prices.import.likely", "b": "money.export", "rank": 0.5}]`), "test")
	require.ErrorContains(t, err, "correlations[0].b: no input: money.export")

	for text, want := range map[string]string{
		`{}`:                       "inputs: got 0",
		`{"inputs": [{}], "x": 1}`: "x: an unknown key",
		`{"inputs": [{"path": "a"}], "measures": [{"path": "b", "price": -1}]}`:                            "measures[0].price: got -1",
		`{"inputs": [{"path": "a"}], "alternatives": [{"name": "", "set": []}]}`:                           "alternatives[0].set: got 0",
		`{"inputs": [{"path": "a"}], "alternatives": [{"name": "x", "set": [{"path": "a", "value": 1}]}]}`: "alternatives[0].set[0].path: a, an input",
		`{"inputs": [{"path": "a", "kind": "gauss"}]}`:                                                     `inputs[0].kind: got "gauss"`,
	} {
		_, err := study.ReadSpec([]byte(text))
		require.ErrorContains(t, err, want)
	}
}

// Without a route there is nothing to study, and the fault says so.
func TestNoRoute(t *testing.T) {
	s := demoScenario(t)
	s.Removal = nil
	_, err := New(t.Context(), s, read(t, `{"path": "closing.prices.import.likely", "kind": "uniform", "low": "6 per yd3", "high": "9 per yd3"}`), "test")
	require.ErrorContains(t, err, "scenario.removal: missing")
}

// Whole years of weather are drawn as one choice.
func TestWeatherYears(t *testing.T) {
	scenario := demoScenario(t)
	wet := make([]map[string]string, 12)
	for i := range wet {
		wet[i] = map[string]string{"rain": "0.08 in", "evaporation": "0.02 in"}
	}
	dry := make([]map[string]string, 12)
	for i := range dry {
		dry[i] = map[string]string{"rain": "0 in", "evaporation": "0.02 in"}
	}
	years, err := json.Marshal([]any{wet, dry})
	require.NoError(t, err)
	s, err := New(t.Context(), scenario, read(t, `{"path": "weather.months", "kind": "list", "values": `+string(years)+`}`), "test")
	require.NoError(t, err)
	j, err := s.Start(study.Design{Sampling: study.SamplingLatin, Draws: 20, Seed: 1}, study.Part{})
	require.NoError(t, err)
	cost := map[float64]float64{}
	require.NoError(t, j.Run(t.Context(), study.Options{Workers: 1, Rows: func(_ int64, values, out []float64, err error) error {
		cost[values[0]] = out[0]
		return err
	}}))
	require.Len(t, cost, 2)
	require.Greater(t, cost[0], cost[1], "rain is spread, too")
}

// How sure the demo is: the figures of its plan lie within their lows and highs, each with
// what it hangs on by a name, and the worth of knowing stands beside the price.
func TestOf(t *testing.T) {
	p, err := plan.Read(t.Context(), plan.Demo())
	require.NoError(t, err)
	p.Scenario.Doubt.Draws = 100
	r, err := Of(t.Context(), p, 1)
	require.NoError(t, err)
	again, err := Of(t.Context(), p, 2)
	require.NoError(t, err)
	require.Equal(t, r, again, "for any number of workers")
	require.EqualValues(t, 100, r.Draws)
	require.Len(t, r.Rows, 8)
	cost := r.Rows[0]
	require.Equal(t, "cost", cost.Figure)
	require.Less(t, cost.Low, cost.Middle)
	require.Less(t, cost.Middle, cost.High)
	require.Less(t, cost.Low, units.Money(p.Results.Bill.Cost.Likely))
	require.Greater(t, cost.High, units.Money(p.Results.Bill.Cost.Likely))
	require.Equal(t, "price of soil brought in", cost.Drivers[0].Name)
	require.Less(t, cost.Drivers[0].AtLow, cost.Drivers[0].AtHigh)
	require.Equal(t, "twelve more soundings", r.Knowing.Inputs[0].Measure)
	for _, x := range r.Knowing.Inputs {
		require.LessOrEqual(t, x.Worth, r.Knowing.Perfect+4*x.Error)
		require.Equal(t, x.Measure != "" && x.Worth > x.Price, x.Pays)
	}

	// Faults have their places in the scenario.
	p.Scenario.Doubt.Inputs[0].High = study.FigureOf("3 acre")
	_, err = Of(t.Context(), p, 1)
	require.ErrorContains(t, err, "doubt.inputs[0].high: ")
	// Without a route the open points of the plan say why.
	own := p.Scenario
	own.Land = new(*own.Land)
	own.Land.Seasons = nil // and so no decision can be carried out
	p, err = plan.New(t.Context(), own)
	require.NoError(t, err)
	own.Doubt.Inputs[0].High = study.FigureOf("445,000 gal")
	r, err = Of(t.Context(), p, 1)
	require.NoError(t, err)
	require.Nil(t, r.Knowing)
	require.NotEmpty(t, r.Rows)
	own.Removal = nil
	p, err = plan.New(t.Context(), own)
	require.NoError(t, err)
	r, err = Of(t.Context(), p, 1)
	require.NoError(t, err)
	require.Nil(t, r)
}

// The allocation that holds starts from that of the plan, keeps every limit in as many
// draws as is asked, and costs no less.
func TestSafe(t *testing.T) {
	p, err := plan.Read(t.Context(), plan.Demo())
	require.NoError(t, err)
	s, err := New(t.Context(), p.Scenario, p.Scenario.Doubt.Spec, "test")
	require.NoError(t, err)
	r, err := s.Safe(t.Context(), 200, 1, 0.95, 1)
	require.NoError(t, err)
	require.InEpsilon(t, p.Results.Taken().Spread.Allocated.Net, r.Plain.Net, 1e-9)
	require.Equal(t, p.Results.Taken().Spread.Allocated.Placements, r.Plain.Placements)
	require.Less(t, r.PlainKept, 0.95)
	require.GreaterOrEqual(t, r.Kept, 0.95)
	require.GreaterOrEqual(t, r.Price, 0.0)
	again, err := s.Safe(t.Context(), 200, 1, 0.95, 2)
	require.NoError(t, err)
	require.Equal(t, r, again)

	// What is certain holds as it is.
	s, err = New(t.Context(), p.Scenario, read(t, `{"path": "closing.prices.import.likely", "kind": "uniform", "low": "6 per yd3", "high": "9 per yd3"}`), "test")
	require.NoError(t, err)
	r, err = s.Safe(t.Context(), 20, 1, 1, 1)
	require.NoError(t, err)
	require.EqualValues(t, 1, r.PlainKept)
	require.Zero(t, r.Price)
}

// Of the decisions of a spec the best is named, and no figure is worth more than all.
func TestKnowing(t *testing.T) {
	spec := read(t, `{"path": "removal.pumpOff.hose.flow", "kind": "uniform", "low": "400 gpm", "high": "800 gpm"},
		{"path": "materials[1].haulPerMile", "kind": "uniform", "low": "4 per 1000 gal", "high": "7 per 1000 gal"}`,
		`, "alternatives": [{"name": "thinner", "set": [{"path": "removal.agitate.target", "value": "5.5 %"}]},
			{"name": "dearer spreading", "set": [{"path": "materials[1].spread", "value": "30 per 1000 gal"}, {"path": "money.ranges[0].high", "value": "35 per 1000 gal"}]}],
		"measures": [{"path": "materials[1].haulPerMile", "how": "a fixed bid", "price": 5}]`)
	s, err := New(t.Context(), demoScenario(t), spec, "test")
	require.NoError(t, err)
	k, err := s.Knowing(t.Context(), 300, 1, 2)
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(k.Shares), 3)
	last := k.Shares[len(k.Shares)-1]
	require.Equal(t, "dearer spreading", last.Decision)
	require.Zero(t, last.Best)
	require.Less(t, last.Payoff, k.Payoff)
	for _, in := range k.Inputs {
		require.LessOrEqual(t, in.Gain, k.Perfect+4*in.Error)
	}
	require.Equal(t, 5.0, k.Inputs[1].Price)

	_, err = New(t.Context(), demoScenario(t), read(t, `{"path": "closing.prices.import.likely", "kind": "uniform", "low": "6 per yd3", "high": "9 per yd3"}`,
		`, "alternatives": [{"name": "x", "set": [{"path": "money.nothing", "value": 1}, {"path": "removal.agitate.target", "value": "wet"}]}]`), "test")
	require.ErrorContains(t, err, "alternatives[0].set[0].path")
	require.ErrorContains(t, err, "alternatives[0].set[1].value")
}

// demoStudy is the study of the demo as its plan takes it.
func demoStudy(tb testing.TB) *Study {
	scenario := demoScenario(tb)
	s, err := New(tb.Context(), scenario, scenario.Doubt.Spec, "test")
	require.NoError(tb, err)
	return s
}

// What a draw of the demo allocates, and what is left when many are done. A change that
// makes a draw allocate half as much again has to be meant.
func TestDrawAllocates(t *testing.T) {
	const mostBytes, mostObjects, mostLeft = 190_000, 1_600, 1 << 20
	s := demoStudy(t)
	run := func(draws int64) (bytes, objects, left float64) {
		var before, after, end runtime.MemStats
		j, err := s.Start(study.Design{Draws: draws, Seed: 1}, study.Part{})
		require.NoError(t, err)
		runtime.GC()
		runtime.ReadMemStats(&before)
		require.NoError(t, j.Run(t.Context(), study.Options{Workers: 1}))
		runtime.ReadMemStats(&after)
		runtime.GC()
		runtime.ReadMemStats(&end)
		runtime.KeepAlive(j)
		return float64(after.TotalAlloc - before.TotalAlloc), float64(after.Mallocs - before.Mallocs), float64(end.HeapAlloc) - float64(before.HeapAlloc)
	}
	few, fewObjects, _ := run(100)
	more, moreObjects, left := run(600)
	t.Logf("a draw allocates %.0f bytes in %.0f objects; %.0f bytes are left", (more-few)/500, (moreObjects-fewObjects)/500, left)
	require.Less(t, (more-few)/500, float64(mostBytes))
	require.Less(t, (moreObjects-fewObjects)/500, float64(mostObjects))
	require.Less(t, left, float64(mostLeft))
}

// BenchmarkDraw is one draw of the demo, with seventeen figures in doubt: a plan from the
// basin to the bill, in which the land is allocated once. 100,000 of them are to take less
// than a minute on one idle core, which is 0.6 ms each.
func BenchmarkDraw(b *testing.B) {
	j, err := demoStudy(b).Start(study.Design{Draws: int64(max(b.N, 2)), Seed: 1}, study.Part{})
	require.NoError(b, err)
	b.ReportAllocs()
	b.ResetTimer()
	require.NoError(b, j.Run(b.Context(), study.Options{Workers: 1}))
}
