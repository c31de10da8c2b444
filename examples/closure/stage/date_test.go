package stage

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func TestDatesCountDays(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 1000 {
		d := DayOf(1900, time.January, 1).Plus(r.IntN(100_000))
		n := r.IntN(5000) - 2500
		require.Equal(t, n, d.Until(d.Plus(n)))
		require.Equal(t, n > 0, d.Before(d.Plus(n)))
		text, err := d.MarshalText()
		require.NoError(t, err)
		var back Date
		require.NoError(t, back.UnmarshalText(text))
		require.Equal(t, d, back)
	}
	require.Equal(t, "2028-02-29", DayOf(2028, time.February, 28).Plus(1).String())
	late := time.Date(2026, 6, 1, 23, 0, 0, 0, time.FixedZone("west", -6*3600))
	require.Equal(t, "2026-06-01", DateOf(late).String(), "the day of the farm, not of Greenwich")
}

func TestDatesRefused(t *testing.T) {
	var d Date
	require.ErrorContains(t, d.UnmarshalText([]byte("1.6.2026")), "a day such as 2026-06-01")
	var f units.Faults
	d.Check(&f, "start")
	DayOf(1066, time.October, 14).Check(&f, "end")
	DayOf(2026, time.June, 1).Check(&f, "sound")
	require.EqualError(t, f.Err(), "start: missing; want a day such as 2026-06-01\nend: got 1066-10-14, want a day of the years 1900 to 2200")
}

func TestWeekdays(t *testing.T) {
	var d Weekday
	require.NoError(t, d.UnmarshalText([]byte("sunday")))
	require.Equal(t, Weekday(time.Sunday), d)
	require.ErrorContains(t, d.UnmarshalText([]byte("Someday")), "a day of the week")
	_, err := Weekday(9).MarshalText()
	require.Error(t, err)
}
