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
