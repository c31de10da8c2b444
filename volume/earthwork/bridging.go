package earthwork

import (
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/cautions"
)

// BridgingSpec is a first lift over ground too soft to carry machines.
type BridgingSpec struct {
	Area      units.Area   `json:"area"`             // of the soft ground, more than 0
	Thickness units.Length `json:"thickness"`        // of the lift over it, 10 cm to 10 m
	Sinks     units.Length `json:"sinks,omitzero"`   // how far it goes into the soft ground, at most 10 m; a trial patch shows it
	Fabric    bool         `json:"fabric,omitzero"`  // a geotextile or geogrid lies below it
	Overlap   float64      `json:"overlap,omitzero"` // extra fabric for laps and edges, a fraction of the area, 0 to 1
	Soil      SoilSpec     `json:"soil"`             // of the lift, for its volume in the truck; needs swell and shrink
}

// BridgingResult is the lift.
type BridgingResult struct {
	Spec     BridgingSpec `json:"spec"`            // what was asked
	Volume   EarthVolume  `json:"volume"`          // of the lift with what sinks in
	Above    units.Volume `json:"above"`           // compacted, over the level of the soft ground: part of the fill
	Fabric   units.Area   `json:"fabric,omitzero"` // with laps; 0 without
	Cautions []string     `json:"cautions"`        // what can hurt people, and who decides
}

// Bridging returns the soil of a lift pushed out ahead of the machine over soft ground:
// area x (thickness + what sinks in). Thickness, sinking and fabric are the
// engineer's; no rule could be read. Errors are [units.FieldError] with the json field.
func Bridging(spec BridgingSpec) (BridgingResult, error) {
	var f units.Faults
	f.UpTo("area", spec.Area, units.MaxArea)
	f.Between("thickness", spec.Thickness, 10*units.Centimetre, 10*units.Metre)
	f.ZeroTo("sinks", spec.Sinks, 10*units.Metre)
	f.NumberZeroTo("overlap", spec.Overlap, 1)
	if spec.Overlap != 0 && !spec.Fabric {
		f.Fault(units.FaultConflict, "overlap", spec.Overlap, "left out without a fabric")
	}
	soil := soilFor(&f, "soil", spec.Soil, StateLoose, StateCompacted)
	if err := f.Err(); err != nil {
		return BridgingResult{}, err
	}
	r := BridgingResult{Spec: spec, Above: spec.Area.Times(spec.Thickness), Cautions: []string{cautions.SoftFloor, cautions.Drowning, cautions.Quantities}}
	r.Volume = soil.states(spec.Area.Times(spec.Thickness+spec.Sinks), StateCompacted)
	if spec.Fabric {
		r.Fabric = spec.Area * units.Area(1+spec.Overlap)
	}
	return r, nil
}

// Working shows the lift and the fabric.
func (r BridgingResult) Working() units.Working {
	var w units.Working
	w.Add("soft ground", r.Spec.Area, "")
	w.Add("lift, compacted", earth(r.Volume.Compacted), "area x (%v + %v that sinks in)", r.Spec.Thickness, r.Spec.Sinks)
	w.Add("of that in the fill", earth(r.Above), "area x thickness")
	if r.Fabric > 0 {
		w.Add("fabric", r.Fabric, "area x (1 + %v)", r.Spec.Overlap)
	}
	return w
}

// String prints the working.
func (r BridgingResult) String() string { return r.Working().String() }
