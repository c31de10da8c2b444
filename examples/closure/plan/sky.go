package plan

import (
	"iter"
	"slices"
	"time"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// mostRain is more than any day has brought.
const mostRain = 2 * units.Metre

// fall is the rain of a day.
type fall struct {
	date time.Time
	rain units.Length
}

func basinFall(d volume.DatedWeather) fall { return fall{d.Date, d.Rain} }

func landFall(d nutrient.DayWeather) fall { return fall{d.Date, d.Rain} }

// onlyIn gives the sound days of one record, each once, that the other does not tell of.
func onlyIn[A, B any](one []A, ofOne func(A) fall, other []B, ofOther func(B) fall) iter.Seq[fall] {
	return func(yield func(fall) bool) {
		known := map[stage.Date]bool{}
		for _, d := range other {
			known[stage.DateOf(ofOther(d).date)] = true
		}
		for _, d := range one {
			x := ofOne(d)
			day := stage.DateOf(x.date)
			if known[day] || x.date.IsZero() || !(x.rain >= 0 && x.rain <= mostRain) {
				continue
			}
			known[day] = true
			if !yield(x) {
				return
			}
		}
	}
}

// basinDays are the dated days of the weather over the basin: its own, and those that only
// the land is told of, for it rains on both; what the open water loses then is that of the
// month.
func (s *Scenario) basinDays() []volume.DatedWeather {
	w := s.Weather
	if s.Land == nil || s.Land.Weather == nil || len(s.Land.Weather.Days) == 0 {
		return w.Days
	}
	list := slices.Clip(w.Days)
	for d := range onlyIn(s.Land.Weather.Days, landFall, w.Days, basinFall) {
		day := volume.DatedWeather{Date: d.date, Weather: volume.Weather{Rain: d.rain}}
		if len(w.Months) == 12 {
			day.Evaporation = w.Months[d.date.Month()-1].Evaporation
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
	spec.Days = slices.Clip(spec.Days)
	for d := range onlyIn(s.Weather.Days, basinFall, s.Land.Weather.Days, landFall) {
		day := nutrient.DayWeather{Date: d.date, Rain: d.rain}
		if len(spec.Months) == 12 {
			m := &spec.Months[d.date.Month()-1]
			day.Evapotranspiration, day.SoilTemperature, day.Frozen = m.Evapotranspiration, m.SoilTemperature, m.Frozen
		}
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
