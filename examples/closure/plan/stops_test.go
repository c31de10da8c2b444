package plan_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/units"
)

// Ground that lies open while no work goes on for longer than the rule allows is covered
// within that time, whichever ground it is: berm and work area between stripping and
// filling, the heap of topsoil until it is put back. The days are counted here from those
// on which the calendar works.
func TestBareGroundBetweenEarthworks(t *testing.T) {
	stops := func(days int, more map[string]any) (map[string]plan.Stop, *plan.Results) {
		changes := map[string]any{"evidence.figures.bareDays": days}
		for k, v := range more {
			changes[k] = v
		}
		r := read(t, changes)
		list := map[string]plan.Stop{}
		for _, x := range r.Cover.Stops {
			if days < x.Days {
				list[x.Key] = x
			}
		}
		return list, r
	}
	got, r := stops(14, nil)
	require.Len(t, got, 2)
	for key, tasks := range map[string][2]string{"berm": {"closing.strip", "closing.fill"}, "stockpile": {"closing.strip", "closing.topsoil"}} {
		x := got[key]
		require.True(t, x.Covered, key)
		require.Equal(t, tasks, [2]string{x.After, x.Before})
		left, _ := r.Calendar.Row(x.After)
		on, _ := r.Calendar.Row(x.Before)
		last, first := left.Worked[len(left.Worked)-1].Day, on.Worked[0].Day
		require.Equal(t, last.Until(first)-1, x.Days)
		cover, ok := r.Calendar.Row("temporary." + key + ".strip")
		require.True(t, ok)
		require.LessOrEqual(t, last.Until(cover.Likely.End), 14)
		billed := false
		for _, i := range r.Bill.Items {
			billed = billed || i.Key == "temporary."+key+".strip" && i.Cost != nil && i.Cost.Likely > 0
		}
		require.True(t, billed, key)
	}
	// The heap of the layout is 60 ft by 75 ft.
	require.InDelta(t, 4500, got["stockpile"].Area.In(units.SquareFoot), 1e-6)

	// By a rule of 30 days only the heap has to be covered, by one of 60 nothing.
	got, _ = stops(30, nil)
	require.Len(t, got, 1)
	require.True(t, got["stockpile"].Covered)
	got, r = stops(60, nil)
	require.Empty(t, got)
	for _, x := range r.Tasks {
		require.False(t, strings.HasPrefix(x.Key, "temporary."))
	}

	// Where neither nurse crop nor mulch is told, what lies bare until the mix is sown is open.
	got, r = stops(14, map[string]any{"cover.nurse": nil, "cover.mulch": nil})
	require.False(t, got["basin"].Covered)
	asked := 0
	for _, o := range r.Open {
		if strings.HasPrefix(o.Key, "cover.bare.") {
			asked++
		}
	}
	require.Equal(t, 2, asked, "the basin, and where the berm stood")
}
