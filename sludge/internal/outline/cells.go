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
// column by column from the west. Their areas add up to that of the rings.
func Parts(rings []plane.Polygon, l mesh.Lattice) []Part {
	list := make([]Part, 0, l.Cols*l.Rows)
	strips := make([][][2]float64, len(rings))
	for c := range l.Cols {
		for k, r := range rings {
			strips[k] = clipStrip(corners(r), 0, l.X(c), l.X(c+1))
		}
		for r := range l.Rows {
			var m moments
			for _, strip := range strips {
				m.add(clipStrip(strip, 1, l.Y(r), l.Y(r+1)), l.X(c), l.Y(r))
			}
			if m.area > 1e-12*l.DX*l.DY {
				list = append(list, Part{c, r, m.area, mesh.XY{X: l.X(c) + m.sx/m.area, Y: l.Y(r) + m.sy/m.area}})
			}
		}
	}
	return list
}

func corners(r plane.Polygon) [][2]float64 {
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
