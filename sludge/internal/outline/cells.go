package outline

import (
	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/units/plane"
)

// Part is the part of a cell of a lattice that lies in an area: its cell, its
// area and its centroid.
type Part struct {
	Col, Row int
	Area     float64
	At       mesh.XY
}

// Parts cuts the area on the left of the rings by a lattice and returns the parts,
// column by column from the west. Their areas add up to that of the rings. Each ring
// is cut down step by step, so that a cut sees what is left of it only.
func Parts(rings []plane.Polygon, l mesh.Lattice) []Part {
	var list []Part
	var cut cutter
	east := make([][][2]float64, len(rings)) // what is left of each ring
	north := make([][][2]float64, len(rings))
	for k, r := range rings {
		east[k] = corners(r)
	}
	for c := range l.Cols {
		for k := range rings {
			north[k] = cut.below(north[k][:0], east[k], 0, l.X(c+1))
			east[k] = cut.above(east[k], 0, l.X(c+1))
		}
		for r := range l.Rows {
			var m moments
			for k := range rings {
				if len(north[k]) == 0 || lowest(north[k]) >= l.Y(r+1) {
					continue
				}
				cut.cell = cut.below(cut.cell[:0], north[k], 1, l.Y(r+1))
				north[k] = cut.above(north[k], 1, l.Y(r+1))
				m.add(cut.cell, l.X(c), l.Y(r))
			}
			if m.area > 1e-12*l.DX*l.DY {
				list = append(list, Part{c, r, m.area, mesh.XY{X: l.X(c) + m.sx/m.area, Y: l.Y(r) + m.sy/m.area}})
			}
		}
	}
	return list
}

func lowest(p [][2]float64) float64 {
	y := p[0][1]
	for _, c := range p[1:] {
		y = min(y, c[1])
	}
	return y
}

// Turned returns the boundary counterclockwise and the islands clockwise, with the
// area between them on their left.
func Turned(boundary plane.Polygon, islands []plane.Polygon) []plane.Polygon {
	rings := append([]plane.Polygon{boundary}, islands...)
	for i, r := range rings {
		if (r.SignedArea() > 0) != (i == 0) {
			rings[i] = r.Reversed()
		}
	}
	return rings
}

func corners(r plane.Polygon) [][2]float64 {
	p := make([][2]float64, len(r))
	for i, c := range r {
		p[i] = [2]float64{float64(c.X), float64(c.Y)}
	}
	return p
}

// cutter cuts rings at a line (Sutherland and Hodgman, Reentrant Polygon Clipping,
// Communications of the ACM 17(1), 1974) in room that it keeps. Parts of a concave
// ring stay joined along the cut by edges that run there and back, which add nothing
// to area and centroid.
type cutter struct{ cell, spare [][2]float64 }

// below appends to out the part of the ring p below a line on the given axis.
func (t *cutter) below(out, p [][2]float64, axis int, at float64) [][2]float64 {
	return half(out, p, axis, at, -1)
}

// above returns the part of the ring p above the line, in the room of p.
func (t *cutter) above(p [][2]float64, axis int, at float64) [][2]float64 {
	t.spare = half(t.spare[:0], p, axis, at, 1)
	return append(p[:0], t.spare...)
}

func half(out, p [][2]float64, axis int, at, sign float64) [][2]float64 {
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
