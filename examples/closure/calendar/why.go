package calendar

import "slices"

// why is what keeps task i from a day on which it is ready, and may be begun.
func (m *model) why(s *schedule, i, day int) Wait {
	t := &m.tasks[i]
	w := Wait{Days: 1, From: m.grid.date(day)}
	if k := m.shut(i, day); k >= 0 {
		w.Cause, w.Name = ForWindow, m.spec.Windows[k].Name
		return w
	}
	if m.seconds(i, day) == 0 {
		w.Cause, w.Name = ForRest, m.spec.Tasks[i].Crew
		return w
	}
	if t.weather >= 0 && !m.grid.likely[t.weather][day] {
		w.Cause, w.Name = ForWeather, string(m.spec.Tasks[i].Fit)
		return w
	}
	if len(t.whole) > 0 && (!s.runs[i].begun || day < s.runs[i].start.day) {
		if _, ok := m.wholly(i, moment{day, 0}, true); !ok {
			w.Cause, w.Name = ForWindow, m.spec.Windows[t.whole[0]].Name
			return w
		}
	}
	if t.crew == nobody {
		w.Cause = ForLife
		return w
	}
	w.Cause = ForCrew
	if p, ok := s.busy(m, i, day); ok {
		w.Name = m.spec.Tasks[p].Key
	}
	return w
}

// busy is the last task that the crew of task i was at on a day.
func (s *schedule) busy(m *model, i, day int) (task int, ok bool) {
	for _, p := range slices.Backward(s.crews[crewDay{m.tasks[i].crew, day}]) {
		if p.task != i {
			return p.task, true
		}
	}
	return 0, false
}

// waits is what task i waited for before it began, the need in front.
func (m *model) waits(s *schedule, i int) []Wait {
	list := []Wait{m.needed(s, i)}
	r := s.runs[i]
	if slices.ContainsFunc(m.tasks[i].needs, func(n link) bool { return !n.met(s) }) {
		return list
	}
	until := s.last
	if r.begun {
		until = r.start.day
	}
	for d := s.ready[i].day; d < until; d++ {
		list = gather(list, m.why(s, i, d))
	}
	return list
}

// met reports whether a need of a task that is ready is met.
func (n link) met(s *schedule) bool {
	return s.runs[n.task].done || n.FromStart && s.runs[n.task].begun
}

// pauses is what stopped task i after it had begun.
func (m *model) pauses(s *schedule, i int) []Wait {
	list := []Wait{}
	r := s.runs[i]
	worked := map[int]bool{}
	for _, p := range s.pieces {
		if p.task == i {
			worked[p.day] = true
		}
	}
	for d := r.start.day; d <= r.end.day; d++ {
		if !worked[d] {
			list = gather(list, m.why(s, i, d))
		}
	}
	return list
}

// gather counts a day of waiting with others for the same.
func gather(list []Wait, w Wait) []Wait {
	for k := range list {
		if list[k].Cause == w.Cause && list[k].Name == w.Name {
			list[k].Days += w.Days
			return list
		}
	}
	return append(list, w)
}

// needed is the need that task i waited for last, or the start.
func (m *model) needed(s *schedule, i int) Wait {
	last := -1
	for k, n := range m.tasks[i].needs {
		if !n.met(s) {
			return Wait{Cause: ForNeed, Name: m.spec.Tasks[n.task].Key, From: m.grid.date(s.first)}
		}
		if last < 0 || m.tasks[i].needs[last].ready(s.runs[m.tasks[i].needs[last].task], s.likely).before(n.ready(s.runs[n.task], s.likely)) {
			last = k
		}
	}
	if last < 0 {
		return Wait{Cause: ForStart, From: m.grid.date(s.first)}
	}
	n := m.tasks[i].needs[last]
	at := n.from(s.runs[n.task])
	return Wait{Cause: ForNeed, Name: m.spec.Tasks[n.task].Key, Days: n.ready(s.runs[n.task], s.likely).day - at.day, From: m.grid.date(at.day)}
}

// chain goes back from the task that ends last to the one that began the plan.
func (m *model) chain(s *schedule) []Link {
	at := 0
	for i, r := range s.runs {
		if s.runs[at].end.before(r.end) {
			at = i
		}
	}
	place := map[string]int{}
	for i, t := range m.spec.Tasks {
		place[t.Key] = i
	}
	chain := []Link{}
	for range s.runs {
		w := m.after(s, at)
		chain = append(chain, Link{m.spec.Tasks[at].Key, m.spec.Tasks[at].Name, w})
		if w.Cause == ForStart {
			break
		}
		at = place[w.Name]
	}
	slices.Reverse(chain)
	return chain
}

// after is what task i began after: what its crew was at, where that kept it, else its
// last need, else the start.
func (m *model) after(s *schedule, i int) Wait {
	r, ready := s.runs[i], s.ready[i]
	if m.tasks[i].crew != nobody && ready.before(r.start) {
		// On the day itself, or on the days before it.
		if r.start.sec > 0 && (ready.day < r.start.day || ready.sec < r.start.sec) {
			for _, p := range slices.Backward(s.crews[crewDay{m.tasks[i].crew, r.start.day}]) {
				if p.task != i && p.to == r.start.sec && p.to > p.from {
					return Wait{Cause: ForCrew, Name: m.spec.Tasks[p.task].Key, From: m.grid.date(p.day)}
				}
			}
		}
		for d := r.start.day - 1; d >= ready.day; d-- {
			if w := m.why(s, i, d); w.Cause == ForCrew && w.Name != "" {
				return w
			} else if w.Cause == ForCrew {
				break
			}
		}
	}
	return m.needed(s, i)
}
