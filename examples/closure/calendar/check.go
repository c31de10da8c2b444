package calendar

import (
	"maps"
	"slices"
	"strings"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

const (
	mostTasks   = 2000
	mostNeeds   = 200
	mostDays    = 3660 // of a horizon or a lag
	mostWindows = 500
)

// fitnesses are the kinds of fitness that there are.
var fitnesses = []stage.Fitness{stage.DryDay, stage.SpreadDay, stage.EarthDay, stage.PlantingDay, stage.QuietDay}

func (s *Spec) check() error {
	var f units.Faults
	s.Start.Check(&f, "start")
	s.Terms.check(&f)
	f.CountBetween("tasks", len(s.Tasks), "tasks", 1, mostTasks)
	if len(s.Tasks) > mostTasks {
		return f.Err()
	}
	place := map[string]int{}
	for i, t := range s.Tasks {
		at := f.At("tasks", i)
		if _, twice := place[t.Key]; twice {
			at.Fault(units.FaultConflict, "key", t.Key, "one that no other %v has", units.Word("task"))
		} else if key(&at, "key", t.Key) {
			place[t.Key] = i
		}
		at.Between("work", t.Work, units.Duration(0), mostDays*units.Day)
		fitness(&at, "fit", t.Fit, true)
		at.CountBetween("needs", len(t.Needs), "needs", 0, mostNeeds)
		for j, n := range t.Needs {
			need(n).check(&at, j)
		}
	}
	known := func(at *units.Faults, field string, k string) {
		if _, ok := place[k]; !ok && k != "" {
			at.Fault(units.FaultName, field, k, "the key of a task")
		}
	}
	for i, t := range s.Tasks {
		at := f.At("tasks", i)
		for j, n := range t.Needs {
			in := at.At("needs", j)
			known(&in, "key", n.Key)
		}
	}
	for i, w := range s.Windows {
		at := f.At("windows", i)
		for j, k := range w.Tasks {
			in := at.At("tasks", j)
			known(&in, "", k)
		}
	}
	for i, w := range s.Weather {
		at := f.At("weather", i)
		for j, k := range w.Tasks {
			in := at.At("tasks", j)
			known(&in, "", k)
		}
	}
	for _, round := range cycles(s.Tasks, place) {
		at := f.At("tasks", round[0])
		names := make([]string, 0, len(round)+1)
		for _, i := range append(slices.Clone(round), round[0]) {
			names = append(names, s.Tasks[i].Key)
		}
		at.Say("needs", "tasks that need each other: "+strings.Join(names, ", which needs "), "an order in which they can be done")
	}
	return f.Err()
}

// need is a stage.Need with its check.
type need stage.Need

func (n need) check(f *units.Faults, j int) {
	at := f.At("needs", j)
	if n.Key == "" {
		at.Missing("key", "the key of a task")
	}
	days := func(field string, n, least, most int) {
		if n < least || n > most {
			at.Add(field, n, "%v to %v days", least, most)
		}
	}
	days("least", n.Least, 0, mostDays)
	days("likely", n.Likely, max(0, n.Least), mostDays)
	days("within", n.Within, 0, mostDays)
	days("life", n.Life, 0, mostDays)
	if n.Within > 0 && n.Within < n.Likely {
		at.Say("within", "fewer days than the likely ones that pass", "%v days or more", n.Likely)
	}
	if n.Life > 0 && n.FromStart {
		at.Say("life", "for what is not there before the end of the task", "none, or the end of the task")
	}
	if n.Life > 0 && n.Life <= n.Likely {
		at.Say("life", "over before the likely days have passed", "more than %v days", n.Likely)
	}
}

// key records a fault unless k can stand for a task.
func key(f *units.Faults, field, k string) bool {
	switch {
	case k == "":
		f.Missing(field, `a key such as "closing.fill"`)
	case len(k) > 100 || strings.ContainsFunc(k, func(r rune) bool { return r <= ' ' || r > '~' || r == '@' }):
		f.Add(field, k, "up to 100 letters, digits and signs without spaces and @")
	default:
		return true
	}
	return false
}

func fitness(f *units.Faults, field string, fit stage.Fitness, any bool) {
	if !(any && fit == stage.AnyDay) && !slices.Contains(fitnesses, fit) {
		f.Fault(units.FaultName, field, string(fit), "one of %s, %s, %s, %s, %s", stage.DryDay, stage.SpreadDay, stage.EarthDay, stage.PlantingDay, stage.QuietDay)
	}
}

func (t *Terms) check(f *units.Faults) {
	t.Crew.check(f, "crew")
	for _, name := range slices.Sorted(maps.Keys(t.Crews)) {
		at := f.Named("crews", name)
		c := t.Crews[name]
		c.check(&at, "")
	}
	f.CountBetween("windows", len(t.Windows), "windows", 0, mostWindows)
	for i, w := range t.Windows {
		at := f.At("windows", i)
		w.check(&at)
	}
	f.CountBetween("weather", len(t.Weather), "entries", 0, mostWindows)
	answered := map[string]bool{}
	for i, w := range t.Weather {
		at := f.At("weather", i)
		w.check(&at)
		of := w.Tasks
		if len(of) == 0 {
			of = []string{" " + string(w.Fit)}
		}
		for _, k := range of {
			if answered[k] {
				at.Say("", "a second answer for "+strings.TrimSpace(k), "one for each fitness or task")
			}
			answered[k] = true
		}
	}
	if t.Horizon < 0 || t.Horizon > mostDays {
		f.Add("horizon", t.Horizon, "1 to %v days, or none for %v", mostDays, usualHorizon)
	}
	if t.Patience < 0 || t.Patience > 366 {
		f.Add("patience", t.Patience, "1 to 366 days, or none for %v", usualPatience)
	}
}

func (c *Crew) check(f *units.Faults, field string) {
	at := f
	if field != "" {
		in := f.At(field)
		at = &in
	}
	if c.Hours == 0 {
		at.Missing("hours", "the hours of a day that are worked")
	} else {
		at.Between("hours", c.Hours, 15*units.Minute, 24*units.Hour)
	}
	var off [7]bool
	rest := 0
	for i, d := range c.RestDays {
		if d < 0 || d > 6 {
			in := at.At("restDays", i)
			in.Fault(units.FaultName, "", units.Word(d.String()), "a day of the week")
		} else if !off[d] {
			off[d] = true
			rest++
		}
	}
	if rest == 7 {
		at.Count("restDays", rest, "days", "6 or fewer")
	}
	at.CountBetween("holidays", len(c.Holidays), "holidays", 0, mostDays)
	for i, d := range c.Holidays {
		in := at.At("holidays", i)
		d.Check(&in, "")
	}
}

func (w *Window) check(f *units.Faults) {
	if w.Name == "" {
		f.Missing("name", "what the window is called")
	}
	if len(w.Tasks)+len(w.Fit) == 0 {
		f.Missing("tasks", "the tasks, or the kinds of fitness, that it holds for")
	}
	for i, fit := range w.Fit {
		in := f.At("fit", i)
		fitness(&in, "", fit, false)
	}
	f.CountBetween("spans", len(w.Spans), "spans", 1, 100)
	for i, s := range w.Spans {
		at := f.At("spans", i)
		switch {
		case s.Every != nil && !(s.From.IsZero() && s.To.IsZero()):
			at.Say("every", "days of one time beside days of every year", "one of the two")
		case s.Every != nil:
			in := at.At("every")
			monthDay(&in, "from", s.Every.From)
			monthDay(&in, "to", s.Every.To)
		case s.From.IsZero() && s.To.IsZero():
			at.Missing("from", "a first day, a last day, or both")
		default:
			if !s.From.IsZero() {
				s.From.Check(&at, "from")
			}
			if !s.To.IsZero() {
				s.To.Check(&at, "to")
			}
			if !s.From.IsZero() && !s.To.IsZero() && s.To.Before(s.From) {
				at.Say("to", s.To.String()+", before the first day", "%v or later", s.From)
			}
		}
	}
}

func monthDay(f *units.Faults, field string, d cover.MonthDay) {
	if _, err := d.MarshalText(); err != nil {
		if d == (cover.MonthDay{}) {
			f.Missing(field, "a day of the year such as 15 May")
			return
		}
		f.Sub(field, err)
	}
}

func (d *FitDays) check(f *units.Faults) {
	fitness(f, "fit", d.Fit, len(d.Tasks) > 0)
	if len(d.Days) == 0 && len(d.ByMonth) == 0 {
		f.Missing("byMonth", "the share of fit days in each month, or days")
	}
	f.CountBetween("days", len(d.Days), "days", 0, 2*mostDays)
	if len(d.Days) > 0 {
		d.From.Check(f, "from")
	}
	if n := len(d.ByMonth); n != 0 && n != 12 {
		f.Count("byMonth", n, "shares", "12, for January to December")
	}
	for i, x := range d.ByMonth {
		at := f.At("byMonth", i)
		at.Fraction("", x)
	}
}

// cycles finds tasks that need each other, each round once.
func cycles(tasks []stage.Task, place map[string]int) [][]int {
	const (
		fresh = iota
		open
		done
	)
	state := make([]int, len(tasks))
	var path []int
	var rounds [][]int
	var visit func(i int)
	visit = func(i int) {
		state[i] = open
		path = append(path, i)
		for _, n := range tasks[i].Needs {
			j, ok := place[n.Key]
			if !ok {
				continue
			}
			switch state[j] {
			case fresh:
				visit(j)
			case open:
				rounds = append(rounds, slices.Clone(path[slices.Index(path, j):]))
			}
		}
		path = path[:len(path)-1]
		state[i] = done
	}
	for i := range tasks {
		if state[i] == fresh {
			visit(i)
		}
	}
	return rounds
}
