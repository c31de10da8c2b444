package volume

import (
	"math"

	"example.org/earthbasin/units"
)

// SurveyedArea is the area inside a contour.
type SurveyedArea struct {
	Elevation units.Length `json:"elevation"` // of the contour, within 100 km of its datum
	Area      units.Area   `json:"area"`      // inside the contour, 0 to 1e10 m2; 0 only for the first
}

// SurveyedSpec is a basin known by its areas at some elevations.
type SurveyedSpec struct {
	// Areas are given upward, in equal or unequal steps: the first is the floor
	// and may be 0, the last the top of the bank.
	Areas []SurveyedArea `json:"areas"`
	// Method says how the area goes between the elevations:
	// MethodEndArea linearly, MethodConic with a linear square root, and
	// MethodPrismoidal as a parabola through three of them, the middle one at
	// half height (Simpson's rule).
	Method Method `json:"method"`
	// FinishEndArea lets MethodPrismoidal take the last slice of an odd number
	// by average end area; otherwise an odd number is refused.
	FinishEndArea bool `json:"finishEndArea,omitzero"`
	// AllowShrinking accepts areas that shrink upward, as under an overhang or
	// around an island; otherwise they are taken for a slip and refused.
	AllowShrinking bool `json:"allowShrinking,omitzero"`
}

// Surveyed is a basin known by its areas at some elevations. Inside a slice the
// area follows the method, so that the volume of a slice cut short is that of the
// method too.
type Surveyed struct {
	piecewise
	floor  units.Length
	method Method
}

// NewSurveyed returns the basin of spec, or every fault in it.
func NewSurveyed(spec SurveyedSpec) (*Surveyed, error) {
	var f units.Faults
	checkSurveyed(&f, spec)
	if err := f.Err(); err != nil {
		return nil, err
	}
	floor := spec.Areas[0].Elevation
	n := len(spec.Areas)
	height := func(i int) float64 { return float64(spec.Areas[i].Elevation - floor) }
	area := func(i int) float64 { return float64(spec.Areas[i].Area) }
	var list []piece
	for i := 0; i+1 < n; i++ {
		d := height(i+1) - height(i)
		switch {
		case spec.Method == MethodConic:
			root, slope := math.Sqrt(area(i)), (math.Sqrt(area(i+1))-math.Sqrt(area(i)))/d
			list = append(list, piece{low: height(i), a: area(i), b: 2 * root * slope, c: slope * slope})
		case spec.Method == MethodPrismoidal && i+2 < n:
			p := parabola(area(i), area(i+1), area(i+2), d+height(i+2)-height(i+1))
			p.low = height(i)
			list = append(list, p)
			i++
		default:
			list = append(list, piece{low: height(i), a: area(i), b: (area(i+1) - area(i)) / d})
		}
	}
	return &Surveyed{stacked(list, height(n-1)), floor, spec.Method}, nil
}

// parabola returns the quadratic through three areas, the middle one at half of
// the depth d.
func parabola(bottom, mid, top, d float64) piece {
	return piece{a: bottom, b: (4*mid - 3*bottom - top) / d, c: 2 * (bottom - 2*mid + top) / (d * d)}
}

func checkSurveyed(f *units.Faults, spec SurveyedSpec) {
	n := len(spec.Areas)
	if n < 2 || n > maxRows {
		f.Count("areas", n, "areas", "2 to %v", maxRows)
		return
	}
	for i, s := range spec.Areas {
		at := f.At("areas", i)
		at.Between("elevation", s.Elevation, -units.MaxLength, units.MaxLength)
		at.ZeroTo("area", s.Area, units.MaxArea)
		if i == 0 {
			continue
		}
		below := spec.Areas[i-1]
		if !(s.Elevation-below.Elevation >= minSide/1000) {
			at.Add("elevation", s.Elevation, "above %v, the one before it", below.Elevation)
		}
		if s.Area < below.Area && !spec.AllowShrinking {
			at.Add("area", s.Area, "at least %v, the one below it, unless shrinking is allowed", below.Area)
		}
		if s.Area == 0 {
			at.Add("area", s.Area, "more than 0 above the floor")
		}
	}
	switch spec.Method {
	case MethodEndArea, MethodConic:
		if spec.FinishEndArea {
			f.Add("finishEndArea", true, "false with the method %v", spec.Method)
		}
	case MethodPrismoidal:
		if f.Err() == nil {
			checkPrismoidal(f, spec)
		}
	default:
		f.Add("method", spec.Method, "one of average end area, conic, prismoidal")
	}
}

// checkPrismoidal records slices that do not come in pairs of one height, and
// pairs whose parabola shrinks between its areas or falls below 0.
func checkPrismoidal(f *units.Faults, spec SurveyedSpec) {
	n := len(spec.Areas)
	if n%2 == 0 && !spec.FinishEndArea {
		f.Count("areas", n, "areas", "an odd number for the prismoidal method, or the last slice finished by average end area")
	}
	for i := 0; i+2 < n; i += 2 {
		a, b, c := spec.Areas[i], spec.Areas[i+1], spec.Areas[i+2]
		at := f.At("areas", i+1)
		d := c.Elevation - a.Elevation
		if math.Abs(float64(b.Elevation-a.Elevation-d/2)) > 1e-6*float64(d) {
			at.Add("elevation", b.Elevation, "%v, halfway between its neighbours, for the prismoidal method", a.Elevation+d/2)
			continue
		}
		p := parabola(float64(a.Area), float64(b.Area), float64(c.Area), float64(d))
		if !spec.AllowShrinking && (p.b < -slack*float64(c.Area/units.Area(d)) || 4*b.Area > (3*c.Area+a.Area)*(1+slack)) {
			at.Add("area", b.Area, "%v to %v, or the parabola through it and its neighbours shrinks; or another method", (3*a.Area+c.Area)/4, (a.Area+3*c.Area)/4)
		} else if x := -p.b / (2 * p.c); x > 0 && x < float64(d) && p.a+x*p.b/2 < 0 {
			at.Add("area", b.Area, "an area through which the parabola stays above 0; or another method")
		}
	}
}

// FloorElevation returns the elevation from which heights are counted.
func (s *Surveyed) FloorElevation() units.Length { return s.floor }

// Method returns how the area goes between the elevations.
func (s *Surveyed) Method() Method { return s.method }
