package plan

import (
	"fmt"
	"slices"

	"example.org/earthbasin/examples/closure/calendar"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
)

// dated gives the tasks of the plan their days: from the start, and where there is an
// account from its day on, with what is done as it was.
func (r *Results) dated(s *Scenario, terms calendar.Terms, route *RouteResult) (err error) {
	if r.Calendar, err = scheduled(s, terms, r.Tasks); err != nil || r.Calendar == nil || s.AsOf.IsZero() {
		return err
	}
	done := s.progress(r.Tasks, route)
	spec := calendar.Spec{Start: s.AsOf, Tasks: r.Tasks, Terms: terms.For(r.Tasks)}
	if len(done) == 0 && s.AsOf.Before(s.Start) {
		spec.Start = s.Start
	}
	again, err := calendar.Resume(spec, done)
	if err != nil {
		return s.toldSteps(err)
	}
	r.Planned, r.Calendar = r.Calendar, &again
	return nil
}

// progress is how far the tasks are: as steps were written down, as materials were put on,
// and, of what nobody wrote down, what had to be done before it.
func (s *Scenario) progress(tasks []stage.Task, route *RouteResult) []calendar.Progress {
	var list []calendar.Progress
	at := func(key string) int {
		return slices.IndexFunc(list, func(p calendar.Progress) bool { return p.Key == key })
	}
	for _, x := range s.Done.Steps {
		list = append(list, calendar.Progress{Key: x.Key, Dates: calendar.Dates{Start: x.From, End: x.To}, Left: 1})
	}
	if route != nil {
		for _, x := range route.Removal.Stages {
			p, ok := s.spreading(&route.Spread, keyOf("removal", x.Kind), func(m *Material) bool {
				return slices.ContainsFunc(route.Removal.Streams, func(of removal.Stream) bool { return of.Stage == x.Kind && slices.Contains(m.Streams, of.Kind) })
			})
			switch i := at(p.Key); {
			case !ok:
			case i < 0:
				list = append(list, p)
			case list[i].End.IsZero():
				list[i].Left, list[i].End = p.Left, p.End
			}
		}
	}
	for i := 0; i < len(list); i++ { // which grows by what is needed
		k := slices.IndexFunc(tasks, func(t stage.Task) bool { return t.Key == list[i].Key })
		if k < 0 {
			continue
		}
		for _, n := range tasks[k].Needs {
			p := calendar.Progress{Key: n.Key, Dates: calendar.Dates{Start: list[i].Start}, Left: 1}
			if !n.FromStart {
				p.End, p.By = list[i].Start, true
			}
			switch j := at(n.Key); {
			case j < 0:
				list = append(list, p)
			case p.By && list[j].By && p.End.Before(list[j].End):
				list[j] = p
			}
		}
	}
	return list
}

// spreading is how far the stage is that some materials come from, by what of them was put
// on.
func (s *Scenario) spreading(planned *Spread, key string, from func(m *Material) bool) (p calendar.Progress, ok bool) {
	p.Key = key
	var last stage.Date
	var put, left float64
	for i := range planned.Materials {
		m := &planned.Materials[i]
		if !from(&s.Materials[m.Index]) {
			continue
		}
		var of float64
		for _, x := range s.Done.Records {
			amount, _, err := x.Put()
			if x.Material != m.Name || err != nil {
				continue // the account tells what is wrong
			}
			if amount, err = amount.As(m.Stock.Form(), m.Stream.Slurry.Density()); err != nil {
				continue
			}
			of += amount.SI()
			if !ok || x.Day.Before(p.Start) {
				p.Start, ok = x.Day, true
			}
			if last.Before(x.Day) {
				last = x.Day
			}
		}
		put, left = put+of, left+max(0, m.Stock.SI()-of)
	}
	if p.Left = left / (put + left); !(p.Left > leastLeft) {
		p.Left, p.End = 0, last
	}
	return p, ok
}

// leastLeft is the share of a material below which nothing of it is left to do.
const leastLeft = 0.005

// toldSteps puts faults of what is done at the steps that tell it; those of what had to be
// done before them say nothing new.
func (s *Scenario) toldSteps(err error) error {
	var f units.Faults
	done := f.At("done")
	for _, e := range units.FieldErrors(err) {
		for i := range s.Done.Steps { // which come first in the list
			if at := fmt.Sprintf("done[%d]", i); units.PathWithin(e.Field, at) {
				name := map[string]string{at + ".start": "from", at + ".end": "to"}[e.Field]
				if name == "" {
					name = "key"
				}
				step := done.At("steps", i)
				step.Sub("", e.At(name))
			}
		}
	}
	if f.Err() == nil {
		return err
	}
	return f.Err()
}
