package volume

import (
	"fmt"
	"math"
	"reflect"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/limits"
)

// Levels gives a level at every place: a [Plane], a [HipCrown], a [LevelGrid].
type Levels interface {
	LevelAt(p plane.Point) units.Length
}

// checkSurface records a fault when there is no surface at path, and the faults of
// one of this package.
func checkSurface(f *units.Faults, path string, s Levels) {
	if v := reflect.ValueOf(s); s == nil || v.Kind() == reflect.Pointer && v.IsNil() {
		f.Missing(path, "a surface")
		return
	}
	if c, ok := s.(interface {
		check(f *units.Faults, path string)
	}); ok {
		c.check(f, path)
	}
}

// LevelGrid is levels at the crossings of a rectangular grid.
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

func (g LevelGrid) check(f *units.Faults, path string) {
	limits.Signed(f, path+".origin.x", g.Origin.X, limits.MaxCoordinate)
	limits.Signed(f, path+".origin.y", g.Origin.Y, limits.MaxCoordinate)
	limits.Positive(f, path+".stepX", g.StepX, limits.MaxLength)
	limits.Positive(f, path+".stepY", g.StepY, limits.MaxLength)
	rows := len(g.Levels)
	if rows < 2 || len(g.Levels[0]) < 2 {
		f.Add(path+".levels", rows, "2 or more rows of 2 or more columns")
		return
	}
	cols := len(g.Levels[0])
	if rows > maxCrossings || cols > maxCrossings || rows*cols > maxCrossings {
		f.Add(path+".levels", rows*cols, fmt.Sprintf("at most %d crossings", maxCrossings))
		return
	}
	for i, row := range g.Levels {
		if len(row) != cols {
			f.Add(fmt.Sprintf("%s.levels[%d]", path, i), len(row), fmt.Sprintf("%d columns, as in the first row", cols))
			continue
		}
		for j, l := range row {
			if !(math.Abs(float64(l)) <= float64(limits.MaxLength)) {
				f.Add(fmt.Sprintf("%s.levels[%d][%d]", path, i, j), l, "-100 km to 100 km")
			}
		}
	}
}

// size returns the number of rows and columns of crossings.
func (g LevelGrid) size() (rows, cols int) { return len(g.Levels), len(g.Levels[0]) }

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
	rows, cols := g.size()
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
	// Distance to the nearest edge and the level of the two corners of that edge.
	switch {
	case v <= u && v <= 1-u:
		return units.Length(sw + (se-sw)*u + (mid-(sw+se)/2)*2*v)
	case v >= u && v >= 1-u:
		return units.Length(nw + (ne-nw)*u + (mid-(nw+ne)/2)*2*(1-v))
	case u <= v:
		return units.Length(sw + (nw-sw)*v + (mid-(sw+nw)/2)*2*u)
	}
	return units.Length(se + (ne-se)*v + (mid-(se+ne)/2)*2*(1-u))
}

// inside holds x within 0 to n; NaN counts as 0.
func inside(x float64, n int) float64 {
	if !(x > 0) {
		return 0
	}
	return min(x, float64(n))
}

// Plane is a level that rises evenly. The zero value is the level plane at 0.
type Plane struct {
	At    plane.Point  `json:"at"`
	Level units.Length `json:"level"` // at At
	East  float64      `json:"east"`  // rise per run to the east, below 0 for a fall
	North float64      `json:"north"` // rise per run to the north
}

// LevelAt returns the level at p.
func (s Plane) LevelAt(p plane.Point) units.Length {
	d := p.Sub(s.At)
	return s.Level + units.Length(s.East)*d.X + units.Length(s.North)*d.Y
}

// Grade returns the steepest rise per run.
func (s Plane) Grade() float64 { return math.Hypot(s.East, s.North) }

// Fall returns the direction in which water runs, in degrees clockwise from north,
// 0 to below 360; 0 for a level plane.
func (s Plane) Fall() float64 {
	if s.Grade() == 0 {
		return 0
	}
	return math.Mod(math.Atan2(-s.East, -s.North)*180/math.Pi+360, 360)
}

func (s Plane) check(f *units.Faults, path string) {
	limits.Signed(f, path+".at.x", s.At.X, limits.MaxCoordinate)
	limits.Signed(f, path+".at.y", s.At.Y, limits.MaxCoordinate)
	limits.Signed(f, path+".level", s.Level, limits.MaxLength)
	limits.Signed(f, path+".east", s.East, 1)
	limits.Signed(f, path+".north", s.North, 1)
}
