package plane

import "example.org/earthbasin/units"

// Tiling is a grid of equal cells.
type Tiling struct {
	Low          Point        // corner of cell 0, 0
	StepX, StepY units.Length // of a cell, above 0
	Rows, Cols   int          // from south to north and from west to east
}

// X returns where column col begins.
func (t *Tiling) X(col int) units.Length { return t.Low.X + units.Length(col)*t.StepX }

// Y returns where row row begins.
func (t *Tiling) Y(row int) units.Length { return t.Low.Y + units.Length(row)*t.StepY }

// Cut cuts a ring, which lies within the grid, to its cells and calls whole for each
// cell that is inside and part for each that edges pass through, with the ring in
// it; either direction of the ring is kept, and so are edges without area between
// the parts of it. The cutting is by halves: a block of cells that the ring fills or
// does not reach is not cut further, so that the work grows with the cells on the
// border and the logarithm of the rest. Steps is the number of corners looked at;
// done is false when it was given up because that is more than most, which is not
// asked when it is 0.
func (t *Tiling) Cut(ring Polygon, most int, whole func(row, col int), part func(row, col int, ring Polygon)) (steps int, done bool) {
	c := cutter{t, most, 0, whole, part}
	done = c.cut(ring, 0, t.Rows, 0, t.Cols)
	return c.steps, done
}

// cutter is one cutting of a ring.
type cutter struct {
	*Tiling
	most, steps int
	whole       func(row, col int)
	part        func(row, col int, ring Polygon)
}

// cut visits the cells of rows and columns from the first up to the second.
func (c *cutter) cut(ring Polygon, row0, row1, col0, col1 int) bool {
	c.steps += len(ring)
	switch h, w := row1-row0, col1-col0; {
	case c.most > 0 && c.steps > c.most:
		return false
	case len(ring) < 3 || h < 1 || w < 1:
	case c.filled(ring, row0, row1, col0, col1):
		for i := row0; i < row1; i++ {
			for j := col0; j < col1; j++ {
				c.whole(i, j)
			}
		}
	case h == 1 && w == 1:
		c.part(row0, col0, ring)
	case h > w:
		mid := row0 + h/2
		below, above := halves(ring, c.Y(mid), true)
		return c.cut(below, row0, mid, col0, col1) && c.cut(above, mid, row1, col0, col1)
	default:
		mid := col0 + w/2
		west, east := halves(ring, c.X(mid), false)
		return c.cut(west, row0, row1, col0, mid) && c.cut(east, row0, row1, mid, col1)
	}
	return true
}

// filled reports whether the ring is the border of the block.
func (c *cutter) filled(ring Polygon, row0, row1, col0, col1 int) bool {
	if len(ring) != 4 {
		return false
	}
	for _, p := range ring {
		if (p.X != c.X(col0) && p.X != c.X(col1)) || (p.Y != c.Y(row0) && p.Y != c.Y(row1)) {
			return false
		}
	}
	// A ring along some of the sides and back has half of the area or none.
	size := units.Length(row1-row0) * c.StepY
	return ring.Area() > 0.75*size.Times(units.Length(col1-col0)*c.StepX)
}
