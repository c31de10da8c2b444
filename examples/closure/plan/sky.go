package plan

import (
	"slices"
	"time"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// mostRain is more than any day has brought.
const mostRain = 2 * units.Metre

// basinDays are the dated days of the weather over the basin: its own, and those that only
// the land is told of, for it rains on both; what the open water loses then is that of the
// month.
func (s *Scenario) basinDays() []volume.DatedWeather {
	w := s.Weather
	if s.Land == nil || s.Land.Weather == nil || len(s.Land.Weather.Days) == 0 {
		return w.Days
	}
	known := map[stage.Date]bool{}
	for _, d := range w.Days {
		known[stage.DateOf(d.Date)] = true
	}
	list := slices.Clip(w.Days)
	for _, d := range s.Land.Weather.Days {
		if known[stage.DateOf(d.Date)] || d.Date.IsZero() || !(d.Rain >= 0 && d.Rain <= mostRain) {
			continue
		}
		day := volume.DatedWeather{Date: d.Date, Weather: volume.Weather{Rain: d.Rain}}
		if len(w.Months) == 12 {
			day.Evaporation = w.Months[d.Date.Month()-1].Evaporation
		}
		list = append(list, day)
	}
	return list
}

// landWeather is the weather over the fields, with the dated days that only the basin is
// told of; the crop then takes what it does on the mean day of the month.
func (s *Scenario) landWeather() *nutrient.DailyWeatherSpec {
	if s.Land.Weather == nil || s.Weather == nil || len(s.Weather.Days) == 0 {
		return s.Land.Weather
	}
	spec := *s.Land.Weather
	known := map[stage.Date]bool{}
	for _, d := range spec.Days {
		known[stage.DateOf(d.Date)] = true
	}
	spec.Days = slices.Clip(spec.Days)
	for _, d := range s.Weather.Days {
		if known[stage.DateOf(d.Date)] || d.Date.IsZero() || !(d.Rain >= 0 && d.Rain <= mostRain) {
			continue
		}
		day := nutrient.DayWeather{Date: d.Date, Rain: d.Rain}
		if len(spec.Months) == 12 {
			m := &spec.Months[d.Date.Month()-1]
			day.Evapotranspiration, day.SoilTemperature, day.Frozen = m.Evapotranspiration, m.SoilTemperature, m.Frozen
		}
		known[stage.DateOf(d.Date)] = true
		spec.Days = append(spec.Days, day)
	}
	return &spec
}

// wetDay tells whether a day brings the rain of a wet day.
func (s *Scenario) wetDay() func(stage.Date) bool {
	w := s.Weather
	rain := map[stage.Date]units.Length{}
	for _, d := range s.basinDays() {
		rain[stage.DateOf(d.Date)] = d.Rain
	}
	return func(d stage.Date) bool {
		if x, ok := rain[d]; ok {
			return x >= w.WetDay
		}
		return len(w.Months) == 12 && w.Months[time.Time(d).Month()-1].Rain >= w.WetDay
	}
}
