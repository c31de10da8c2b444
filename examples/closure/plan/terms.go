package plan

import (
	"slices"
	"time"

	"example.org/earthbasin/examples/closure/calendar"
	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// hours are those of a day's work.
func (s *Scenario) hours() units.Duration {
	switch {
	case s.Terms.Crew.Hours > 0:
		return s.Terms.Crew.Hours
	case s.Removal != nil && s.Removal.WorkDay > 0:
		return s.Removal.WorkDay
	}
	return usualHours
}

// terms are those of the scenario, with the days that its weather, its fields and its
// planting windows leave.
func (s *Scenario) terms(fields *land.Result) calendar.Terms {
	t := s.Terms
	t.Crew.Hours = s.hours()
	if s.Cover != nil && len(s.Cover.Windows) > 0 {
		t.Windows = append(slices.Clone(t.Windows), calendar.Planting("planting of the mix", s.Cover.Windows, "cover.seed"))
	}
	given := func(fit stage.Fitness) bool {
		return slices.ContainsFunc(s.Terms.Weather, func(d calendar.FitDays) bool { return d.Fit == fit })
	}
	t.Weather = slices.Clone(t.Weather)
	if days, ok := spreading(fields); ok && !given(stage.SpreadDay) {
		t.Weather = append(t.Weather, days)
	}
	if s.Weather == nil || s.Weather.WetDay == 0 {
		return t
	}
	wet := s.wetDay()
	for _, fit := range []stage.Fitness{stage.DryDay, stage.EarthDay} {
		if given(fit) {
			continue
		}
		t.Weather = append(t.Weather, calendar.DaysFrom(fit, s.Start, dryDays, func(d stage.Date) bool {
			return !wet(d) && (fit == stage.DryDay || !wet(d.Plus(-1)))
		}))
	}
	return t
}

// dryDays is for how many days the weather is looked at: those of the calendar.
const dryDays = 1096

// spreading is the days on which any field may be spread on; ok is false where no field
// says.
func spreading(fields *land.Result) (days calendar.FitDays, ok bool) {
	if fields == nil || len(fields.Windows) == 0 {
		return days, false
	}
	first, last := fields.Windows[0].From, fields.Windows[0].From
	for i := range fields.Windows {
		w := &fields.Windows[i]
		if w.From.Before(first) {
			first = w.From
		}
		if end := w.From.Plus(len(w.Days) - 1); last.Before(end) {
			last = end
		}
	}
	n := first.Until(last) + 1
	if n <= 0 || n > 7320 {
		return days, false
	}
	days = calendar.FitDays{Fit: stage.SpreadDay, From: first, Days: make([]bool, n), Source: "the days on which fields may be spread on"}
	for i := range fields.Windows {
		w := &fields.Windows[i]
		for k := range w.Days {
			if w.Days[k].Fit {
				days.Days[first.Until(w.From)+k] = true
			}
		}
	}
	return days, true
}

// unfit lists the days from a first one on which liquid may not go on the land, by what the
// calendar goes by; ok is false where nothing but the rain of the day says.
func unfit(terms []calendar.FitDays, first stage.Date, days int) (list []time.Time, ok bool) {
	for _, d := range terms {
		ok = ok || d.Fit == stage.SpreadDay && len(d.Tasks) == 0
	}
	if !ok {
		return nil, false
	}
	for i := range days {
		day := first.Plus(i)
		if slices.ContainsFunc(terms, func(d calendar.FitDays) bool {
			_, likely := d.On(day)
			return d.Fit == stage.SpreadDay && len(d.Tasks) == 0 && !likely
		}) {
			list = append(list, time.Time(day))
		}
	}
	return list, true
}

// scheduled gives the tasks their days; nil without a first day.
func scheduled(s *Scenario, terms calendar.Terms, list []stage.Task) (*calendar.Result, error) {
	if s.Start.IsZero() {
		return nil, nil
	}
	var f units.Faults
	r, err := calendar.Schedule(calendar.Spec{Start: s.Start, Tasks: list, Terms: terms.For(list)})
	f.Sub("terms", err)
	return &r, f.Err()
}

// on is the likely days of a task; none where it has none.
func on(r *calendar.Result, key string) calendar.Dates {
	if r == nil {
		return calendar.Dates{}
	}
	row, _ := r.Row(key)
	return row.Likely
}
