package calibrate

import (
	"math"

	"example.org/earthbasin/units"
)

// Pattern is the catch of trays in a straight row across one pass, or of gauges
// across one lane of a travelling gun.
type Pattern struct {
	Trays   []float64    `json:"trays"`   // from left to right seen in the driving direction, in any one unit: only ratios count; 3 or more
	Spacing units.Length `json:"spacing"` // centre to centre, even
	Line    units.Length `json:"line"`    // from the centre of the first tray to the driving line
}

// check records what is wrong with p under the paths of its fields.
func (p Pattern) check(f *units.Faults) {
	f.CountBetween("trays", len(p.Trays), "trays", 3, maxTrays)
	most := 0.0
	for i, c := range p.Trays {
		at := f.At("trays", i)
		at.NumberBetween("", c, 0, maxCatch)
		most = max(most, c)
	}
	if len(p.Trays) > 0 && most == 0 {
		f.Say("trays", "nothing caught in any tray", "at least one tray that caught some")
	} else if most > 0 && most < 1/maxCatch {
		f.Add("trays", most, "a largest catch of 1e-9 or more")
	}
	f.Between("spacing", p.Spacing, units.Millimetre, units.Kilometre)
	if reach := units.Length(len(p.Trays)-1) * p.Spacing; !(p.Line >= 0 && p.Line <= reach) {
		f.Add("line", p.Line, "0 to the last tray at %v", reach)
	}
}

const (
	maxTrays = 500
	maxCatch = 1e9
)

// at returns the catch at x metres from the first tray, linear between trays, 0
// outside them.
func (p Pattern) at(x float64) float64 {
	u := x / float64(p.Spacing)
	last := float64(len(p.Trays) - 1)
	const slack = 1e-9 // of a tray, for the rounding of x
	if u < -slack || u > last+slack {
		return 0
	}
	u = min(max(u, 0), last)
	i := min(int(u), len(p.Trays)-2)
	t := u - float64(i)
	if r := math.Round(t); math.Abs(t-r) < slack {
		t = r
	}
	return (1-t)*p.Trays[i] + t*p.Trays[i+1]
}

// Drive is how neighbouring passes are driven.
type Drive = units.Enum[driveWords]

const (
	// DriveCircuit, "circuit", drives neighbouring passes in one direction, as round and round a
	// field: the left side of each pass meets the right side of its neighbour. Where
	// the rounds close in the middle, like sides meet as in DriveToAndFro.
	DriveCircuit Drive = iota + 1
	// DriveToAndFro, "to-and-fro", drives neighbouring passes in opposite directions: left meets
	// left, right meets right.
	DriveToAndFro
)

var driveNames = units.Names{"", "circuit", "to-and-fro"}

type driveWords struct{}

func (driveWords) Names() units.Names { return driveNames }

// Series returns the catch of the trays, in their unit, over the distance from the
// driving line in the given unit of length, right positive. The unit must be above 0.
func (p Pattern) Series(unit units.Length) units.Series {
	s := make(units.Series, len(p.Trays))
	for i, c := range p.Trays {
		s[i] = [2]float64{(units.Length(i)*p.Spacing - p.Line).In(unit), c}
	}
	return s
}
