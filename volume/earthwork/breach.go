package earthwork

import (
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/cautions"
)

// BreachSpec is a notch cut through a berm so that the emptied basin cannot hold
// water again.
type BreachSpec struct {
	Berm        BermSection  `json:"berm"`        // that is cut through
	BottomWidth units.Length `json:"bottomWidth"` // along the berm, 0 or more
	SideSlope   float64      `json:"sideSlope"`   // of both sides of the notch, horizontal per vertical, 0 to 1000
	Depth       units.Length `json:"depth"`       // below the crest, more than 0, at most the height of the berm
}

// BreachResult is the soil of the notch, bank volume.
type BreachResult struct {
	Spec     BreachSpec   `json:"spec"`     // what was asked
	TopWidth units.Length `json:"topWidth"` // of the opening at the crest
	Volume   units.Volume `json:"volume"`   // of the notch, bank
	Through  bool         `json:"through"`  // the notch reaches the ground, so no water stands against the berm
	Cautions []string     `json:"cautions"` // what can hurt people, and who decides
}

// minBreachSlope is the steepest side of a notch in extension slides of Georgia
// on closing lagoons: "no steeper than 3:1".
const minBreachSlope = 3

// Breach returns the volume of a trapezoidal notch of bottom b, side slope z and
// depth h through a berm of crest w and slopes s1, s2:
// w (b h + z h^2) + (s1 + s2)(b h^2/2 + z h^3/3), the integral of the notch over
// the section of the berm (geometry). Errors are [units.FieldError] with the json
// field; sides steeper than 3:1 and a notch that stops above the ground are
// cautions.
func Breach(spec BreachSpec) (BreachResult, error) {
	var f units.Faults
	berm := f.At("berm")
	spec.Berm.check(&berm)
	f.ZeroTo("bottomWidth", spec.BottomWidth, units.MaxLength)
	f.NumberZeroTo("sideSlope", spec.SideSlope, units.MaxSlope)
	f.UpTo("depth", spec.Depth, units.MaxLength)
	if spec.Depth > spec.Berm.Height {
		f.Add("depth", spec.Depth, "at most the height of the berm, %v", spec.Berm.Height)
	}
	if err := f.Err(); err != nil {
		return BreachResult{}, err
	}
	b, z, h := float64(spec.BottomWidth), spec.SideSlope, float64(spec.Depth)
	w, s := float64(spec.Berm.CrestWidth), spec.Berm.InnerSlope+spec.Berm.OuterSlope
	r := BreachResult{
		Spec:     spec,
		TopWidth: units.Length(b + 2*z*h),
		Volume:   units.Volume(w*(b*h+z*h*h) + s*(b*h*h/2+z*h*h*h/3)),
		Through:  spec.Depth == spec.Berm.Height,
		Cautions: cautions.Digging(spec.Depth),
	}
	r.Cautions = append(r.Cautions, cautions.Banks, cautions.Impound)
	if z < minBreachSlope {
		r.Cautions = append(r.Cautions, "The sides of the notch are steeper than 3:1; Georgia extension slides on closing lagoons ask for 3:1 or flatter.")
	}
	if !r.Through {
		r.Cautions = append(r.Cautions, "The notch stops above the ground, so water can still stand behind the berm.")
	}
	return r, nil
}

// Working shows the opening and the notch.
func (r BreachResult) Working() units.Working {
	var w units.Working
	w.Add("opening at the crest", r.TopWidth, "bottom width + 2 x side slope x depth")
	w.Add("notch", earth(r.Volume), "crest (b h + z h^2) + slopes (b h^2/2 + z h^3/3)")
	return w
}

// String prints the working.
func (r BreachResult) String() string { return r.Working().String() }
