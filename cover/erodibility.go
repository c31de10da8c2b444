package cover

import (
	"math"

	"example.org/earthbasin/units"
)

// FactorUnits is the system of units of R and K in the soil loss equation.
type FactorUnits = units.Enum[systemsWords]

// Systems. The zero value is not one: the same soil is 0.3 in one and 0.04 in the
// other.
const (
	// FactorUnitsUS, "US": R in hundreds of ft tonf in/(acre h yr), K in ton acre h/(hundreds of
	// acre ft tonf in).
	FactorUnitsUS FactorUnits = iota + 1
	// FactorUnitsSI, "SI": R in MJ mm/(ha h yr), K in Mg h/(MJ mm).
	FactorUnitsSI
)

var systems = units.Names{"", "US", "SI"}

type systemsWords struct{}

func (systemsWords) Names() units.Names { return systems }

// Factors from US to SI, from the definitions: 1 ton/acre is 2.2417 Mg/ha, and the
// foot, pound-force and inch in R and K are exact. In rounded form they are 17.02
// and 0.1317.
const (
	// ErosivitySI is R in SI per R in US units, 17.0195.
	ErosivitySI = 100 * 0.3048 * (2000 * 4.4482216152605) * 25.4 / 1e6 / 0.40468564224
	// ErodibilitySI is K in SI per K in US units, 0.13171.
	ErodibilitySI = (2000 * 0.00045359237 / 0.40468564224) / ErosivitySI
)

// The span of K in US units that is reported.
const (
	leastK    = 0.02
	mostK     = 0.69
	reportedK = "0.02 to 0.69 in US units, the span that is reported (Colorado DRMS document 1046693, page 29)"
)

// ErodibilitySpec is what the nomograph asks of a soil.
type ErodibilitySpec struct {
	SiltAndVeryFineSand float64 `json:"siltAndVeryFineSand"` // fraction of the fine earth, 0 to 0.70
	Clay                float64 `json:"clay"`                // fraction of the fine earth
	OrganicMatter       float64 `json:"organicMatter"`       // fraction of mass, 0 to 0.12; 4 % is the usual top
	// Structure class: 1 very fine granular, 2 fine granular (1 to 2 mm), 3 medium
	// or coarse granular, 4 blocky, platy or massive.
	Structure int `json:"structure"`
	// Permeability class of the profile: 1 rapid, 2 moderate to rapid (2 to 6 in/h),
	// 3 moderate, 4 slow to moderate (0.2 to 0.6 in/h), 5 slow, 6 very slow (below
	// 0.06 in/h).
	Permeability int `json:"permeability"`
}

// ErodibilityResult is K in both systems.
type ErodibilityResult struct {
	Spec ErodibilitySpec `json:"spec"` // what it was worked out from
	US   float64         `json:"us"`   // K in ton acre h/(hundreds of acre ft tonf in)
	SI   float64         `json:"si"`   // K in Mg h/(MJ mm)
	// Cautions say what the equation is worth; they are never empty.
	Cautions []string `json:"cautions"`
}

// Erodibility works out K by the equation of the nomograph,
//
//	100 K = 2.1e-4 M^1.14 (12 - OM) + 3.25 (s - 2) + 2.5 (p - 3),
//	M = (silt + very fine sand, %) (100 - clay, %), OM in percent,
//
// of Agriculture Handbook 537 (1978). The constants are recalled; they give the
// handbook's example, 0.31, from the inputs that an environmental engineering
// textbook (fig. 11-2) prints. A survey value or the nomograph itself goes first.
// A result of 0 or less is refused.
func Erodibility(spec ErodibilitySpec) (ErodibilityResult, error) {
	var f units.Faults
	f.NumberBetween("siltAndVeryFineSand", spec.SiltAndVeryFineSand, 0, 0.70)
	f.Fraction("clay", spec.Clay)
	if s := spec.SiltAndVeryFineSand + spec.Clay; s > 1+1e-9 {
		f.Add("clay", spec.Clay, "at most 1 together with silt and very fine sand")
	}
	f.NumberBetween("organicMatter", spec.OrganicMatter, 0, 0.12)
	if spec.Structure < 1 || spec.Structure > 4 {
		f.Add("structure", spec.Structure, "class 1 to 4")
	}
	if spec.Permeability < 1 || spec.Permeability > 6 {
		f.Add("permeability", spec.Permeability, "class 1 to 6")
	}
	if err := f.Err(); err != nil {
		return ErodibilityResult{}, err
	}
	m := 100 * spec.SiltAndVeryFineSand * (100 - 100*spec.Clay)
	k := (2.1e-4*math.Pow(m, 1.14)*(12-100*spec.OrganicMatter) +
		3.25*float64(spec.Structure-2) + 2.5*float64(spec.Permeability-3)) / 100
	if !(k > 0) {
		f.Add("siltAndVeryFineSand", spec.SiltAndVeryFineSand, "a soil within the equation, which gives K = %v here", rounded(k, 3))
		return ErodibilityResult{}, f.Err()
	}
	r := ErodibilityResult{Spec: spec, US: k, SI: k * ErodibilitySI, Cautions: []string{
		"The equation departs from the nomograph on more than half of some 20,000 soils, by as much as half of K (Catena 118, 2014, 220-225): prefer a soil survey value.",
		"K is that of undisturbed topsoil in tilled fallow; fill and subsoil differ.",
	}}
	if k < leastK || k > mostK {
		r.Cautions = append(r.Cautions, "K lies outside "+reportedK+".")
	}
	if spec.OrganicMatter > 0.04 {
		r.Cautions = append(r.Cautions, "Organic matter is above 4 %, where the nomograph ends.")
	}
	return r, nil
}

// Working shows the equation.
func (r ErodibilityResult) Working() units.Working {
	var w units.Working
	w.Add("silt + very fine sand", units.Share(r.Spec.SiltAndVeryFineSand), "")
	w.Add("clay", units.Share(r.Spec.Clay), "")
	w.Add("organic matter", units.Share(r.Spec.OrganicMatter), "")
	w.Add("structure, permeability", units.Words("%v, %v", r.Spec.Structure, r.Spec.Permeability), "classes")
	w.Add("K, US", rounded(r.US, 3), "equation of the AH-537 nomograph")
	w.Add("K, SI", rounded(r.SI, 3), "x 0.1317")
	return w
}

// String prints the working.
func (r ErodibilityResult) String() string { return r.Working().String() }
