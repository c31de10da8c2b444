package earthwork

import (
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/cautions"
	"example.org/earthbasin/volume/internal/limits"
)

// TopsoilSpec is topsoil stripped before the earthwork and spread after it.
type TopsoilSpec struct {
	StripArea   units.Area   `json:"stripArea"`   // 0 when nothing is stripped
	StripDepth  units.Length `json:"stripDepth"`  // 0 to 10 m
	ReturnArea  units.Area   `json:"returnArea"`  // more than 0
	ReturnDepth units.Length `json:"returnDepth"` // settled thickness that shall lie on the final grade
	ReturnState State        `json:"returnState"` // how the returned layer is counted: bank or compacted, loose when spread fluffy
	Loss        float64      `json:"loss"`        // fraction of the stockpile that is not got back, 0 to 0.9
	Soil        SoilSpec     `json:"soil"`        // needs the swell
}

// TopsoilResult is the balance of topsoil. One of Shortage and Surplus is 0.
type TopsoilResult struct {
	Spec      TopsoilSpec  `json:"spec"`      // what was asked
	Stripped  units.Volume `json:"stripped"`  // bank
	Stockpile units.Volume `json:"stockpile"` // loose
	Usable    units.Volume `json:"usable"`    // in the return state, after the loss
	Needed    units.Volume `json:"needed"`    // in the return state
	Shortage  units.Volume `json:"shortage"`  // to bring in, loose
	Surplus   units.Volume `json:"surplus"`   // left in the stockpile, loose
	Depth     units.Length `json:"depth"`     // that the usable topsoil alone gives on the return area, at most ReturnDepth
	Cautions  []string     `json:"cautions"`  // what can hurt people, and who decides
}

// Topsoil returns what stripping gives, what the return takes and what is short or
// over. Volumes are area x depth in their state. Errors are [units.FieldError] with
// the json field.
func Topsoil(spec TopsoilSpec) (TopsoilResult, error) {
	var f units.Faults
	limits.OrZero(&f, "stripArea", spec.StripArea, limits.MaxArea)
	limits.OrZero(&f, "stripDepth", spec.StripDepth, 10*units.Metre)
	limits.Positive(&f, "returnArea", spec.ReturnArea, limits.MaxArea)
	limits.Positive(&f, "returnDepth", spec.ReturnDepth, 10*units.Metre)
	checkState(&f, "returnState", spec.ReturnState)
	limits.OrZero(&f, "loss", spec.Loss, 0.9)
	soil := soilFor(&f, "soil", spec.Soil, StateLoose, spec.ReturnState)
	if err := f.Err(); err != nil {
		return TopsoilResult{}, err
	}
	r := TopsoilResult{Spec: spec, Cautions: []string{cautions.Services, cautions.Quantities}}
	r.Stripped = spec.StripArea.Times(spec.StripDepth)
	r.Stockpile = soil.convert(r.Stripped, StateBank, StateLoose)
	r.Usable = soil.convert(r.Stripped*units.Volume(1-spec.Loss), StateBank, spec.ReturnState)
	r.Needed = spec.ReturnArea.Times(spec.ReturnDepth)
	over := soil.convert(max(r.Usable, r.Needed)-min(r.Usable, r.Needed), spec.ReturnState, StateLoose)
	if r.Usable < r.Needed {
		r.Shortage = over
	} else {
		r.Surplus = over
	}
	r.Depth = min(spec.ReturnDepth, units.Length(float64(r.Usable)/float64(spec.ReturnArea)))
	return r, nil
}

// Working shows what is stripped and what goes back.
func (r TopsoilResult) Working() units.Working {
	var w units.Working
	s := r.Spec
	w.Add("stripped, bank", earth(r.Stripped), "%v x %v", s.StripArea, s.StripDepth)
	w.Add("stockpile, loose", earth(r.Stockpile), "bank x (1 + swell)")
	w.Put(units.Words("usable, %v", s.ReturnState), earth(r.Usable), units.Words("less the loss of %v", s.Loss))
	w.Put(units.Words("needed, %v", s.ReturnState), earth(r.Needed), units.Words("%v x %v", s.ReturnArea, s.ReturnDepth))
	w.Add("to bring in, loose", earth(r.Shortage), "")
	w.Add("left over, loose", earth(r.Surplus), "")
	return w
}

// String prints the working.
func (r TopsoilResult) String() string { return r.Working().String() }
