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
	Date time.Time `json:"date"`
	Weather
}

// checkWeather records faults of one day; 2 m is more than any day has brought.
// mostMeanRain bounds the mean day of a month: five feet of rain in all.
const mostMeanRain = 2 * units.Inch

func checkWeather(f *units.Faults, path string, w Weather) {
	f.Between(path+".rain", w.Rain, units.Length(0), 2*units.Metre)
	f.Between(path+".evaporation", w.Evaporation, units.Length(0), 2*units.Metre)
}

func dateText(t time.Time) string { return t.Format(time.DateOnly) }

// date returns the calendar date of t at midnight UTC, where every day has 24
// hours.
func date(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}
