package calendar

// run is when a task is worked at.
type run struct {
	start, end  moment
	begun, done bool
	left        int // seconds of work
	order       int // among those begun, from 0
}

// piece is work on one task on one day.
type piece struct{ task, day, from, to int }

// crewDay is a day of a crew.
type crewDay struct{ crew, day int }

// schedule is when everything is done.
type schedule struct {
	runs   []run
	pieces []piece             // in the order of time
	crews  map[crewDay][]piece // those of each crew and day, in the order of time
	ready  []moment
	first  int // first day
	last   int // first day after the horizon
	likely bool
}

// kept reports whether every task is done.
func (s *schedule) kept() bool {
	for _, r := range s.runs {
		if !r.done {
			return false
		}
	}
	return true
}

// end is when the last task is done.
func (s *schedule) end() (e moment) {
	for _, r := range s.runs {
		if r.done && e.before(r.end) {
			e = r.end
		}
	}
	return e
}

// builder goes through the days.
type builder struct {
	*schedule
	m       *model
	alone   bool  // each task has its crew to itself
	waiting []int // needs that are not met, by task
	clock   []int // by crew, seconds of the day that are used
	whole   []int // by crew, the task begun that has to be done in one opening, or -1
	worked  []int // by task, the last day it was worked at
	begun   int
	open    int // tasks that are not done
}

// schedule gives out the days from one on: the likely ones, or, where likely is false,
// the earliest that there can be, which wait for no crew.
func (m *model) schedule(first int, likely bool) *schedule {
	n := len(m.tasks)
	b := &builder{m: m, alone: !likely, open: n, schedule: &schedule{first: first, last: first + m.spec.Horizon, likely: likely,
		runs: make([]run, n), ready: make([]moment, n), crews: map[crewDay][]piece{}}}
	b.waiting, b.worked = make([]int, n), make([]int, n)
	b.clock, b.whole = make([]int, len(m.names)), make([]int, len(m.names))
	for i := range m.tasks {
		b.runs[i].left = m.tasks[i].work
		b.waiting[i] = len(m.tasks[i].needs)
		b.ready[i].day = first
		b.worked[i] = -1
	}
	for c := range b.whole {
		b.whole[c] = -1
	}
	for day := first; day < b.last && b.open > 0; day++ {
		clear(b.clock)
		for i, at := b.next(day); i >= 0; i, at = b.next(day) {
			b.work(i, moment{day, at})
		}
	}
	return b.schedule
}

// next is the task that is worked at next on a day, and from when; -1 when none is.
func (b *builder) next(day int) (task, at int) {
	task = -1
	var rank int
	for i := range b.runs {
		r := &b.runs[i]
		if r.done || b.waiting[i] > 0 || b.worked[i] == day || day < b.ready[i].day || !b.m.fits(i, day, b.likely) {
			continue
		}
		own := &b.m.tasks[i]
		from, held := 0, false
		if !r.begun && b.ready[i].day == day {
			from = b.ready[i].sec
		}
		if own.crew != nobody && !b.alone {
			from = max(from, b.clock[own.crew])
			held = b.whole[own.crew] >= 0 && b.whole[own.crew] != i
		}
		if room := b.m.seconds(i, day) - from; room < 0 || room == 0 && own.work > 0 {
			continue
		}
		now := 2 // rank of what has not begun
		if r.begun {
			now = 1
		}
		if len(own.whole) > 0 {
			if r.begun {
				now = 0
			} else if _, ok := b.m.wholly(i, moment{day, from}, b.likely); held || !ok {
				continue
			}
		}
		if task < 0 || from < at || from == at && now < rank {
			task, at, rank = i, from, now
		}
	}
	return task, at
}

// work is the work at a task on a day.
func (b *builder) work(i int, at moment) {
	r, own := &b.runs[i], &b.m.tasks[i]
	if !r.begun {
		r.begun, r.start, r.order = true, at, b.begun
		b.begun++
		if own.crew != nobody && len(own.whole) > 0 {
			b.whole[own.crew] = i
		}
		b.met(i, true)
	}
	to := min(at.sec+r.left, b.m.seconds(i, at.day))
	p := piece{i, at.day, at.sec, to}
	b.pieces = append(b.pieces, p)
	b.worked[i] = at.day
	r.left -= to - at.sec
	if own.crew != nobody {
		b.clock[own.crew] = to
		d := crewDay{own.crew, at.day}
		b.crews[d] = append(b.crews[d], p)
	}
	if r.left > 0 {
		return
	}
	r.done, r.end = true, moment{at.day, to}
	b.open--
	if own.crew != nobody && b.whole[own.crew] == i {
		b.whole[own.crew] = -1
	}
	b.met(i, false)
}

// met notes that a task has begun, or is done, for those that wait for it.
func (b *builder) met(i int, begun bool) {
	for _, n := range b.m.tasks[i].before {
		if n.FromStart == begun {
			b.waiting[n.task]--
			if at := n.ready(b.runs[i], b.likely); b.ready[n.task].before(at) {
				b.ready[n.task] = at
			}
		}
	}
}
