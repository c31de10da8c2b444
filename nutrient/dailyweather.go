package nutrient

import (
	"time"

	"example.org/earthbasin/units"
)

// DayWeather is what one day brings to a field.
type DayWeather struct {
	Date               time.Time          `json:"date"`                     // only the day counts
	Rain               units.Length       `json:"rain"`                     // with melting snow, 0 to 2 m
	Evapotranspiration units.Length       `json:"evapotranspiration"`       // of the reference crop, 0 to 2 in
	SoilTemperature    *units.Temperature `json:"soilTemperature,omitzero"` // at the depth that the rule names, -60 to 60 C; nil where nobody knows
	Frozen             bool               `json:"frozen,omitzero"`          // the ground is frozen or under snow
}

// MonthWeather is the mean day of a month.
type MonthWeather struct {
	Rain               units.Length       `json:"rain"`                     // of the mean day, 0 to 2 in
	Evapotranspiration units.Length       `json:"evapotranspiration"`       // of the reference crop on the mean day, 0 to 1 in
	WetDays            int                `json:"wetDays,omitzero"`         // over which the rain of the month is spread, 0 to 28; 0: over all of them
	SoilTemperature    *units.Temperature `json:"soilTemperature,omitzero"` // -60 to 60 C; nil where nobody knows
	Frozen             bool               `json:"frozen,omitzero"`          // the ground is frozen or under snow all month
}

// DailyWeatherSpec is what [DailyWeather] works from.
type DailyWeatherSpec struct {
	First time.Time `json:"first"` // day; only its date counts
	Last  time.Time `json:"last"`  // day, at most ten years after the first
	// Months are January to December. They may be left out where Days has every day.
	Months []MonthWeather `json:"months,omitzero"`
	// Days replace the mean day of their dates, each date once; those outside First to
	// Last do not count, so that a long record serves many.
	Days []DayWeather `json:"days,omitzero"`
}

// DailyWeatherResult is the weather of every day, made once and used for many fields.
type DailyWeatherResult struct {
	Days  []DayWeather   `json:"days"`           // in order, each day once, at midnight UTC
	Notes []units.Phrase `json:"notes,omitzero"` // what is no more than an assumption
}

// Bounds of the weather: no day has brought more rain or taken more water.
const (
	mostDayRain       = 2 * units.Metre
	mostDayLoss       = 2 * units.Inch
	mostMeanRain      = 2 * units.Inch
	mostMeanLoss      = 1 * units.Inch
	mostWeatherYears  = 10
	mostDatedWeather  = 50_000
	mostWetDays       = 28
	coldest, hottest  = -60, 60 // of a soil, degrees Celsius
	monthsOfYear      = 12
	evenRain          = "The rain of %v is spread evenly over its days: no day is wet, and more days look fit than are. Give the number of wet days, or the weather of a year."
	assumedWetDays    = "The wet days of a month lie at equal distances, which no year does."
	wantMonthsOrADate = "January to December, or the weather of every day"
)

// DailyWeather makes the weather of every day from the mean days of the months and
// the days that are known. The rain of a month with a number of wet days falls on as
// many days at equal distances; without one it is spread evenly, and a note says what
// is wrong with that. Faults are [units.FieldError].
func DailyWeather(spec DailyWeatherSpec) (DailyWeatherResult, error) {
	known, err := spec.check()
	if err != nil {
		return DailyWeatherResult{}, err
	}
	first, last := midnight(spec.First), midnight(spec.Last)
	r := DailyWeatherResult{Days: make([]DayWeather, 0, int(last.Sub(first).Hours())/24+1)}
	even := [monthsOfYear]bool{}
	wet := false
	for day := first; !day.After(last); day = day.AddDate(0, 0, 1) {
		if w, ok := known[day]; ok {
			w.Date = day
			r.Days = append(r.Days, w)
			continue
		}
		m := &spec.Months[day.Month()-1]
		r.Days = append(r.Days, m.day(day))
		if m.Rain > 0 {
			wet = wet || m.WetDays > 0
			if i := day.Month() - 1; m.WetDays == 0 && !even[i] {
				even[i] = true
				r.Notes = append(r.Notes, units.Words(evenRain, units.Word(day.Month().String())))
			}
		}
	}
	if wet {
		r.Notes = append(r.Notes, units.Words(assumedWetDays))
	}
	return r, nil
}

// day returns the weather of one day of the month.
func (m *MonthWeather) day(day time.Time) DayWeather {
	w := DayWeather{Date: day, Rain: m.Rain + 0, Evapotranspiration: m.Evapotranspiration + 0, SoilTemperature: m.SoilTemperature, Frozen: m.Frozen}
	if m.WetDays == 0 {
		return w
	}
	n := day.AddDate(0, 1, -day.Day()).Day() // days of the month
	// Wet day k of them, from 0, is the day in the middle of its part of the month.
	k := day.Day() - 1
	before, upTo := (2*k*m.WetDays+n)/(2*n), (2*(k+1)*m.WetDays+n)/(2*n)
	w.Rain = 0
	if upTo > before {
		w.Rain = m.Rain * units.Length(n) / units.Length(m.WetDays)
	}
	return w
}

// check returns the known days by date.
func (spec *DailyWeatherSpec) check() (map[time.Time]DayWeather, error) {
	var f units.Faults
	checkDays(&f, "first", "last", spec.First, spec.Last)
	if n := len(spec.Months); n != 0 && n != monthsOfYear {
		f.Count("months", n, "months", "12, January to December, or none")
	}
	for i, m := range spec.Months[:min(len(spec.Months), monthsOfYear)] {
		at := f.At("months", i)
		at.Between("rain", m.Rain, units.Length(0), mostMeanRain)
		at.Between("evapotranspiration", m.Evapotranspiration, units.Length(0), mostMeanLoss)
		at.CountBetween("wetDays", m.WetDays, "days", 0, mostWetDays)
		checkSoilTemperature(&at, m.SoilTemperature)
	}
	f.CountBetween("days", len(spec.Days), "days", 0, mostDatedWeather)
	known := map[time.Time]DayWeather{}
	for i, d := range spec.Days[:min(len(spec.Days), mostDatedWeather)] {
		at := f.At("days", i)
		d.check(&at)
		day := midnight(d.Date)
		if _, twice := known[day]; twice {
			at.Say("date", "given twice", "each date once")
		}
		known[day] = d
	}
	if f.Err() != nil || len(spec.Months) > 0 {
		return known, f.Err()
	}
	last := midnight(spec.Last)
	for day := midnight(spec.First); !day.After(last); day = day.AddDate(0, 0, 1) {
		if _, ok := known[day]; !ok {
			f.Missing("months", "%v: %v is missing", units.Words(wantMonthsOrADate), day)
			break
		}
	}
	return known, f.Err()
}

// check records what a day cannot bring.
func (d *DayWeather) check(f *units.Faults) {
	if d.Date.IsZero() {
		f.Missing("date", "the day")
	}
	f.Between("rain", d.Rain, units.Length(0), mostDayRain)
	f.Between("evapotranspiration", d.Evapotranspiration, units.Length(0), mostDayLoss)
	checkSoilTemperature(f, d.SoilTemperature)
}

func checkSoilTemperature(f *units.Faults, t *units.Temperature) {
	if t != nil {
		f.Between("soilTemperature", *t, units.Celsius(coldest), units.Celsius(hottest))
	}
}

// checkDays records faults of a first and a last day.
func checkDays(f *units.Faults, firstName, lastName string, first, last time.Time) {
	switch {
	case first.IsZero():
		f.Missing(firstName, "the first day")
	case last.IsZero():
		f.Missing(lastName, "the last day")
	case midnight(last).Before(midnight(first)) || midnight(last).After(midnight(first).AddDate(mostWeatherYears, 0, 0)):
		f.Fault(units.FaultRange, lastName, midnight(last), "%v to ten years after it", midnight(first))
	}
}

// midnight returns the date of t at midnight UTC, where every day has 24 hours.
func midnight(t time.Time) time.Time { return midnightOf(t.Date()) }

func midnightOf(year int, month time.Month, day int) time.Time {
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}

// Working shows what is assumed, and the rain and the evapotranspiration of all days.
func (r DailyWeatherResult) Working() units.Working {
	var w units.Working
	var rain, loss units.Length
	wet := 0
	for _, d := range r.Days {
		rain += d.Rain
		loss += d.Evapotranspiration
		if d.Rain > 0 {
			wet++
		}
	}
	w.Add("days", len(r.Days), "")
	w.Add("rain", units.As(rain, units.Inch, 1), "on %v days", wet)
	w.Add("reference evapotranspiration", units.As(loss, units.Inch, 1), "")
	for _, n := range r.Notes {
		w.Put(units.Words("note"), "", n)
	}
	return w
}

// String is the table of the working.
func (r DailyWeatherResult) String() string { return r.Working().String() }
