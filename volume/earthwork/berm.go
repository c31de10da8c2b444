package earthwork

import (
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/cautions"
	"example.org/earthbasin/volume/internal/skeleton"
)

// BermLine says which line of the berm the plan of a BermSpec is. The zero value
// is refused.
type BermLine = units.Enum[bermLineWords]

// Lines of a berm.
const (
	BermLineInnerToe  BermLine = iota + 1 // "inner toe": where the inner slope meets the ground
	BermLineInnerEdge                     // "inside top of bank": inner edge of the crest
	BermLineCentre                        // "crest centre line": middle of the crest
	BermLineOuterToe                      // "outer toe": where the outer slope meets the ground
)

var bermLineNames = units.Names{BermLineInnerToe: "inner toe", BermLineInnerEdge: "inside top of bank", BermLineCentre: "crest centre line", BermLineOuterToe: "outer toe"}

type bermLineWords struct{}

func (bermLineWords) Names() units.Names { return bermLineNames }

// BermSection is the cross section of a berm above the ground.
type BermSection struct {
	Height     units.Length `json:"height"`     // 0 for a side without berm
	CrestWidth units.Length `json:"crestWidth"` // 0 or more
	InnerSlope float64      `json:"innerSlope"` // horizontal per vertical, 0 to 1000
	OuterSlope float64      `json:"outerSlope"` // horizontal per vertical, 0 to 1000
}

func (s BermSection) check(f *units.Faults) {
	f.ZeroTo("height", s.Height, units.MaxLength)
	f.ZeroTo("crestWidth", s.CrestWidth, units.MaxLength)
	f.NumberZeroTo("innerSlope", s.InnerSlope, units.MaxSlope)
	f.NumberZeroTo("outerSlope", s.OuterSlope, units.MaxSlope)
}

// Area returns the area of the section, b h + s h^2 with the crest b and the mean
// slope s, as it enters Sections for an embankment of changing height. Errors are
// [units.FieldError] with the json field.
func (s BermSection) Area() (units.Area, error) {
	var f units.Faults
	if s.check(&f); f.Err() != nil {
		return 0, f.Err()
	}
	area, _ := s.moments()
	return units.Area(area), nil
}

// base returns the width on the ground.
func (s BermSection) base() float64 {
	if s.Height == 0 {
		return 0
	}
	return float64(s.CrestWidth) + (s.InnerSlope+s.OuterSlope)*float64(s.Height)
}

// moments returns the area of the section (F13: b h + s h^2) and the distance of
// its centroid from the inner toe, 0 for no area.
func (s BermSection) moments() (area, centroid float64) {
	h, b := float64(s.Height), float64(s.CrestWidth)
	zi, zo := s.InnerSlope*h, s.OuterSlope*h
	in, crest, out := zi*h/2, b*h, zo*h/2
	if area = in + crest + out; area == 0 {
		return 0, 0
	}
	return area, (in*zi*2/3 + crest*(zi+b/2) + out*(zi+b+zo/3)) / area
}

// BermSpec is a closed ring of berm around a basin. The plan is a rectangle, a circle
// or a polygon whose corners are given in either direction.
type BermSpec struct {
	Line   BermLine      `json:"line,omitzero"`   // which line of the berm the plan is
	Length units.Length  `json:"length,omitzero"` // of a rectangle, more than 0
	Width  units.Length  `json:"width,omitzero"`  // of a rectangle, more than 0
	Plan   plane.Polygon `json:"plan,omitempty"`  // instead of length and width
	// Diameter of a circle, instead of length and width.
	Diameter units.Length `json:"diameter,omitzero"`
	// Sides is one section for all sides or one for each: of a rectangle
	// counterclockwise, on the right of the length as seen from its start, at its end,
	// on the left and at the start; of a polygon side i from corner i to the next.
	Sides []BermSection `json:"sides"`
}

// BermSide is one side of the ring, cut at its corners along their bisectors.
type BermSide struct {
	Section   units.Area   `json:"section"`   // area of the cross section
	Centroid  units.Length `json:"centroid"`  // of the section, outward from the inner toe
	Length    units.Length `json:"length"`    // of the side at the centroid
	Volume    units.Volume `json:"volume"`    // section x length
	Footprint units.Area   `json:"footprint"` // ground covered
}

// BermResult is the soil in the ring, as it stands (bank volume when it is dug).
type BermResult struct {
	Spec      BermSpec     `json:"spec"`      // what was asked
	Sides     []BermSide   `json:"sides"`     // in the order of the plan
	Volume    units.Volume `json:"volume"`    // of all sides
	Footprint units.Area   `json:"footprint"` // ground covered, for stripping and seeding
	Cautions  []string     `json:"cautions"`  // what can hurt people, and who decides
}

// Berm returns the volume of a berm ring with mitred corners. A side of section
// area A whose centroid lies x outward of the plan line holds A (l + x (t1 + t2)),
// where l is the length of the plan line and t the tangent of half the turn at
// each end (Pappus with corners; around a rectangle of one section the sum is
// A (2 (L + W) + 8 x)). That is exact where the sides that meet have the same
// section; where they differ a step is left at the bisector, which the result
// counts as it is. Errors are [units.FieldError] with the json field, among them
// a side too short for its corners.
func Berm(spec BermSpec) (BermResult, error) {
	var f units.Faults
	if !bermLineNames.Has(int(spec.Line)) {
		f.Add("line", spec.Line, bermLineNames.Want())
	}
	sides := spec.plan(&f)
	n := len(sides)
	if len(spec.Sides) != 1 && n > 0 && len(spec.Sides) != n {
		f.Count("sides", len(spec.Sides), "sections", "1 for all sides or %v", n)
	}
	for i, s := range spec.Sides {
		side := f.At("sides", i)
		s.check(&side)
	}
	if err := f.Err(); err != nil {
		return BermResult{}, err
	}
	r := BermResult{Spec: spec, Cautions: append(cautions.Digging(0), cautions.Banks, cautions.Impound)}
	for i, p := range sides {
		sec := spec.Sides[min(i, len(spec.Sides)-1)]
		area, x := sec.moments()
		base, shift := sec.base(), sec.innerToe(spec.Line)
		// Every length of the side, from the inner to the outer toe.
		at := func(x float64) float64 { return p.length + (x+shift)*p.turn }
		if at(0) < 0 || at(base) < 0 {
			place := f.At("sides", i)
			place.Add("", units.Length(min(at(0), at(base))), "a side that has a length left at both toes")
			continue
		}
		side := BermSide{Section: units.Area(area), Centroid: units.Length(x), Length: units.Length(at(x))}
		side.Volume = side.Section.Times(side.Length)
		side.Footprint = units.Area(base * at(base/2))
		r.Sides = append(r.Sides, side)
		r.Volume += side.Volume
		r.Footprint += side.Footprint
	}
	if err := f.Err(); err != nil {
		return BermResult{}, err
	}
	return r, nil
}

// Working shows the sides and their sum.
func (r BermResult) Working() units.Working {
	var w units.Working
	w.Add("plan", r.Spec.Line, "%v sides", len(r.Sides))
	for i, s := range r.Sides {
		w.Put(units.Words("side %v", i+1), earth(s.Volume), units.Words("section %v x %v at its centroid, %v from the inner toe",
			units.As(s.Section, units.SquareFoot, 1), units.As(s.Length, units.Foot, 1), units.As(s.Centroid, units.Foot, 1)))
	}
	w.Add("berm", earth(r.Volume), "sum of the sides")
	w.Add("ground covered", r.Footprint, "")
	return w
}

// String prints the working.
func (r BermResult) String() string { return r.Working().String() }

// CrestWidth returns the least crest width of an embankment of the height H for
// Md. Code Regs. 26.20.21.08 A(6), in feet (H + 35)/5. A height that is not above
// 0 and at most 100 km is a [units.FieldError].
func CrestWidth(height units.Length) (units.Length, error) {
	var f units.Faults
	if f.UpTo("height", height, units.MaxLength); f.Err() != nil {
		return 0, f.Err()
	}
	return (height + 35*units.Foot) / 5, nil
}

// innerToe returns how far the inner toe lies outward of the line, a negative
// number for lines outside it.
func (s BermSection) innerToe(l BermLine) float64 {
	h, b := float64(s.Height), float64(s.CrestWidth)
	if h == 0 {
		return 0
	}
	switch l {
	case BermLineInnerEdge:
		return -s.InnerSlope * h
	case BermLineCentre:
		return -s.InnerSlope*h - b/2
	case BermLineOuterToe:
		return -s.base()
	}
	return 0
}

// bermPlan is a side of the plan: its length and the sum of the tangents of half
// the turns at its two ends, positive at corners that point outward.
type bermPlan struct{ length, turn float64 }

func (spec BermSpec) plan(f *units.Faults) []bermPlan {
	if spec.Diameter != 0 {
		f.UpTo("diameter", spec.Diameter, units.MaxLength)
		if len(spec.Plan) > 0 || spec.Length != 0 || spec.Width != 0 {
			f.Say("diameter", "given beside length and width or a plan", "one of the three")
		}
		// A ring x outward of the circle is 2 pi x longer.
		return []bermPlan{{math.Pi * float64(spec.Diameter), 2 * math.Pi}}
	}
	if len(spec.Plan) == 0 {
		f.UpTo("length", spec.Length, units.MaxLength)
		f.UpTo("width", spec.Width, units.MaxLength)
		l, w := float64(spec.Length), float64(spec.Width)
		return []bermPlan{{l, 2}, {w, 2}, {l, 2}, {w, 2}}
	}
	if spec.Length != 0 || spec.Width != 0 {
		f.Say("plan", "given beside length and width", "one of the two")
	}
	before := f.Len()
	if f.Sub("plan", spec.Plan.CheckUpTo(maxCorners)); f.Len() > before {
		return nil
	}
	p, n := spec.Plan, len(spec.Plan)
	sign := math.Copysign(1, float64(p.SignedArea()))
	tan := func(i int) float64 { return sign * math.Tan(skeleton.TurnAt(p, i%n)/2) }
	sides := make([]bermPlan, n)
	for i := range p {
		sides[i] = bermPlan{float64(p[i].Distance(p[(i+1)%n])), tan(i) + tan(i+1)}
		if !(math.Abs(sides[i].turn) <= 1000) {
			corner := f.At("plan", i)
			corner.Say("", "needle-sharp", "corners of more than 0.1 degree")
		}
	}
	return sides
}
