package calendar

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// random is a plan at random: tasks that need earlier ones, crews, windows of every
// kind, weather by day and by month.
func random(r *rand.Rand) Spec {
	start := stage.DayOf(2026, time.January, 1).Plus(r.IntN(400))
	s := Spec{Start: start, Terms: Terms{Crew: Crew{Hours: units.Duration(4+r.IntN(9)) * units.Hour}, Horizon: 200 + r.IntN(500)}}
	fits := append([]stage.Fitness{stage.AnyDay, stage.AnyDay}, fitnesses...)
	n := 1 + r.IntN(14)
	for i := range n {
		t := stage.Task{Key: fmt.Sprintf("t%d", i), Name: units.Words(fmt.Sprintf("task %d", i)), Fit: fits[r.IntN(len(fits))]}
		if r.IntN(4) > 0 {
			t.Work = units.Duration(r.IntN(40*3600)) * units.Second
		}
		if r.IntN(4) > 0 {
			t.Crew = []string{"diggers", "pumpers", "seeders"}[r.IntN(3)]
		}
		for range min(i, r.IntN(3)) {
			n := stage.Need{Key: fmt.Sprintf("t%d", r.IntN(i)), Least: r.IntN(5), FromStart: r.IntN(5) == 0}
			n.Likely = n.Least + r.IntN(10)
			if r.IntN(6) == 0 {
				n.Within = n.Likely + 1 + r.IntN(20)
			}
			if r.IntN(6) == 0 && !n.FromStart {
				n.Life = n.Likely + 1 + r.IntN(20)
			}
			t.Needs = append(t.Needs, n)
		}
		s.Tasks = append(s.Tasks, t)
	}
	r.Shuffle(n, func(i, j int) { s.Tasks[i], s.Tasks[j] = s.Tasks[j], s.Tasks[i] })
	if r.IntN(2) == 0 {
		s.Crew.RestDays = []stage.Weekday{stage.Weekday(r.IntN(7)), stage.Weekday(r.IntN(7))}
		s.Crew.Holidays = []stage.Date{start.Plus(r.IntN(60)), start.Plus(r.IntN(60))}
		s.Crews = map[string]Crew{"pumpers": {Hours: units.Duration(1+r.IntN(24)) * units.Hour}}
	}
	monthDay := func() cover.MonthDay {
		return cover.MonthDay{Month: time.Month(1 + r.IntN(12)), Day: 1 + r.IntN(28)}
	}
	for i := range r.IntN(4) {
		w := Window{Name: fmt.Sprintf("window %d", i), Closed: r.IntN(3) == 0, Whole: r.IntN(3) == 0}
		if r.IntN(2) == 0 {
			w.Fit = []stage.Fitness{fitnesses[r.IntN(len(fitnesses))]}
		} else {
			w.Tasks = []string{s.Tasks[r.IntN(n)].Key}
		}
		for range 1 + r.IntN(3) {
			from := start.Plus(r.IntN(300) - 30)
			w.Spans = append(w.Spans, []Span{{From: from}, {To: from.Plus(60)}, {From: from, To: from.Plus(r.IntN(90))},
				{Every: &Season{monthDay(), monthDay()}}}[r.IntN(4)])
		}
		s.Windows = append(s.Windows, w)
	}
	for _, fit := range fitnesses {
		w := FitDays{Fit: fit}
		if r.IntN(2) == 0 {
			w.From = start.Plus(r.IntN(20) - 10)
			for range 1 + r.IntN(200) {
				w.Days = append(w.Days, r.IntN(3) > 0)
			}
		}
		if r.IntN(4) > 0 {
			for range 12 {
				w.ByMonth = append(w.ByMonth, []float64{0, 0.2, 0.5, 0.8, 1}[r.IntN(5)])
			}
		}
		if len(w.Days)+len(w.ByMonth) > 0 && r.IntN(5) > 0 {
			s.Weather = append(s.Weather, w)
		}
	}
	return s
}

// fitOn is whether a day is fit, worked out apart from the package: by day where it was
// given, else by the share of the month.
func fitOn(s Spec, t stage.Task, d stage.Date, likely bool) bool {
	for _, w := range s.Weather {
		if w.Fit != t.Fit || t.Fit == stage.AnyDay {
			continue
		}
		if i := w.From.Until(d); len(w.Days) > 0 && i >= 0 && i < len(w.Days) {
			return w.Days[i]
		}
		if len(w.ByMonth) == 0 {
			return false
		}
		share := w.ByMonth[time.Time(d).Month()-1]
		if !likely {
			return share > 0
		}
		n := time.Time(d).Day()
		return int(float64(n)*share+0.5)-int(float64(n-1)*share+0.5) == 1
	}
	return true
}

func openOn(w Window, d stage.Date) bool {
	for _, s := range w.Spans {
		if e := s.Every; e != nil {
			day := func(m cover.MonthDay) int { return int(m.Month)*31 + m.Day }
			now := day(cover.MonthDay{Month: time.Time(d).Month(), Day: time.Time(d).Day()})
			after, before := now >= day(e.From), now <= day(e.To)
			if day(e.From) <= day(e.To) && after && before || day(e.From) > day(e.To) && (after || before) {
				return !w.Closed
			}
		} else if (s.From.IsZero() || s.From.Until(d) >= 0) && (s.To.IsZero() || d.Until(s.To) >= 0) {
			return !w.Closed
		}
	}
	return w.Closed
}

func holds(w Window, t stage.Task) bool {
	return slices.Contains(w.Tasks, t.Key) || slices.Contains(w.Fit, t.Fit)
}

func crewOf(s Spec, t stage.Task) Crew {
	if c, ok := s.Crews[t.Crew]; ok {
		return c
	}
	return s.Crew
}

// The hard rule: no task outside its windows, on a day that is not fit or of rest, none
// before what it needs and the days after it, one crew at one task at a time, and all of
// the work done. Worked out from the result alone.
func TestNoStepOutsideItsWindowNorBeforeWhatItNeeds(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	kept, n := 0, 2000
	if testing.Short() {
		n = 400
	}
	for i := range n {
		s := random(r)
		result, err := Schedule(s)
		require.NoError(t, err)
		if i%50 == 0 {
			again, err := Schedule(s)
			require.NoError(t, err)
			require.Empty(t, cmp.Diff(result, again, cmp.Comparer(func(a, b stage.Date) bool { return a == b })), "the same bits each time")
		}
		if result.Kept {
			kept++
		}
		held(t, s, result)
		late(t, s, result)
	}
	require.Greater(t, kept, n/5, "plans at random that can be kept")
	require.Less(t, kept, n*19/20, "and that cannot")
}

type use struct {
	day      stage.Date
	from, to units.Duration
}

func held(t *testing.T, s Spec, result Result) {
	busy := map[string][]use{}
	for _, row := range result.Rows {
		task := row.Task
		if !row.Placed {
			continue
		}
		require.False(t, row.Likely.Start.Before(s.Start))
		require.Equal(t, row.Likely, Dates{row.Worked[0].Day, row.Worked[len(row.Worked)-1].Day})
		require.False(t, row.Likely.Start.Before(row.Earliest.Start), "%s", task.Key)
		require.False(t, row.Likely.End.Before(row.Earliest.End), "%s", task.Key)
		done := units.Duration(0)
		for _, w := range row.Worked {
			done += w.To - w.From
			require.True(t, fitOn(s, task, w.Day, true), "%s on %v, a day not fit", task.Key, w.Day)
			for _, window := range s.Windows {
				if holds(window, task) {
					require.True(t, openOn(window, w.Day), "%s on %v, outside %s", task.Key, w.Day, window.Name)
				}
			}
			if task.Crew != "" {
				c := crewOf(s, task)
				require.NotContains(t, c.RestDays, stage.Weekday(time.Time(w.Day).Weekday()))
				require.NotContains(t, c.Holidays, w.Day)
				require.LessOrEqual(t, w.To, c.Hours)
				if w.To > w.From {
					busy[task.Crew] = append(busy[task.Crew], use{w.Day, w.From, w.To})
				}
			}
		}
		require.InDelta(t, task.Work.SI(), done.SI(), 1, "%s", task.Key)
		for _, window := range s.Windows {
			for d := row.Likely.Start; window.Whole && holds(window, task) && !row.Likely.End.Before(d); d = d.Plus(1) {
				require.True(t, openOn(window, d), "%s in one opening of %s", task.Key, window.Name)
			}
		}
		for _, n := range task.Needs {
			before, _ := result.Row(n.Key)
			from := before.Likely.End
			clock := before.Worked[max(0, len(before.Worked)-1)].To
			if n.FromStart {
				from, clock = before.Likely.Start, before.Worked[0].From
			}
			require.GreaterOrEqual(t, from.Until(row.Likely.Start), n.Likely, "%s after %s", task.Key, n.Key)
			if from == row.Likely.Start {
				require.GreaterOrEqual(t, row.Worked[0].From, clock, "%s after %s on one day", task.Key, n.Key)
			}
			if n.Within > 0 && from.Until(row.Likely.Start) > n.Within {
				require.True(t, slices.ContainsFunc(result.Broken, func(b Break) bool { return b.Key == task.Key }), "%s too late after %s", task.Key, n.Key)
			}
			if n.Life > 0 {
				for _, w := range row.Worked {
					alive := func(on stage.Date) bool { return on.Until(w.Day) <= n.Life }
					require.True(t, alive(before.Likely.End) || slices.ContainsFunc(result.Renewals, func(a Renewal) bool {
						return a.Key == n.Key && a.On.Until(w.Day) >= n.Likely && alive(a.On)
					}), "%s on %v by what %s brought %+v %+v %+v", task.Key, w.Day, n.Key, before, n, result.Renewals)
				}
			}
		}
	}
	for crew, list := range busy {
		slices.SortFunc(list, func(a, b use) int {
			if a.day != b.day {
				return b.day.Until(a.day)
			}
			return int(a.from - b.from)
		})
		for i := 1; i < len(list); i++ {
			require.True(t, list[i-1].day != list[i].day || list[i-1].to <= list[i].from, "%s at two tasks at once on %v", crew, list[i].day)
		}
	}
}

// The latest dates can all be kept together, and so leave the end where it is; some
// chain has no float; what breaks is said and begins nothing.
func late(t *testing.T, s Spec, result Result) {
	all := !slices.ContainsFunc(result.Rows, func(r Row) bool { return !r.Placed })
	require.Equal(t, all, !result.End.IsZero())
	if !all {
		require.False(t, result.Kept)
		require.NotEmpty(t, result.Broken)
		return
	}
	last := false
	for _, row := range result.Rows {
		require.GreaterOrEqual(t, row.Float, 0, "%s", row.Task.Key)
		last = last || row.Latest.End == result.End
		require.False(t, result.End.Before(row.Latest.End))
		for _, n := range row.Task.Needs {
			before, _ := result.Row(n.Key)
			from := before.Latest.End
			if n.FromStart {
				from = before.Latest.Start
			}
			require.GreaterOrEqual(t, from.Until(row.Latest.Start), n.Likely, "%s after %s at the latest", row.Task.Key, n.Key)
		}
	}
	require.True(t, last)
	require.Equal(t, ForStart, result.Chain[0].After.Cause)
	end, _ := result.Row(result.Chain[len(result.Chain)-1].Key)
	require.Equal(t, result.End, end.Likely.End)
}
