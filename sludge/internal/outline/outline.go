// Package outline checks the boundary of an area and the islands in it, and places
// on the plane.
package outline

import (
	"fmt"
	"math"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// MaxCoordinate bounds positions, in metres: far beyond any local or national
// grid, and small enough that products of four differences cannot overflow.
const MaxCoordinate = 1e9

// Check reports what is wrong with a boundary and with islands, which lie inside
// it clear of it and of each other, and returns the area between them. Fields are
// boundary[i] and islands[i][j].
func Check(boundary plane.Polygon, islands []plane.Polygon) (units.Area, error) {
	var f units.Faults
	ring := func(field string, p plane.Polygon) {
		f.Sub(field, p.Check())
		for i, c := range p {
			CheckPlace(&f, field, i, "", c)
		}
	}
	ring("boundary", boundary)
	for i, p := range islands {
		ring(fmt.Sprintf("islands[%d]", i), p)
	}
	if f.Err() == nil {
		checkIslands(&f, boundary, islands)
	}
	if err := f.Err(); err != nil {
		return 0, err
	}
	area := boundary.Area()
	for _, p := range islands {
		area -= p.Area()
	}
	return area, nil
}

// checkIslands records which of the islands, simple polygons all, do not lie clear
// of the boundary and of each other.
func checkIslands(f *units.Faults, boundary plane.Polygon, islands []plane.Polygon) {
	for i, p := range islands {
		field := fmt.Sprintf("islands[%d]", i)
		if ringsMeet(p, boundary) || !boundary.Contains(p[0]) {
			f.Say(field, "not clear of the boundary", "an island inside the boundary that does not touch it")
		}
		for j, q := range islands[:i] {
			if ringsMeet(p, q) || q.Contains(p[0]) || p.Contains(q[0]) {
				f.Say(field, fmt.Sprintf("not clear of islands[%d]", j), "islands apart from each other")
			}
		}
	}
}

// ringsMeet reports whether an edge of p has a point in common with one of q.
func ringsMeet(p, q plane.Polygon) bool {
	for i, a := range p {
		b := p[(i+1)%len(p)]
		for j, c := range q {
			if Meet(a, b, c, q[(j+1)%len(q)]) {
				return true
			}
		}
	}
	return false
}

// Meet reports whether the closed segments ab and cd have a point in common.
func Meet(a, b, c, d plane.Point) bool {
	if max(a.X, b.X) < min(c.X, d.X) || max(c.X, d.X) < min(a.X, b.X) ||
		max(a.Y, b.Y) < min(c.Y, d.Y) || max(c.Y, d.Y) < min(a.Y, b.Y) {
		return false
	}
	side := func(p, q, r plane.Point) int { return mesh.Orient(mesh.Of(p), mesh.Of(q), mesh.Of(r)) }
	return side(a, b, c)*side(a, b, d) <= 0 && side(c, d, a)*side(c, d, b) <= 0
}

// CheckPlace records a coordinate of list[i] that is not finite or too large to
// square. There may be a million places: names are made for faults only.
func CheckPlace(f *units.Faults, list string, i int, field string, p plane.Point) {
	if math.Abs(float64(p.X)) <= MaxCoordinate && math.Abs(float64(p.Y)) <= MaxCoordinate {
		return
	}
	at := fmt.Sprintf("%s[%d]%s", list, i, field)
	CheckCoordinate(f, at+".x", p.X)
	CheckCoordinate(f, at+".y", p.Y)
}

// CheckCoordinate records a coordinate that is not finite or too large.
func CheckCoordinate(f *units.Faults, field string, v units.Length) {
	if !(math.Abs(float64(v)) <= MaxCoordinate) {
		f.Between(field, v, units.Length(-MaxCoordinate), units.Length(MaxCoordinate))
	}
}

// Text returns a place for a message.
func Text(p plane.Point) string { return fmt.Sprintf("(%s, %s)", p.X.Trade(), p.Y.Trade()) }
