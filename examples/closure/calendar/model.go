package calendar

import (
	"maps"
	"math"
	"slices"

	"example.org/earthbasin/examples/closure/stage"
)

// nobody is the crew of tasks that nobody on the site does.
const nobody = -1

// model is a spec as numbers: tasks by their place in the list, days by number, seconds
// from the start of the working day.
type model struct {
	spec  *Spec
	names []string // of the crews
	grid  *grid
	tasks []task
}

// task is what settles the days of a task.
type task struct {
	work    int // seconds
	crew    int // place among the crews, or nobody
	needs   []link
	before  []link // tasks that need it
	windows []int
	whole   []int // those of the windows that ask for one opening
	weather int   // place of its entry in the weather, or -1
}

// link is a need with the place of the other task.
type link struct {
	task int
	stage.Need
}

// moment is a time: a day and the seconds since work began on it.
type moment struct{ day, sec int }

// endOf is after everything on a day.
func endOf(day int) moment { return moment{day, dayLong} }

func (m moment) before(n moment) bool { return m.day < n.day || m.day == n.day && m.sec < n.sec }

func earlier(a, b moment) moment {
	if b.before(a) {
		return b
	}
	return a
}

func newModel(s *Spec) *model {
	m := &model{spec: s, tasks: make([]task, len(s.Tasks))}
	crews := map[string]Crew{}
	place := map[string]int{}
	for i, t := range s.Tasks {
		place[t.Key] = i
		if t.Crew == "" {
			continue
		}
		crews[t.Crew] = s.Crew
		if own, ok := s.Crews[t.Crew]; ok {
			crews[t.Crew] = own
		}
	}
	m.names = slices.Sorted(maps.Keys(crews))
	list := make([]Crew, len(m.names))
	for i, name := range m.names {
		list[i] = crews[name]
	}
	m.grid = s.grid(list)
	for i, t := range s.Tasks {
		own := &m.tasks[i]
		own.work, own.crew, own.weather = int(math.Ceil(t.Work.SI())), nobody, -1
		if t.Crew != "" {
			own.crew = slices.Index(m.names, t.Crew)
		}
		for _, n := range t.Needs {
			own.needs = append(own.needs, link{place[n.Key], n})
		}
		for k, w := range s.Windows {
			if slices.Contains(w.Tasks, t.Key) || slices.Contains(w.Fit, t.Fit) {
				own.windows = append(own.windows, k)
				if w.Whole {
					own.whole = append(own.whole, k)
				}
			}
		}
		for k, w := range s.Weather {
			if slices.Contains(w.Tasks, t.Key) || len(w.Tasks) == 0 && w.Fit == t.Fit && own.weather < 0 {
				own.weather = k
			}
		}
	}
	for i := range m.tasks {
		for _, n := range m.tasks[i].needs {
			m.tasks[n.task].before = append(m.tasks[n.task].before, link{i, n.Need})
		}
	}
	return m
}

// seconds is how long task i can be worked at on a day, weather and windows aside.
func (m *model) seconds(i, day int) int {
	if c := m.tasks[i].crew; c != nobody {
		return m.grid.seconds[c][day]
	}
	return dayLong
}

// fits reports whether task i may go on on a day.
func (m *model) fits(i, day int, likely bool) bool {
	t := &m.tasks[i]
	if m.seconds(i, day) == 0 {
		return false
	}
	if t.weather >= 0 {
		days := m.grid.best
		if likely {
			days = m.grid.likely
		}
		if !days[t.weather][day] {
			return false
		}
	}
	return m.shut(i, day) < 0
}

// shut is the place of the first window that keeps task i from a day, -1 when none does.
func (m *model) shut(i, day int) int {
	for _, w := range m.tasks[i].windows {
		if !m.grid.open[w][day] {
			return w
		}
	}
	return -1
}

// wholly is when task i, begun at a time and gone on with on every day that fits, is
// done; ok is false when one of its windows closes before, or the days end.
func (m *model) wholly(i int, at moment, likely bool) (end moment, ok bool) {
	left := m.tasks[i].work
	for d := at.day; d < m.grid.days; d++ {
		for _, w := range m.tasks[i].whole {
			if !m.grid.open[w][d] {
				return moment{}, false
			}
		}
		if !m.fits(i, d, likely) {
			continue
		}
		from := 0
		if d == at.day {
			from = at.sec
		}
		if room := m.seconds(i, d) - from; room >= left {
			return moment{d, from + left}, true
		} else {
			left -= max(0, room)
		}
	}
	return moment{}, false
}

// ready is when a need lets the next task begin.
func (n link) ready(of run, likely bool) moment {
	lag, at := n.Least, of.end
	if likely {
		lag = n.Likely
	}
	if n.FromStart {
		at = of.start
	}
	if lag > 0 {
		return moment{at.day + lag, 0}
	}
	return at
}
