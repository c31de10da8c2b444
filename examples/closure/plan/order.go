package plan

import (
	"maps"
	"slices"
	"strings"
	"time"

	"example.org/earthbasin/examples/closure/calendar"
	"example.org/earthbasin/examples/closure/closing"
	"example.org/earthbasin/examples/closure/evidence"
	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
)

// usualHours are those of a day where neither the crew nor the removal says.
const usualHours = 8 * units.Hour

const gasCaution = "Hydrogen sulfide and methane come up while sludge is moved: people and animals upwind and away, monitors on, nobody alone, nobody into pit, tank or pipe (common practice, no source)."

// kindOf is the sort of work of a stage of the removal.
var kindOf = map[removal.StageKind]stage.Kind{
	removal.StagePumpOff: stage.DrawOff, removal.StageAgitate: stage.Agitation, removal.StagePump: stage.SpreadSlurry,
	removal.StageDrain: stage.DrawOff, removal.StageDig: stage.DigSludge,
}

// calibrationOf is the calibration before a stage spreads.
var calibrationOf = map[removal.StageKind]stage.Kind{
	removal.StagePumpOff: stage.CalibrateLiquid, removal.StagePump: stage.CalibrateSlurry, removal.StageDig: stage.CalibrateSolids,
}

// keyOf is the key of a row about a stage of the removal, without spaces.
func keyOf(of string, kind removal.StageKind) string {
	return of + "." + strings.ReplaceAll(kind.String(), " ", "-")
}

// tasks is the work of the plan, each piece with what it waits for; o is nil where the
// closing is not planned.
func tasks(s *Scenario, route *RouteResult, o *closing.Outcome, cover *CoverResult) []stage.Task {
	list := s.before()
	last := "stop"
	if route != nil {
		var more []stage.Task
		more, last = emptyingTasks(route)
		list = append(list, more...)
	}
	if o != nil {
		for _, t := range o.Tasks {
			list = append(list, t)
		}
		last = lastOf(o.Tasks, last)
	}
	if cover.Area > 0 && s.Cover != nil && len(s.Cover.Windows) > 0 {
		list = append(list, stage.Task{Key: "cover.seed", Kind: stage.Seeding, Name: units.Words("lime and fertilize, drill seed and mulch"), Work: units.Duration(s.Cover.seedDays()) * s.hours(), Crew: "seeding",
			Needs: []stage.Need{{Key: last}}, Fit: stage.PlantingDay, Hold: []units.Phrase{units.Words("firm seedbed; seed tags kept")}})
		last = "cover.seed"
	}
	return append(list, stage.Task{Key: "final", Kind: stage.FinalInspection, Name: units.Words("survey of the finished grade, photographs, final inspection"), Work: s.hours(),
		Needs: []stage.Need{{Key: last}}, Hold: []units.Phrase{units.Words("mulch anchored")}})
}

// before is what comes before the basin is touched, apart from what offices ask for.
func (s *Scenario) before() []stage.Task {
	list := []stage.Task{{Key: "stop", Kind: stage.StopInflow, Name: units.Words("shut off and divert all inflow; mark edges and setbacks"), Work: s.hours(), Crew: "site"}}
	if slices.ContainsFunc(s.Materials, func(m Material) bool { return len(m.Reports) > 0 }) {
		list = append(list, stage.Task{Key: "sample", Kind: stage.Sampling, Name: units.Words("composite samples of liquid and sludge, with chain of custody")},
			stage.Task{Key: "results", Kind: stage.LabResult, Name: units.Words("laboratory results of liquid and sludge in hand"), Needs: []stage.Need{{Key: "sample"}}})
		list[0].Needs = []stage.Need{{Key: "results"}}
	}
	return list
}

// asked adds to tasks what offices and site ask for.
func (s *Scenario) asked(list []stage.Task, area units.Area) ([]stage.Task, stage.Rows, error) {
	var f units.Faults
	var rows stage.Rows
	var site evidence.Site
	var changes []evidence.Change
	if s.Evidence != nil {
		site, changes = s.Evidence.Site, s.Evidence.Changes
	}
	if len(changes) > 20 {
		f.Count("evidence.changes", len(changes), "changes", "at most %v", 20)
		return list, rows, f.Err()
	}
	rules, err := evidence.List(evidence.Base(), changes...)
	f.Sub("evidence", err)
	if err != nil {
		return list, rows, f.Err()
	}
	if site.Disturbed == 0 {
		site.Disturbed = area
	}
	site.Conditions = s.conditions(site.Conditions)
	r, err := rules.For(site, list)
	f.Sub("evidence", err)
	if err != nil {
		return list, rows, f.Err()
	}
	rows.Evidence, rows.Open = r.Evidence, r.Open
	if s.Evidence == nil {
		rows.Open = []stage.Open{{Key: "evidence", Who: stage.Regulator,
			What:  units.Words("how long offices and laboratories take, and what is sampled and kept: the days of the plan count none for it"),
			Needs: units.Words("the days of notice, answer, tickets and laboratory, and the figures of the state's rule")}}
	}
	return append(r.Linked(list), r.Tasks...), rows, f.Err()
}

// conditions is what the scenario says of the site beside what it is told.
func (s *Scenario) conditions(told map[evidence.Condition]bool) map[evidence.Condition]bool {
	all := map[evidence.Condition]bool{}
	if c := s.Closing; c != nil {
		all[evidence.Fills], all[evidence.Pond] = c.Chosen != closing.AlternativePond, c.Chosen == closing.AlternativePond
		if c.Liner != nil {
			all[evidence.LinerStays] = c.Liner.Way != closing.LinerWayTill
		}
	}
	if s.Metals != nil {
		all[evidence.Biosolids] = true
	}
	if s.Money != nil {
		all[evidence.CostShare] = s.Money.Payment != nil
	}
	maps.Copy(all, told)
	return all
}

// emptyingTasks is the stages of a route, each with the calibration before it, and the key
// of the last one.
func emptyingTasks(route *RouteResult) (list []stage.Task, last string) {
	last = "stop"
	for _, x := range route.Removal.Stages {
		t := stage.Task{Key: keyOf("removal", x.Kind), Kind: kindOf[x.Kind], Name: units.Words("%v, and spread it", units.Word(x.Name)), Work: x.Hours, Crew: "pump",
			Needs: []stage.Need{{Key: last}}, Fit: stage.SpreadDay, Cautions: append([]string{gasCaution}, x.Cautions...),
			Hold: []units.Phrase{units.Words("gas monitors, lifelines and a second person at hand"), units.Words("no rain in sight; setbacks flagged; a fresh sample sent")}}
		switch x.Kind {
		case removal.StagePumpOff:
			if d := route.Drawdown; d != nil && d.Stored > 0 {
				t.Work *= units.Duration(d.Total.Pumped / d.Stored)
			}
		case removal.StageAgitate:
			t.Name, t.Fit = units.Words("%v", units.Word(x.Name)), stage.DryDay
		}
		if kind, spreads := calibrationOf[x.Kind]; spreads {
			c := stage.Task{Key: keyOf("calibrate", x.Kind), Kind: kind, Name: units.Words("calibrate the machine for %v at its planned setting", units.Word(x.Name)), Work: 4 * units.Hour, Crew: "spreading",
				Needs: []stage.Need{{Key: last, FromStart: x.Kind == removal.StagePump}}, Fit: stage.DryDay}
			if x.Kind == removal.StageDig { // with what the spreader will carry: the first loads
				c.Needs = []stage.Need{{Key: t.Key, FromStart: true}}
			} else {
				t.Needs = append(t.Needs, stage.Need{Key: c.Key})
			}
			list = append(list, c)
		}
		list = append(list, t)
		last = t.Key
	}
	return list, last
}

// lastOf is the task that no other one of the list waits for, the last of several.
func lastOf(list []stage.Task, none string) string {
	needed := map[string]bool{}
	for _, t := range list {
		for _, n := range t.Needs {
			needed[n.Key] = true
		}
	}
	last := none
	for _, t := range list {
		if !needed[t.Key] {
			last = t.Key
		}
	}
	return last
}

// hours are those of a day's work.
func (s *Scenario) hours() units.Duration {
	switch {
	case s.Terms.Crew.Hours > 0:
		return s.Terms.Crew.Hours
	case s.Removal != nil && s.Removal.WorkDay > 0:
		return s.Removal.WorkDay
	}
	return usualHours
}

// terms are those of the scenario, with the days that its weather, its fields and its
// planting windows leave.
func (s *Scenario) terms(fields *land.Result) calendar.Terms {
	t := s.Terms
	t.Crew.Hours = s.hours()
	if s.Cover != nil && len(s.Cover.Windows) > 0 {
		t.Windows = append(slices.Clone(t.Windows), calendar.Planting("planting of the mix", s.Cover.Windows, "cover.seed"))
	}
	given := func(fit stage.Fitness) bool {
		return slices.ContainsFunc(s.Terms.Weather, func(d calendar.FitDays) bool { return d.Fit == fit })
	}
	t.Weather = slices.Clone(t.Weather)
	if days, ok := spreading(fields); ok && !given(stage.SpreadDay) {
		t.Weather = append(t.Weather, days)
	}
	if s.Weather == nil || s.Weather.WetDay == 0 {
		return t
	}
	for _, fit := range []stage.Fitness{stage.DryDay, stage.EarthDay} {
		if given(fit) {
			continue
		}
		t.Weather = append(t.Weather, calendar.DaysFrom(fit, s.Start, dryDays, func(d stage.Date) bool {
			return !s.Weather.wet(d) && (fit == stage.DryDay || !s.Weather.wet(d.Plus(-1)))
		}))
	}
	return t
}

// dryDays is for how many days the weather is looked at: those of the calendar.
const dryDays = 1096

// wet is whether a day brings the rain of a wet day.
func (w *Weather) wet(d stage.Date) bool {
	for _, x := range w.Days {
		if stage.DateOf(x.Date) == d {
			return x.Weather.Rain >= w.WetDay
		}
	}
	return len(w.Months) == 12 && w.Months[time.Time(d).Month()-1].Rain >= w.WetDay
}

// spreading is the days on which any field may be spread on; ok is false where no field
// says.
func spreading(fields *land.Result) (days calendar.FitDays, ok bool) {
	if fields == nil || len(fields.Windows) == 0 {
		return days, false
	}
	first, last := fields.Windows[0].From, fields.Windows[0].From
	for i := range fields.Windows {
		w := &fields.Windows[i]
		if w.From.Before(first) {
			first = w.From
		}
		if end := w.From.Plus(len(w.Days) - 1); last.Before(end) {
			last = end
		}
	}
	n := first.Until(last) + 1
	if n <= 0 || n > 7320 {
		return days, false
	}
	days = calendar.FitDays{Fit: stage.SpreadDay, From: first, Days: make([]bool, n), Source: "the days on which fields may be spread on"}
	for i := range fields.Windows {
		w := &fields.Windows[i]
		for k := range w.Days {
			if w.Days[k].Fit {
				days.Days[first.Until(w.From)+k] = true
			}
		}
	}
	return days, true
}

// scheduled gives the tasks their days; nil without a first day.
func scheduled(s *Scenario, terms calendar.Terms, list []stage.Task) (*calendar.Result, error) {
	if s.Start.IsZero() {
		return nil, nil
	}
	var f units.Faults
	r, err := calendar.Schedule(calendar.Spec{Start: s.Start, Tasks: list, Terms: only(terms, list)})
	f.Sub("terms", err)
	return &r, f.Err()
}

// only leaves out of terms what holds for tasks that are not in the list: a plan has not
// every task that its terms provide for.
func only(terms calendar.Terms, list []stage.Task) calendar.Terms {
	there := func(keys []string) []string {
		return slices.DeleteFunc(slices.Clone(keys), func(key string) bool {
			return !slices.ContainsFunc(list, func(t stage.Task) bool { return t.Key == key })
		})
	}
	windows, weather := terms.Windows, terms.Weather
	terms.Windows, terms.Weather = nil, nil
	for _, w := range windows {
		named := len(w.Tasks) > 0
		if w.Tasks = there(w.Tasks); !named || len(w.Tasks)+len(w.Fit) > 0 {
			terms.Windows = append(terms.Windows, w)
		}
	}
	for _, d := range weather {
		named := len(d.Tasks) > 0
		if d.Tasks = there(d.Tasks); !named || len(d.Tasks) > 0 {
			terms.Weather = append(terms.Weather, d)
		}
	}
	return terms
}

// on is the likely days of a task; none where it has none.
func on(r *calendar.Result, key string) calendar.Dates {
	if r == nil {
		return calendar.Dates{}
	}
	row, _ := r.Row(key)
	return row.Likely
}
