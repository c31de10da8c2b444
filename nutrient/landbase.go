package nutrient

import (
	"slices"

	"example.org/earthbasin/units"
)

// LandStock is a nutrient to be spread and how much of it an area may take.
type LandStock struct {
	Name    string            `json:"name"`    // of the nutrient, not empty
	Mass    units.Mass        `json:"mass"`    // in the material, in the form that PerArea counts: available N, P2O5; 0 or more
	PerArea units.MassPerArea `json:"perArea"` // above 0
}

// LandBaseSpec is what [LandBase] works from.
type LandBaseSpec struct {
	Stocks []LandStock `json:"stocks"`         // at least one
	Have   units.Area  `json:"have,omitempty"` // land at hand, to tell what is missing
}

// LandNeed is the area that one nutrient asks for.
type LandNeed struct {
	Name string     `json:"name"` // of the nutrient
	Area units.Area `json:"area"` // over which it goes, 0 or more
}

// LandBaseResult is the land that the material needs.
type LandBaseResult struct {
	Spec    LandBaseSpec `json:"spec"`    // what it was worked out from
	Area    units.Area   `json:"area"`    // the largest of the needs
	Needs   []LandNeed   `json:"needs"`   // the binding one first
	Missing units.Area   `json:"missing"` // area less the land at hand, not below 0
}

// LandBase returns the area that each nutrient asks for, mass over mass per area,
// and the largest, which is the land base (Montana State University Extension,
// nutrient budget step 7). Wrong values are a [units.FieldError].
func LandBase(s LandBaseSpec) (LandBaseResult, error) {
	var f units.Faults
	if len(s.Stocks) == 0 {
		f.Missing("stocks", "at least one nutrient")
	}
	for i, n := range s.Stocks {
		at := f.At("stocks", i)
		if n.Name == "" {
			at.Missing("name", "the name of the nutrient")
		}
		notNegative(&at, "mass", n.Mass)
		positive(&at, "perArea", n.PerArea)
	}
	notNegative(&f, "have", s.Have)
	if err := f.Err(); err != nil {
		return LandBaseResult{}, err
	}
	r := LandBaseResult{Spec: s}
	for _, n := range s.Stocks {
		r.Needs = append(r.Needs, LandNeed{n.Name, n.Mass.OverRate(n.PerArea) + 0})
	}
	slices.SortStableFunc(r.Needs, func(a, b LandNeed) int {
		switch {
		case a.Area > b.Area:
			return -1
		case a.Area < b.Area:
			return 1
		}
		return 0
	})
	r.Area = r.Needs[0].Area
	r.Missing = max(0, r.Area-s.Have)
	return r, nil
}

// Working shows the area by nutrient.
func (r LandBaseResult) Working() units.Working {
	var w units.Working
	for i, n := range r.Needs {
		how := units.Words("mass over mass per area")
		if i == 0 {
			how = how.And(", binds")
		}
		w.Put(units.Words("land for %s", units.Word(n.Name)), n.Area, how)
	}
	if r.Spec.Have > 0 {
		w.Add("land at hand", r.Spec.Have, "")
		w.Add("missing", units.As(r.Missing, units.Acre, 1), "")
	}
	return w
}

// String is the table of the working.
func (r LandBaseResult) String() string { return r.Working().String() }
