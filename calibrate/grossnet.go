package calibrate

import (
	"example.org/earthbasin/units"
)

// GrossNetSpec compares what was pumped with what the gauges caught.
type GrossNetSpec struct {
	Flow  units.Flow          `json:"flow"`            // by meter, or by nozzle and pressure
	Time  units.Duration      `json:"time"`            // of pumping
	Area  units.Area          `json:"area"`            // that the system waters in that time
	Net   units.Length        `json:"net"`             // mean of the gauges, [GaugesResult.Depth]
	Carry units.Concentration `json:"carry,omitempty"` // of a constituent in the liquid
}

// GrossNetResult is pumped against caught.
type GrossNetResult struct {
	Spec       GrossNetSpec      `json:"spec"`       // what it was worked out from
	Gross      units.Length      `json:"gross"`      // flow x time / area
	Efficiency float64           `json:"efficiency"` // Net/Gross; above 1 when the gauges caught more than was pumped, as after rain
	Loss       units.Length      `json:"loss"`       // Gross - Net: evaporation, drift, leaks, gauges too close; may be negative
	Carried    units.MassPerArea `json:"carried"`    // of the constituent, with the gross depth: what dries in the air falls as salt or drifts
}

// GrossNet compares the depth pumped, in = gpm h / (452.57 ac), with the depth
// caught. Quantities that are not above 0 are [units.FieldError]; Net and Carry may
// be 0.
func GrossNet(spec GrossNetSpec) (GrossNetResult, error) {
	var f units.Faults
	f.Positive("flow", spec.Flow)
	f.Positive("time", spec.Time)
	f.Positive("area", spec.Area)
	f.NotNegative("net", spec.Net)
	f.NotNegative("carry", spec.Carry)
	if err := f.Err(); err != nil {
		return GrossNetResult{}, err
	}
	r := GrossNetResult{Spec: spec, Gross: spec.Flow.Times(spec.Time).Over(spec.Area).Depth()}
	f.Positive("flow", r.Gross)
	r.Efficiency = float64(spec.Net / r.Gross)
	r.Loss = r.Gross - spec.Net
	r.Carried = r.Gross.Applied().Carrying(spec.Carry)
	checkResult(&f, "carry", r.Carried)
	if !finite(r.Efficiency) {
		f.Add("net", spec.Net, "a depth of the order of the gross depth, %v", r.Gross)
	}
	if err := f.Err(); err != nil {
		return GrossNetResult{}, err
	}
	return r, nil
}

// Working returns the lines that lead to the loss.
func (r GrossNetResult) Working() units.Working {
	var w units.Working
	w.Add("gross depth", r.Gross, "flow x time / area")
	w.Add("net depth", r.Spec.Net, "mean of the gauges")
	w.Add("efficiency", units.Share(r.Efficiency), "net / gross")
	w.Add("loss", r.Loss, "gross - net")
	if r.Carried > 0 {
		w.Add("carried", r.Carried, "gross x concentration")
	}
	return w
}

// String returns the working as a table.
func (r GrossNetResult) String() string { return r.Working().String() }
