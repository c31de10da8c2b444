package calibrate

import (
	"example.org/earthbasin/units"
)

// TimedTank is a tank emptied, or filled by a hose, in a time: it gives a flow.
type TimedTank struct {
	Volume units.Volume   `json:"volume"` // what ran out; more than 0
	Time   units.Duration `json:"time"`   // more than 0
}

// TimedCourse is a distance driven in a time: it gives a speed.
type TimedCourse struct {
	Distance units.Length   `json:"distance"` // more than 0
	Time     units.Duration `json:"time"`     // more than 0
}

// SolveSpec holds the four that belong together behind a tool that moves: the one
// left at 0 is worked out. Flow and speed may come from timing instead.
type SolveSpec struct {
	Flow   units.Flow          `json:"flow,omitempty"`   // by a meter, say
	Tank   *TimedTank          `json:"tank,omitempty"`   // instead of Flow
	Speed  units.Speed         `json:"speed,omitempty"`  // over the ground, more than 0; 0 to be worked out
	Course *TimedCourse        `json:"course,omitempty"` // instead of Speed
	Width  units.Length        `json:"width,omitempty"`  // tool, effective swath, or lane of a travelling gun
	Rate   units.VolumePerArea `json:"rate,omitempty"`   // on the ground, more than 0; 0 to be worked out
}

// SolveResult holds all four.
type SolveResult struct {
	Spec   SolveSpec           `json:"spec"`   // what it was worked out from
	Flow   units.Flow          `json:"flow"`   // out of the tool
	Speed  units.Speed         `json:"speed"`  // over the ground
	Width  units.Length        `json:"width"`  // that one pass covers
	Rate   units.VolumePerArea `json:"rate"`   // on the ground
	Depth  units.Length        `json:"depth"`  // the rate as a depth of liquid
	Solved string              `json:"solved"` // flow, speed, width or rate
}

// Solve works out the one of flow, speed, width and rate that was left at 0:
// rate = flow / (speed x width). In trade units gal/acre = 495 gpm/(mph ft), for
// any gallon; L/ha = 600 L/min/(km/h m), Alberta Agriculture and Food, Nutrient
// Management Planning Guide, Agdex 400/28-3, p. 192; a travelling gun's in = 19.25
// gpm/(lane ft x in/min). One must be left out and the others be above 0, and flow
// and speed come from one place only; else the error holds [units.FieldError].
func Solve(spec SolveSpec) (SolveResult, error) {
	var f units.Faults
	flow, speed := spec.Flow, spec.Speed
	if t := spec.Tank; t != nil {
		f.Positive("tank.volume", t.Volume)
		f.Positive("tank.time", t.Time)
		if flow != 0 {
			f.Add("flow", flow, "either a flow or a timed tank, not both")
		}
		flow = t.Volume.OverTime(t.Time)
	}
	if t := spec.Course; t != nil {
		f.Positive("course.distance", t.Distance)
		f.Positive("course.time", t.Time)
		if speed != 0 {
			f.Add("speed", speed, "either a speed or a timed course, not both")
		}
		speed = t.Distance.OverTime(t.Time)
	}
	if err := f.Err(); err != nil {
		return SolveResult{}, err
	}
	r := SolveResult{Spec: spec, Flow: flow, Speed: speed, Width: spec.Width, Rate: spec.Rate}
	given := []struct {
		name string
		q    units.Quantity
	}{{"flow", flow}, {"speed", speed}, {"width", spec.Width}, {"rate", spec.Rate}}
	var left []string
	for _, g := range given {
		if g.q.SI() == 0 {
			left = append(left, g.name)
			r.Solved = g.name
			continue
		}
		f.Positive(g.name, g.q)
	}
	switch {
	case len(left) == 0:
		f.Add("rate", spec.Rate, "no value, to be worked out, or one of flow, speed and width left out")
	case len(left) > 1:
		for _, name := range left {
			f.Missing(name, "all but one of flow, speed, width and rate")
		}
	}
	if err := f.Err(); err != nil {
		return SolveResult{}, err
	}
	switch r.Solved {
	case "flow":
		r.Flow = units.Flow(float64(r.Rate) * float64(speed) * float64(r.Width))
		checkResult(&f, "rate", r.Flow)
	case "speed":
		r.Speed = units.Speed(float64(flow) / (float64(r.Rate) * float64(r.Width)))
		checkResult(&f, "flow", r.Speed)
	case "width":
		r.Width = units.Length(float64(flow) / (float64(r.Rate) * float64(speed)))
		checkResult(&f, "flow", r.Width)
	default:
		r.Rate = flow.OverSwath(speed, r.Width)
		checkResult(&f, "flow", r.Rate)
	}
	if err := f.Err(); err != nil {
		return SolveResult{}, err
	}
	r.Depth = r.Rate.Depth()
	return r, nil
}

// Working returns the four with the one that was worked out.
func (r SolveResult) Working() units.Working {
	var w units.Working
	how := map[string]string{
		"flow": "rate x speed x width", "speed": "flow / (rate x width)",
		"width": "flow / (rate x speed)", "rate": "flow / (speed x width)",
	}
	add := func(name string, q units.Quantity) {
		if name == r.Solved {
			w.Add(name, q, how[name])
			return
		}
		w.Add(name, q, "")
	}
	add("flow", r.Flow)
	add("speed", r.Speed)
	add("width", r.Width)
	add("rate", r.Rate)
	return w
}

// String returns the working as a table.
func (r SolveResult) String() string { return r.Working().String() }
