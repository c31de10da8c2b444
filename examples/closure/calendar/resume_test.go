package calendar

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// far is a progress at random of a plan that was made: what a day finds done and begun,
// some of it on other days than it was planned for.
func far(r *rand.Rand, s Spec, planned Result) (today stage.Date, list []Progress) {
	today = s.Start.Plus(r.IntN(60))
	state := map[string]Progress{}
	rows := planned.ByStart()
	for range rows {
		for _, row := range rows {
			if _, told := state[row.Task.Key]; told || !row.Placed || today.Before(row.Likely.Start) {
				continue
			}
			free := !slices.ContainsFunc(row.Task.Needs, func(n stage.Need) bool {
				p, ok := state[n.Key]
				return !ok || !n.FromStart && p.End.IsZero()
			})
			if !free || r.IntN(8) == 0 {
				continue
			}
			p := Progress{Key: row.Task.Key, Dates: row.Likely, By: r.IntN(4) == 0}
			if today.Before(p.End) || r.IntN(8) == 0 {
				p.End, p.Left = stage.Date{}, 0.1+0.9*r.Float64()
			}
			state[p.Key] = p
		}
	}
	for _, p := range state {
		list = append(list, p)
	}
	slices.SortFunc(list, func(a, b Progress) int { return cmp.Compare(a.Key, b.Key) })
	return today, list
}

// Whatever is done stays as it was, what goes on has the rest of its work, and of the rest
// nothing is planned before the day, before what it needs, on a day that is not fit or
// outside a window.
func TestNothingBeforeToday(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	n, ended, going, waiting := 1500, 0, 0, 0
	if testing.Short() {
		n = 300
	}
	for range n {
		s := random(r)
		planned, err := Schedule(s)
		require.NoError(t, err)
		today, done := far(r, s, planned)
		s.Start = today
		result, err := Resume(s, done)
		require.NoError(t, err)
		require.Len(t, result.Rows, len(s.Tasks))
		for i, row := range result.Rows {
			require.Equal(t, s.Tasks[i], row.Task)
			k := slices.IndexFunc(done, func(p Progress) bool { return p.Key == row.Task.Key })
			if row.State == Done || row.State == DoneBy {
				ended++
				require.Equal(t, done[k].Dates, row.Likely)
				require.Equal(t, done[k].By, row.State == DoneBy)
				require.Empty(t, row.Worked)
				continue
			}
			work := row.Task.Work.SI()
			if row.State == Going {
				going++
				require.Equal(t, done[k].Start, row.Likely.Start)
				work *= done[k].Left
			} else if row.Placed {
				waiting++
				require.False(t, row.Likely.Start.Before(today), row.Task.Key)
			}
			var sum units.Duration
			for _, w := range row.Worked {
				require.False(t, w.Day.Before(today), row.Task.Key)
				require.True(t, fitOn(s, row.Task, w.Day, true), row.Task.Key)
				for _, window := range s.Windows {
					require.True(t, !holds(window, row.Task) || openOn(window, w.Day), "%s outside %s", row.Task.Key, window.Name)
				}
				sum += w.To - w.From
			}
			if !row.Placed {
				continue
			}
			require.InDelta(t, work, sum.SI(), 1, row.Task.Key)
			for _, need := range row.Task.Needs {
				before, _ := result.Row(need.Key)
				from := before.Likely.End
				if need.FromStart {
					from = before.Likely.Start
				}
				if row.State == Planned {
					require.GreaterOrEqual(t, from.Until(row.Likely.Start), need.Likely, "%s after %s", row.Task.Key, need.Key)
				}
				if need.Life > 0 && row.State == Planned && before.State != Planned && before.State != Going {
					require.False(t, before.Likely.End.Plus(need.Life).Before(today), "what has ended is asked for again")
				}
			}
		}
		for _, day := range result.Next(today, 3) {
			require.False(t, day.Day.Before(today))
		}
	}
	require.Greater(t, ended, n/2)
	require.Greater(t, going, n/20)
	require.Greater(t, waiting, n)
}

// What is done is checked like any input.
func TestResumeFaults(t *testing.T) {
	s := random(rand.New(rand.NewPCG(1, 1)))
	key := s.Tasks[0].Key
	day := func(n int) stage.Date { return s.Start.Plus(n) }
	for want, p := range map[string]Progress{
		"done[0].key: ":               {Key: "tea", Dates: Dates{day(-2), day(-1)}},
		"done[0].start: missing":      {Key: key},
		"want not after":              {Key: key, Dates: Dates{Start: day(1)}, Left: 1},
		"done[0].end: ":               {Key: key, Dates: Dates{day(-2), day(-3)}},
		"done[0].left: got 0, want":   {Key: key, Dates: Dates{Start: day(-2)}},
		"done[0].left: got 1.5, want": {Key: key, Dates: Dates{Start: day(-2)}, Left: 1.5},
	} {
		_, err := Resume(s, []Progress{p})
		require.ErrorContains(t, err, want)
	}
	_, err := Resume(s, []Progress{{Key: key, Dates: Dates{day(-2), day(-1)}}, {Key: key, Dates: Dates{day(-2), day(-1)}}})
	require.ErrorContains(t, err, "done[1].key: given twice")
	all := make([]Progress, len(s.Tasks))
	for i, task := range s.Tasks {
		all[i] = Progress{Key: task.Key, Dates: Dates{day(-2), day(-1)}}
	}
	r, err := Resume(s, all)
	require.NoError(t, err, "all is done")
	require.True(t, r.Kept)
}
