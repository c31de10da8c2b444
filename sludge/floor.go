package sludge

import (
	"math"
	"slices"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Floor is a hard floor known from design or as-built drawings. Depth returns
// the depth of the floor below the reference surface at p, 0 or more, and false
// where the floor is not known.
type Floor interface {
	Depth(p plane.Point) (units.Length, bool)
}

// FlatFloor is a level [Floor] at one depth below the reference surface.
type FlatFloor units.Length

// Depth returns the depth of f, the same everywhere.
func (f FlatFloor) Depth(plane.Point) (units.Length, bool) { return units.Length(f), true }

// SurfaceFloor is a [Floor] whose depths below the reference surface are the values
// of a surface, such as the triangulation of an as-built survey.
type SurfaceFloor struct {
	Surface Surface // of depths
}

// Depth returns the value of the surface at p.
func (f SurfaceFloor) Depth(p plane.Point) (units.Length, bool) {
	if units.IsNil(f.Surface) {
		return 0, false
	}
	return f.Surface.At(p)
}

// checkFloor refuses a floor that is there and holds nothing.
func checkFloor(floor Floor, f *units.Faults) {
	surface, isSurface := floor.(SurfaceFloor)
	solid, isSolid := floor.(SolidFloor)
	switch {
	case floor == nil:
	case units.IsNil(floor):
		f.Missing("floor", "a floor, or none at all")
	case isSurface && units.IsNil(surface.Surface):
		f.Missing("floor.surface", "a surface of depths")
	case isSolid && units.IsNil(solid.Solid):
		f.Missing("floor.solid", "a solid that knows its floor")
	}
}

// depthAt returns the depth of a floor at a place, false where it is not known or no depth
// that a basin has.
func depthAt(floor Floor, p plane.Point) (units.Length, bool) {
	d, ok := floor.Depth(p)
	return d, ok && math.Abs(float64(d)) <= maxDepth
}

// floorPlaces is about the number of places, beside the soundings, at which a floor is
// asked for whether it belongs to the survey.
const floorPlaces = 1000

// floorSomewhere reports whether the floor has a depth of more than 0 at a sounding or
// elsewhere in the area. One that has not would cut every volume to nothing.
func (s *Survey) floorSomewhere() bool {
	below := func(p plane.Point) bool {
		d, ok := depthAt(s.floor, p)
		return ok && d > 0
	}
	for i := range s.n {
		if below(s.at(i)) {
			return true
		}
	}
	nodes, err := s.Nodes(units.Length(math.Sqrt(s.area / floorPlaces)))
	return err != nil || slices.ContainsFunc(nodes, func(n geostat.Node) bool { return below(n.At) })
}

// Solid is a basin that knows how high its floor lies at each place, as a solid of
// another package may.
type Solid interface {
	// FloorAt returns the height of the floor at p over its lowest point, and false
	// outside the basin.
	FloorAt(p plane.Point) (units.Length, bool)
}

// SolidFloor is the [Floor] of a solid in which the reference surface, that of the
// liquid, stands Liquid high over the lowest point.
type SolidFloor struct {
	Solid  Solid        // the basin
	Liquid units.Length // height of the liquid over the lowest point
	Origin plane.Point  // where the origin of the solid lies in the plane of the survey
}

// Depth returns the depth of the floor at p: 0 on banks above the liquid.
func (f SolidFloor) Depth(p plane.Point) (units.Length, bool) {
	if units.IsNil(f.Solid) {
		return 0, false
	}
	h, ok := f.Solid.FloorAt(p.Sub(f.Origin))
	return max(0, f.Liquid-h), ok
}

// islandBanks is a floor with banks around islands.
type islandBanks struct {
	Floor
	islands []plane.Polygon
	slope   float64
}

// Depth returns the depth of the floor or, where that is higher, of the bank of an island.
func (f islandBanks) Depth(p plane.Point) (units.Length, bool) {
	d, ok := f.Floor.Depth(p)
	if !ok {
		return 0, false
	}
	for _, island := range f.islands {
		if island.Contains(p) {
			return 0, true
		}
		for i, a := range island {
			d = min(d, units.Length(distance(p, a, island[(i+1)%len(island)], false)/f.slope))
		}
	}
	return d, true
}

// SlopedFloorSpec is a level floor with banks of even slope up to the waterline.
type SlopedFloorSpec struct {
	Waterline plane.Polygon `json:"waterline"` // where the banks begin, a simple polygon
	// Slopes are horizontal per vertical, 0 (a wall) to 100: one for all banks, or one
	// for each, the first along the edge from the first corner of the waterline to the
	// second.
	Slopes []float64    `json:"slopes"`
	Depth  units.Length `json:"depth"` // of the level floor below the waterline, above 0, at most 1000 m
}

// SlopedFloor is the [Floor] of a basin with side slopes. Where two banks meet the
// higher one counts; at a corner that juts into the basin they run round it.
type SlopedFloor struct {
	spec   SlopedFloorSpec
	convex bool
}

// Limits of a floor with banks.
const (
	steepest                  = 1e-9
	flattest                  = 100
	deepestFloor units.Length = 1000
)

// NewSlopedFloor checks the spec. Faults are on waterline, islands, slopes and depth.
func NewSlopedFloor(spec SlopedFloorSpec) (*SlopedFloor, error) {
	var f units.Faults
	_, err := outline.Check(spec.Waterline, nil)
	for _, e := range units.FieldErrors(err) {
		renamed := *e
		if units.PathWithin(e.Field, "boundary") {
			renamed.Field = "waterline" + e.Field[len("boundary"):]
		}
		f.Sub("", &renamed)
	}
	if n := len(spec.Slopes); n != 1 && n != len(spec.Waterline) {
		f.Count("slopes", n, "slopes", "1, or %v, one for each edge", len(spec.Waterline))
	}
	for i, m := range spec.Slopes {
		at := f.At("slopes", i)
		at.NumberBetween("", m, 0, flattest)
	}
	f.Positive("depth", spec.Depth)
	f.Between("depth", spec.Depth, 0*units.Metre, deepestFloor)
	if err := f.Err(); err != nil {
		return nil, err
	}
	spec.Waterline, spec.Slopes = slices.Clone(spec.Waterline), slices.Clone(spec.Slopes)
	return &SlopedFloor{spec, isConvex(spec.Waterline)}, nil
}

// isConvex reports whether no corner of a simple polygon juts inwards.
func isConvex(p plane.Polygon) bool {
	var left, right bool
	for i, b := range p {
		a, c := p[(i+len(p)-1)%len(p)], p[(i+1)%len(p)]
		turn := float64(b.X-a.X)*float64(c.Y-b.Y) - float64(b.Y-a.Y)*float64(c.X-b.X)
		left, right = left || turn > 0, right || turn < 0
	}
	return !(left && right)
}

// Depth returns the depth of the floor below the waterline: 0 outside it.
func (f *SlopedFloor) Depth(p plane.Point) (units.Length, bool) {
	if f == nil || !f.spec.Waterline.Contains(p) {
		return 0, f != nil
	}
	d := float64(f.spec.Depth)
	for i, a := range f.spec.Waterline {
		slope := f.spec.Slopes[i%len(f.spec.Slopes)]
		if slope > steepest {
			d = min(d, distance(p, a, f.spec.Waterline[(i+1)%len(f.spec.Waterline)], f.convex)/slope)
		}
	}
	return units.Length(d), true
}

// distance returns the distance from p to the edge ab, or to the line through it.
func distance(p, a, b plane.Point, line bool) float64 {
	ex, ey := float64(b.X-a.X), float64(b.Y-a.Y)
	x, y := float64(p.X-a.X), float64(p.Y-a.Y)
	length := math.Sqrt(ex*ex + ey*ey)
	if line {
		return math.Abs(x*ey-y*ex) / length
	}
	t := max(0, min(1, (x*ex+y*ey)/(length*length)))
	dx, dy := x-t*ex, y-t*ey
	return math.Sqrt(dx*dx + dy*dy)
}
