package mesh

import "math"

// Lattice is a grid of equal cells over a box.
type Lattice struct {
	X0, Y0, DX, DY float64 // south-west corner and size of a cell
	Cols, Rows     int
}

// X returns the west side of column c.
func (l Lattice) X(c int) float64 { return l.X0 + float64(c)*l.DX }

// Y returns the south side of row r.
func (l Lattice) Y(r int) float64 { return l.Y0 + float64(r)*l.DY }

// cell returns the cell of p, or the nearest one.
func (l Lattice) cell(p XY) (c, r int) {
	c = min(max(int((p.X-l.X0)/l.DX), 0), l.Cols-1)
	r = min(max(int((p.Y-l.Y0)/l.DY), 0), l.Rows-1)
	return c, r
}

// latticeOver returns square cells over places, about one for each per of them.
func latticeOver(places []XY, per float64) Lattice {
	low, high := bounds(places)
	w, h := high.X-low.X, high.Y-low.Y
	cells := max(1, float64(len(places))/per)
	side := max(math.Sqrt(w*h/cells), max(w, h)/cells) // no more cells than that on a thin strip either
	if !(side > 0) || math.IsInf(side, 0) {
		side = 1
	}
	return Lattice{low.X, low.Y, side, side, int(w/side) + 1, int(h/side) + 1}
}
