package volume

import (
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// tiling cuts a polygon to the cells of a grid by halves: a block of cells that the
// polygon fills or does not reach is not cut further, so that the work grows with
// the cells that its edges pass through and the logarithm of the rest.
type tiling struct {
	low          plane.Point // of cell 0, 0
	stepX, stepY units.Length
	whole        func(row, col int)                     // a cell inside
	part         func(row, col int, ring plane.Polygon) // a cell that edges pass through
	max          int                                    // corners to look at before the cutting is given up; 0 for no limit
	seen         int                                    // corners looked at
}

func (t *tiling) x(col int) units.Length { return t.low.X + units.Length(col)*t.stepX }
func (t *tiling) y(row int) units.Length { return t.low.Y + units.Length(row)*t.stepY }

// cut visits the cells of rows and columns from the first up to the second, and
// reports whether it came to the end. The ring lies within them.
func (t *tiling) cut(ring plane.Polygon, rows, cols [2]int) bool {
	t.seen += len(ring)
	if t.max > 0 && t.seen > t.max {
		return false
	}
	if len(ring) < 3 {
		return true
	}
	if t.filled(ring, rows, cols) {
		for i := rows[0]; i < rows[1]; i++ {
			for j := cols[0]; j < cols[1]; j++ {
				t.whole(i, j)
			}
		}
		return true
	}
	switch h, w := rows[1]-rows[0], cols[1]-cols[0]; {
	case h == 1 && w == 1:
		t.part(rows[0], cols[0], ring)
		return true
	case h > w:
		mid := rows[0] + h/2
		below, above := halves(ring, t.y(mid), true)
		return t.cut(below, [2]int{rows[0], mid}, cols) && t.cut(above, [2]int{mid, rows[1]}, cols)
	default:
		mid := cols[0] + w/2
		west, east := halves(ring, t.x(mid), false)
		return t.cut(west, rows, [2]int{cols[0], mid}) && t.cut(east, rows, [2]int{mid, cols[1]})
	}
}

// filled reports whether the ring is the border of the block.
func (t *tiling) filled(ring plane.Polygon, rows, cols [2]int) bool {
	if len(ring) != 4 {
		return false
	}
	for _, c := range ring {
		if (c.X != t.x(cols[0]) && c.X != t.x(cols[1])) || (c.Y != t.y(rows[0]) && c.Y != t.y(rows[1])) {
			return false
		}
	}
	// A ring along some of the sides and back has half of the area or none.
	size := units.Length(rows[1]-rows[0]) * t.stepY
	return ring.Area() > 0.75*size.Times(units.Length(cols[1]-cols[0])*t.stepX)
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
