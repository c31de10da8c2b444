package calendar

import (
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// broken lists the links that break: tasks that are ready and have no days, with those
// that wait for them, and tasks that begin too late after what they follow.
func (m *model) broken(s *schedule) []Break {
	list := []Break{}
	for i, t := range m.tasks {
		if s.runs[i].done {
			for _, n := range t.needs {
				if from := n.from(s.runs[n.task]); n.Within > 0 && s.runs[i].start.day > from.day+n.Within {
					list = append(list, m.overdue(s, i, n, from))
				}
			}
			continue
		}
		reached := true
		for _, n := range t.needs {
			reached = reached && n.met(s)
		}
		if reached {
			list = append(list, m.stuck(s, i))
		}
	}
	return list
}

// overdue is a task that begins too late after another.
func (m *model) overdue(s *schedule, i int, n link, from moment) Break {
	due := m.grid.date(from.day + n.Within)
	return Break{
		Key: m.spec.Tasks[i].Key,
		Why: units.Words("%v is due by %v, %v days after %v, and begins on %v", m.spec.Tasks[i].Name, due, n.Within, m.spec.Tasks[n.task].Name, m.grid.date(s.runs[i].start.day)),
		Do:  units.Words("bridge the %v days, such as by a temporary cover, or move the work before it", s.runs[i].start.day-from.day-n.Within),
	}
}

// stuck is a task that is ready and finds no days.
func (m *model) stuck(s *schedule, i int) Break {
	t, ready := m.spec.Tasks[i], m.grid.date(s.ready[i].day)
	last := m.grid.date(s.last - 1)
	b := Break{Key: t.Key, After: m.behind(s, i)}
	if s.ready[i].day >= s.last {
		b.Why = units.Words("%v is ready on %v, after the last day looked at, %v", t.Name, ready, last)
		b.Do = units.Words("shorten what comes before it, or look further ahead than %v days", m.spec.Horizon)
		return b
	}
	if s.runs[i].begun {
		b.Why = units.Words("%v begins on %v and is not done by %v; %v of work are left", t.Name, m.grid.date(s.runs[i].start.day), last, units.Duration(s.runs[i].left))
		b.Do = units.Words("more hours, another crew, or more days")
		return b
	}
	for _, k := range m.tasks[i].windows {
		if b.Why, b.Do = m.missed(s, i, k, ready); !b.Why.IsZero() {
			return b
		}
	}
	fit := s.ready[i].day
	for ; fit < s.last && m.tasks[i].weather >= 0 && !m.grid.likely[m.tasks[i].weather][fit]; fit++ {
	}
	switch k, open := m.closesFirst(s, i); {
	case fit < s.last && fit > open:
		b.Why = units.Words("%v is ready on %v; the first day fit for %v is %v, after the last day of %v, %v", t.Name, ready, string(t.Fit), m.grid.date(fit), m.spec.Windows[k].Name, m.grid.date(open))
		b.Do = units.Words("be ready for it sooner, or have %v extended", m.spec.Windows[k].Name)
	case fit == s.last:
		b.Why = units.Words("%v is ready on %v and finds no day fit for %v by %v", t.Name, ready, string(t.Fit), last)
		b.Do = units.Words("days fit for it: further days of the balance, or their share in each month")
	case len(m.tasks[i].whole) > 0:
		w := m.spec.Windows[m.tasks[i].whole[0]]
		b.Why = units.Words("%v takes %v of work, and no opening of %v from %v on has as many hours on fit days", t.Name, t.Work, w.Name, ready)
		b.Do = units.Words("more hours of a day, a second crew, or work in parts")
	default:
		b.Why = units.Words("%v is ready on %v and finds no day until %v that is fit, inside its windows and free", t.Name, ready, last)
		b.Do = units.Words("a further crew, or wider windows")
	}
	return b
}

// missed is what is to be said where a window has no open day from the one on which task
// i is ready.
func (m *model) missed(s *schedule, i, window int, ready stage.Date) (why, do units.Phrase) {
	last := -1
	for d := range m.grid.days {
		if m.grid.open[window][d] && d < s.last {
			last = d
		}
	}
	w, t := m.spec.Windows[window], m.spec.Tasks[i]
	if last >= s.ready[i].day {
		return why, do
	}
	if last < 0 {
		return units.Words("%v may be done only in %v, which has no day from %v to %v", t.Name, w.Name, m.grid.date(0), m.grid.date(s.last-1)),
			units.Words("another period for %v", w.Name)
	}
	// As late as it could have been begun inside the window.
	by := m.latest(&schedule{runs: make([]run, len(m.tasks)), first: 0, last: s.last, likely: true}, i, endOf(last), endOf(last)).start
	if by.day == 0 {
		return units.Words("%v is ready on %v, after the last day of %v, %v, which is too short for its %v of work", t.Name, ready, w.Name, m.grid.date(last), t.Work),
			units.Words("have %v extended, or work longer days", w.Name)
	}
	return units.Words("%v is ready on %v, %v days after the last day of %v, %v", t.Name, ready, s.ready[i].day-last, w.Name, m.grid.date(last)),
		units.Words("be ready for it by %v, which is %v days sooner, or have %v extended", m.grid.date(by.day), s.ready[i].day-by.day, w.Name)
}

// closesFirst is the window of task i whose last open day comes first, and that day; the
// last day looked at where it has none.
func (m *model) closesFirst(s *schedule, i int) (window, last int) {
	last = s.last
	for _, k := range m.tasks[i].windows {
		d := s.last - 1
		for d > 0 && !m.grid.open[k][d] {
			d--
		}
		if d < last {
			window, last = k, d
		}
	}
	return window, last
}

// behind is the tasks that cannot be done because task i cannot.
func (m *model) behind(s *schedule, i int) (keys []string) {
	waits := make([]bool, len(m.tasks))
	waits[i] = true
	for changed := true; changed; {
		changed = false
		for j, t := range m.tasks {
			for _, n := range t.needs {
				if waits[n.task] && !waits[j] && !s.runs[j].begun {
					waits[j], changed = true, true
				}
			}
		}
	}
	for j, w := range waits {
		if w && j != i {
			keys = append(keys, m.spec.Tasks[j].Key)
		}
	}
	return keys
}

// mostSteps bounds the search for another start by the days and tasks it goes through.
const mostSteps = 20_000_000

// byDay is the days each way of which every one is tried as a start; of those after it
// one in a week is.
const byDay = 60

// otherStarts finds the nearest starts with which the plan can be kept.
func (m *model) otherStarts() (sooner, later stage.Date) {
	tries := mostSteps / (len(m.tasks) * m.spec.Horizon)
	for n := 1; n <= around && tries > 0 && (sooner.IsZero() || later.IsZero()); n++ {
		if n > byDay && n%7 != 0 {
			continue
		}
		if sooner.IsZero() && m.keeps(around-n) {
			sooner = m.grid.date(around - n)
		}
		if later.IsZero() && m.keeps(around+n) {
			later = m.grid.date(around + n)
		}
		tries -= 2
	}
	return sooner, later
}

// keeps reports whether the plan can be kept with a start.
func (m *model) keeps(first int) bool {
	s := m.schedule(first, true)
	if s.kept() {
		m.keepAlive(s)
	}
	return s.kept() && len(m.broken(s)) == 0
}

// notes says what waits long and what nobody told.
func (m *model) notes(r *Result) {
	asked := map[stage.Fitness]bool{}
	for i, t := range m.tasks {
		fit := m.spec.Tasks[i].Fit
		if fit != stage.AnyDay && t.weather < 0 && len(t.windows) == 0 && !asked[fit] {
			asked[fit] = true
			r.Notes = append(r.Notes, units.Words("no days fit for %v were told: every day counts as one", string(fit)))
		}
		row := r.Rows[i]
		if !row.Placed {
			continue
		}
		for _, w := range row.Waits {
			if (w.Cause == ForWeather || w.Cause == ForWindow) && w.Days >= m.spec.Patience {
				r.Notes = append(r.Notes, units.Words("%v is ready on %v and waits %v days for %v; it begins on %v", row.Task.Name, w.From, w.Days, w.Name, row.Likely.Start))
			}
		}
	}
	if !r.LatestStart.IsZero() && m.spec.Start.Until(r.LatestStart) >= m.spec.Patience {
		r.Notes = append(r.Notes, units.Words("a start on %v ends on the same day, %v", r.LatestStart, r.End))
	}
}
