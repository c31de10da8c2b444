package cover_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
)

// Windows against a walk day by day.
func TestPlantingAgainstCalendarWalk(t *testing.T) {
	r := random()
	day := func() cover.MonthDay {
		d := time.Date(2000, 1, 1+r.IntN(366), 0, 0, 0, 0, time.UTC)
		return cover.MonthDay{Month: d.Month(), Day: d.Day()}
	}
	for range 300 {
		w := cover.PlantingWindow{Name: "w", From: day(), To: day()}
		ready := time.Date(2024+r.IntN(5), 1, 1+r.IntN(365), r.IntN(24), 0, 0, 0, time.UTC)
		days := 1 + r.IntN(20)
		got, err := cover.Planting(cover.PlantingSpec{Ready: ready, Days: days, Windows: []cover.PlantingWindow{w}})

		inside := func(d time.Time) bool {
			key := func(m time.Month, d int) int { return 100*int(m) + d }
			x, from, to := key(d.Month(), d.Day()), key(w.From.Month, w.From.Day), key(w.To.Month, w.To.Day)
			if from <= to {
				return from <= x && x <= to
			}
			return x >= from || x <= to
		}
		start := ready.Truncate(24 * time.Hour)
		var want time.Time
		for i := range 366 * 9 {
			d := start.AddDate(0, 0, i)
			ok := true
			for j := range days {
				ok = ok && inside(d.AddDate(0, 0, j))
			}
			// A window that ends the day before it begins is the whole year but runs
			// out and begins anew; the walk cannot see that seam.
			if ok {
				want = d
				break
			}
		}
		if err != nil {
			require.True(t, want.IsZero(), "%v to %v, %d days from %v: %v", w.From, w.To, days, ready, want)
			continue
		}
		if seam(w) {
			require.False(t, got.Next.Start.Before(want))
			continue
		}
		require.Equal(t, want, got.Next.Start, "%v to %v, %d days from %v", w.From, w.To, days, ready)
	}
}

// seam reports whether the window ends just before it begins.
func seam(w cover.PlantingWindow) bool {
	to := time.Date(2000, w.To.Month, w.To.Day, 0, 0, 0, 0, time.UTC).AddDate(0, 0, 1)
	return to.Month() == w.From.Month && to.Day() == w.From.Day
}

func TestPlantingWindows(t *testing.T) {
	date := func(y, m, d int) time.Time { return time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC) }
	winter := cover.PlantingWindow{Name: "dormant", From: cover.MonthDay{Month: 11, Day: 15}, To: cover.MonthDay{Month: 2, Day: 29}, Dormant: true}
	for _, c := range []struct {
		ready, want time.Time
		days        int
	}{
		{date(2026, 9, 1), date(2026, 11, 15), 5},
		{date(2027, 1, 3), date(2027, 1, 3), 5},
		{date(2027, 2, 27), date(2027, 2, 27), 2},
		{date(2027, 2, 27), date(2027, 11, 15), 3}, // no 29 February in 2027
		{date(2028, 2, 27), date(2028, 2, 27), 3},
		{date(2026, 3, 1), date(2027, 11, 15), 107}, // only the leap year has the days
	} {
		r, err := cover.Planting(cover.PlantingSpec{Ready: c.ready, Days: c.days, Windows: []cover.PlantingWindow{winter}})
		require.NoError(t, err)
		require.Equal(t, c.want, r.Next.Start)
		require.Equal(t, c.want.Equal(c.ready), r.Now)
		require.Equal(t, int(c.want.Sub(c.ready).Hours()/24), r.Next.Wait)
	}
	// The end of February with its leap day is eight years off where a century has none.
	leap := cover.PlantingWindow{Name: "leap", From: cover.MonthDay{Month: 2, Day: 28}, To: cover.MonthDay{Month: 2, Day: 29}}
	for ready, want := range map[time.Time]time.Time{date(2096, 3, 1): date(2104, 2, 28), date(2096, 2, 29): date(2104, 2, 28), date(2096, 2, 28): date(2096, 2, 28), date(2024, 2, 29): date(2028, 2, 28)} {
		r, err := cover.Planting(cover.PlantingSpec{Ready: ready, Days: 2, Windows: []cover.PlantingWindow{leap}})
		require.NoError(t, err)
		require.Equal(t, want, r.Next.Start)
		require.Equal(t, want, r.Next.Last)
	}
	_, err := cover.Planting(cover.PlantingSpec{Ready: date(2026, 3, 1), Days: 108, Windows: []cover.PlantingWindow{winter}})
	require.Equal(t, []string{"days"}, fields(err))
	_, err = cover.Planting(cover.PlantingSpec{Ready: date(2026, 3, 1), Days: 1, Windows: []cover.PlantingWindow{{From: cover.MonthDay{Month: 2, Day: 30}, To: cover.MonthDay{Month: 13, Day: 1}}}})
	require.Equal(t, []string{"windows[0].name", "windows[0].from", "windows[0].to"}, fields(err))
	require.ErrorContains(t, err, "windows[0].to: got day 1 of month 13, want a day of the year such as 15 May")
	// The day of the ready ground is that of its own zone.
	west := time.FixedZone("west", -7*3600)
	r, err := cover.Planting(cover.PlantingSpec{Ready: time.Date(2026, 11, 15, 23, 0, 0, 0, west), Days: 1, Windows: []cover.PlantingWindow{winter}})
	require.NoError(t, err)
	require.Equal(t, date(2026, 11, 15), r.Next.Start)
}
