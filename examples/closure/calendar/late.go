package calendar

import "slices"

// late is the latest times that leave the likely end of the whole where it is: every
// task keeps its place in its crew's order. It asks for a schedule that is kept.
func (m *model) late(s *schedule) []run {
	latest := make([]run, len(s.runs))
	order := make([]int, len(s.runs))
	for i, r := range s.runs {
		order[r.order] = i
	}
	end := endOf(s.end().day)
	for _, i := range slices.Backward(order) {
		by, start := end, end
		for _, n := range m.tasks[i].before {
			until := latest[n.task].start
			if n.Likely > 0 {
				until = endOf(until.day - n.Likely)
			}
			if n.FromStart {
				start = earlier(start, until)
			} else {
				by = earlier(by, until)
			}
		}
		by = earlier(by, m.crewFree(s, latest, i))
		latest[i] = m.latest(s, i, by, earlier(start, m.due(s, i)))
	}
	return latest
}

// due is by when task i has to begin, as far as it does.
func (m *model) due(s *schedule, i int) moment {
	due := endOf(s.last)
	for _, n := range m.tasks[i].needs {
		if by := endOf(n.from(s.runs[n.task]).day + n.Within); n.Within > 0 && !by.before(s.runs[i].start) {
			due = earlier(due, by)
		}
	}
	return due
}

// from is the time from which the days of a need count.
func (n link) from(of run) moment {
	if n.FromStart {
		return of.start
	}
	return of.end
}

// crewFree is until when the crew of task i may be at it: the latest start of what the
// crew begins next, or the time at which it goes on with something.
func (m *model) crewFree(s *schedule, latest []run, i int) moment {
	own := s.runs[i]
	if m.tasks[i].crew == nobody {
		return endOf(s.last)
	}
	for day := own.end.day; day < s.last; day++ {
		for _, p := range s.crews[crewDay{m.tasks[i].crew, day}] {
			at := moment{day, p.from}
			if p.task == i || at.before(own.end) || s.runs[p.task].order < own.order && s.runs[p.task].start == at {
				continue
			}
			if s.runs[p.task].start == at {
				return latest[p.task].start
			}
			return at
		}
	}
	return endOf(s.last)
}

// latest is task i as late as it can be: done by a time, and begun by another.
func (m *model) latest(s *schedule, i int, by, start moment) run {
	own, t := s.runs[i], &m.tasks[i]
	if len(t.whole) > 0 {
		for d := by.day; d > own.start.day; d-- {
			if !m.fits(i, d, true) || start.before(moment{d, 0}) {
				continue
			}
			if end, ok := m.wholly(i, moment{d, 0}, true); ok && !by.before(end) {
				return run{start: moment{d, 0}, end: end}
			}
		}
		return run{start: own.start, end: own.end}
	}
	r := run{start: own.start, end: own.end}
	left := t.work
	for d := by.day; d >= own.start.day; d-- {
		if !m.fits(i, d, true) {
			continue
		}
		to := m.seconds(i, d)
		if d == by.day {
			to = min(to, by.sec)
		}
		for _, f := range m.free(s, i, d, to) {
			if f[1] == f[0] && left > 0 {
				continue
			}
			if left == t.work {
				r.end = moment{d, f[1]}
			}
			if f[1]-f[0] >= left {
				r.start = earlier(moment{d, f[1] - left}, start)
				return r
			}
			left -= f[1] - f[0]
		}
	}
	return run{start: own.start, end: own.end}
}

// free is the times of a day, the last first, at which the crew of task i is not at what
// it does before that task is done.
func (m *model) free(s *schedule, i, day, to int) (list [][2]int) {
	own := s.runs[i]
	if m.tasks[i].crew != nobody && day <= own.end.day {
		for _, p := range slices.Backward(s.crews[crewDay{m.tasks[i].crew, day}]) {
			if p.task == i || !(moment{day, p.from}).before(own.end) {
				continue
			}
			if p.to < to {
				list = append(list, [2]int{p.to, to})
			}
			to = min(to, p.from)
		}
	}
	return append(list, [2]int{0, to})
}
