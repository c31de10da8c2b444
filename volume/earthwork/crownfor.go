package earthwork

import (
	"example.org/earthbasin/units"
)

// CrownForResult is the crown to build.
type CrownForResult struct {
	Spec  SettledCrownSpec   `json:"spec"`  // what was asked
	Build CrownResult        `json:"build"` // the crown to build
	Left  SettledCrownResult `json:"left"`  // what is left of it; it sheds water
	// Steeper says that the grade of the spec was too flat, so that the crown to build is
	// steeper.
	Steeper bool `json:"steeper,omitzero"`
	// Extra is the fill beyond a crown of the grade of the spec, and beyond nothing where
	// the spec has none.
	Extra    units.Volume `json:"extra"`
	Cautions []string     `json:"cautions"` // what can hurt people, and who decides
}

// CrownFor returns the crown to build so that the least grade still holds everywhere
// when fill and crown have settled, by the formula of [SettledCrown]: grade
// (least grade + (1 - k)/z)/k. A crown of the spec that is steeper stays as it is; one
// without a grade gets that grade. Where that were more than a crown can have, the
// settlement is a fault that says so. Errors are [units.FieldError] with the json field.
func CrownFor(spec SettledCrownSpec) (CrownForResult, error) {
	try := spec
	if try.Crown.Grade == 0 {
		try.Crown.Grade = 1e-6 // any: what is needed does not hang on it
	}
	first, err := SettledCrown(try)
	if err != nil {
		return CrownForResult{}, err
	}
	r := CrownForResult{Spec: spec, Steeper: spec.Crown.Grade > 0 && first.GradeNeeded > spec.Crown.Grade*(1+1e-12)}
	var before units.Volume
	if spec.Crown.Grade > 0 {
		c, err := spec.Crown.crown()
		if err != nil {
			return CrownForResult{}, units.Fault(units.FaultConflict, "crown", units.Words("an outline that cannot be followed"), "a plainer outline")
		}
		before = c.Volume
	}
	try.Crown.Grade = max(first.GradeNeeded, spec.Crown.Grade)
	if try.Crown.Grade > units.MaxGrade {
		return CrownForResult{}, units.Fault(units.FaultRange, "settlement.share", spec.Settlement.Share,
			"a share that leaves the least grade of %v on a crown of at most %v; %v would be needed over banks of %v:1", spec.MinGrade, units.MaxGrade, first.GradeNeeded, spec.BankSlope)
	}
	if try.Crown.Grade <= 0 {
		return CrownForResult{}, units.Fault(units.FaultMissing, "minGrade", nil, "a least grade, or a grade of the crown")
	}
	if r.Left, err = SettledCrown(try); err != nil {
		return CrownForResult{}, err
	}
	if r.Build, err = Crown(try.Crown); err != nil {
		return CrownForResult{}, err
	}
	r.Extra, r.Cautions = r.Build.Volume-before, r.Left.Cautions
	return r, nil
}

// Working shows the crown to build and what is left of it.
func (r CrownForResult) Working() units.Working {
	w := r.Build.Working()
	if r.Spec.Crown.Grade > 0 {
		w.Add("more than at the grade given", earth(r.Extra), "a grade of %v", r.Spec.Crown.Grade)
	}
	return append(w, r.Left.Working()...)
}

// String prints the working.
func (r CrownForResult) String() string { return r.Working().String() }
