package plane

import (
	"math"

	"example.org/earthbasin/units"
)

// Setback is a feature that an area keeps away from.
type Setback struct {
	Points   []Point      `json:"points"`           // a place, a line, or the corners of an area
	Closed   bool         `json:"closed,omitempty"` // the points are the corners of an area, itself within the setback
	Distance units.Length `json:"distance"`         // 1 cm to 10 km; 0 too where Closed
}

// SetbacksSpec is what [Setbacks] works from.
type SetbacksSpec struct {
	Areas    []Region  `json:"areas"`    // the parts of a field, which do not overlap, 1 to 1000
	Setbacks []Setback `json:"setbacks"` // up to 1000
	// Tolerance is how far the chords that stand for arcs in the regions of the answer may
	// be from them, 0.1 mm to 10 m. Areas are those of the arcs themselves.
	Tolerance units.Length `json:"tolerance"`
}

// SetbacksResult is what setbacks leave of an area.
type SetbacksResult struct {
	Whole units.Area   `json:"whole"` // of the parts
	Off   units.Area   `json:"off"`   // within any setback, each place once
	Left  units.Area   `json:"left"`  // outside all of them
	Each  []units.Area `json:"each"`  // within each of the setbacks, in their order
	Only  []units.Area `json:"only"`  // within it and none of the others: what it takes that they leave
	Kept  []Region     `json:"kept"`  // outside all of them, with chords for arcs
	Taken []Region     `json:"taken"` // within any of them, with chords for arcs
}

// Bounds of an area with setbacks.
const (
	mostParts      = 1000
	leastSetback   = units.Centimetre
	mostSetback    = 10 * units.Kilometre
	leastTolerance = units.Millimetre / 10
	mostTolerance  = 10 * units.Metre
	mostPlace      = 1e7 * units.Metre
	// mostSweep bounds the curves that the line meets over all its stops.
	mostSweep = 30_000_000
)

// Setbacks returns the area within a distance of features and what is left outside: a
// place is within a setback when its distance to the point, the line or the area is no
// more than that. Corners are rounded by arcs, and the areas are exact but for the
// rounding of numbers: a line goes over the plane and stops wherever curves begin, end
// or cross, and between two stops each strip is bounded by two curves, a side or an arc,
// whose area has a formula. Faults are [units.FieldError]: what [CheckRegion] reports
// of the parts, parts that overlap, numbers out of their bounds, and features of so many
// corners close to each other that the work would take more than a few seconds.
func Setbacks(spec SetbacksSpec) (SetbacksResult, error) {
	if err := spec.check(); err != nil {
		return SetbacksResult{}, err
	}
	s := newStrips(&spec)
	if !s.cross() {
		return SetbacksResult{}, tooMany()
	}
	if !s.run() {
		return SetbacksResult{}, tooMany()
	}
	r := s.r
	var parts units.Area
	for _, a := range spec.Areas {
		parts += a.Area()
	}
	if math.Abs(float64(parts-r.Whole)) > 1e-7*float64(parts) {
		var f units.Faults
		f.Say("areas", "parts that overlap", "parts that do not")
		return SetbacksResult{}, f.Err()
	}
	r.Kept = s.kept.regions(s, spec.Tolerance)
	r.Taken = s.taken.regions(s, spec.Tolerance)
	return r, nil
}

func tooMany() error {
	var f units.Faults
	f.Say("setbacks", "too many corners within reach of each other", "lines with fewer corners")
	return f.Err()
}

func (spec *SetbacksSpec) check() error {
	var f units.Faults
	f.CountBetween("areas", len(spec.Areas), "parts", 1, mostParts)
	f.CountBetween("setbacks", len(spec.Setbacks), "setbacks", 0, mostParts)
	f.Between("tolerance", spec.Tolerance, leastTolerance, mostTolerance)
	if f.Err() != nil {
		return f.Err()
	}
	corners := 0
	place := func(f *units.Faults, p Point) {
		f.Between("x", p.X, -mostPlace, mostPlace)
		f.Between("y", p.Y, -mostPlace, mostPlace)
	}
	for i, a := range spec.Areas {
		at := f.At("areas", i)
		_, err := CheckRegion(a.Outer, a.Holes)
		for _, x := range units.FieldErrors(err) {
			at.Sub(regionPath(x.Field), x.At(""))
		}
		for _, ring := range append([]Polygon{a.Outer}, a.Holes...) {
			if corners += len(ring); err == nil && len(ring) > 0 {
				low, high := ring.Bounds()
				place(&at, low)
				place(&at, high)
			}
		}
	}
	for i := range spec.Setbacks {
		s, at := &spec.Setbacks[i], f.At("setbacks", i)
		corners += len(s.Points)
		if len(s.Points) == 0 || len(s.Points) > maxCorners {
			at.Count("points", len(s.Points), "places", "1 to %v", maxCorners)
		}
		least := leastSetback
		if s.Closed && s.Distance == 0 {
			least = 0
		}
		at.Between("distance", s.Distance, least, mostSetback)
		for j, p := range s.Points[:min(len(s.Points), maxCorners)] {
			if !(abs(p.X) <= mostPlace && abs(p.Y) <= mostPlace) {
				point := at.At("points", j)
				place(&point, p)
				break // one tells it
			}
		}
	}
	if corners > maxCorners {
		f.Count("setbacks", corners, "corners with those of the parts", "at most %v", maxCorners)
	}
	return f.Err()
}

func abs(x units.Length) units.Length { return units.Length(math.Abs(float64(x))) }

// regionPath is the path in a Region of what CheckRegion calls boundary and islands.
func regionPath(path string) string {
	switch {
	case len(path) >= 8 && path[:8] == "boundary":
		return "outer" + path[8:]
	case len(path) >= 7 && path[:7] == "islands":
		return "holes" + path[7:]
	}
	return path
}
