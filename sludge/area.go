package sludge

import (
	"fmt"
	"math"
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// setRings checks the boundary and the islands and keeps them as rings with the
// area on their left: the boundary counterclockwise, islands clockwise.
func (s *Survey) setRings(spec SurveySpec, f *units.Faults) {
	var shape units.Faults
	ring := func(field string, p plane.Polygon, ccw bool) {
		for i, c := range p {
			coordinate(&shape, fmt.Sprintf("%s[%d].x", field, i), c.X)
			coordinate(&shape, fmt.Sprintf("%s[%d].y", field, i), c.Y)
		}
		shape.Sub(field, p.Check())
		turn := (p.SignedArea() > 0) != ccw
		s.turned = append(s.turned, turn)
		if turn {
			p = p.Reversed()
		} else {
			p = slices.Clone(p)
		}
		s.rings = append(s.rings, p)
	}
	ring("boundary", spec.Boundary, true)
	for i, p := range spec.Islands {
		ring(fmt.Sprintf("islands[%d]", i), p, false)
	}
	if err := shape.Err(); err != nil {
		f.Sub("", err)
		return
	}
	checkIslands(f, spec.Boundary, spec.Islands)
	for _, r := range s.rings {
		s.area += float64(r.SignedArea())
	}
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
			if segmentsMeet(a, b, c, q[(j+1)%len(q)]) {
				return true
			}
		}
	}
	return false
}

// segmentsMeet reports whether the closed segments ab and cd have a point in
// common.
func segmentsMeet(a, b, c, d plane.Point) bool {
	if max(a.X, b.X) < min(c.X, d.X) || max(c.X, d.X) < min(a.X, b.X) ||
		max(a.Y, b.Y) < min(c.Y, d.Y) || max(c.Y, d.Y) < min(a.Y, b.Y) {
		return false
	}
	side := func(p, q, r plane.Point) int { return orient(xyOf(p), xyOf(q), xyOf(r)) }
	return side(a, b, c)*side(a, b, d) <= 0 && side(c, d, a)*side(c, d, b) <= 0
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
func (s *Survey) Contains(p plane.Point) bool {
	if len(s.rings) == 0 || !s.rings[0].Contains(p) {
		return false
	}
	for _, r := range s.rings[1:] {
		if r.Contains(p) && !onRing(r, p) {
			return false
		}
	}
	return true
}

func onRing(r plane.Polygon, p plane.Point) bool {
	for i, a := range r {
		if segmentsMeet(a, r[(i+1)%len(r)], p, p) {
			return true
		}
	}
	return false
}

// setWaterline adds points of zero thickness along the rings.
func (s *Survey) setWaterline(spacing float64, f *units.Faults) {
	total := 0.0
	for _, r := range s.rings {
		total += float64(r.Perimeter())/spacing + float64(len(r))
	}
	if total > maxNodes {
		f.Add("waterlineSpacing", units.Length(spacing), "a spacing that gives fewer than 10 million points")
		return
	}
	taken := make(map[plane.Point]bool, s.n)
	for i := range s.n {
		taken[plane.Point{X: units.Length(s.x[i]), Y: units.Length(s.y[i])}] = true
	}
	for _, r := range s.rings {
		for i, a := range r {
			d := r[(i+1)%len(r)].Sub(a)
			parts := math.Ceil(math.Hypot(float64(d.X), float64(d.Y))/spacing - 1e-9)
			for k := 0.0; k < max(parts, 1); k++ {
				p := plane.Point{X: a.X + d.X*units.Length(k/parts), Y: a.Y + d.Y*units.Length(k/parts)}
				if k == 0 {
					p = a
				}
				if !taken[p] { // a sounding on the boundary keeps what it measured
					taken[p] = true
					s.x, s.y, s.z = append(s.x, float64(p.X)), append(s.y, float64(p.Y)), append(s.z, 0)
				}
			}
		}
	}
}

// maxNodes bounds what one call may ask for.
const maxNodes = 1e7

// Node is a part of the area with its centre.
type Node struct {
	At   plane.Point `json:"at"`
	Area units.Area  `json:"area"`
}

// Nodes cuts the area inside the boundary and off the islands by a lattice of
// cells of equal size, at most spacing wide and high, that fits the box around
// the boundary, and returns each part of a cell with its centroid. The areas add
// up to [Survey.Area]: the nodes are a midpoint rule over the boundary, exact
// for planes. Spacing is more than 0 and gives at most ten million cells.
func (s *Survey) Nodes(spacing units.Length) ([]Node, error) {
	var f units.Faults
	l, ok := s.lattice("spacing", spacing, &f)
	if !ok {
		return nil, f.Err()
	}
	nodes := make([]Node, 0, l.cols*l.rows)
	strips := make([][][2]float64, len(s.rings))
	for c := range l.cols {
		for k, r := range s.rings {
			strips[k] = clipStrip(ringPoints(r), 0, l.x(c), l.x(c+1))
		}
		for r := range l.rows {
			var m moments
			for _, strip := range strips {
				m.add(clipStrip(strip, 1, l.y(r), l.y(r+1)), l.x(c), l.y(r))
			}
			if m.area > 1e-12*l.dx*l.dy {
				nodes = append(nodes, Node{
					plane.Point{X: units.Length(l.x(c) + m.sx/m.area), Y: units.Length(l.y(r) + m.sy/m.area)}, units.Area(m.area)})
			}
		}
	}
	return nodes, nil
}

// lattice is a grid of equal cells over a box.
type lattice struct {
	x0, y0, dx, dy float64
	cols, rows     int
}

func (l lattice) x(c int) float64 { return l.x0 + float64(c)*l.dx }
func (l lattice) y(r int) float64 { return l.y0 + float64(r)*l.dy }

// lattice returns the cells of at most the given width that fit the box around
// the boundary.
func (s *Survey) lattice(field string, spacing units.Length, f *units.Faults) (lattice, bool) {
	if s.given(f); f.Err() != nil {
		return lattice{}, false
	}
	low, high := s.rings[0].Bounds()
	w, h := float64(high.X-low.X), float64(high.Y-low.Y)
	cols, rows := math.Ceil(w/float64(spacing)-1e-9), math.Ceil(h/float64(spacing)-1e-9)
	f.Positive(field, spacing)
	if spacing > 0 && !(cols*rows <= maxNodes) {
		f.Add(field, spacing, "a spacing that gives at most 10 million cells")
	}
	if !(spacing > 0) || !(cols*rows <= maxNodes) {
		return lattice{}, false
	}
	cols, rows = max(cols, 1), max(rows, 1)
	return lattice{float64(low.X), float64(low.Y), w / cols, h / rows, int(cols), int(rows)}, true
}

func ringPoints(r plane.Polygon) [][2]float64 {
	p := make([][2]float64, len(r))
	for i, c := range r {
		p[i] = [2]float64{float64(c.X), float64(c.Y)}
	}
	return p
}

// clipStrip returns the part of the ring p between lo and hi on the given axis
// (Sutherland and Hodgman, Reentrant Polygon Clipping, Communications of the ACM
// 17(1), 1974). Parts of a concave ring stay joined along the cut by edges that
// run there and back, which add nothing to area and centroid.
func clipStrip(p [][2]float64, axis int, lo, hi float64) [][2]float64 {
	p = clipHalf(p, axis, lo, 1)
	return clipHalf(p, axis, hi, -1)
}

func clipHalf(p [][2]float64, axis int, at, sign float64) [][2]float64 {
	out := make([][2]float64, 0, len(p)+4)
	for i, b := range p {
		a := p[(i+len(p)-1)%len(p)]
		da, db := sign*(a[axis]-at), sign*(b[axis]-at)
		if (da < 0) != (db < 0) {
			if da > db { // the same arithmetic whichever way the edge runs
				a, b, da, db = b, a, db, da
			}
			t := da / (da - db)
			c := [2]float64{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
			c[axis] = at
			out = append(out, c)
		}
		if b = p[i]; sign*(b[axis]-at) >= 0 {
			out = append(out, b)
		}
	}
	return out
}

// moments sums signed area and first moments of rings.
type moments struct{ area, sx, sy float64 }

// add adds a ring, moments taken about (x0, y0) near it.
func (m *moments) add(p [][2]float64, x0, y0 float64) {
	for i, b := range p {
		a := p[(i+len(p)-1)%len(p)]
		ax, ay, bx, by := a[0]-x0, a[1]-y0, b[0]-x0, b[1]-y0
		w := (ax*by - bx*ay) / 2
		m.area += w
		m.sx += w * (ax + bx) / 3
		m.sy += w * (ay + by) / 3
	}
}
