package volume

import (
	"time"

	"example.org/earthbasin/units"
)

// Weather is what one day, or the mean day of a month, brings.
type Weather struct {
	Rain        units.Length `json:"rain"`        // depth in the day
	Evaporation units.Length `json:"evaporation"` // of open water, in the day; a pan reading times the pan coefficient
}

// DatedWeather is the weather of one date, such as a storm.
type DatedWeather struct {
	Date time.Time `json:"date"` // only the day counts
	Weather
}

// What a day can bring. No day has brought 2 m of rain, and no open water loses
// 2 in in one. A mean day of a month stays far below: 2 in a day is five feet of
// rain in the month, and hot deserts lose less than 1 in a day. A month's total
// that is given as its mean day stands out of these.
const (
	maxRain            = 2 * units.Metre
	maxEvaporation     = 2 * units.Inch
	maxMeanRain        = 2 * units.Inch
	maxMeanEvaporation = 1 * units.Inch
)

// check records what lies outside 0 to the given limits; want has the place of the
// limit.
func (w Weather) check(f *units.Faults, rain, evaporation units.Length, want string) {
	for _, c := range []struct {
		field      string
		value, max units.Length
	}{{"rain", w.Rain, rain}, {"evaporation", w.Evaporation, evaporation}} {
		if !(c.value >= 0 && c.value <= c.max) {
			f.Add(c.field, c.value, want, c.max)
		}
	}
}

// date returns the calendar date of t at midnight UTC, where every day has 24
// hours.
func date(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}
