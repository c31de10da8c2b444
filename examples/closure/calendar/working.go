package calendar

import (
	"cmp"
	"slices"
	"time"

	"example.org/earthbasin/units"
)

// Words is what a wait says.
func (w Wait) Words() units.Phrase {
	switch w.Cause {
	case ForStart:
		return units.Words("from the start")
	case ForNeed:
		if w.Days == 0 {
			return units.Words("after %v", units.Word(w.Name))
		}
		return units.Words("%v days after %v", w.Days, units.Word(w.Name))
	case ForCrew:
		return units.Words("%v days for the crew, at %v", w.Days, units.Word(w.Name))
	case ForRest:
		return units.Words("%v days of rest", w.Days)
	case ForLife:
		return units.Words("%v days until it is needed", w.Days)
	}
	return units.Words("%v days for %v", w.Days, units.Word(w.Name))
}

// UnitsValue is the days as a value that a [units.Style] shows.
func (d Dates) UnitsValue() any {
	if d.Start == d.End {
		return time.Time(d.Start)
	}
	return units.Span{Low: time.Time(d.Start), High: time.Time(d.End)}
}

// Working is the tasks with their days, what each waited for and its float, in the
// order of their start, and what breaks.
func (r Result) Working() units.Working {
	var w units.Working
	for _, row := range r.ByStart() {
		if !row.Placed {
			w.Put(row.Task.Name, units.Word("no day"), waited(row.Waits))
			continue
		}
		how := waited(row.Waits)
		if len(row.Pauses) > 0 {
			how = how.And("; stopped %v", waited(row.Pauses))
		}
		if row.Critical {
			how = how.And("; critical")
		} else if r.Kept {
			how = how.And("; %v days of float", row.Float)
		}
		w.Put(row.Task.Name, row.Likely, how)
	}
	for _, a := range r.Renewals {
		w.Add("Ask again", a.On, "%v, whose last day is %v", units.Word(a.Key), a.Ends)
	}
	for _, b := range r.Broken {
		w.Put(units.Words("Cannot be kept"), units.Word(b.Key), b.Why.And("; %v", b.Do))
	}
	if !r.Sooner.IsZero() {
		w.Add("A start that can be kept", r.Sooner, "the nearest that was found before")
	}
	if !r.Later.IsZero() {
		w.Add("A start that can be kept", r.Later, "the nearest that was found after")
	}
	if !r.End.IsZero() {
		w.Add("Likely end", r.End, "not before %v", r.Earliest)
	}
	for _, n := range r.Notes {
		w.Put(units.Words("Note"), nil, n)
	}
	return w
}

func waited(list []Wait) (p units.Phrase) {
	for i, w := range list {
		if i > 0 {
			p = p.And(", ")
		}
		p = p.And("%v", w.Words())
	}
	return p
}

// String returns the working as a table.
func (r Result) String() string { return r.Working().String() }

// Row is the row of a task by its key; ok is false where there is none.
func (r Result) Row(key string) (row Row, ok bool) {
	for _, row := range r.Rows {
		if row.Task.Key == key {
			return row, true
		}
	}
	return Row{}, false
}

// begins is how long after work began on the day its first work does.
func (r Row) begins() units.Duration {
	if len(r.Worked) == 0 {
		return 0
	}
	return r.Worked[0].From
}

// ByStart is the rows in the order of their likely days, those without days at the end.
func (r Result) ByStart() []Row {
	list := slices.Clone(r.Rows)
	slices.SortStableFunc(list, func(a, b Row) int {
		switch {
		case a.Placed != b.Placed && a.Placed:
			return -1
		case a.Placed != b.Placed:
			return 1
		case a.Likely.Start != b.Likely.Start:
			return b.Likely.Start.Until(a.Likely.Start)
		}
		return cmp.Compare(a.begins(), b.begins())
	})
	return list
}
