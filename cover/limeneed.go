package cover

import (
	"example.org/earthbasin/units"
)

// LimeMethod is how a soil test is turned into a lime need.
type LimeMethod = units.Enum[limeMethodsWords]

// Methods. The zero value is not one.
const (
	// LimePennState, "Penn State", is the need as pure calcium carbonate for a 7 in furrow slice, from
	// exchangeable acidity in meq/100 g. Goal pH 7.0: 1,000 lb/acre x acidity. Goal
	// 6.5: 840 x acidity when acidity is above 4.0, else 2,000 lb/acre when pH is
	// below 6.5 (Penn State Agronomy Guide, soil acidity).
	LimePennState LimeMethod = iota + 1
	// LimeNorthCarolina, "North Carolina", is tons/acre of agricultural lime = acidity (target - pH)/
	// (6.6 - pH) - credit, acidity = 4 (6.6 - buffer pH) (North Carolina Department
	// of Agriculture, soil testing, buffer pH table).
	LimeNorthCarolina
)

var limeMethods = units.Names{"", "Penn State", "North Carolina"}

type limeMethodsWords struct{}

func (limeMethodsWords) Names() units.Names { return limeMethods }

// LimeNeedSpec is a soil test for lime.
type LimeNeedSpec struct {
	Method LimeMethod `json:"method"` // of the state's office; required
	PH     float64    `json:"ph"`     // in water, 3 to 9
	Goal   float64    `json:"goal"`   // 6.5 or 7.0 for Penn State; 5 to 6.5 for North Carolina
	// Acidity is the exchangeable acidity in meq/100 g for Penn State, required there,
	// and that of the buffer for North Carolina, 0 to 50.
	Acidity *float64 `json:"acidity,omitempty"`
	// BufferPH, 3 to 6.6, gives the acidity for North Carolina, instead of Acidity.
	BufferPH *float64 `json:"bufferPH,omitempty"`
	// Credit is lime of earlier years that still works, for North Carolina.
	Credit units.MassPerArea `json:"credit,omitzero"`
}

// LimeNeedResult is the lime need of a soil test.
type LimeNeedResult struct {
	Spec LimeNeedSpec `json:"spec"` // what it was worked out from
	// Basis is what Need is a weight of, for [LimeSpec]: [LimeCCE], 7 in deep, for
	// Penn State; for North Carolina the state's ordinary lime, which is [LimeECCE]
	// with the ReferenceECCE that its office names.
	Basis   LimeBasis         `json:"basis"`
	Acidity float64           `json:"acidity"` // as given, or by the buffer pH; meq/100 g
	Factor  float64           `json:"factor"`  // (goal - pH)/(6.6 - pH), 0 for Penn State
	Need    units.MassPerArea `json:"need"`    // never below 0
}

// bufferedPH is the pH of the North Carolina buffer.
const bufferedPH = 6.6

// LimeNeed works out the lime need of a soil test by the formula of a state. Soil
// at or above the goal needs none.
func LimeNeed(spec LimeNeedSpec) (LimeNeedResult, error) {
	var f units.Faults
	f.NumberBetween("ph", spec.PH, 3, 9)
	if spec.Acidity != nil {
		f.NumberBetween("acidity", *spec.Acidity, 0, 50)
	}
	f.NotNegative("credit", spec.Credit)
	switch spec.Method {
	case LimePennState:
		if spec.Goal != 6.5 && spec.Goal != 7 {
			f.Add("goal", spec.Goal, "6.5 or 7.0")
		}
		if spec.Acidity == nil {
			f.Missing("acidity", "the exchangeable acidity of the soil test in meq/100 g, 0 to 50")
		}
		if spec.Credit != 0 {
			f.Add("credit", spec.Credit, "no value with Penn State")
		}
		if spec.BufferPH != nil {
			f.Add("bufferPH", *spec.BufferPH, "no value with Penn State")
		}
	case LimeNorthCarolina:
		f.NumberBetween("goal", spec.Goal, 5, 6.5)
		switch {
		case spec.BufferPH == nil && spec.Acidity == nil:
			f.Missing("acidity", "the acidity by the buffer in meq/100 g, 0 to 50, or a bufferPH")
		case spec.BufferPH != nil && spec.Acidity != nil:
			f.Add("acidity", *spec.Acidity, "no value beside bufferPH")
		}
		if spec.BufferPH != nil {
			f.NumberBetween("bufferPH", *spec.BufferPH, 3, bufferedPH)
		}
	default:
		f.Add("method", spec.Method, limeMethods.Want())
	}
	if err := f.Err(); err != nil {
		return LimeNeedResult{}, err
	}
	r := LimeNeedResult{Spec: spec, Basis: LimeCCE}
	if spec.Acidity != nil {
		r.Acidity = *spec.Acidity
	} else {
		r.Acidity = 4 * (bufferedPH - *spec.BufferPH)
	}
	if spec.Method == LimeNorthCarolina {
		r.Basis = LimeECCE
		if spec.PH < spec.Goal { // so that pH is below 6.6 too
			r.Factor = (spec.Goal - spec.PH) / (bufferedPH - spec.PH)
			r.Need = max(0, units.TonPerAcre*units.MassPerArea(r.Acidity*r.Factor)-spec.Credit)
		}
		return r, nil
	}
	pounds := 0.0
	switch {
	case spec.Goal == 7:
		pounds = 1000 * r.Acidity
	case r.Acidity > 4:
		pounds = 840 * r.Acidity
	case spec.PH < 6.5:
		pounds = 2000
	}
	if spec.PH < spec.Goal {
		r.Need = units.PoundPerAcre * units.MassPerArea(pounds)
	}
	return r, nil
}

// Working shows the need.
func (r LimeNeedResult) Working() units.Working {
	var w units.Working
	w.Add("pH, goal", units.Words("%.4g, %.4g", r.Spec.PH, r.Spec.Goal), "")
	w.Add("acidity", units.Words("%.4g meq/100 g", r.Acidity), "")
	per := func(pounds units.MassPerArea) units.Shown {
		return units.As(pounds*units.PoundPerAcre, units.PoundPerAcre, 0)
	}
	how := units.Words("%v x acidity to 7.0; to 6.5, %v x acidity above 4, else %v", per(1000), per(840), per(2000))
	of := units.Words("pure calcium carbonate, %v deep", 7*units.Inch)
	if r.Spec.Method == LimeNorthCarolina {
		w.Add("factor", rounded(r.Factor, 3), "(goal - pH)/(6.6 - pH)")
		how = units.Words("%v x acidity x factor - credit", units.TonPerAcre)
		of = units.Words("agricultural lime of the state's standard")
	}
	w.Put(units.Words("need"), r.Need, how)
	w.Add("basis", of, "%v", r.Spec.Method)
	return w
}

// String prints the working.
func (r LimeNeedResult) String() string { return r.Working().String() }
