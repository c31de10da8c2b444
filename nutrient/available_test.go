package nutrient

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// stateOf makes a state of tables; every pool that they leave out is lacking.
func stateOf(t *testing.T, tables ...Table) *State {
	t.Helper()
	s, err := NewState(StateSpec{ID: "invented", Jurisdiction: "Atlantis", Source: Source{Title: "T", Edition: "1", Number: "1"}, Tables: tables})
	require.NoError(t, err)
	return s
}

func point(p Pool, year int, b Basis, x float64) Table { return between(p, year, b, x, x) }

func between(p Pool, year int, b Basis, low, high float64) Table {
	number := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	return Table{Place: "1", Gives: p.String(), Of: b, Unit: "fraction", When: map[string]Cell{KeyYear: Cell(number(float64(year)))}, Rows: [][]Cell{{Cell(number(low) + "-" + number(high))}}}
}

// inPounds returns a range in lb/1000 gal.
func inPounds(r ContentRange) [2]float64 {
	k := units.PoundPer1000Gallon.SI()
	return [2]float64{r.Low.SI() / k, r.High.SI() / k}
}

func TestBasesOfLaterYears(t *testing.T) {
	a := analyze(t, AnalyzeSpec{Form: Liquid, TotalN: perGallons(30), AmmoniumN: perGallons(10), NitrateN: perGallons(2)}) // organic 18
	for name, c := range map[string]struct {
		rows []Table
		want [3][2]float64 // organic N of years 1 to 3
	}{
		"original":  {[]Table{point(PoolOrganic, 1, BasisOriginal, 0.5), point(PoolOrganic, 2, BasisOriginal, 0.25)}, [3][2]float64{{9, 9}, {4.5, 4.5}, {0, 0}}},
		"remaining": {[]Table{point(PoolOrganic, 1, BasisRemaining, 0.5), point(PoolOrganic, 2, BasisRemaining, 0.5)}, [3][2]float64{{9, 9}, {4.5, 4.5}, {0, 0}}},
		"total":     {[]Table{point(PoolOrganic, 1, BasisOriginal, 0.5), point(PoolOrganic, 2, BasisTotal, 0.1)}, [3][2]float64{{9, 9}, {2.8, 2.8}, {0, 0}}},
		"range of remaining": {[]Table{between(PoolOrganic, 1, BasisRemaining, 0.2, 0.5), between(PoolOrganic, 2, BasisRemaining, 0.1, 0.5)},
			[3][2]float64{{3.6, 9}, {0.9, 7.2}, {0, 0}}},
		"remaining after original": {[]Table{point(PoolOrganic, 1, BasisOriginal, 0.5), point(PoolOrganic, 2, BasisRemaining, 1)}, [3][2]float64{{9, 9}, {9, 9}, {0, 0}}},
	} {
		s := stateOf(t, append(c.rows, point(PoolAmmonium, 1, BasisOriginal, 1))...)
		r, err := Available(AvailableSpec{Analysis: a, State: s, Years: 3})
		require.NoError(t, err, name)
		for i, y := range r.Years {
			got := inPounds(y.Organic)
			require.InDelta(t, c.want[i][0], got[0], 1e-9, "%s year %d", name, i+1)
			require.InDelta(t, c.want[i][1], got[1], 1e-9, "%s year %d", name, i+1)
		}
		require.InDelta(t, 10+2+c.want[0][1], inPounds(r.Years[0].N)[1], 1e-9, "ammonium and nitrate in full")
		require.InDelta(t, c.want[1][0], inPounds(r.Years[1].N)[0], 1e-9, "only organic N later")
		require.Contains(t, fmt.Sprint(r.Notes), "the state credits no N after year 2")
	}
}

func TestTotalNLeavesNitrateInFull(t *testing.T) {
	a := analyze(t, AnalyzeSpec{Form: Liquid, TotalN: perGallons(30), NitrateN: perGallons(2)})
	r, err := Available(AvailableSpec{Analysis: a, State: stateOf(t, between(PoolTotalN, 1, BasisTotal, 0.5, 0.75)), Years: 1})
	require.NoError(t, err)
	got := inPounds(r.Years[0].N)
	require.InDelta(t, 28*0.5+2, got[0], 1e-9)
	require.InDelta(t, 28*0.75+2, got[1], 1e-9)
	require.Contains(t, r.String(), "in full")
}

func TestAvailableFaults(t *testing.T) {
	_, err := Available(AvailableSpec{})
	require.Equal(t, []string{"state", "analysis.form", "years"}, fields(err))
	unsplit := analyze(t, AnalyzeSpec{Form: Liquid, TKN: perGallons(30)})
	alberta := publishedState(t, "alberta")
	_, err = Available(AvailableSpec{Analysis: unsplit, State: alberta, Query: Query{"method": "injected", "compost": "fresh"}, Years: 1})
	require.Equal(t, []string{"analysis.ammoniumN"}, fields(err))
	split := analyze(t, AnalyzeSpec{Form: Liquid, TKN: perGallons(30), AmmoniumN: perGallons(20)})
	_, err = Available(AvailableSpec{Analysis: split, State: alberta, Years: 1})
	require.Equal(t, []string{"query.method", "query.compost"}, fields(err))
	_, err = Available(AvailableSpec{Analysis: split, State: alberta, Query: Query{"method": "by hand"}, Years: 1})
	require.Equal(t, []string{"query.method"}, fields(err))
	_, err = Available(AvailableSpec{State: publishedState(t, "minnesota"), Query: Query{"species": "beef", "method": "injected with sweeps"}, Years: 1, Analysis: Analysis{Form: Liquid}})
	require.Equal(t, []string{"analysis.totalN"}, fields(err))
	_, err = Available(AvailableSpec{Analysis: split, State: stateOf(t, point(PoolP, 1, BasisOriginal, 1)), Years: 1})
	require.Equal(t, []string{"state", "state"}, fields(err))
}

func TestAvailableLeavesPOutWithANote(t *testing.T) {
	a := analyze(t, AnalyzeSpec{Form: Liquid, TKN: perGallons(30), AmmoniumN: perGallons(20), P2O5: perGallons(10)})
	r, err := Available(AvailableSpec{Analysis: a, State: stateOf(t, point(PoolTotalN, 1, BasisTotal, 0.5)), Years: 1})
	require.NoError(t, err)
	require.True(t, r.Years[0].P2O5.IsZero())
	require.Equal(t, "[the state has no figures for p the state has no figures for k]", fmt.Sprint(r.Notes))
}

func TestYearsThatASetLacks(t *testing.T) {
	later := point(PoolTotalN, 2, BasisTotal, 0.1)
	later.Rows = [][]Cell{{"?"}}
	state := stateOf(t, point(PoolTotalN, 1, BasisTotal, 0.7), later)
	a := analyze(t, AnalyzeSpec{Form: Solid, TKN: perTon(50)})
	r, err := Available(AvailableSpec{Analysis: a, State: state, Years: 1})
	require.NoError(t, err)
	require.InDelta(t, perTon(35).SI(), r.Years[0].N.Low.SI(), 1e-12)
	_, err = Available(AvailableSpec{Analysis: a, State: state, Years: 2})
	require.Equal(t, []string{"query.year"}, fields(err))
	apps := []Application{{Season: 2026, Rate: SolidRate(units.TonPerAcre), Analysis: a, State: state}}
	_, err = CarryOver(CarryOverSpec{Applications: apps, First: 2026, Seasons: 1})
	require.NoError(t, err)
	_, err = CarryOver(CarryOverSpec{Applications: apps, First: 2026, Seasons: 2})
	require.Equal(t, []string{"applications[0].query.year"}, fields(err))

	ontario := publishedState(t, "ontario")
	a = analyze(t, AnalyzeSpec{Form: Solid, TKN: perTon(50), P: perTon(10)})
	r, err = Available(AvailableSpec{Analysis: a, State: ontario, Query: Query{"season": "fall"}, Years: 2})
	require.NoError(t, err)
	require.InDelta(t, perTon(4).SI(), r.Years[0].P.Low.SI(), 1e-12)
	require.True(t, r.Years[1].P.IsZero())
	require.Contains(t, fmt.Sprint(r.Notes), "no answer for p from year 2 on")
}

func TestOxideChoice(t *testing.T) {
	for oxides, want := range map[units.Oxides]float64{units.OxidesRounded: 0.7 * 2.29, units.OxidesCoarse: 0.7 * 2.3} {
		a := analyze(t, AnalyzeSpec{Form: Liquid, Oxides: oxides, TKN: perGallons(30), AmmoniumN: perGallons(20), P: perGallons(1)})
		r, err := Available(AvailableSpec{Analysis: a, State: publishedState(t, "alberta"), Query: Query{"method": "injected", "compost": "fresh"}, Years: 1})
		require.NoError(t, err)
		require.InDelta(t, want, inPounds(r.Years[0].P2O5)[0], 1e-9)
		require.Equal(t, oxides, r.Oxides)
	}
}

func TestCarryOverAddsSeasonsUp(t *testing.T) {
	a := analyze(t, AnalyzeSpec{Form: Solid, TotalN: perTon(10), AmmoniumN: perTon(2)})
	s := stateOf(t, point(PoolAmmonium, 1, BasisOriginal, 0.5), point(PoolOrganic, 1, BasisOriginal, 0.25), point(PoolOrganic, 2, BasisOriginal, 0.125))
	app := func(season int, tons float64) Application {
		return Application{Season: season, Rate: SolidRate(units.MassPerArea(tons) * units.TonPerAcre), Analysis: a, State: s}
	}
	r, err := CarryOver(CarryOverSpec{Applications: []Application{app(2025, 10), app(2026, 20), app(2028, 10)}, First: 2025, Seasons: 4})
	require.NoError(t, err)
	for i, want := range [][2]float64{{30, 0}, {60, 10}, {0, 20}, {30, 0}} { // 3 lb/ton in year 1, 1 in year 2
		require.InDelta(t, want[0], r.Seasons[i].Applied.Low.In(units.PoundPerAcre), 1e-9)
		require.InDelta(t, want[1], r.Seasons[i].Earlier.Low.In(units.PoundPerAcre), 1e-9)
	}
	require.Contains(t, r.String(), "2027: available N")

	_, err = CarryOver(CarryOverSpec{})
	require.Equal(t, []string{"applications", "seasons", "first"}, fields(err))
	bad := app(0, -1)
	bad.State = nil
	liquid := app(2026, 1)
	liquid.Rate = LiquidRate(1)
	liquid.State = publishedState(t, "alberta")
	unsplit := app(2026, 1)
	unsplit.Analysis = analyze(t, AnalyzeSpec{Form: Solid, TotalN: perTon(10)})
	_, err = CarryOver(CarryOverSpec{Applications: []Application{bad, liquid, unsplit}, First: 2026, Seasons: 1})
	require.Equal(t, []string{"applications[0].season", "applications[0].rate", "applications[0].state",
		"applications[1].rate", "applications[1].query.method", "applications[1].query.compost",
		"applications[2].analysis.ammoniumN"}, fields(err))
}

// Over all years no more becomes available than was applied, low is at most
// high, and a Schedule answers like the sum over its pools.
func TestAvailableProperty(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		years := 1 + rng.IntN(6)
		rows := []Table{point(PoolAmmonium, 1, BasisOriginal, rng.Float64())}
		for y := 1; y <= years; y++ {
			low := rng.Float64()
			rows = append(rows, between(PoolOrganic, y, BasisRemaining, low, low+(1-low)*rng.Float64()))
		}
		s := stateOf(t, rows...)
		total := 40 * rng.Float64()
		a := analyze(t, AnalyzeSpec{Form: Liquid, TotalN: perGallons(total), AmmoniumN: perGallons(total * rng.Float64())})
		r, err := Available(AvailableSpec{Analysis: a, State: s, Years: 10})
		require.NoError(t, err)
		low := 0.0
		for _, y := range r.Years {
			require.LessOrEqual(t, y.N.Low.SI(), y.N.High.SI())
			low += y.N.Low.SI()
		}
		require.LessOrEqual(t, low, a.TotalN.SI()*(1+1e-12))
	}
}

func TestScheduleDoesNotAllocate(t *testing.T) {
	c, a := benchSchedule(t)
	require.Zero(t, testing.AllocsPerRun(100, func() {
		for year := 1; year <= 3; year++ {
			if _, err := c.Nitrogen(a, year); err != nil {
				t.Fatal(err)
			}
			if _, err := c.Phosphorus(a, year); err != nil {
				t.Fatal(err)
			}
		}
	}))
	_, err := c.Nitrogen(a, 0)
	require.Equal(t, []string{"year"}, fields(err))
	_, err = c.Potassium(a, 0)
	require.Equal(t, []string{"year", "analysis.k"}, fields(err))
}

func benchSchedule(t testing.TB) (*Schedule, Analysis) {
	s, err := PublishedState("alberta")
	if err != nil {
		t.Fatal(err)
	}
	c, err := s.Schedule(Query{"method": "injected", "compost": "fresh"})
	if err != nil {
		t.Fatal(err)
	}
	a, err := Analyze(AnalyzeSpec{Form: Liquid, TotalN: perGallons(30), AmmoniumN: perGallons(20), P: perGallons(5)})
	if err != nil {
		t.Fatal(err)
	}
	return c, a
}

func BenchmarkScheduleNitrogen(b *testing.B) {
	c, a := benchSchedule(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := c.Nitrogen(a, 1); err != nil {
			b.Fatal(err)
		}
	}
}

// A state that no constructor made is missing, whatever the query says.
func TestStateNotMade(t *testing.T) {
	for _, state := range []*State{nil, {}} {
		_, err := Available(AvailableSpec{Analysis: Analysis{Form: Liquid}, State: state, Years: 1, Query: Query{"method": "injected"}})
		require.ErrorContains(t, err, "state: missing; want a state made by NewState, ParseState or PublishedState")
		require.NotContains(t, err.Error(), "query")
	}
}

// What applications of several seasons make available, added up by hand from what one unit
// of each gives in each year.
func TestCarryOverReckonedAgain(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		years := 1 + r.IntN(4)
		tables := []Table{between(PoolAmmonium, 1, BasisOriginal, 0.3, 0.3+0.5*r.Float64())}
		for y := 1; y <= years; y++ {
			low := 0.2 * r.Float64()
			tables = append(tables, between(PoolOrganic, y, BasisOriginal, low, low+0.05*r.Float64()))
		}
		state := stateOf(t, tables...)
		spec := CarryOverSpec{First: 2020 + r.IntN(5), Seasons: 1 + r.IntN(8)}
		for range 1 + r.IntN(4) {
			total := 5 + 30*r.Float64()
			spec.Applications = append(spec.Applications, Application{Season: 2018 + r.IntN(10), Rate: LiquidRate(units.VolumePerArea(10000*r.Float64()) * units.GallonPerAcre), State: state,
				Analysis: analyze(t, AnalyzeSpec{Form: Liquid, TotalN: perGallons(total), AmmoniumN: perGallons(total * r.Float64()), NitrateN: perGallons(0)})})
		}
		got, err := CarryOver(spec)
		require.NoError(t, err)
		require.Len(t, got.Seasons, spec.Seasons)
		for i, y := range got.Seasons {
			require.Equal(t, spec.First+i, y.Season)
			var now, earlier [2]float64
			for j, a := range spec.Applications {
				one, err := Available(AvailableSpec{Analysis: a.Analysis, State: state, Years: 20})
				require.NoError(t, err)
				part := [2]float64{}
				if age := y.Season - a.Season; age >= 0 {
					n := one.Years[age].N
					part = [2]float64{a.Rate.SI() * n.Low.SI(), a.Rate.SI() * n.High.SI()}
					to := &earlier
					if age == 0 {
						to = &now
					}
					to[0], to[1] = to[0]+part[0], to[1]+part[1]
				}
				require.InDelta(t, part[0], float64(y.Parts[j].Low), 1e-15)
				require.InDelta(t, part[1], float64(y.Parts[j].High), 1e-15)
			}
			for _, c := range [][2]float64{{now[0], float64(y.Applied.Low)}, {now[1], float64(y.Applied.High)}, {earlier[0], float64(y.Earlier.Low)}, {earlier[1], float64(y.Earlier.High)},
				{now[0] + earlier[0], float64(y.N.Low)}, {now[1] + earlier[1], float64(y.N.High)}} {
				require.InDelta(t, c[0], c[1], 1e-14)
			}
		}
	}
}

// Of each pool the printed share of what the material holds, year by year; the others are
// added to it, and the nitrate in the first year.
func TestAvailableByPools(t *testing.T) {
	state := stateOf(t, between(PoolAmmonium, 1, BasisOriginal, 0.5, 0.7), between(PoolOrganic, 1, BasisOriginal, 0.3, 0.4), between(PoolOrganic, 2, BasisOriginal, 0.1, 0.2),
		between(PoolP, 1, BasisOriginal, 0.6, 0.8), between(PoolP, 2, BasisOriginal, 0.1, 0.1), between(PoolK, 1, BasisOriginal, 0.9, 1))
	a := analyze(t, AnalyzeSpec{Form: Liquid, Oxides: units.OxidesRounded, TotalN: perGallons(40), AmmoniumN: perGallons(16), NitrateN: perGallons(4), P: perGallons(10), K: perGallons(30)}) // organic 20
	r, err := Available(AvailableSpec{Analysis: a, State: state, Years: 3})
	require.NoError(t, err)
	for i, want := range []map[string][2]float64{
		{"ammonium": {8, 11.2}, "organic": {6, 8}, "nitrate": {4, 4}, "n": {18, 23.2}, "p": {6, 8}, "p2o5": {6 * 2.29, 8 * 2.29}, "k": {27, 30}, "k2o": {27 * 1.2, 30 * 1.2}},
		{"ammonium": {0, 0}, "organic": {2, 4}, "nitrate": {0, 0}, "n": {2, 4}, "p": {1, 1}, "p2o5": {2.29, 2.29}, "k": {0, 0}, "k2o": {0, 0}},
		{"ammonium": {0, 0}, "organic": {0, 0}, "nitrate": {0, 0}, "n": {0, 0}, "p": {0, 0}, "p2o5": {0, 0}, "k": {0, 0}, "k2o": {0, 0}},
	} {
		y := r.Years[i]
		require.Equal(t, i+1, y.Year)
		for name, got := range map[string]ContentRange{"ammonium": y.Ammonium, "organic": y.Organic, "nitrate": y.Nitrate, "n": y.N, "p": y.P, "p2o5": y.P2O5, "k": y.K, "k2o": y.K2O} {
			require.InDelta(t, want[name][0], inPounds(got)[0], 1e-9, "%s in year %d", name, i+1)
			require.InDelta(t, want[name][1], inPounds(got)[1], 1e-9, "%s in year %d", name, i+1)
		}
	}
	require.Equal(t, "[the state credits no N after year 2]", fmt.Sprint(r.Notes))
	require.Equal(t, "invented", r.State)
	require.Equal(t, state.Source(), r.Source)
	require.Equal(t, [6]int{0, 1, 2, 0, 2, 1}, state.years)
	for p := range poolCount {
		require.Equal(t, state.years[p], state.Years(Pool(p)))
	}
	c, err := state.Schedule(nil)
	require.NoError(t, err)
	for _, x := range []struct {
		pool Pool
		year int
		cell Cell
	}{{PoolOrganic, 1, "0.3-0.4"}, {PoolOrganic, 2, "0.1-0.2"}, {PoolP, 2, "0.1-0.1"}, {PoolK, 1, "0.9-1"}} {
		require.Equal(t, x.cell, c.Steps(x.pool, x.year)[0].Cell)
	}
	for _, x := range [][2]int{{int(PoolOrganic), 0}, {int(PoolOrganic), 3}, {int(PoolTotalN), 1}, {0, 1}, {int(poolCount), 1}} {
		require.Nil(t, c.Steps(Pool(x[0]), x[1]))
	}
	_, err = state.Schedule(Query{KeyYear: "1"})
	require.Equal(t, []string{"year"}, fields(err))
}

// Shares of the total N never take more than the pool from which they come, in the years
// together.
func TestSharesOfTheTotalStayWithinTheirPool(t *testing.T) {
	state := stateOf(t, between(PoolAmmonium, 1, BasisOriginal, 1, 1), between(PoolOrganic, 1, BasisTotal, 0.2, 0.3), between(PoolOrganic, 2, BasisTotal, 0.2, 0.3), between(PoolOrganic, 3, BasisTotal, 0.2, 0.2))
	a := analyze(t, AnalyzeSpec{Form: Liquid, TotalN: perGallons(42), AmmoniumN: perGallons(20), NitrateN: perGallons(2)}) // organic 20, of 40 without nitrate
	r, err := Available(AvailableSpec{Analysis: a, State: state, Years: 4})
	require.NoError(t, err)
	for i, want := range [][2]float64{{8, 12}, {8, 8}, {0, 0}, {0, 0}} { // 20 in all; the low ends leave 4 that the high ends have taken
		got := inPounds(r.Years[i].Organic)
		require.InDelta(t, want[0], got[0], 1e-9, "year %d", i+1)
		require.InDelta(t, want[1], got[1], 1e-9, "year %d", i+1)
	}
}

// A schedule that was made for the same state, query and report is used again, and no
// other.
func TestScheduleIsUsedAgain(t *testing.T) {
	alberta := publishedState(t, "alberta")
	a := analyze(t, AnalyzeSpec{Form: Liquid, TotalN: perGallons(30), AmmoniumN: perGallons(20), Solids: percent(6), Density: 1000})
	first, err := Available(AvailableSpec{Analysis: a, State: alberta, Query: Query{"method": "injected", "compost": "fresh"}, Years: 2})
	require.NoError(t, err)
	c, err := alberta.Schedule(first.Query)
	require.NoError(t, err)
	spec := AvailableSpec{Analysis: a, State: alberta, Query: first.Query, Years: 2, Schedule: c}
	for name, x := range map[string]struct {
		change func(s *AvailableSpec)
		again  bool
	}{
		"the same":              {func(*AvailableSpec) {}, true},
		"another report":        {func(s *AvailableSpec) { s.Analysis.TotalN = perGallons(35) }, true},
		"without what it fills": {func(s *AvailableSpec) { s.Query = Query{"method": "injected", "compost": "fresh"} }, true},
		"another query":         {func(s *AvailableSpec) { s.Query = Query{"method": "injected", "compost": "composted"} }, false},
		"another state":         {func(s *AvailableSpec) { s.State = stateOf(t, point(PoolTotalN, 1, BasisTotal, 0.5)) }, false},
		"no schedule":           {func(s *AvailableSpec) { s.Schedule = nil }, false},
		"one of nothing":        {func(s *AvailableSpec) { s.Schedule = &Schedule{} }, false},
		"a report with a fault": {func(s *AvailableSpec) { s.Analysis.PH = 15 }, false},
	} {
		s := spec
		x.change(&s)
		got, _ := s.schedule()
		require.Equal(t, x.again, got == c, name)
	}
	second, err := Available(spec)
	require.NoError(t, err)
	require.Equal(t, first, second)
}

// What a schedule cannot answer is said of the analysis, the query or the state.
func TestScheduleFaults(t *testing.T) {
	unread := point(PoolOrganic, 2, BasisOriginal, 0.1)
	unread.Rows = [][]Cell{{"?"}}
	parts := stateOf(t, point(PoolAmmonium, 1, BasisOriginal, 1), point(PoolOrganic, 1, BasisOriginal, 0.4), unread, point(PoolP, 1, BasisOriginal, 0.5))
	total := stateOf(t, point(PoolTotalN, 1, BasisTotal, 0.5))
	organic := stateOf(t, point(PoolOrganic, 1, BasisOriginal, 0.4))
	all := analyze(t, AnalyzeSpec{Form: Liquid, TotalN: perGallons(30), AmmoniumN: perGallons(10), P: perGallons(5), K: perGallons(5)})
	noOrganic := analyze(t, AnalyzeSpec{Form: Liquid, TotalN: perGallons(10), AmmoniumN: perGallons(10)})
	sum := analyze(t, AnalyzeSpec{Form: Liquid, TotalN: perGallons(30)})
	ammonium := analyze(t, AnalyzeSpec{Form: Liquid, AmmoniumN: perGallons(30)})
	none := analyze(t, AnalyzeSpec{Form: Liquid, K: perGallons(5)})
	for name, c := range map[string]struct {
		state *State
		a     Analysis
		year  int
		want  []string
	}{
		"all":                    {parts, all, 1, nil},
		"what was not read":      {parts, all, 2, []string{"query.year"}},
		"after all that is said": {parts, noOrganic, 2, nil}, // no organic N, so that its figure is not needed
		"nothing of the split":   {parts, sum, 1, []string{"analysis.ammoniumN"}},
		"no total":               {parts, ammonium, 1, []string{"analysis.totalN"}},
		"no N at all":            {parts, none, 1, []string{"analysis.ammoniumN", "analysis.totalN"}},
		"the total is enough":    {total, sum, 1, nil},
		"no total of a total":    {total, ammonium, 1, []string{"analysis.totalN"}},
		"no line on ammonium":    {organic, all, 1, []string{"state"}},
		"no year":                {parts, all, 0, []string{"year"}},
	} {
		s, err := c.state.Schedule(nil)
		require.NoError(t, err)
		_, err = s.Nitrogen(c.a, c.year)
		require.Equal(t, c.want, fields(err), name)
	}
	s, err := parts.Schedule(nil)
	require.NoError(t, err)
	p, err := s.Phosphorus(all, 1)
	require.NoError(t, err)
	require.InDelta(t, 2.5, inPounds(p)[1], 1e-9)
	_, err = s.Phosphorus(sum, 1)
	require.Equal(t, []string{"analysis.p"}, fields(err))
	_, err = s.Potassium(all, 1)
	require.Equal(t, []string{"state"}, fields(err))
}
