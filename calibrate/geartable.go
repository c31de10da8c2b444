package calibrate

import (
	"math"

	"example.org/earthbasin/units"
)

// Gear is one gear or setting of the tractor, with its speed or a timed course.
type Gear struct {
	Name   string       `json:"name"`             // as marked on the machine; may be empty
	Speed  units.Speed  `json:"speed,omitempty"`  // over the ground, more than 0; 0 with Course
	Course *TimedCourse `json:"course,omitempty"` // instead of Speed
}

// GearTableSpec asks for the rate in each gear.
type GearTableSpec struct {
	Flow   units.Flow          `json:"flow"`   // out of the tool, more than 0
	Width  units.Length        `json:"width"`  // that one pass covers, more than 0
	Target units.VolumePerArea `json:"target"` // rate, more than 0
	Gears  []Gear              `json:"gears"`  // 1 or more
}

// GearRow is the rate in one gear.
type GearRow struct {
	Name  string              `json:"name"`  // of the gear
	Speed units.Speed         `json:"speed"` // in the gear
	Rate  units.VolumePerArea `json:"rate"`  // on the ground
	Off   float64             `json:"off"`   // rate/target - 1
}

// GearTableResult is the table and the gear nearest to the target.
type GearTableResult struct {
	Spec    GearTableSpec `json:"spec"`    // what it was worked out from
	Rows    []GearRow     `json:"rows"`    // in the order of the gears
	Nearest int           `json:"nearest"` // index into Rows; the first of equals
}

// GearTable returns the rate of a constant flow at the speed of each gear, and the
// gear that comes nearest to the target. The errors are those of [Solve].
func GearTable(spec GearTableSpec) (GearTableResult, error) {
	var f units.Faults
	f.Positive("target", spec.Target)
	f.CountBetween("gears", len(spec.Gears), "gears", 1, 1000)
	f.Positive("flow", spec.Flow)
	f.Positive("width", spec.Width)
	if err := f.Err(); err != nil {
		return GearTableResult{}, err
	}
	r := GearTableResult{Spec: spec}
	for i, g := range spec.Gears {
		at := f.At("gears", i)
		if g.Speed == 0 && g.Course == nil {
			at.Missing("speed", "a speed, or a timed course")
			continue
		}
		s, err := Solve(SolveSpec{Flow: spec.Flow, Width: spec.Width, Speed: g.Speed, Course: g.Course})
		if err != nil {
			at.Sub("", err)
			continue
		}
		row := GearRow{Name: g.Name, Speed: s.Speed, Rate: s.Rate, Off: float64(s.Rate/spec.Target) - 1}
		if math.IsInf(row.Off, 0) {
			f.Add("target", spec.Target, "a rate of the same order as %v", row.Rate)
		}
		r.Rows = append(r.Rows, row)
		if math.Abs(row.Off) < math.Abs(r.Rows[r.Nearest].Off) {
			r.Nearest = len(r.Rows) - 1
		}
	}
	if err := f.Err(); err != nil {
		return GearTableResult{}, err
	}
	return r, nil
}

// Working returns one line for each gear.
func (r GearTableResult) Working() units.Working {
	var w units.Working
	for i, row := range r.Rows {
		how := units.Words("at %v, %+.1f %% off the target", row.Speed, 100*row.Off)
		if i == r.Nearest {
			how = how.And(", nearest")
		}
		w.Put(units.Words(row.Name), row.Rate, how)
	}
	return w
}

// String returns the working as a table.
func (r GearTableResult) String() string { return r.Working().String() }
