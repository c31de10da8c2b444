package calendar

import (
	"example.org/earthbasin/cover"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// Spec is the tasks and everything that settles their days.
type Spec struct {
	Start stage.Date   `json:"start"` // first day on which anything may be done
	Tasks []stage.Task `json:"tasks"` // 1 to 2,000, each key once; first in the list goes first where a crew can choose
	Terms
}

// Terms are what the crew, the law and the weather allow.
type Terms struct {
	// Crew is each crew that Crews does not name.
	Crew Crew `json:"crew"`
	// Crews are those that work otherwise, by the name that the tasks have.
	Crews map[string]Crew `json:"crews,omitempty"`
	// Windows are the periods in which tasks may be done, or may not. All that apply to a
	// task hold.
	Windows []Window `json:"windows,omitempty"`
	// Weather is the days that are fit. A fitness without an entry stops no task, which
	// the result says.
	Weather []FitDays `json:"weather,omitempty"`
	// Horizon is the days looked at from the start, 1 to 3,660. Left out: 1,096, which is
	// three years.
	Horizon int `json:"horizon,omitempty"`
	// Patience is the days of waiting for weather or a window from which a note says so, 1
	// to 366. Left out: 14.
	Patience int `json:"patience,omitempty"`
}

// Crew is how long people and machines work.
type Crew struct {
	Hours    units.Duration  `json:"hours"`              // of a day, 15 min to 24 h
	RestDays []stage.Weekday `json:"restDays,omitempty"` // of each week, up to 6
	Holidays []stage.Date    `json:"holidays,omitempty"` // other days without work
}

// Window is a condition on the days of tasks: one of its spans, or none of them.
type Window struct {
	Name   string          `json:"name"`             // such as "planting of the mix" or "winter ban"
	Tasks  []string        `json:"tasks,omitempty"`  // keys of the tasks it holds for
	Fit    []stage.Fitness `json:"fit,omitempty"`    // and every task of these kinds of fitness
	Spans  []Span          `json:"spans"`            // 1 to 100
	Closed bool            `json:"closed,omitempty"` // the spans are closed; else work is in one of them only
	// Whole asks that a task be begun and finished in one opening, as seeding is.
	Whole  bool   `json:"whole,omitempty"`
	Source string `json:"source,omitempty"` // rule or permit
}

// Span is days, the first and the last included: those of one time, where a day left out
// is without end ("not before", "not after"), or those of every year.
type Span struct {
	From  stage.Date `json:"from,omitzero"`
	To    stage.Date `json:"to,omitzero"`
	Every *Season    `json:"every,omitempty"`
}

// Season is days of every year. It runs across new year where To is before From.
type Season struct {
	From cover.MonthDay `json:"from"`
	To   cover.MonthDay `json:"to"`
}

// NotBefore is the window of tasks that begin on a day or later.
func NotBefore(name string, day stage.Date, tasks ...string) Window {
	return Window{Name: name, Tasks: tasks, Spans: []Span{{From: day}}}
}

// NotAfter is the window of tasks that end on a day or sooner.
func NotAfter(name string, day stage.Date, tasks ...string) Window {
	return Window{Name: name, Tasks: tasks, Spans: []Span{{To: day}}}
}

// Planting is the window of planting windows, any of which will do.
func Planting(name string, windows []cover.PlantingWindow, tasks ...string) Window {
	w := Window{Name: name, Tasks: tasks, Whole: true}
	for _, p := range windows {
		w.Spans = append(w.Spans, Span{Every: &Season{p.From, p.To}})
	}
	return w
}

// FitDays says on which days the weather and the ground let work go on.
type FitDays struct {
	// Fit is the fitness it answers for.
	Fit stage.Fitness `json:"fit,omitempty"`
	// Tasks, where given, are the keys of the tasks it holds for, instead of what holds
	// for their fitness.
	Tasks []string `json:"tasks,omitempty"`
	// From is the first of Days.
	From stage.Date `json:"from,omitzero"`
	// Days is whether each day from From on is fit, up to 7,320, as from a balance of the
	// soil's water or from records.
	Days []bool `json:"days,omitempty"`
	// ByMonth is the share of days that are fit in January to December, for days that Days
	// does not have; they are spread evenly over the month. Without it these are not fit.
	ByMonth []float64 `json:"byMonth,omitempty"`
	Source  string    `json:"source,omitempty"` // of the figures
}
