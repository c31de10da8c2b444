package plan

import (
	"maps"
	"slices"
	"strings"
	"sync"

	"example.org/earthbasin/examples/closure/calendar"
	"example.org/earthbasin/examples/closure/closing"
	"example.org/earthbasin/examples/closure/evidence"
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
// closing is not planned, stops are the covers where its work stops.
func tasks(s *Scenario, route *RouteResult, o *closing.Outcome, cover *CoverResult, stops []stage.Task) []stage.Task {
	list := s.before()
	if route == nil {
		return list // nothing is closed before the sludge is out, and nobody knows how that goes
	}
	more, emptied := s.emptyingTasks(route)
	list = append(list, more...)
	last := []stage.Need{{Key: emptied}}
	if o != nil {
		list = append(list, o.Tasks...)
		last = append(last, endsOf(o.Tasks)...)
		list = append(list, stops...)
	}
	if cover.Temporary {
		last[len(last)-1].Within = s.mostBare()
		list = append(list, stage.Task{Key: temporaryCover, Kind: stage.TemporaryCover, Name: units.Words("temporary cover, nurse crop or mulch, since the window of the mix is far off"), Work: s.hours(), Crew: "seeding",
			Needs: last, Fit: stage.DryDay})
		last = []stage.Need{{Key: temporaryCover}}
	}
	if cover.Area > 0 && s.Cover != nil && len(s.Cover.Windows) > 0 {
		list = append(list, stage.Task{Key: "cover.seed", Kind: stage.Seeding, Name: units.Words("lime and fertilize, drill seed and mulch"), Work: units.Duration(s.Cover.seedDays()) * s.hours(), Crew: "seeding",
			Needs: last, Fit: stage.PlantingDay, Hold: []units.Phrase{units.Words("firm seedbed; seed tags kept")}})
		last = []stage.Need{{Key: "cover.seed"}}
	}
	return append(list, stage.Task{Key: "final", Kind: stage.FinalInspection, Who: stage.Regulator, Name: units.Words("survey of the finished grade, photographs, final inspection"), Work: s.hours(),
		Needs: last, Hold: []units.Phrase{units.Words("mulch anchored")}})
}

// temporaryCover is the key of the cover until the window of the mix.
const temporaryCover = "cover.temporary"

// customary adds the needs that the trade takes for granted and that no stage has told,
// since none of them knows the tasks of the others.
func customary(list []stage.Task) []stage.Task {
	list = slices.Clone(list)
	if i := slices.IndexFunc(list, func(t stage.Task) bool { return t.Kind == stage.Approval }); i >= 0 {
		for k, t := range list {
			if t.Kind == stage.ErosionControl || t.Kind == stage.CalibrateLiquid { // nobody opens the ground or spreads before the answer
				list[k].Needs = append(slices.Clone(t.Needs), stage.Need{Key: list[i].Key})
			}
		}
	}
	for _, l := range calendar.Unmet(list, calendar.Customs()) {
		if l.Absent {
			continue
		}
		i := slices.IndexFunc(list, func(t stage.Task) bool { return t.Key == l.Key })
		for _, t := range list {
			if i >= 0 && t.Kind == l.Custom.After && t.Key != l.Key && !waits(list, t.Key, l.Key, len(list)) {
				list[i].Needs = append(slices.Clone(list[i].Needs), stage.Need{Key: t.Key, FromStart: l.Custom.Begun})
			}
		}
	}
	return list
}

// waits is whether a task waits for another, itself or through others, looked at to a
// depth.
func waits(list []stage.Task, key, other string, depth int) bool {
	if key == other {
		return true
	}
	for _, t := range list {
		if t.Key != key || depth == 0 {
			continue
		}
		for _, n := range t.Needs {
			if waits(list, n.Key, other, depth-1) {
				return true
			}
		}
	}
	return false
}

// before is what comes before the basin is touched, apart from what offices ask for.
func (s *Scenario) before() []stage.Task {
	list := []stage.Task{{Key: "stop", Kind: stage.StopInflow, Name: units.Words("shut off and divert all inflow; mark edges and setbacks"), Work: s.hours(), Crew: "site"}}
	if slices.ContainsFunc(s.Materials, func(m Material) bool { return len(m.Reports) > 0 }) {
		list = append(list, stage.Task{Key: "sample", Kind: stage.Sampling, Who: stage.Planner, Name: units.Words("composite samples of liquid and sludge, with chain of custody")},
			stage.Task{Key: "results", Kind: stage.LabResult, Who: stage.Laboratory, Name: units.Words("laboratory results of liquid and sludge in hand"), Needs: []stage.Need{{Key: "sample"}}})
		list[0].Needs = []stage.Need{{Key: "results"}}
	}
	return list
}

// baseRules are read once; nothing changes them.
var baseRules = sync.OnceValue(evidence.Base)

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
	rules, err := evidence.List(baseRules(), changes...)
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
	return customary(append(r.Linked(list), r.Tasks...)), rows, f.Err()
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
func (s *Scenario) emptyingTasks(route *RouteResult) (list []stage.Task, last string) {
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
		case removal.StagePump:
			t.Hold = append(t.Hold, units.Words("agitated on the same day; solids settle overnight"))
		case removal.StageAgitate:
			t.Name, t.Fit = units.Words("%v", units.Word(x.Name)), stage.DryDay
		}
		if kind, spreads := calibrationOf[x.Kind]; spreads {
			c := stage.Task{Key: keyOf("calibrate", x.Kind), Kind: kind, Name: s.calibrating(route, x.Kind), Work: 4 * units.Hour, Crew: "spreading",
				Needs: []stage.Need{{Key: last, FromStart: x.Kind == removal.StagePump}}, Fit: stage.SpreadDay}
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

// calibrating names the machine and the material of the calibration before a stage.
func (s *Scenario) calibrating(route *RouteResult, kind removal.StageKind) units.Phrase {
	for _, x := range route.Removal.Streams {
		if x.Stage != kind {
			continue
		}
		for _, m := range s.Materials {
			if m.Machine != "" && slices.Contains(m.Streams, x.Kind) {
				return units.Words("calibrate %v for %v", units.Word(m.Machine), units.Word(m.Name))
			}
		}
	}
	return units.Words("calibrate the machine that spreads at its planned setting")
}

// endsOf is the need for every task that no other one of the list waits for.
func endsOf(list []stage.Task) (ends []stage.Need) {
	needed := map[string]bool{}
	for _, t := range list {
		for _, n := range t.Needs {
			needed[n.Key] = true
		}
	}
	for _, t := range list {
		if !needed[t.Key] {
			ends = append(ends, stage.Need{Key: t.Key})
		}
	}
	return ends
}

// settled opens a point where days pass between agitation and pumping, in which the solids
// settle again.
func settled(c *calendar.Result) []stage.Open {
	agitated, pumped := on(c, keyOf("removal", removal.StageAgitate)).End, on(c, keyOf("removal", removal.StagePump)).Start
	if agitated.IsZero() || pumped.IsZero() || agitated.Until(pumped) < 2 {
		return nil
	}
	return []stage.Open{{Key: "removal.agitate.again", Who: stage.Contractor,
		What:  units.Words("how the sludge is in suspension when it is pumped: %v days lie between the end of agitation on %v and the first pumping on %v, and solids settle overnight", agitated.Until(pumped)-1, agitated, pumped),
		Needs: units.Words("agitation again before pumping, with its hours and cost, or agitation when the days that follow are fit for spreading")}}
}

// herd opens a point where the herd stays and nobody has said what still runs in.
func (s *Scenario) herd() []stage.Open {
	if s.Evidence == nil || !s.Evidence.Conditions[evidence.HerdStays] || s.Weather != nil && s.Weather.Inflow > 0 || s.Removal != nil && len(s.Removal.Exchanges) > 0 {
		return nil
	}
	return []stage.Open{{Key: "inflow", Who: stage.Producer, Stops: true,
		What:  units.Words("what has run into the basin since it was surveyed and still runs in until it is shut off, since the herd stays: the plan counts none"),
		Needs: units.Words("its flow by heads and days, or by the rise of the level since the survey, and where it goes from then on")}}
}
