package earthwork

import (
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/cautions"
	"example.org/earthbasin/volume/internal/skeleton"
)

// CrownShape is the form of the fill above the ground. The zero value is refused.
type CrownShape = units.Enum[crownWords]

// Shapes of a crown.
const (
	CrownShapeHip     CrownShape = iota + 1 // "hip": one grade on four sides up to a ridge
	CrownShapeGable                         // "gable": one grade on the two long sides, upright ends
	CrownShapePyramid                       // "pyramid": up to one point; the grade is that of the flatter faces
	CrownShapeCone                          // "cone": over a circle, whose diameter is both length and width
)

var crownNames = units.Names{CrownShapeHip: "hip", CrownShapeGable: "gable", CrownShapePyramid: "pyramid", CrownShapeCone: "cone"}

type crownWords struct{}

func (crownWords) Names() units.Names { return crownNames }

// CrownSpec is a crown over a rectangle, a circle or, for a hip, any outline.
type CrownSpec struct {
	Shape  CrownShape   `json:"shape"`           // of the fill above the ground
	Length units.Length `json:"length,omitzero"` // the longer side; equal to Width is allowed
	Width  units.Length `json:"width,omitzero"`  // the shorter side, more than 0 to 100 km
	// Outline, instead of length and width, is the foot of a hip crown: a simple
	// polygon of at most 500 corners, convex or not, in either direction.
	Outline plane.Polygon `json:"outline,omitempty"`
	Grade   float64       `json:"grade"` // rise per run, more than 0 to 0.5
}

// CrownResult is the height and the fill of a crown, as it stands.
type CrownResult struct {
	Spec   CrownSpec    `json:"spec"`   // what was asked
	Plan   units.Area   `json:"plan"`   // ground under the crown
	Peak   units.Length `json:"peak"`   // height over the foot
	Volume units.Volume `json:"volume"` // of the crown as it stands
}

// Crown returns peak and volume of a crown of grade g over length L and width W:
// hip g W/2 and g W^2 (3L - W)/12, gable g W/2 and W L peak/2, pyramid g L/2 and
// L W peak/3, cone g W/2 and pi/4 W^2 peak/3 (geometry). A hip over an outline is the [HipCrown]: its sections
// shrink from all sides at once, followed exactly up to the ridges. Errors are
// [units.FieldError] with the json field.
func Crown(spec CrownSpec) (CrownResult, error) {
	var f units.Faults
	spec.check(&f)
	if err := f.Err(); err != nil {
		return CrownResult{}, err
	}
	return spec.crown()
}

func (spec CrownSpec) check(f *units.Faults) {
	if !crownNames.Has(int(spec.Shape)) {
		f.Add("shape", spec.Shape, crownNames.Want())
	}
	switch {
	case len(spec.Outline) == 0:
		f.UpTo("length", spec.Length, units.MaxLength)
		f.UpTo("width", spec.Width, units.MaxLength)
		if spec.Length < spec.Width {
			f.Add("length", spec.Length, "the longer side, at least the width of %v", spec.Width)
		}
		if spec.Shape == CrownShapeCone && spec.Length > spec.Width {
			f.Add("length", spec.Length, "the diameter of the circle, as the width of %v is", spec.Width)
		}
	case spec.Length != 0 || spec.Width != 0 || spec.Shape != CrownShapeHip:
		f.Say("outline", "given beside length and width, or for another shape than a hip", "one of the two, and a hip")
	default:
		f.Sub("outline", spec.Outline.CheckUpTo(skeleton.MaxCorners))
	}
	f.NumberUpTo("grade", spec.Grade, units.MaxGrade)
}

// crown is Crown for a checked spec.
func (spec CrownSpec) crown() (CrownResult, error) {
	r := CrownResult{Spec: spec, Plan: spec.Length.Times(spec.Width), Peak: units.Length(spec.Grade) * spec.Width / 2}
	switch {
	case len(spec.Outline) > 0:
		c, err := NewHipCrown(HipCrownSpec{Outline: spec.Outline, Grade: spec.Grade})
		if err != nil {
			return CrownResult{}, err
		}
		r.Plan, r.Peak, r.Volume = spec.Outline.Area(), c.Peak(), c.Volume()
	case spec.Shape == CrownShapeHip:
		r.Volume = units.Volume(spec.Grade/12) * spec.Width.Times(spec.Width).Times(3*spec.Length-spec.Width)
	case spec.Shape == CrownShapeGable:
		r.Volume = r.Plan.Times(r.Peak) / 2
	case spec.Shape == CrownShapeCone:
		r.Plan *= math.Pi / 4
		r.Volume = r.Plan.Times(r.Peak) / 3
	default:
		r.Peak = units.Length(spec.Grade) * spec.Length / 2
		r.Volume = r.Plan.Times(r.Peak) / 3
	}
	return r, nil
}

// Working shows plan, peak and fill.
func (r CrownResult) Working() units.Working {
	var w units.Working
	how, peak := "grade x width^2 (3 length - width)/12", "grade x width/2"
	switch {
	case len(r.Spec.Outline) > 0:
		how, peak = "sections of the roof", "grade x way from the sides to where the last of them meet"
	case r.Spec.Shape == CrownShapeGable:
		how = "length x width x peak/2"
	case r.Spec.Shape == CrownShapeCone:
		how = "plan x peak/3"
	case r.Spec.Shape == CrownShapePyramid:
		how, peak = "length x width x peak/3", "grade x length/2"
	}
	w.Add("shape", r.Spec.Shape, "")
	w.Add("plan", r.Plan, "")
	w.Add("grade", r.Spec.Grade, "rise per run")
	w.Add("peak", r.Peak, peak)
	w.Add("fill in the crown", earth(r.Volume), how)
	return w
}

// String prints the working.
func (r CrownResult) String() string { return r.Working().String() }

// SettledCrownSpec is a crown over a filled basin, both of which settle.
type SettledCrownSpec struct {
	Crown      CrownSpec      `json:"crown"`      // as built
	FillDepth  units.Length   `json:"fillDepth"`  // fill below the foot of the crown over the floor of the basin
	BankSlope  float64        `json:"bankSlope"`  // steepest bank under the fill, horizontal per vertical
	Settlement SettlementSpec `json:"settlement"` // of basin fill and crown
	MinGrade   float64        `json:"minGrade"`   // that shall remain, 0 to 0.5
}

// SettledCrownResult is the crown that is left.
type SettledCrownResult struct {
	Spec          SettledCrownSpec `json:"spec"`          // what was asked
	Left          float64          `json:"left"`          // height left per height placed, k
	Depth         units.Length     `json:"depth"`         // of the deepest fill under the crown
	PeakBuilt     units.Length     `json:"peakBuilt"`     // height over the foot when it is built
	PeakLeft      units.Length     `json:"peakLeft"`      // above the edge, which rests on firm ground; below 0 for a hollow
	GradeOverBank float64          `json:"gradeOverBank"` // where the fill wedges out; below 0 runs inward
	GradeOverBase float64          `json:"gradeOverBase"` // over the level floor
	GradeNeeded   float64          `json:"gradeNeeded"`   // to build, so that MinGrade remains everywhere
	ShedsWater    bool             `json:"shedsWater"`    // the least grade remains everywhere
	Cautions      []string         `json:"cautions"`      // what can hurt people, and who decides
}

// SettledCrown returns what is left of a crown when the fill has settled. Each
// thickness t that was placed loses (1 - k) t, where k is 1/(1 + s) or 1 - s by
// the convention. The thickness of the basin fill grows by 1/z per run over a bank
// of slope z and is level over the floor, so the grade g becomes k g - (1 - k)/z
// over the bank and k g over the floor (geometry; one-dimensional settlement). As an
// analogue for the grade to keep, 30 Tex. Admin. Code 330.453 has landfill covers
// at 2 to 6 %.
// Errors are [units.FieldError] with the json field.
func SettledCrown(spec SettledCrownSpec) (SettledCrownResult, error) {
	var f units.Faults
	crownAt := f.At("crown")
	spec.Crown.check(&crownAt)
	f.ZeroTo("fillDepth", spec.FillDepth, units.MaxLength)
	f.NumberUpTo("bankSlope", spec.BankSlope, units.MaxSlope)
	settlement := f.At("settlement")
	spec.Settlement.check(&settlement)
	f.NumberZeroTo("minGrade", spec.MinGrade, 0.5)
	if err := f.Err(); err != nil {
		return SettledCrownResult{}, err
	}
	k := 1 / spec.Settlement.built()
	c := spec.Crown
	crown, err := c.crown()
	if err != nil {
		f.Sub("crown", err)
		return SettledCrownResult{}, f.Err()
	}
	r := SettledCrownResult{Spec: spec, Left: k, PeakBuilt: crown.Peak}
	// A basin with banks too flat to reach the depth has its deepest fill in
	// the middle.
	run := c.Width / 2
	if len(c.Outline) > 0 {
		run = crown.Peak / units.Length(c.Grade)
	}
	depth := min(spec.FillDepth, run/units.Length(spec.BankSlope))
	r.Depth = depth
	loss := 0.0
	if depth > 0 {
		loss = (1 - k) / spec.BankSlope
	}
	r.PeakLeft = units.Length(k)*crown.Peak - units.Length(1-k)*depth
	r.GradeOverBank = k*c.Grade - loss
	r.GradeOverBase = k * c.Grade
	r.GradeNeeded = (spec.MinGrade + loss) / k
	// Equal up to rounding is enough: a crown built to GradeNeeded passes.
	// Over the floor nothing is lost, so that the grade over the bank is the least.
	r.ShedsWater = r.GradeOverBank >= spec.MinGrade-1e-12 && r.GradeOverBank > 0
	r.Cautions = []string{"Settlement goes on for years and is not even: look at the crown after each winter, fill hollows and reseed (common practice, no source).", cautions.Quantities}
	return r, nil
}

// Working shows the peak and the grades that are left.
func (r SettledCrownResult) Working() units.Working {
	var w units.Working
	w.Add("height left per height placed k", r.Left, "%v", r.Spec.Settlement.Rule)
	w.Add("peak as built", r.PeakBuilt, "")
	w.Add("peak left", r.PeakLeft, "k peak - (1 - k) fill depth %v", r.Depth)
	w.Add("grade left over the banks", r.GradeOverBank, "k grade - (1 - k)/bank slope")
	w.Add("grade left over the floor", r.GradeOverBase, "k grade")
	w.Add("grade to build", r.GradeNeeded, "(least grade + (1 - k)/bank slope)/k")
	w.Add("sheds water", units.Word(map[bool]string{true: "yes", false: "no"}[r.ShedsWater]), "least grade left is %v or more", r.Spec.MinGrade)
	return w
}

// String prints the working.
func (r SettledCrownResult) String() string { return r.Working().String() }
