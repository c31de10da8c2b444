package calibrate

import (
	"math"

	"example.org/earthbasin/units"
)

// Hold is the shape of what holds a load.
type Hold = units.Enum[holdWords]

const (
	// HoldRated, "rated", is a tank or box whose capacity the maker states.
	HoldRated Hold = iota + 1
	// HoldBox, "box", is a box with straight sides; Heap above its rim counts for 0.8 of
	// its height: V = L W (D + 0.8 H), University of Nebraska, G95-1267.
	HoldBox
	// HoldTank, "tank", is a round or elliptical tank: V = pi/4 L W D.
	HoldTank
	// HoldTankTrade, "tank by trade factor", is HoldTank with the 0.8 that the trade writes for pi/4, 1.86 %
	// high: Penn State, Manure Spreader Calibration; Utah State, CNMP step 7.
	HoldTankTrade
)

var holdNames = units.Names{"", "rated", "box", "tank", "tank by trade factor"}

type holdWords struct{}

func (holdWords) Names() units.Names { return holdNames }

// LoadCapacitySpec describes a load.
type LoadCapacitySpec struct {
	Hold    Hold          `json:"hold"`              // what holds the load; required
	Rated   units.Volume  `json:"rated,omitempty"`   // of HoldRated
	Length  units.Length  `json:"length,omitempty"`  // inside measures of the other shapes
	Width   units.Length  `json:"width,omitempty"`   // inside, more than 0; not for HoldRated
	Depth   units.Length  `json:"depth,omitempty"`   // inside, more than 0; not for HoldRated
	Heap    units.Length  `json:"heap,omitempty"`    // of HoldBox: height of the heap above the rim, 0 for a struck load
	Fill    float64       `json:"fill"`              // share of that volume which the load fills, above 0 to 1.3
	Density units.Density `json:"density,omitempty"` // for the mass, 0 where none is wanted
}

// LiquidFill is the share of its rated capacity that a liquid tank holds, for foam
// and level: Iowa State University, Calibration of Manure Applicators, Spring 1999.
const LiquidFill = 0.90

// LoadCapacityResult is what one load holds.
type LoadCapacityResult struct {
	Spec   LoadCapacitySpec `json:"spec"`           // what it was worked out from
	Struck units.Volume     `json:"struck"`         // to the rim or as rated
	Volume units.Volume     `json:"volume"`         // with heap and fill
	Mass   *units.Mass      `json:"mass,omitempty"` // nil when no density was given
}

// LoadCapacity returns the volume of one load by the shape that holds it, and its mass
// when a density is given. The trade's tons per cubic foot are densities too: 0.031
// is 62 lb/ft3 (liquid) and 0.0275 is 55 lb/ft3 (solid; Penn State, Manure Spreader
// Calibration). A density from a full five-gallon bucket is its net weight over 5
// gallons, by [units.Mass.OverVolume]; the trade's factor of 1.5 (exactly 1.49610)
// gives lb/ft3. Measures that are not above 0 and do not belong to the shape are
// [units.FieldError].
func LoadCapacity(spec LoadCapacitySpec) (LoadCapacityResult, error) {
	var f units.Faults
	if !holdNames.Has(int(spec.Hold)) {
		f.Add("hold", spec.Hold, holdNames.Want())
		return LoadCapacityResult{}, f.Err()
	}
	unused := func(field string, q units.Quantity) {
		if q.SI() != 0 {
			f.Add(field, q, "no value with hold %v", spec.Hold)
		}
	}
	r := LoadCapacityResult{Spec: spec}
	factor := 1.0
	if spec.Hold == HoldRated {
		f.Positive("rated", spec.Rated)
		unused("length", spec.Length)
		unused("width", spec.Width)
		unused("depth", spec.Depth)
		r.Struck = spec.Rated
	} else {
		unused("rated", spec.Rated)
		f.Positive("length", spec.Length)
		f.Positive("width", spec.Width)
		f.Positive("depth", spec.Depth)
		switch spec.Hold {
		case HoldTank:
			factor = math.Pi / 4
		case HoldTankTrade:
			factor = 0.8
		}
		r.Struck = units.Volume(factor) * spec.Length.Times(spec.Width).Times(spec.Depth)
	}
	r.Volume = r.Struck
	if spec.Hold == HoldBox {
		f.NotNegative("heap", spec.Heap)
		r.Volume += 0.8 * spec.Length.Times(spec.Width).Times(spec.Heap)
	} else {
		unused("heap", spec.Heap)
	}
	if !(spec.Fill > 0 && spec.Fill <= 1.3) {
		f.Add("fill", spec.Fill, "more than 0 and at most 1.3, such as 0.90 for a liquid tank")
	}
	r.Volume *= units.Volume(spec.Fill)
	checkResult(&f, "length", r.Volume)
	if spec.Density != 0 {
		f.Positive("density", spec.Density)
		r.Mass = new(spec.Density.Times(r.Volume))
		checkResult(&f, "density", *r.Mass)
	}
	if err := f.Err(); err != nil {
		return LoadCapacityResult{}, err
	}
	return r, nil
}

// Working returns the lines that lead to the load.
func (r LoadCapacityResult) Working() units.Working {
	var w units.Working
	w.Add("struck", r.Struck, "by the %v rule", r.Spec.Hold)
	w.Add("load", r.Volume, "with heap and fill")
	if r.Mass != nil {
		w.Add("mass", *r.Mass, "density x load")
	}
	return w
}

// String returns the working as a table.
func (r LoadCapacityResult) String() string { return r.Working().String() }
