// Package tiles cuts polygons to the cells of a grid.
package tiles

import (
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Tiling cuts a polygon to the cells of a grid by halves: a block of cells that the
// polygon fills or does not reach is not cut further, so that the work grows with
// the cells that its edges pass through and the logarithm of the rest.
type Tiling struct {
	Low          plane.Point                            // of cell 0, 0
	StepX, StepY units.Length                           // of the cells
	Whole        func(row, col int)                     // called for a cell inside
	Part         func(row, col int, ring plane.Polygon) // called for a cell that edges pass through
	Max          int                                    // corners to look at before the cutting is given up; 0 for no limit
	Seen         int                                    // corners looked at
}

// X returns where column col begins.
func (t *Tiling) X(col int) units.Length { return t.Low.X + units.Length(col)*t.StepX }

// Y returns where row row begins.
func (t *Tiling) Y(row int) units.Length { return t.Low.Y + units.Length(row)*t.StepY }

// Cut visits the cells of rows and columns from the first up to the second, and
// reports whether it came to the end. The ring lies within them.
func (t *Tiling) Cut(ring plane.Polygon, rows, cols [2]int) bool {
	t.Seen += len(ring)
	if t.Max > 0 && t.Seen > t.Max {
		return false
	}
	if len(ring) < 3 {
		return true
	}
	if t.filled(ring, rows, cols) {
		for i := rows[0]; i < rows[1]; i++ {
			for j := cols[0]; j < cols[1]; j++ {
				t.Whole(i, j)
			}
		}
		return true
	}
	switch h, w := rows[1]-rows[0], cols[1]-cols[0]; {
	case h == 1 && w == 1:
		t.Part(rows[0], cols[0], ring)
		return true
	case h > w:
		mid := rows[0] + h/2
		below, above := halves(ring, t.Y(mid), true)
		return t.Cut(below, [2]int{rows[0], mid}, cols) && t.Cut(above, [2]int{mid, rows[1]}, cols)
	default:
		mid := cols[0] + w/2
		west, east := halves(ring, t.X(mid), false)
		return t.Cut(west, rows, [2]int{cols[0], mid}) && t.Cut(east, rows, [2]int{mid, cols[1]})
	}
}

// filled reports whether the ring is the border of the block.
func (t *Tiling) filled(ring plane.Polygon, rows, cols [2]int) bool {
	if len(ring) != 4 {
		return false
	}
	for _, c := range ring {
		if (c.X != t.X(cols[0]) && c.X != t.X(cols[1])) || (c.Y != t.Y(rows[0]) && c.Y != t.Y(rows[1])) {
			return false
		}
	}
	// A ring along some of the sides and back has half of the area or none.
	size := units.Length(rows[1]-rows[0]) * t.StepY
	return ring.Area() > 0.75*size.Times(units.Length(cols[1]-cols[0])*t.StepX)
}

// halves returns the parts of p on the low and on the high side of a line of
// constant x, or y (Sutherland and Hodgman, Reentrant polygon clipping,
// Communications of the ACM 17, 1974). Parts of a concave polygon hang together by
// edges without area.
func halves(p plane.Polygon, at units.Length, y bool) (low, high plane.Polygon) {
	for i, a := range p {
		b := p[(i+1)%len(p)]
		da, db := a.X-at, b.X-at
		if y {
			da, db = a.Y-at, b.Y-at
		}
		if da <= 0 {
			low = append(low, a)
		}
		if da >= 0 {
			high = append(high, a)
		}
		if (da < 0 && db > 0) || (da > 0 && db < 0) {
			t := da / (da - db)
			c := plane.Point{X: at, Y: a.Y + t*(b.Y-a.Y)}
			if y {
				c = plane.Point{X: a.X + t*(b.X-a.X), Y: at}
			}
			low, high = append(low, c), append(high, c)
		}
	}
	return low, high
}
