package calendar

import "slices"

// renewal is a day on which something that has a life is asked for again, since it ends
// before the work that needs it does.
type renewal struct{ task, day, last int }

// usedOn is a day of work that needs something, so many days after it was asked for and
// within its life.
type usedOn struct{ day, lag, life int }

// keepAlive moves what has a life, and no crew, to the latest day that its likely
// schedule allows, and lists the days on which it has to be asked for again.
func (m *model) keepAlive(s *schedule) (again []renewal) {
	order := make([]int, 0, len(m.tasks))
	for i, r := range s.runs {
		if r.done {
			order = append(order, i)
		}
	}
	// What comes later is moved first, so that what it needs can follow.
	slices.SortFunc(order, func(a, b int) int { return s.runs[b].order - s.runs[a].order })
	for _, i := range order {
		days, by := m.uses(s, i)
		if len(days) == 0 {
			continue
		}
		if m.tasks[i].crew == nobody && by.day < s.last {
			s.runs[i] = m.moved(s, i, by)
		}
		asked := []int{s.runs[i].end.day}
		for _, u := range days {
			if !slices.ContainsFunc(asked, func(on int) bool { return on+u.lag <= u.day && u.day <= on+u.life }) {
				again = append(again, renewal{i, u.day - u.lag, slices.Max(asked) + u.life})
				asked = append(asked, u.day-u.lag)
			}
		}
	}
	return again
}

// uses is the days on which work needs that what task i brought is alive, in their
// order, none where it has no life; and by when the task has to be done.
func (m *model) uses(s *schedule, i int) (days []usedOn, by moment) {
	by = endOf(s.last)
	for _, n := range m.tasks[i].before {
		if !s.runs[n.task].begun {
			continue
		}
		until := s.runs[n.task].start
		if n.Likely > 0 {
			until = endOf(until.day - n.Likely)
		}
		by = earlier(by, until)
		for _, p := range s.pieces {
			if n.Life > 0 && p.task == n.task {
				days = append(days, usedOn{p.day, n.Likely, n.Life})
			}
		}
	}
	slices.SortStableFunc(days, func(a, b usedOn) int { return a.day - b.day })
	return days, by
}

// moved is task i, which has no crew, done as late as it can be by a time.
func (m *model) moved(s *schedule, i int, by moment) run {
	r := s.runs[i]
	late := m.latest(s, i, by, earlier(by, m.due(s, i)))
	if late.start.before(r.start) {
		return r
	}
	r.start, r.end = late.start, late.end
	s.pieces = slices.DeleteFunc(s.pieces, func(p piece) bool { return p.task == i })
	left := m.tasks[i].work
	for d := r.start.day; d <= r.end.day; d++ {
		if from := 0; m.fits(i, d, true) {
			if d == r.start.day {
				from = r.start.sec
			}
			to := min(from+left, dayLong)
			s.pieces = append(s.pieces, piece{i, d, from, to})
			left -= to - from
		}
	}
	slices.SortStableFunc(s.pieces, func(a, b piece) int { return (a.day-b.day)*2*dayLong + a.from - b.from })
	return r
}
