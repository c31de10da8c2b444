package volume

import (
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/skeleton"
)

// SlopeDepthSpec is a length measured along a bank.
type SlopeDepthSpec struct {
	Along units.Length `json:"along"` // along the bank, 1 mm to 100 km
	Slope float64      `json:"slope"` // of the bank, horizontal per vertical, 0 to 1000
}

// SlopeDepth returns the depth of a length x measured along a bank of slope z:
// x/√(1+z²). Errors are [units.FieldError] with the json field.
func SlopeDepth(spec SlopeDepthSpec) (units.Length, error) {
	var f units.Faults
	side(&f, "along", spec.Along)
	f.NumberZeroTo("slope", spec.Slope, units.MaxSlope)
	if err := f.Err(); err != nil {
		return 0, err
	}
	return units.Length(float64(spec.Along) / skeleton.Slant(spec.Slope)), nil
}

// SlopeOfAngle returns the slope, horizontal per vertical, of a bank at an angle
// of more than 0 and at most 90 degrees from the level.
func SlopeOfAngle(degrees float64) (float64, error) {
	var f units.Faults
	if !(degrees > 0.01 && degrees <= 90) {
		f.Add("degrees", degrees, "more than 0.01 and at most 90")
		return 0, f.Err()
	}
	return max(0, math.Tan((90-degrees)*math.Pi/180)), nil
}

// ShorelineArea returns the area of the circle of which the shoreline is the
// circumference, the most that a pond of that shoreline can have: C²/4π (Ohio
// State University Extension, fact sheet A-2, which prints it in acres as
// C²/547,390 with C in feet).
func ShorelineArea(shoreline units.Length) (units.Area, error) {
	var f units.Faults
	side(&f, "shoreline", shoreline)
	if err := f.Err(); err != nil {
		return 0, err
	}
	return units.Area(float64(shoreline) * float64(shoreline) / (4 * math.Pi)), nil
}

// ShoreRule says whether soundings of depth 0 at the shore count in the mean
// depth. The zero value is refused: without them the mean is that of the open
// water and times the whole surface gives too much, by a fifth in the published
// example.
type ShoreRule = units.Enum[shoreWords]

const (
	ShoreRuleIn  ShoreRule = iota + 1 // "zeros in": zeros are soundings like the others
	ShoreRuleOut                      // "zeros out": zeros are left out
)

var shoreNames = units.Names{"", "zeros in", "zeros out"}

type shoreWords struct{}

func (shoreWords) Names() units.Names { return shoreNames }

// MeanDepthSpec is soundings of a pond and the rule for those at the shore.
type MeanDepthSpec struct {
	Soundings []units.Length `json:"soundings"` // 0 or more each, and one at least counts
	Rule      ShoreRule      `json:"rule"`      // whether soundings of 0 count
}

// MeanDepth returns the sum of the soundings over their number, by the rule. Errors are
// [units.FieldError] with the json field.
func MeanDepth(spec MeanDepthSpec) (units.Length, error) {
	var f units.Faults
	var sum units.Length
	n := 0
	for i, d := range spec.Soundings {
		at := f.At("soundings", i)
		at.ZeroTo("", d, units.MaxLength)
		if d != 0 || spec.Rule == ShoreRuleIn {
			sum += d
			n++
		}
	}
	if !shoreNames.Has(int(spec.Rule)) {
		f.Add("rule", spec.Rule, shoreNames.Want())
	} else if n == 0 {
		f.Missing("soundings", "one sounding that counts, or more")
	}
	if err := f.Err(); err != nil {
		return 0, err
	}
	return sum / units.Length(n), nil
}
