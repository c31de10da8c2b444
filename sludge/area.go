package sludge

import (
	"math"
	"slices"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// setRings checks the boundary and the islands and keeps them as rings with the
// area on their left: the boundary counterclockwise, islands clockwise.
func (s *Survey) setRings(spec SurveySpec, f *units.Faults) {
	area, err := outline.Check(spec.Boundary, spec.Islands)
	f.Sub("", err)
	s.area = float64(area)
	for i, p := range append([]plane.Polygon{spec.Boundary}, spec.Islands...) {
		turn := (p.SignedArea() > 0) != (i == 0)
		s.turned = append(s.turned, turn)
		if turn {
			p = p.Reversed()
		} else {
			p = slices.Clone(p)
		}
		s.rings = append(s.rings, p)
	}
}

// Area returns the area inside the boundary less the islands.
func (s *Survey) Area() units.Area { return units.Area(s.area) }

// Boundary returns the boundary, counterclockwise, and the islands, clockwise.
func (s *Survey) Boundary() (boundary plane.Polygon, islands []plane.Polygon) {
	if len(s.rings) == 0 {
		return nil, nil
	}
	copies := make([]plane.Polygon, len(s.rings))
	for i, r := range s.rings {
		copies[i] = slices.Clone(r)
	}
	return copies[0], copies[1:]
}

// Contains reports whether p lies inside the boundary, its edge included, and
// not on an island, whose edge does not count as the island.
func (s *Survey) Contains(p plane.Point) bool { return s.inside([]plane.Point{p})[0] }

// inside is [Survey.Contains] for each of the points.
func (s *Survey) inside(points []plane.Point) []bool {
	if len(s.rings) == 0 {
		return make([]bool, len(points))
	}
	return plane.Inside(s.rings[0], s.rings[1:], points)
}

// What one call may ask for.
const (
	maxCells   = 10_000_000 // of a grid
	maxNodes   = 4_000_000
	maxSquares = 1_000_000 // of contours
)

// Nodes cuts the area inside the boundary and off the islands by a lattice of
// cells of equal size, at most spacing wide and high, that fits the box around
// the boundary, and returns each part of a cell with its centroid. The areas add
// up to [Survey.Area]: the nodes are a midpoint rule over the boundary, exact
// for planes. Spacing gives at most four million cells.
func (s *Survey) Nodes(spacing units.Length) ([]geostat.Node, error) {
	var f units.Faults
	l, ok := s.lattice("spacing", spacing, maxNodes, &f)
	if !ok {
		return nil, f.Err()
	}
	parts := outline.Parts(s.rings, l)
	nodes := make([]geostat.Node, len(parts))
	for i, p := range parts {
		nodes[i] = geostat.Node{At: p.At.Point(), Area: units.Area(p.Area)}
	}
	return nodes, nil
}

// lattice returns the cells of at most the given width that fit the box around
// the boundary, no more than most.
func (s *Survey) lattice(field string, spacing units.Length, most int, f *units.Faults) (mesh.Lattice, bool) {
	if s.checkUsable(f); f.Err() != nil {
		return mesh.Lattice{}, false
	}
	low, high := s.rings[0].Bounds()
	w, h := float64(high.X-low.X), float64(high.Y-low.Y)
	cols, rows := math.Ceil(w/float64(spacing)-1e-9), math.Ceil(h/float64(spacing)-1e-9)
	f.Between(field, spacing, units.MinLength, units.MaxCoordinate)
	if f.Err() == nil && !(cols*rows <= float64(most)) {
		f.Add(field, spacing, "a spacing that gives at most %v cells", most)
	}
	if f.Err() != nil {
		return mesh.Lattice{}, false
	}
	cols, rows = max(cols, 1), max(rows, 1)
	return mesh.Lattice{X0: float64(low.X), Y0: float64(low.Y), DX: w / cols, DY: h / rows, Cols: int(cols), Rows: int(rows)}, true
}
