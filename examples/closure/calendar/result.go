package calendar

import (
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// Result is the days of a plan.
type Result struct {
	Rows []Row `json:"rows"` // one for each task, in their order
	// Kept is that every task has its days and none is too late.
	Kept bool `json:"kept"`
	// End is the likely last day; Earliest a day that no plan ends before. Of a plan that
	// is not kept they are no day.
	End      stage.Date `json:"end,omitzero"`
	Earliest stage.Date `json:"earliest,omitzero"`
	// LatestStart is the last day on which a start leaves the likely end where it is.
	LatestStart stage.Date `json:"latestStart,omitzero"`
	// Chain is the tasks that settle the likely end, the first in front.
	Chain []Link `json:"chain"`
	// Broken is why the plan cannot be kept, one for each link that breaks.
	Broken []Break `json:"broken"`
	// Sooner and Later are the starts nearest to that of the spec with which a plan that is
	// broken can be kept, tried day by day for two months and week by week for a year; no
	// day where there is none.
	Sooner stage.Date `json:"sooner,omitzero"`
	Later  stage.Date `json:"later,omitzero"`
	// Renewals are days on which something is asked for again, since it ends before the
	// work does.
	Renewals []Renewal `json:"renewals"`
	// Notes say what waits long, and what nobody told.
	Notes []units.Phrase `json:"notes"`
}

// Dates are the first and the last day of a task; a moment has the same twice.
type Dates struct {
	Start stage.Date `json:"start,omitzero"`
	End   stage.Date `json:"end,omitzero"`
}

// Row is the days of a task.
type Row struct {
	Task stage.Task `json:"task"`
	// Placed is that the horizon has days for all of it. Of what is not done the likely end
	// is no day, and of what has not begun the start neither.
	Placed bool `json:"placed"`
	// Likely is when it is planned; Earliest a bound that it does not come before; Latest
	// how late it may be without a later end of the whole.
	Likely   Dates `json:"likely,omitzero"`
	Earliest Dates `json:"earliest,omitzero"`
	Latest   Dates `json:"latest,omitzero"`
	// Float is the days that it may slip; Critical that there are none.
	Float    int  `json:"float"`
	Critical bool `json:"critical,omitempty"`
	// Worked is the days on which it is worked at, each with its hours.
	Worked []Worked `json:"worked"`
	// Waits is what it waited for before it began, and Pauses what stopped it after.
	Waits  []Wait `json:"waits"`
	Pauses []Wait `json:"pauses"`
	// State is how far it is where the schedule goes on; see [Resume].
	State State `json:"state,omitempty"`
}

// Worked is work on a day, from and to so long after the day's work began.
type Worked struct {
	Day  stage.Date     `json:"day"`
	From units.Duration `json:"from"`
	To   units.Duration `json:"to"`
}

// Cause is what a task waits for.
type Cause string

// The causes.
const (
	ForNeed    Cause = "need"    // a task that it needs, or the days after it
	ForCrew    Cause = "crew"    // its crew is at another task
	ForRest    Cause = "rest"    // a day of rest or a holiday
	ForWeather Cause = "weather" // no day that is fit
	ForWindow  Cause = "window"  // outside a window, or too little of it left
	ForStart   Cause = "start"   // the first day of the plan
	ForLife    Cause = "life"    // it is asked for late, since what it brings does not hold for long
)

// Wait is days spent waiting.
type Wait struct {
	Cause Cause `json:"cause"`
	// Name is the task that was waited for, the window, or the fitness.
	Name string     `json:"name,omitempty"`
	Days int        `json:"days"` // of the calendar; 0 where it was ready on the day
	From stage.Date `json:"from"` // the first of them
}

// Link is a task of the critical chain and what it began after.
type Link struct {
	Key   string       `json:"key"`
	Name  units.Phrase `json:"name"`
	After Wait         `json:"after"` // the need or the crew that it waited for last; the start for the first
}

// Break is a link that breaks.
type Break struct {
	Key   string       `json:"key"`             // of the task
	Why   units.Phrase `json:"why"`             // it cannot be done in time
	Do    units.Phrase `json:"do"`              // what would help
	After []string     `json:"after,omitempty"` // tasks that cannot be done because of it
}

// Renewal is a day on which something is asked for again.
type Renewal struct {
	Key  string     `json:"key"`  // of the task that brings it
	On   stage.Date `json:"on"`   // day of asking
	Ends stage.Date `json:"ends"` // last day of what there was
}

// Schedule gives the tasks their days. Every fault of the spec is reported at once. A
// plan that cannot be kept is no error: the result says which link breaks.
func Schedule(spec Spec) (Result, error) {
	if err := spec.check(); err != nil {
		return Result{}, err
	}
	if spec.Horizon == 0 {
		spec.Horizon = usualHorizon
	}
	if spec.Patience == 0 {
		spec.Patience = usualPatience
	}
	m := newModel(&spec)
	best, likely := m.schedule(around, false), m.schedule(around, true)
	r := Result{Rows: make([]Row, len(m.tasks)), Chain: []Link{}, Renewals: []Renewal{}, Notes: []units.Phrase{}}
	for i := range m.tasks {
		r.Rows[i] = Row{Task: spec.Tasks[i], Placed: likely.runs[i].done, Waits: m.waits(likely, i), Pauses: []Wait{}, Worked: []Worked{}}
	}
	if likely.kept() {
		r.Chain = m.chain(likely)
	}
	asked := make([]int, len(m.tasks))
	for i, run := range likely.runs {
		asked[i] = run.start.day
	}
	again := m.keepAlive(likely)
	r.Broken = m.broken(likely)
	for i := range m.tasks {
		m.row(&r.Rows[i], i, best, likely, asked[i])
	}
	for _, a := range again {
		r.Renewals = append(r.Renewals, Renewal{spec.Tasks[a.task].Key, m.grid.date(a.day), m.grid.date(a.last)})
	}
	r.Kept = len(r.Broken) == 0
	if likely.kept() {
		r.End, r.Earliest = m.grid.date(likely.end().day), m.grid.date(best.end().day)
		m.floats(&r, likely)
	}
	if !r.Kept {
		r.Sooner, r.Later = m.otherStarts()
	}
	m.notes(&r)
	return r, nil
}

// row sets the days of task i.
func (m *model) row(row *Row, i int, best, likely *schedule, asked int) {
	if r := best.runs[i]; r.done {
		row.Earliest = m.dates(r)
	}
	for _, p := range likely.pieces {
		if p.task == i {
			row.Worked = append(row.Worked, Worked{m.grid.date(p.day), units.Duration(p.from), units.Duration(p.to)})
		}
	}
	r := likely.runs[i]
	if r.begun {
		row.Likely.Start = m.grid.date(r.start.day)
	}
	if !row.Placed {
		return
	}
	row.Likely, row.Pauses = m.dates(r), m.pauses(likely, i)
	if held := r.start.day - asked; held > 0 {
		row.Waits = append(row.Waits, Wait{ForLife, "", held, m.grid.date(asked)})
	}
}

func (m *model) dates(r run) Dates { return Dates{m.grid.date(r.start.day), m.grid.date(r.end.day)} }

// floats sets the latest dates.
func (m *model) floats(r *Result, likely *schedule) {
	first := -1
	for i, late := range m.late(likely) {
		row, own := &r.Rows[i], likely.runs[i]
		row.Latest = m.dates(late)
		row.Float = min(late.start.day-own.start.day, late.end.day-own.end.day)
		row.Critical = row.Float == 0
		if first < 0 || late.start.day < first {
			first = late.start.day
		}
	}
	r.LatestStart = m.grid.date(first)
}
