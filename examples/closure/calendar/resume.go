package calendar

import (
	"slices"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// State is how far a task was on the first day of a schedule that goes on.
type State string

// The states.
const (
	Planned State = ""         // has not begun
	Going   State = "going on" // has begun
	Done    State = "done"     // is done
	DoneBy  State = "done by"  // is done: nobody wrote down when, but what needs it had begun
)

// Progress is what has become of a task before the first day of a schedule that goes on.
type Progress struct {
	Key string `json:"key"`
	// Dates are when it was done; no last day where it goes on.
	Dates
	By bool `json:"by,omitempty"` // it was done by the last day, and nobody wrote down when
	// Left is the share of its work that is left where it goes on, above 0 to 1.
	Left float64 `json:"left,omitempty"`
}

// Resume is [Schedule] for work that goes on: tasks that are done keep their days, those
// that go on have the rest of their work, and nothing is planned before the start of the
// spec. What is done frees what needs it when the likely days after it have passed, also
// for the earliest dates. What holds for a number of days, such as a ticket, and ended
// before the start is asked for again where a task that has not begun needs it. Faults of
// what is done are those of done[i].
func Resume(spec Spec, done []Progress) (Result, error) {
	var f units.Faults
	far := map[string]Progress{}
	for i, d := range done {
		at := f.At("done", i)
		at.Sub("", d.check(&spec, far))
		far[d.Key] = d
	}
	if err := f.Err(); err != nil {
		return Result{}, err
	}
	own := spec.rest(far)
	r := Result{Kept: true, Rows: []Row{}, Chain: []Link{}, Broken: []Break{}, Renewals: []Renewal{}, Notes: []units.Phrase{}}
	if len(own.Tasks) > 0 {
		var err error
		if r, err = Schedule(own); err != nil {
			return Result{}, err
		}
	}
	rows := make([]Row, len(spec.Tasks))
	for i, t := range spec.Tasks {
		d, begun := far[t.Key]
		row, planned := r.Row(t.Key)
		if !planned {
			row = Row{Placed: true, Likely: d.Dates, Earliest: d.Dates, Latest: d.Dates, Worked: []Worked{}, Waits: []Wait{}, Pauses: []Wait{}}
		}
		row.Task = t
		switch {
		case !planned && d.By:
			row.State = DoneBy
		case !planned:
			row.State = Done
		case begun && d.End.IsZero():
			row.State = Going
			row.Likely.Start, row.Earliest.Start, row.Latest.Start = d.Start, d.Start, d.Start
		}
		rows[i] = row
	}
	r.Rows = rows
	return r, nil
}

// check finds what is wrong with what is done of a task.
func (d Progress) check(spec *Spec, others map[string]Progress) error {
	var f units.Faults
	if !slices.ContainsFunc(spec.Tasks, func(t stage.Task) bool { return t.Key == d.Key }) {
		f.Fault(units.FaultName, "key", d.Key, "the key of one of the tasks")
	} else if _, twice := others[d.Key]; twice {
		f.Say("key", "given twice", "each task once")
	}
	d.Start.Check(&f, "start")
	switch {
	case spec.Start.Before(d.Start):
		f.Say("start", d.Start.String(), "not after %v, the day from which the rest is planned", units.Word(spec.Start.String()))
	case d.End.IsZero():
		f.NumberBetween("left", d.Left, 1e-9, 1)
	case d.End.Before(d.Start) || spec.Start.Before(d.End):
		f.Say("end", d.End.String(), "from %v to %v", units.Word(d.Start.String()), units.Word(spec.Start.String()))
	}
	return f.Err()
}

// rest is the spec of what is not done.
func (s Spec) rest(far map[string]Progress) Spec {
	again := map[string]bool{} // what is done and has to be asked for again
	for more := true; more; {
		more = false
		for _, t := range s.Tasks {
			if _, begun := far[t.Key]; begun && !again[t.Key] {
				continue
			}
			for _, n := range t.Needs {
				if d, ok := far[n.Key]; ok && n.Life > 0 && !again[n.Key] && !d.End.IsZero() && d.End.Plus(n.Life).Before(s.Start) {
					again[n.Key], more = true, true
				}
			}
		}
	}
	ended := func(key string) bool { // and what it brought still holds where it is needed
		d, ok := far[key]
		return ok && !d.End.IsZero() && !again[key]
	}
	var windows []Window
	var list []stage.Task
	for _, t := range s.Tasks {
		if ended(t.Key) {
			continue
		}
		d, begun := far[t.Key]
		if begun = begun && d.End.IsZero(); begun {
			t.Needs, t.Work = nil, t.Work*units.Duration(d.Left)
			list = append(list, t)
			continue
		}
		var needs []stage.Need
		for _, n := range t.Needs {
			of, known := far[n.Key]
			from := of.End
			if n.FromStart {
				from = of.Start
			}
			if !known || from.IsZero() || !n.FromStart && !ended(n.Key) {
				needs = append(needs, n)
				continue
			}
			if day := from.Plus(n.Likely); s.Start.Before(day) {
				windows = append(windows, NotBefore("the days after "+n.Key, day, t.Key))
			}
		}
		t.Needs = needs
		list = append(list, t)
	}
	s.Tasks, s.Terms = list, s.Terms.For(list)
	s.Windows = append(slices.Clone(s.Windows), windows...)
	return s
}

// For leaves out of terms what holds for tasks that are not in the list: a plan has not
// every task that its terms provide for.
func (t Terms) For(list []stage.Task) Terms {
	there := func(keys []string) []string {
		return slices.DeleteFunc(slices.Clone(keys), func(key string) bool {
			return !slices.ContainsFunc(list, func(t stage.Task) bool { return t.Key == key })
		})
	}
	windows, weather := t.Windows, t.Weather
	t.Windows, t.Weather = nil, nil
	for _, w := range windows {
		named := len(w.Tasks) > 0
		if w.Tasks = there(w.Tasks); !named || len(w.Tasks)+len(w.Fit) > 0 {
			t.Windows = append(t.Windows, w)
		}
	}
	for _, d := range weather {
		named := len(d.Tasks) > 0
		if d.Tasks = there(d.Tasks); !named || len(d.Tasks) > 0 {
			t.Weather = append(t.Weather, d)
		}
	}
	return t
}

// Next is the first days of work from a day on, at most so many, with what is worked at on
// each.
func (r Result) Next(from stage.Date, days int) (list []NextDay) {
	for _, row := range r.Rows {
		for _, w := range row.Worked {
			if !w.Day.Before(from) {
				list = append(list, NextDay{w.Day, row.Task.Key, row.Task.Name, w.To - w.From})
			}
		}
	}
	slices.SortStableFunc(list, func(a, b NextDay) int { return b.Day.Until(a.Day) })
	n := 0
	for i := range list {
		if i == 0 || list[i].Day != list[i-1].Day {
			if n++; n > days {
				return list[:i]
			}
		}
	}
	return list
}

// NextDay is work on a day.
type NextDay struct {
	Day  stage.Date     `json:"day"`
	Key  string         `json:"key"`  // of the task
	Name units.Phrase   `json:"name"` // what is done
	Work units.Duration `json:"work"` // on that day; 0 for a moment
}
