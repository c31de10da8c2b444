package calendar

import (
	"slices"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// Custom is a need that the trade takes for granted: work of one kind comes after work
// of another.
type Custom struct {
	Of    stage.Kind   `json:"of"`    // the work
	After stage.Kind   `json:"after"` // what comes before it
	Why   units.Phrase `json:"why"`
	// Begun is that the work before it need only have begun.
	Begun bool `json:"begun,omitempty"`
	// IfAny is that a plan may do without the work before it.
	IfAny  bool   `json:"ifAny,omitempty"`
	Source string `json:"source"` // title, number, year; or "common practice, no source"
}

// Lacking is a customary need that a task does not have.
type Lacking struct {
	Key    string `json:"key"` // of the task
	Custom Custom `json:"custom"`
	// Absent is that the plan has no task of the kind that comes before it.
	Absent bool `json:"absent,omitempty"`
}

const practice = "common practice, no source"

// Customs is the customary order of a closure.
func Customs() []Custom {
	after := func(of, after stage.Kind, why string) Custom {
		return Custom{Of: of, After: after, Why: units.Words(why), Source: practice}
	}
	begun := func(c Custom) Custom { c.Begun = true; return c }
	ifAny := func(c Custom) Custom { c.IfAny = true; return c }
	return []Custom{
		after(stage.LabResult, stage.Sampling, "a laboratory tests what was sampled"),
		ifAny(after(stage.DrawOff, stage.StopInflow, "what runs in after the draw-off is pumped twice")),
		after(stage.DrawOff, stage.Approval, "the regulator agrees before anything is spread"),
		after(stage.Agitation, stage.Approval, "the regulator agrees before anything is spread"),
		begun(after(stage.CalibrateSlurry, stage.Agitation, "a machine puts down what the solids of the agitated slurry let it")),
		begun(after(stage.CalibrateSolids, stage.DigSludge, "a spreader is calibrated with what it will carry")),
		after(stage.SpreadLiquid, stage.CalibrateLiquid, "a rate is proved before it is relied on"),
		after(stage.SpreadSlurry, stage.CalibrateSlurry, "a rate is proved before it is relied on"),
		after(stage.SpreadSolids, stage.CalibrateSolids, "a rate is proved before it is relied on"),
		after(stage.SpreadLiquid, stage.LabResult, "rates rest on a laboratory report"),
		after(stage.SpreadSlurry, stage.LabResult, "rates rest on a laboratory report"),
		after(stage.SpreadSolids, stage.LabResult, "rates rest on a laboratory report"),
		after(stage.PipeWork, stage.Locating, "buried lines are marked before anybody digs"),
		after(stage.DigLiner, stage.Locating, "buried lines are marked before anybody digs"),
		after(stage.EarthMoving, stage.Locating, "buried lines are marked before anybody digs"),
		ifAny(after(stage.Inspection, stage.DigSludge, "the basin is inspected empty")),
		ifAny(after(stage.DigLiner, stage.Inspection, "the empty basin is inspected before its floor is disturbed")),
		ifAny(after(stage.DigLiner, stage.FloorSampling, "how deep to dig follows from the samples")),
		after(stage.EarthMoving, stage.ErosionControl, "erosion controls stand before soil is moved"),
		after(stage.EarthMoving, stage.Inspection, "nothing is covered before the empty basin is inspected"),
		ifAny(after(stage.EarthMoving, stage.PipeWork, "lines are closed before they are buried")),
		after(stage.ReturnTopsoil, stage.EarthMoving, "topsoil goes on the finished grade"),
		ifAny(after(stage.Seeding, stage.ReturnTopsoil, "seed goes into the topsoil")),
		after(stage.FinalInspection, stage.Seeding, "a site is closed when it is covered"),
	}
}

// Unmet lists the customary needs that tasks do not have, neither themselves nor through
// what they need, in the order of the tasks.
func Unmet(tasks []stage.Task, customs []Custom) []Lacking {
	list := []Lacking{}
	place := map[string]int{}
	for i, t := range tasks {
		place[t.Key] = i
	}
	for i, t := range tasks {
		for _, c := range customs {
			if c.Of != t.Kind || t.Kind == "" {
				continue
			}
			absent := !slices.ContainsFunc(tasks, func(t stage.Task) bool { return t.Kind == c.After })
			if absent && c.IfAny || !absent && c.met(tasks, place, i) {
				continue
			}
			list = append(list, Lacking{t.Key, c, absent})
		}
	}
	return list
}

// met reports whether a task comes after one of the kind, through what it needs.
func (c Custom) met(tasks []stage.Task, place map[string]int, i int) bool {
	seen := make([]bool, len(tasks))
	for queue := []int{i}; len(queue) > 0; queue = queue[1:] {
		for _, n := range tasks[queue[0]].Needs {
			j, ok := place[n.Key]
			if !ok {
				continue
			}
			if tasks[j].Kind == c.After && (c.Begun || !n.FromStart) {
				return true
			}
			if !seen[j] {
				seen[j] = true
				queue = append(queue, j)
			}
		}
	}
	return false
}
