package calendar

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

func day(text string) stage.Date {
	var d stage.Date
	if err := d.UnmarshalText([]byte(text)); err != nil {
		panic(err)
	}
	return d
}

func named(key string, hours float64, crew string, needs ...stage.Need) stage.Task {
	return stage.Task{Key: key, Name: units.Words(key), Work: units.Duration(hours) * units.Hour, Crew: crew, Needs: needs}
}

func plan(start string, tasks ...stage.Task) Spec {
	return Spec{Start: day(start), Tasks: tasks, Terms: Terms{Crew: Crew{Hours: 10 * units.Hour}}}
}

func must(t *testing.T, s Spec) Result {
	r, err := Schedule(s)
	require.NoError(t, err)
	return r
}

// A start in December says which day is the first that is fit, and which start would do.
func TestWinterStartWaitsForTheFirstFitDay(t *testing.T) {
	spread := named("spread", 25, "pump crew")
	spread.Fit = stage.SpreadDay
	s := plan("2026-12-01", spread)
	s.Weather = []FitDays{{Fit: stage.SpreadDay, ByMonth: []float64{0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 0}}}
	r := must(t, s)
	require.True(t, r.Kept)
	require.Equal(t, Dates{day("2027-04-01"), day("2027-04-03")}, r.Rows[0].Likely)
	require.Equal(t, "spread is ready on 2026-12-01 and waits 121 days for spreading; it begins on 2027-04-01", r.Notes[0].String())
	require.Equal(t, day("2027-04-01"), r.LatestStart)
	// With a permit that ends before, the plan breaks, and the end of November would do.
	s.Windows = []Window{NotAfter("permit", day("2026-12-31"), "spread")}
	r = must(t, s)
	require.False(t, r.Kept)
	require.Equal(t, "spread is ready on 2026-12-01; the first day fit for spreading is 2027-04-01, after the last day of permit, 2026-12-31", r.Broken[0].Why.String())
	require.Equal(t, day("2026-11-28"), r.Sooner, "three days of work to the end of November")
	require.True(t, r.Later.IsZero())
}

// Standing corn: the field is open after the harvest only.
func TestStandingCrop(t *testing.T) {
	spread := named("spread", 12, "pump crew")
	s := plan("2026-07-01", spread)
	s.Windows = []Window{{Name: "corn in the ground", Tasks: []string{"spread"}, Closed: true, Spans: []Span{{From: day("2026-05-01"), To: day("2026-10-10")}}}}
	r := must(t, s)
	require.Equal(t, Dates{day("2026-10-11"), day("2026-10-12")}, r.Rows[0].Likely)
	require.Equal(t, []Wait{{ForStart, "", 0, day("2026-07-01")}, {ForWindow, "corn in the ground", 102, day("2026-07-01")}}, r.Rows[0].Waits)
}

// A window that closes before a task is ready says by how much, and what would do.
func TestMissedWindow(t *testing.T) {
	s := plan("2026-06-01", named("notice", 0, ""), named("spread", 30, "pump crew", stage.Need{Key: "notice", Least: 10, Likely: 45}), named("seed", 5, "", stage.Need{Key: "spread"}))
	s.Windows = []Window{NotAfter("end of the permit", day("2026-06-30"), "spread")}
	r := must(t, s)
	require.Len(t, r.Broken, 1)
	b := r.Broken[0]
	require.Equal(t, "spread is ready on 2026-07-16, 16 days after the last day of end of the permit, 2026-06-30", b.Why.String())
	require.Equal(t, "be ready for it by 2026-06-28, which is 18 days sooner, or have end of the permit extended", b.Do.String())
	require.Equal(t, []string{"seed"}, b.After)
	require.Equal(t, day("2026-05-14"), r.Sooner)
	s.Start = r.Sooner
	require.True(t, must(t, s).Kept)
	s.Start = r.Sooner.Plus(1)
	require.False(t, must(t, s).Kept)
}

// Seeding is done in one opening: with two days left in the window it waits for the next.
func TestSeedingInOneOpening(t *testing.T) {
	s := plan("2026-06-29", named("seed", 25, "seeders"))
	s.Windows = []Window{Planting("mix", []cover.PlantingWindow{
		{From: cover.MonthDay{Month: time.April, Day: 1}, To: cover.MonthDay{Month: time.June, Day: 30}},
		{From: cover.MonthDay{Month: time.November, Day: 15}, To: cover.MonthDay{Month: time.February, Day: 29}},
	}, "seed")}
	require.Equal(t, Dates{day("2026-11-15"), day("2026-11-17")}, must(t, s).Rows[0].Likely)
	s.Start = day("2026-06-28")
	require.Equal(t, Dates{day("2026-06-28"), day("2026-06-30")}, must(t, s).Rows[0].Likely)
	s.Start = day("2027-02-26")
	require.Equal(t, day("2027-02-28"), must(t, s).Rows[0].Likely.End, "the last day of February")
	s.Start = day("2027-02-27")
	require.Equal(t, day("2027-04-01"), must(t, s).Rows[0].Likely.Start)
}

// A crew of two tasks does one after the other; rain sends it to what may go on.
func TestCrewTurnsToWhatTheWeatherAllows(t *testing.T) {
	fill := named("fill", 30, "earth")
	fill.Fit = stage.EarthDay
	s := plan("2026-06-01", fill, named("pipes", 5, "earth"), named("sheds", 5, "earth"))
	s.Weather = []FitDays{{Fit: stage.EarthDay, From: s.Start, Days: []bool{true, false, true, true, true}}}
	r := must(t, s)
	require.Equal(t, Dates{day("2026-06-01"), day("2026-06-04")}, r.Rows[0].Likely)
	require.Equal(t, []Wait{{ForWeather, "earthwork", 1, day("2026-06-02")}}, r.Rows[0].Pauses)
	require.Equal(t, Dates{day("2026-06-02"), day("2026-06-02")}, r.Rows[1].Likely)
	require.Equal(t, []Worked{{day("2026-06-02"), 5 * units.Hour, 10 * units.Hour}}, r.Rows[2].Worked, "two short tasks share a day")
	require.Equal(t, ForCrew, r.Rows[1].Waits[1].Cause)
	require.Equal(t, []string{"fill"}, keys(r.Chain))
}

func keys(chain []Link) (list []string) {
	for _, l := range chain {
		list = append(list, l.Key)
	}
	return list
}

func TestCriticalChainGoesThroughNeedsAndCrews(t *testing.T) {
	s := plan("2026-06-01", named("sample", 0, ""), named("mow", 40, "crew"), named("pump", 20, "crew", stage.Need{Key: "sample", Likely: 2}), named("lab", 0, "", stage.Need{Key: "pump", Likely: 9}))
	r := must(t, s)
	require.Equal(t, []string{"mow", "pump", "lab"}, keys(r.Chain))
	require.Equal(t, []Cause{ForStart, ForCrew, ForNeed}, []Cause{r.Chain[0].After.Cause, r.Chain[1].After.Cause, r.Chain[2].After.Cause})
	require.Equal(t, day("2026-06-15"), r.End)
	require.Equal(t, 2, r.Rows[0].Float, "pumping begins on 5 June, two days after 3 June")
}

// A ticket is asked for as late as can be and again before it ends.
func TestTicketLives(t *testing.T) {
	s := plan("2026-06-01", named("ticket", 0, ""), named("pump", 300, "crew"),
		named("dig", 200, "crew", stage.Need{Key: "pump"}, stage.Need{Key: "ticket", Least: 2, Likely: 3, Life: 14}))
	r := must(t, s)
	require.Equal(t, day("2026-07-01"), r.Rows[2].Likely.Start)
	require.Equal(t, day("2026-06-28"), r.Rows[0].Likely.Start, "three days before")
	require.Equal(t, []Renewal{{"ticket", day("2026-07-10"), day("2026-07-12")}}, r.Renewals, "in hand on 13 July")
}

func TestCalibrationBeginsWithAgitation(t *testing.T) {
	s := plan("2026-06-01", named("agitate", 40, "agitator"), named("calibrate", 3, "hose", stage.Need{Key: "agitate", FromStart: true}), named("spread", 5, "hose", stage.Need{Key: "calibrate"}))
	r := must(t, s)
	require.Equal(t, day("2026-06-01"), r.Rows[2].Likely.End)
}

func TestBareSoilIsDueForCover(t *testing.T) {
	s := plan("2026-06-01", named("grade", 10, "earth"), named("mulch", 2, "", stage.Need{Key: "grade", Within: 14}))
	s.Windows = []Window{NotBefore("straw delivered", day("2026-06-20"), "mulch")}
	r := must(t, s)
	require.False(t, r.Kept)
	require.Equal(t, "mulch is due by 2026-06-15, 14 days after grade, and begins on 2026-06-20", r.Broken[0].Why.String())
	require.False(t, r.End.IsZero(), "it has its days all the same")
	require.Equal(t, day("2026-06-06"), r.Later)
}

// Days that were given count as they are; those after them by the month; others not.
func TestDaysAreNeverGuessed(t *testing.T) {
	spread := named("spread", 15, "crew")
	spread.Fit = stage.SpreadDay
	s := plan("2026-06-01", spread)
	require.Equal(t, "no days fit for spreading were told: every day counts as one", must(t, s).Notes[0].String())
	s.Weather = []FitDays{{Fit: stage.SpreadDay, From: day("2026-06-03"), Days: []bool{true}}}
	r := must(t, s)
	require.False(t, r.Kept)
	require.Equal(t, "spread begins on 2026-06-03 and is not done by 2029-05-31; 5 h of work are left", r.Broken[0].Why.String())
	s.Weather[0].ByMonth = []float64{0, 0, 0, 0, 0, 0.5, 0, 0, 0, 0, 0, 0}
	r = must(t, s)
	require.Equal(t, Dates{day("2026-06-01"), day("2026-06-03")}, r.Rows[0].Likely)
	own := FitDays{Tasks: []string{"spread"}, From: day("2026-06-01"), Days: []bool{false, false, false, false, true, true}}
	s.Weather = append(s.Weather, own)
	require.Equal(t, Dates{day("2026-06-05"), day("2026-06-06")}, must(t, s).Rows[0].Likely, "the field's own days")
}

// Share of fit days in a month, to the nearest day.
func TestSharesOfMonths(t *testing.T) {
	for share := 0.0; share <= 1; share += 0.05 {
		w := FitDays{Fit: stage.DryDay}
		for range 12 {
			w.ByMonth = append(w.ByMonth, share)
		}
		g := &grid{from: day("2026-01-01"), days: 365}
		_, likely := w.fit(g)
		fit := map[time.Month]int{}
		for d, yes := range likely {
			if yes {
				fit[time.Time(g.date(d)).Month()]++
			}
		}
		for m := time.January; m <= time.December; m++ {
			length := time.Date(2026, m+1, 0, 0, 0, 0, 0, time.UTC).Day()
			require.InDelta(t, share*float64(length), fit[m], 0.51, "%v of %v", share, m)
		}
	}
}

func TestFaultsInOneRound(t *testing.T) {
	_, err := Schedule(Spec{
		Tasks: []stage.Task{
			named("a", 1, "", stage.Need{Key: "c"}), named("b", -1, "", stage.Need{Key: "a", Least: 5, Likely: 2}), named("c", 1, "", stage.Need{Key: "b"}, stage.Need{Key: "d"}),
			named("a", 1, ""), {Fit: "sunny"}, named("e", 1, "", stage.Need{Key: "b", Within: 4, Likely: 9, Life: 9}, stage.Need{}),
		},
		Terms: Terms{
			Crew:     Crew{Hours: 30 * units.Hour, RestDays: []stage.Weekday{9}},
			Crews:    map[string]Crew{"two": {RestDays: []stage.Weekday{0, 1, 2, 3, 4, 5, 6}}},
			Windows:  []Window{{Tasks: []string{"x"}}, {Name: "w", Tasks: []string{"a"}, Spans: []Span{{}, {From: day("2026-05-02"), To: day("2026-05-01")}, {Every: &Season{}}}}},
			Weather:  []FitDays{{Fit: stage.DryDay, ByMonth: []float64{2}}, {Fit: stage.DryDay, Days: []bool{true}}},
			Horizon:  -1,
			Patience: 400,
		},
	})
	var got []string
	for _, f := range units.FieldErrors(err) {
		got = append(got, f.Error())
	}
	require.Equal(t, strings.Split(`start: missing; want a day such as 2026-06-01
crew.hours: got 30 h, want 15 min to 24 h
crew.restDays[0]: got %!Weekday(9), want a day of the week
crews.two.hours: missing; want the hours of a day that are worked
crews.two.restDays: got 7 days, want 6 or fewer
windows[0].name: missing; want what the window is called
windows[0].spans: got 0 spans, want 1 to 100
windows[1].spans[0].from: missing; want a first day, a last day, or both
windows[1].spans[1].to: 2026-05-01, before the first day; want 2026-05-02 or later
windows[1].spans[2].every.from: missing; want a day of the year such as 15 May
windows[1].spans[2].every.to: missing; want a day of the year such as 15 May
weather[0].byMonth: got 1 shares, want 12, for January to December
weather[0].byMonth[0]: got 2, want 0 to 1
weather[1].from: missing; want a day such as 2026-06-01
weather[1]: a second answer for dry day; want one for each fitness or task
horizon: got -1, want 1 to 3660 days, or none for 1096
patience: got 400, want 1 to 366 days, or none for 14
tasks[1].work: got -1 h, want 0 h to 3,660 d
tasks[1].needs[0].likely: got 2, want 5 to 3660 days
tasks[3].key: got "a", want one that no other task has
tasks[4].key: missing; want a key such as "closing.fill"
tasks[4].fit: got "sunny", want one of dry day, spreading, earthwork, planting, no freezing
tasks[5].needs[0].within: fewer days than the likely ones that pass; want 9 days or more
tasks[5].needs[0].life: over before the likely days have passed; want more than 9 days
tasks[5].needs[1].key: missing; want the key of a task
tasks[2].needs[1].key: got "d", want the key of a task
windows[0].tasks[0]: got "x", want the key of a task
tasks[0].needs: tasks that need each other: a, which needs c, which needs b, which needs a; want an order in which they can be done`, "\n"), got)
}

// Numbers that no job has are faults, and never a panic.
func TestOddNumbers(t *testing.T) {
	for _, x := range []float64{0, math.Copysign(0, -1), 5e-324, 1e-310, 1e308, math.Inf(1), math.Inf(-1), math.NaN(), -1, 1e9} {
		s := plan("2026-06-01", named("a", 1, "crew"))
		s.Tasks[0].Work = units.Duration(x)
		r, err := Schedule(s)
		require.Equal(t, x >= 0 && x < 3e8, err == nil, "work of %v", x)
		if err == nil {
			require.True(t, r.Kept)
		}
		s = plan("2026-06-01", named("a", 1, "crew"))
		s.Crew.Hours = units.Duration(x)
		_, err = Schedule(s)
		require.Error(t, err, "hours of %v", x)
		s = plan("2026-06-01", named("a", 1, "crew"))
		s.Weather = []FitDays{{Fit: stage.DryDay, ByMonth: make([]float64, 12)}}
		s.Weather[0].ByMonth[3] = x
		_, err = Schedule(s)
		require.Equal(t, x >= 0 && x <= 1, err == nil, "a share of %v", x)
	}
	require.Len(t, DaysFrom(stage.DryDay, day("2026-01-01"), math.MaxInt, func(stage.Date) bool { return true }).Days, 2*mostDays+1)
	require.Empty(t, DaysFrom(stage.DryDay, day("2026-01-01"), math.MinInt, func(stage.Date) bool { return true }).Days)
}

// What people write is read strictly, and a spec and its result come back from JSON.
func TestJSON(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	dates := cmp.Comparer(func(a, b stage.Date) bool { return a == b })
	for range 50 {
		s := random(r)
		text, err := json.Marshal(s)
		require.NoError(t, err)
		var back Spec
		require.NoError(t, strict.Decode(text, &back))
		require.Empty(t, cmp.Diff(s, back, dates))
		result := must(t, s)
		text, err = json.Marshal(result)
		require.NoError(t, err)
		var again Result
		require.NoError(t, json.Unmarshal(text, &again))
		require.Empty(t, cmp.Diff(result, again, dates))
		require.Equal(t, result.String(), again.String())
	}
}

func TestCustomsAreMetThroughOtherTasks(t *testing.T) {
	kinds := func(key string, kind stage.Kind, needs ...stage.Need) stage.Task {
		task := named(key, 1, "", needs...)
		task.Kind = kind
		return task
	}
	tasks := []stage.Task{
		kinds("fence", stage.ErosionControl), kinds("locate", stage.Locating), kinds("look", stage.Inspection),
		kinds("walk", "", stage.Need{Key: "fence"}, stage.Need{Key: "locate"}, stage.Need{Key: "look"}),
		kinds("fill", stage.EarthMoving, stage.Need{Key: "walk"}),
		kinds("agitate", stage.Agitation), kinds("hose", stage.CalibrateSlurry, stage.Need{Key: "agitate", FromStart: true}),
	}
	lacking := func() (list []string) {
		for _, l := range Unmet(tasks, Customs()) {
			list = append(list, fmt.Sprintf("%s: %s %v", l.Key, l.Custom.After, l.Absent))
		}
		return list
	}
	require.Equal(t, []string{"agitate: approval true"}, lacking())
	tasks[3].Needs[0].FromStart = true
	tasks[6].Needs = nil
	require.Equal(t, []string{"fill: erosion controls false", "agitate: approval true", "hose: agitation false"}, lacking())
	for _, c := range Customs() {
		require.NotEmpty(t, c.Source)
		require.False(t, c.Why.IsZero())
	}
}

func BenchmarkSchedule(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	s := random(r)
	for len(s.Tasks) < 14 || s.Horizon < 300 {
		s = random(r)
	}
	for b.Loop() {
		if _, err := Schedule(s); err != nil {
			b.Fatal(err)
		}
	}
}
