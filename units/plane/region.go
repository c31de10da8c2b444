package plane

import "example.org/earthbasin/units"

// Region is an area with holes.
type Region struct {
	Outer Polygon   `json:"outer"`           // its edge, counterclockwise
	Holes []Polygon `json:"holes,omitempty"` // inside it, clockwise, not part of it
}

// Area returns the area of the edge less that of the holes.
func (r Region) Area() units.Area {
	sum := r.Outer.Area()
	for _, h := range r.Holes {
		sum -= h.Area()
	}
	return sum
}
