package plan

import (
	"cmp"
	"slices"
	"time"

	"example.org/earthbasin/examples/closure/calendar"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// mostDays is how long the draw-off may take where the scenario does not say.
const mostDays = 365

// drawdown asks for the draw-off of the liquid on a route while the weather goes on; ok
// is false where no liquid is drawn off first or its start is not known.
func drawdown(s *Scenario, in *inputs, route *removal.RouteResult) (spec volume.EmptyingSpec, ok bool, err error) {
	c, start := &in.contents, in.start
	w := s.Weather
	i := pumpOff(route)
	if w == nil || i < 0 || start.IsZero() || c.Level == nil {
		return spec, false, nil
	}
	off := &route.Stages[i]
	spec = w.spec(s.basinDays(), start, w.days())
	spec.RestDays = s.restDays()
	if in.rested {
		spec.RestDates, spec.WetDay = in.rests, 0
	}
	spec.Basin, spec.StartLevel = c.Solid, *c.Level
	spec.Pump, spec.HoursPerDay = off.Material.Volume.OverTime(off.Hours), s.Removal.WorkDay
	left := max(0, c.Held-min(off.Material.Volume, c.Held))
	spec.StopLevel, err = volume.HeightFor(c.Solid, left)
	return spec, err == nil, err
}

// days is how long the draw-off may take.
func (w *Weather) days() int { return cmp.Or(w.MostDays, mostDays) }

// goBy takes the days that are fit from the terms of the calendar.
func (in *inputs) goBy(s *Scenario, terms calendar.Terms) {
	in.fit = terms.Weather
	if s.Weather != nil && !in.start.IsZero() {
		in.rests, in.rested = unfit(in.fit, in.start, s.Weather.days()+1)
	}
}

// spec is the weather as the library has it, with dated days.
func (w *Weather) spec(dated []volume.DatedWeather, start stage.Date, days int) volume.EmptyingSpec {
	spec := volume.EmptyingSpec{Start: time.Time(start), Until: time.Time(start.Plus(days)),
		WetDay: w.WetDay, Months: w.Months, Seepage: w.Seepage, Inflow: w.Inflow}
	for _, d := range dated {
		// A record may be longer than the draw-off.
		if day := stage.DateOf(d.Date); d.Date.IsZero() || !day.Before(start) && !start.Plus(days).Before(day) {
			spec.Days = append(spec.Days, d)
		}
	}
	return spec
}

// checkWeather finds the faults of the weather on a basin without any, so that they are
// told whatever else is wrong.
func checkWeather(s *Scenario) error {
	w := s.Weather
	if w == nil {
		return nil
	}
	var f units.Faults
	at := f.At("weather")
	at.CountBetween("mostDays", w.MostDays, "days", 0, 3650)
	if len(w.Days) > 10*mostParts {
		at.Count("days", len(w.Days), "days", "at most %v", 10*mostParts)
		return f.Err()
	}
	first := time.Date(2001, time.January, 1, 0, 0, 0, 0, time.UTC)
	spec := w.spec(nil, stage.Date(first), 1)
	spec.Days = w.Days
	if i := slices.IndexFunc(w.Days, func(d volume.DatedWeather) bool { return !d.Date.IsZero() }); i >= 0 {
		spec.Start = w.Days[i].Date
	}
	for _, d := range w.Days {
		if !d.Date.IsZero() && d.Date.Before(spec.Start) {
			spec.Start = d.Date
		}
	}
	spec.Until = spec.Start.AddDate(10, 0, 0)
	spec.Basin, spec.StartLevel, spec.StopLevel = box(0), 0.1, 0.05
	spec.Pump, spec.HoursPerDay = 100, units.Day
	_, err := volume.Emptying(spec)
	at.Sub("", err)
	return f.Err()
}

// pumpOff is the stage that takes liquid off before the sludge is touched, less than 0
// for none.
func pumpOff(route *removal.RouteResult) int {
	for i, s := range route.Stages {
		if s.Kind == removal.StagePumpOff && s.Material.Volume > 0 {
			return i
		}
	}
	return -1
}

// restDays are those of the crew that no other name is given.
func (s *Scenario) restDays() []time.Weekday {
	var list []time.Weekday
	for _, day := range s.Terms.Crew.RestDays {
		list = append(list, time.Weekday(day))
	}
	return list
}
