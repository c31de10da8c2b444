package earthwork

import (
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/cautions"
)

// BorrowSpec is a pit that soil for the fill is taken from.
type BorrowSpec struct {
	Volume units.Volume `json:"volume"` // of soil that is needed, 1 m3 or more
	State  State        `json:"state"`  // of Volume
	Depth  units.Length `json:"depth"`  // of the pit below the topsoil, 1 cm to 100 m
	Slope  float64      `json:"slope"`  // of its sides, horizontal per vertical, 0 to 1000
	// Topsoil is the thickness that is stripped before and goes back after, 0 to 10 m.
	Topsoil units.Length `json:"topsoil,omitzero"`
	// Loss is the share of the topsoil that does not come back, 0 to 0.9.
	Loss float64  `json:"loss,omitzero"`
	Soil SoilSpec `json:"soil"` // needs what State asks for
}

// BorrowResult is the pit, square in plan, which takes the least ground.
type BorrowResult struct {
	Spec     BorrowSpec   `json:"spec"`     // what was asked
	Bank     units.Volume `json:"bank"`     // of soil taken, bank
	Floor    units.Length `json:"floor"`    // side of the level floor
	Side     units.Length `json:"side"`     // of the square at the ground
	Area     units.Area   `json:"area"`     // disturbed, stripped and closed again
	Stripped units.Volume `json:"stripped"` // topsoil, bank
	Returned units.Volume `json:"returned"` // topsoil that comes back, bank
	Cover    units.Length `json:"cover"`    // thickness that it gives on the area
	Cautions []string     `json:"cautions"` // what can hurt people, and who decides
}

// Borrow returns the pit that gives the soil: with the side s of its floor, the depth
// d and the slope z it holds s²d + 2szd² + 4/3 z²d³, as worksheet 10A-2 of USDA NRCS,
// Agricultural Waste Management Field Handbook (NEH 651), chapter 10, has it for equal
// sides. Topsoil lies on the ground that the pit and its sides take; that above the
// sides is not widened further. A depth at which the sides meet before the soil is
// reached is a fault that names the deepest. Errors are [units.FieldError] with the
// json field.
func Borrow(spec BorrowSpec) (BorrowResult, error) {
	var f units.Faults
	f.Between("volume", spec.Volume, units.CubicMetre, units.MaxVolume)
	checkState(&f, "state", spec.State)
	f.Between("depth", spec.Depth, units.Centimetre, 100*units.Metre)
	f.NumberZeroTo("slope", spec.Slope, units.MaxSlope)
	f.ZeroTo("topsoil", spec.Topsoil, 10*units.Metre)
	f.NumberZeroTo("loss", spec.Loss, 0.9)
	soil := soilFor(&f, "soil", spec.Soil, spec.State)
	if err := f.Err(); err != nil {
		return BorrowResult{}, err
	}
	r := BorrowResult{Spec: spec, Bank: soil.convert(spec.Volume, spec.State, StateBank)}
	v, d, z := float64(r.Bank), float64(spec.Depth), spec.Slope
	if least := 4 * z * z * d * d * d / 3; least > v*(1+slack) {
		f.Add("depth", spec.Depth, "at most %v, where sides of %v:1 meet in a pit of %v", units.Length(math.Cbrt(3*v/(4*z*z))), z, earth(r.Bank))
		return BorrowResult{}, f.Err()
	}
	// s² + 2zd s + 4/3 z²d² - v/d = 0
	r.Floor = units.Length(max(math.Sqrt(max(v/d-z*z*d*d/3, 0))-z*d, 0))
	r.Side = r.Floor + units.Length(2*z*d)
	r.Area = r.Side.Times(r.Side)
	r.Stripped = r.Area.Times(spec.Topsoil)
	r.Returned = r.Stripped * units.Volume(1-spec.Loss)
	r.Cover = spec.Topsoil * units.Length(1-spec.Loss)
	r.Cautions = append(cautions.Digging(spec.Depth+spec.Topsoil), cautions.Banks, cautions.Borrow)
	return r, nil
}

// Working shows the pit, its stripping and its closing.
func (r BorrowResult) Working() units.Working {
	var w units.Working
	s := r.Spec
	w.Add("soil taken, bank", earth(r.Bank), "from %v %v", earth(s.Volume), s.State)
	w.Add("floor of the pit", r.Floor, "side s of s²d + 2szd² + 4/3 z²d³, %v deep at %v:1", s.Depth, s.Slope)
	w.Add("side at the ground", r.Side, "s + 2zd")
	w.Add("ground taken", r.Area, "side squared")
	w.Add("topsoil stripped, bank", earth(r.Stripped), "%v x %v", r.Area, s.Topsoil)
	w.Add("topsoil returned, bank", earth(r.Returned), "less the loss of %v, %v thick", s.Loss, r.Cover)
	return w
}

// String prints the working.
func (r BorrowResult) String() string { return r.Working().String() }
