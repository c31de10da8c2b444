package evidence

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/calendar"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/examples/internal/schema"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// told is a site of which everything is told.
func told() Site {
	s := Site{
		Conditions: map[Condition]bool{},
		Figures: Figures{Cores: 12, SoilPlaces: 8, SoilDepths: []units.Length{0, units.Foot, 2 * units.Foot}, Limits: []Limit{{"ammonium N", 75 * units.PartPerMillion}, {"nitrate N", 20 * units.PartPerMillion}},
			WellMonths: 24, Storm: units.Inch / 2, StormwaterDays: 14, BareDays: 14, StormwaterOver: units.Acre, Rill: 4 * units.Inch, Settled: 6 * units.Inch, Cover: 0.7, Freeboard: units.Foot, ReportHours: 24, Retain: 5},
		Lags:      map[string]Lag{},
		Disturbed: 3 * units.Acre,
	}
	for _, c := range conditions {
		s.Conditions[c] = true
	}
	for _, step := range Base().Steps {
		for _, name := range []string{step.Lag, step.Wait} {
			if name != "" {
				s.Lags[name] = Lag{Least: 2, Likely: 5}
			}
		}
	}
	return s
}

// all is a task of every kind.
func all() (tasks []stage.Task) {
	for i, k := range stage.Kinds() {
		tasks = append(tasks, stage.Task{Key: fmt.Sprint("t", i), Name: units.Words(string(k)), Kind: k})
	}
	return tasks
}

// The base says all that a closing has to show, each with who confirms it and its source,
// and no figure of a rule of its own.
func TestBaseIsWhole(t *testing.T) {
	data, err := os.ReadFile("base.json")
	require.NoError(t, err)
	r, err := ParseRules(data)
	require.NoError(t, err)
	require.Equal(t, r, Base())
	for _, key := range []string{"sampling.cores", "sampling.composite", "sampling.preserve", "sampling.custody", "sampling.replacement", "waste.characterization", "fresh.slurry",
		"soil.below", "soil.confirm", "wells.before", "wells.after", "liner.condition", "compaction.log", "asbuilt.levels", "daily.field", "runoff.watch", "tile.watch", "spill.plan",
		"biosecurity", "road.before", "road.after", "neighbours", "stormwater.plan", "stormwater.inspection", "after.inspections", "after.regrade", "after.reseed", "records.kept",
		"inflow.elsewhere", "inflow.since"} {
		require.True(t, slices.ContainsFunc(r.Rows, func(row Row) bool { return row.Key == key }), key)
	}
	for _, row := range r.Rows {
		if row.Source == "common practice, no source" {
			for _, text := range []string{row.What, row.When} {
				text = strings.ReplaceAll(text, "1, 3, 6 and 12 months", "")
				require.False(t, strings.ContainsAny(text, "0123456789"), "%s has a figure without a source: %s", row.Key, text)
			}
		}
	}
	for _, name := range figureNames {
		require.NotEmpty(t, asks[name], name)
		f := told().Figures
		require.NotNil(t, f.of(name), name)
		require.Nil(t, (&Figures{}).of(name), name)
		used := slices.ContainsFunc(r.Rows, func(row Row) bool { return slices.Contains(holes(row.What+row.When), name) })
		require.True(t, used, "%s is asked for by a row", name)
	}
	for _, c := range conditions {
		require.True(t, strings.Contains(string(data), `"`+string(c)+`"`), "%s settles a row", c)
	}
}

func TestEverythingToldLeavesNothingOpen(t *testing.T) {
	r, err := Base().For(told(), all())
	require.NoError(t, err)
	require.Empty(t, r.Open)
	text := ""
	for _, e := range r.Evidence {
		text += e.Key + " " + e.What.String() + " " + e.When.String() + "\n"
		require.NotContains(t, e.What.String()+e.When.String(), "{")
	}
	require.Contains(t, text, "at 8 places on floor, banks and in the berm, at the depths 0 ft, 1 ft, 2 ft, each apart")
	require.Contains(t, text, "held against 75 mg/kg of ammonium N, 20 mg/kg of nitrate N")
	require.Contains(t, units.Style{System: units.SystemMetric}.Phrase(r.Evidence[slices.IndexFunc(r.Evidence, func(e stage.Evidence) bool { return e.Key == "after.regrade" })].What), "a rill of 10", "in metric units")
	require.NotContains(t, text, "inflow.ends", "where the herd stays, inflow goes elsewhere")
	require.Contains(t, text, "inflow.elsewhere")
}

// Nothing is invented: what nobody told is an open point and stands in the row as such.
func TestWhatIsNotToldIsOpen(t *testing.T) {
	r, err := Base().For(Site{}, all())
	require.NoError(t, err)
	var keys []string
	for _, o := range r.Open {
		keys = append(keys, o.Key)
	}
	for _, name := range figureNames {
		require.Contains(t, keys, "evidence."+name)
	}
	for _, c := range conditions {
		if c != Fills {
			require.Contains(t, keys, "evidence.if."+strings.ReplaceAll(string(c), " ", "-"))
		}
	}
	require.Contains(t, keys, "evidence.lag.laboratory")
	for _, l := range r.Links {
		require.Zero(t, l.Need.Likely, "no days are counted")
	}
	full, err := Base().For(told(), all())
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(r.Evidence), len(full.Evidence), "rows whose condition is open are kept")
}

func TestConditions(t *testing.T) {
	has := func(s Site, key string) bool {
		r, err := Base().For(s, all())
		require.NoError(t, err)
		return slices.ContainsFunc(r.Evidence, func(e stage.Evidence) bool { return e.Key == key })
	}
	s := told()
	require.True(t, has(s, "wells.after"))
	s.Conditions[Wells] = false
	require.False(t, has(s, "wells.after"))
	// The size that the rule names settles the stormwater permit, unless it is told.
	delete(s.Conditions, Stormwater)
	require.True(t, has(s, "stormwater.inspection"))
	s.Disturbed = units.Acre / 2
	require.False(t, has(s, "stormwater.inspection"))
	s.Conditions[Stormwater] = true
	require.True(t, has(s, "stormwater.inspection"))
	s.Conditions[HerdStays] = false
	require.True(t, has(s, "inflow.ends"))
	// A plan that digs no pipes has no record of pipes.
	r, err := Base().For(s, nil)
	require.NoError(t, err)
	require.False(t, slices.ContainsFunc(r.Evidence, func(e stage.Evidence) bool { return e.Key == "pipes.record" }))
}

// A step is the task of its kind that the plan has; else it is added.
func TestStepsAreTheTasksOfThePlan(t *testing.T) {
	tasks := []stage.Task{{Key: "closing.locate", Kind: stage.Locating}, {Key: "pipes", Kind: stage.PipeWork, Needs: []stage.Need{{Key: "closing.locate", Least: 1, Likely: 9}}}}
	s := told()
	s.Lags["locate ticket"] = Lag{Least: 2, Likely: 3, Life: 21}
	r, err := Base().For(s, tasks)
	require.NoError(t, err)
	require.False(t, slices.ContainsFunc(r.Tasks, func(t stage.Task) bool { return t.Kind == stage.Locating }))
	linked := r.Linked(tasks)
	require.Equal(t, []stage.Need{{Key: "closing.locate", Least: 2, Likely: 9, Life: 21}}, linked[1].Needs)
	require.Equal(t, 9, tasks[1].Needs[0].Likely)
	require.Zero(t, tasks[1].Needs[0].Life, "the plan's own tasks are left as they were")
}

// The regulator's decision on the floor holds up only what comes after its samples.
func TestDecisionOnTheFloor(t *testing.T) {
	tasks := []stage.Task{{Key: "strip", Kind: stage.EarthMoving}, {Key: "floor", Kind: stage.FloorSampling}, {Key: "fill", Kind: stage.EarthMoving, Needs: []stage.Need{{Key: "floor"}}}}
	r, err := Base().For(told(), tasks)
	require.NoError(t, err)
	need := func(task, on string) bool {
		return slices.ContainsFunc(r.Links, func(l Link) bool { return l.Task == task && l.Need.Key == on })
	}
	require.True(t, need("fill", "decision.floor"))
	require.False(t, need("strip", "decision.floor"))
	require.True(t, need("strip", "stormwater.permit"))
}

// Whatever the plan's own order is, the steps make no round of it, and the calendar keeps
// them: agitation waits for the approval, spreading for the laboratory.
func TestStepsAndPlanGoIntoTheCalendar(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		var tasks []stage.Task
		for i := range 1 + r.IntN(20) {
			task := stage.Task{Key: fmt.Sprint("t", i), Name: units.Words("task"), Kind: stage.Kinds()[r.IntN(len(stage.Kinds()))]}
			for range min(i, r.IntN(3)) {
				task.Needs = append(task.Needs, stage.Need{Key: fmt.Sprint("t", r.IntN(i))})
			}
			tasks = append(tasks, task)
		}
		s := told()
		for _, c := range conditions {
			s.Conditions[c] = r.IntN(2) == 0
		}
		got, err := Base().For(s, tasks)
		require.NoError(t, err)
		days, err := calendar.Schedule(calendar.Spec{Start: stage.DayOf(2026, time.April, 1), Tasks: append(got.Linked(tasks), got.Tasks...), Terms: calendar.Terms{Crew: calendar.Crew{Hours: 8 * units.Hour}}})
		require.NoError(t, err)
		require.True(t, days.Kept)
		for _, l := range got.Links {
			before, ok := days.Row(l.Need.Key)
			require.True(t, ok)
			after, _ := days.Row(l.Task)
			require.GreaterOrEqual(t, before.Likely.End.Until(after.Likely.Start), l.Need.Likely)
		}
	}
}

func TestChanges(t *testing.T) {
	change := func(text string) Change {
		c, err := ParseChange([]byte(text))
		require.NoError(t, err)
		return c
	}
	before := Base()
	r, err := List(before, change(`{"name": "county", "strike": ["approval", "neighbours"], "add": {"steps": [{"key": "approval", "what": "the county agrees", "kind": "approval", "who": "regulator", "follows": ["notice.closing"], "lag": "county", "source": "county ordinance"}],
		"rows": [{"key": "county.sign", "what": "a sign at the road", "when": "before hauling", "who": "producer", "source": "county ordinance"}]}}`))
	require.NoError(t, err)
	require.Equal(t, "the county agrees", r.Steps[1].What, "in its place, above those that follow it")
	require.Len(t, r.Rows, len(before.Rows))
	require.Equal(t, before, Base(), "the base is left as it was")
	s := told()
	s.Lags["county"] = Lag{Likely: 3}
	delete(s.Lags, "approval")
	_, err = r.For(s, all())
	require.NoError(t, err)
	_, err = List(before, change(`{"name": "x", "strike": ["nothing"], "add": {"rows": [{"key": "neighbours", "what": "a", "when": "b", "who": "producer", "source": "c"}]}}`), change(`{"name": "y", "strike": ["notice.closing"]}`))
	var got []string
	for _, e := range units.FieldErrors(err) {
		got = append(got, e.Field)
	}
	require.Equal(t, "changes[0].strike[0]", got[0])
	require.Contains(t, got, fmt.Sprintf("rows[%d].key", len(before.Rows)), "twice")
	require.Contains(t, got, "steps[0].follows[0]", "what it followed is gone")
}

func TestFaultsInOneRound(t *testing.T) {
	_, err := Base().For(Site{
		Conditions: map[Condition]bool{"wet": true},
		Figures:    Figures{Cores: -1, SoilDepths: []units.Length{-1}, Limits: []Limit{{Most: 2}}, Storm: 9 * units.Foot, Cover: 2, Retain: 500},
		Lags:       map[string]Lag{"approval": {Least: 9, Likely: 3}, "moon": {}, "laboratory": {Likely: 5, Life: 4}},
		Disturbed:  -1,
	}, nil)
	var got []string
	for _, e := range units.FieldErrors(err) {
		got = append(got, e.Field)
	}
	require.Equal(t, []string{"conditions.wet", "disturbed", "lags.approval.likely", "lags.laboratory.life", "lags.moon", "figures.cores", "figures.soilDepths[0]", "figures.limits[0].of", "figures.limits[0].most",
		"figures.storm", "figures.cover", "figures.retain"}, got)
}

func TestSchemas(t *testing.T) {
	load := func(data []byte) error { _, err := ParseRules(data); return err }
	schema.Hold(t, schema.File[Rules]{Schema: "rules.schema.json", Title: "What is asked for, watched and kept at a closure", Root: "../../..", Examples: []string{"base.json"}, Load: load})
	change := func(data []byte) error { _, err := ParseChange(data); return err }
	schema.Hold(t, schema.File[Change]{Schema: "change.schema.json", Title: "What a state strikes and adds", Root: "../../..", Examples: []string{"testdata/illinois.json"}, Load: change})
}

func TestJSON(t *testing.T) {
	s := told()
	text, err := json.Marshal(s)
	require.NoError(t, err)
	var back Site
	require.NoError(t, strict.Decode(text, &back))
	require.Equal(t, s, back)
	r, err := Base().For(s, all())
	require.NoError(t, err)
	_, err = json.Marshal(r)
	require.NoError(t, err)
}

func FuzzParseChange(f *testing.F) {
	data, err := os.ReadFile("testdata/illinois.json")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Add([]byte(`{"name": "a", "strike": ["neighbours", "neighbours"], "add": {"rows": [{"key": "neighbours", "what": "{", "when": "{}", "who": "producer", "source": "c"}]}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := ParseChange(data)
		if err != nil {
			return
		}
		if r, err := List(Base(), c); err == nil {
			_, err = r.For(told(), all())
			_ = err // a lag of told may be struck
		}
	})
}
