package calibrate

import (
	"example.org/earthbasin/units"
)

// Gauge is one rain gauge or catch can. It gives a depth or a caught volume, or is
// marked missing (tipped, misread, stepped on); a true 0 counts.
type Gauge struct {
	Depth   *units.Length  `json:"depth,omitempty"`   // read, 0 to 10 m; nil with Caught or Missing
	Caught  *units.Volume  `json:"caught,omitempty"`  // needs the opening
	Missing bool           `json:"missing,omitempty"` // without a value; then neither Depth nor Caught
	At      units.Length   `json:"at,omitempty"`      // place along the line of gauges; for a pivot the distance from its point, 1 mm to 10 km
	After   units.Duration `json:"after,omitempty"`   // from the start of the test to the reading, for the evaporation correction
}

// ControlCan is a can outside the wetted area that shows what evaporates.
type ControlCan struct {
	Before units.Volume `json:"before"` // at the start, above 0
	After  units.Volume `json:"after"`  // at the end, 0 to Before
}

// Evaporation describes the control cans of a test.
type Evaporation struct {
	Cans []ControlCan   `json:"cans"` // 1 or more
	Over units.Duration `json:"over"` // between the two readings
}

// evaporation returns the depth lost per time by the control cans, 0 without them.
func (spec GaugesSpec) evaporation(f *units.Faults) units.DepthRate {
	e := spec.Evaporation
	if e == nil {
		return 0
	}
	f.Between("evaporation.over", e.Over, units.Second, maxTest)
	if len(e.Cans) == 0 {
		f.Missing("evaporation.cans", "at least one control can")
		return 0
	}
	var lost units.Volume
	for i, c := range e.Cans {
		at := f.At("evaporation.cans", i)
		at.Positive("before", c.Before)
		at.NotNegative("after", c.After)
		if c.After > c.Before {
			at.Add("after", c.After, "at most what it held before, %v", c.Before)
		}
		lost += c.Before - c.After
	}
	if spec.Opening == 0 {
		f.Missing("opening", "the opening of the cans, more than 0")
		return 0
	}
	rate := (lost / units.Volume(len(e.Cans))).OverTime(e.Over).OverArea(spec.Opening)
	if d := rate.Times(e.Over); !(d <= maxDepth) {
		f.Add("evaporation", d, "a loss of at most %v", maxDepth)
		return 0
	}
	return rate
}

// check records what is wrong with the place and the time of g.
func (g Gauge) check(f *units.Faults, spec GaugesSpec) {
	if spec.System == SystemPivot && !g.Missing {
		f.Between("at", g.At, units.Millimetre, maxPlace)
	} else {
		f.Between("at", g.At, -maxPlace, maxPlace)
	}
	f.Between("after", g.After, units.Duration(0), maxTest)
	switch {
	case g.Missing && (g.Depth != nil || g.Caught != nil):
		f.Add("missing", g.Missing, "a reading or missing, not both")
	case !g.Missing && spec.Evaporation != nil && g.After == 0:
		f.Missing("after", "the time from the start to the reading, for the evaporation correction")
	}
}

// depth returns what g, at its place in the spec, caught, and records what is wrong
// with it.
func (g Gauge) depth(f, at *units.Faults, spec GaugesSpec) units.Length {
	switch {
	case g.Depth != nil && g.Caught != nil:
		at.Say("", "both a depth and a caught volume given", "one of the two")
		return 0
	case g.Depth != nil:
		at.Between("depth", *g.Depth, units.Length(0), maxDepth)
		return *g.Depth
	case g.Caught == nil:
		at.Missing("", "a depth, a caught volume, or missing: true")
		return 0
	}
	at.NotNegative("caught", *g.Caught)
	if spec.Opening == 0 {
		f.Missing("opening", "the opening of a gauge that gives a volume, more than 0")
		return 0
	}
	d := g.Caught.Over(spec.Opening).Depth()
	if d > maxDepth {
		at.Add("caught", *g.Caught, "at most %v over the opening", maxDepth)
	}
	return d
}
