package outline

import (
	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/units"
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
	t := plane.Tiling{Low: mesh.XY{X: l.X0, Y: l.Y0}.Point(), StepX: units.Length(l.DX), StepY: units.Length(l.DY), Rows: l.Rows, Cols: l.Cols}
	cells := make([]moments, l.Cols*l.Rows)
	for _, r := range rings {
		full := l.DX * l.DY
		if r.SignedArea() < 0 {
			full = -full
		}
		t.Cut(r, 0, func(row, col int) {
			cells[col*l.Rows+row].add(moments{full, full * l.DX / 2, full * l.DY / 2})
		}, func(row, col int, ring plane.Polygon) {
			cells[col*l.Rows+row].add(momentsOf(ring, l.X(col), l.Y(row)))
		})
	}
	n := 0
	inside := func(m moments) bool { return m.area > 1e-12*l.DX*l.DY }
	for _, m := range cells {
		if inside(m) {
			n++
		}
	}
	list := make([]Part, 0, n)
	for i, m := range cells {
		if col, row := i/l.Rows, i%l.Rows; inside(m) {
			list = append(list, Part{col, row, m.area, mesh.XY{X: l.X(col) + m.x/m.area, Y: l.Y(row) + m.y/m.area}})
		}
	}
	return list
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

// moments are the signed area and first moments of rings.
type moments struct{ area, x, y float64 }

func (m *moments) add(n moments) {
	m.area += n.area
	m.x += n.x
	m.y += n.y
}

// momentsOf returns those of a ring, taken about (x0, y0) near it.
func momentsOf(p plane.Polygon, x0, y0 float64) (m moments) {
	for i, b := range p {
		a := p[(i+len(p)-1)%len(p)]
		ax, ay, bx, by := float64(a.X)-x0, float64(a.Y)-y0, float64(b.X)-x0, float64(b.Y)-y0
		w := (ax*by - bx*ay) / 2
		m.add(moments{w, w * (ax + bx) / 3, w * (ay + by) / 3})
	}
	return m
}
