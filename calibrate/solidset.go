package calibrate

import (
	"example.org/earthbasin/units"
)

// SolidSetSpec is sprinklers on a rectangular grid.
type SolidSetSpec struct {
	Flow       units.Flow     `json:"flow"`          // of one sprinkler
	Along      units.Length   `json:"along"`         // spacing along the line
	Between    units.Length   `json:"between"`       // spacing between lines
	Efficiency float64        `json:"efficiency"`    // share of the water that reaches the ground, above 0 to 1
	Run        units.Duration `json:"run,omitempty"` // of one irrigation, 0 or more
}

// SolidSetResult is the application rate of a solid set.
type SolidSetResult struct {
	Spec     SolidSetSpec    `json:"spec"`     // what it was worked out from
	PerAcre  float64         `json:"perAcre"`  // sprinklers per acre, one for each cell of the grid
	Gross    units.DepthRate `json:"gross"`    // out of the nozzles
	Net      units.DepthRate `json:"net"`      // Gross x Efficiency
	RunGross units.Length    `json:"runGross"` // in Run
	RunNet   units.Length    `json:"runNet"`   // RunGross x Efficiency
}

// SolidSet returns the rate of a solid set: flow / (along x between). In trade units
// in/h = 96.25 gpm/ft2, printed with 96.3 in New Mexico State University, Soils 456,
// chapter 5. Flow and spacings that are not above 0 and an efficiency outside 0 to 1
// are [units.FieldError].
func SolidSet(spec SolidSetSpec) (SolidSetResult, error) {
	var f units.Faults
	f.Positive("flow", spec.Flow)
	f.Positive("along", spec.Along)
	f.Positive("between", spec.Between)
	f.NotNegative("run", spec.Run)
	f.PositiveFraction("efficiency", spec.Efficiency)
	cell := spec.Along.Times(spec.Between)
	r := SolidSetResult{Spec: spec, PerAcre: float64(units.Acre / cell), Gross: spec.Flow.OverArea(cell)}
	r.Net = units.DepthRate(spec.Efficiency) * r.Gross
	r.RunGross, r.RunNet = r.Gross.Times(spec.Run), r.Net.Times(spec.Run)
	if f.Err() == nil {
		checkResult(&f, "along", r.Gross)
		f.PositiveNumber("between", r.PerAcre)
		checkResult(&f, "run", r.RunGross)
	}
	if err := f.Err(); err != nil {
		return SolidSetResult{}, err
	}
	return r, nil
}

// Working returns the lines that lead to the rate.
func (r SolidSetResult) Working() units.Working {
	var w units.Working
	w.Add("sprinklers per acre", units.Words("%.2f", r.PerAcre), "acre / (along x between)")
	w.Add("gross rate", r.Gross, "flow / (along x between)")
	w.Add("net rate", r.Net, "gross x efficiency")
	if r.RunGross > 0 {
		w.Add("in one run", r.RunNet, "net; gross %v", r.RunGross)
	}
	return w
}

// String returns the working as a table.
func (r SolidSetResult) String() string { return r.Working().String() }
