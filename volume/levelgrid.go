package volume

import (
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// LevelGrid is levels at the crossings of a rectangular grid, of at most a million
// crossings.
type LevelGrid struct {
	Origin plane.Point  `json:"origin"` // of levels[0][0], the south-west crossing
	StepX  units.Length `json:"stepX"`  // to the east, from column to column
	StepY  units.Length `json:"stepY"`  // to the north, from row to row
	// Levels holds the rows from south to north, each from west to east, 2 or more
	// rows and columns. They may be above or below any datum.
	Levels [][]units.Length `json:"levels"`
}

// maxCrossings bounds the size of a grid.
const maxCrossings = 1_000_000

// Check reports what keeps the grid from being a surface. Fields are those of the
// grid, such as levels[2][3].
func (g LevelGrid) Check() error {
	var f units.Faults
	origin := f.At("origin")
	origin.Between("x", g.Origin.X, -units.MaxCoordinate, units.MaxCoordinate)
	origin.Between("y", g.Origin.Y, -units.MaxCoordinate, units.MaxCoordinate)
	f.UpTo("stepX", g.StepX, units.MaxLength)
	f.UpTo("stepY", g.StepY, units.MaxLength)
	rows := len(g.Levels)
	if rows < 2 || len(g.Levels[0]) < 2 {
		f.Count("levels", rows, "rows", "2 or more rows of 2 or more columns")
		return f.Err()
	}
	cols := len(g.Levels[0])
	if rows > maxCrossings || cols > maxCrossings || rows*cols > maxCrossings {
		f.Count("levels", rows*cols, "crossings", "at most %v", maxCrossings)
		return f.Err()
	}
	for i, row := range g.Levels {
		if len(row) != cols {
			at := f.At("levels", i)
			at.Count("", len(row), "columns", "%v, as in the first row", cols)
			continue
		}
		for j, l := range row {
			at := f.At("levels", i, j)
			at.Between("", l, -units.MaxLength, units.MaxLength)
		}
	}
	return f.Err()
}

// Size returns the number of rows and columns of crossings, 0 for a grid of no rows.
func (g LevelGrid) Size() (rows, cols int) {
	if len(g.Levels) == 0 {
		return 0, 0
	}
	return len(g.Levels), len(g.Levels[0])
}

// At returns the place of a crossing.
func (g LevelGrid) At(row, col int) plane.Point {
	return plane.Point{X: g.Origin.X + units.Length(col)*g.StepX, Y: g.Origin.Y + units.Length(row)*g.StepY}
}

// LevelAt returns the level at p of the surface of four triangles in each cell,
// which meet at the centre at the mean of the corners. Outside the grid the
// nearest place on its edge counts. A grid that the functions of this package
// would refuse for its rows and columns is level at 0.
func (g LevelGrid) LevelAt(p plane.Point) units.Length {
	if len(g.Levels) < 2 || len(g.Levels[0]) < 2 {
		return 0
	}
	rows, cols := g.Size()
	u := inside(float64((p.X-g.Origin.X)/g.StepX), cols-1)
	v := inside(float64((p.Y-g.Origin.Y)/g.StepY), rows-1)
	i, j := min(int(v), rows-2), min(int(u), cols-2)
	if min(len(g.Levels[i]), len(g.Levels[i+1])) < cols {
		return 0
	}
	u, v = u-float64(j), v-float64(i)
	sw, se := float64(g.Levels[i][j]), float64(g.Levels[i][j+1])
	nw, ne := float64(g.Levels[i+1][j]), float64(g.Levels[i+1][j+1])
	mid := (sw + se + nw + ne) / 4
	// Along the nearest edge the level runs straight between its corners, and from there
	// to the middle.
	near := min(u, v, 1-u, 1-v)
	a, b, along := se, ne, v
	switch near {
	case v:
		a, b, along = sw, se, u
	case 1 - v:
		a, b, along = nw, ne, u
	case u:
		a, b, along = sw, nw, v
	}
	return units.Length(a + (b-a)*along + (2*mid-a-b)*near)
}

// level returns the levels of the grid as they are now, false beyond it.
func (g LevelGrid) level() func(p plane.Point) (units.Length, bool) {
	rows := make([][]units.Length, len(g.Levels))
	for i, row := range g.Levels {
		rows[i] = slices.Clone(row)
	}
	g.Levels = rows
	return func(p plane.Point) (units.Length, bool) {
		high := g.At(len(rows)-1, len(rows[0])-1)
		within := p.X >= g.Origin.X && p.X <= high.X && p.Y >= g.Origin.Y && p.Y <= high.Y
		return g.LevelAt(p), within
	}
}

// inside holds x within 0 to n; NaN counts as 0.
func inside(x float64, n int) float64 {
	if !(x > 0) {
		return 0
	}
	return min(x, float64(n))
}
