package sludge

import (
	"cmp"
	"context"
	"math"
	"slices"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/sludge/internal/parallel"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// GridSpec says how to lay a grid over the box around the boundary: with cells of
// at most Spacing, or with Columns and Rows.
type GridSpec struct {
	Spacing units.Length `json:"spacing,omitempty"` // most width and height of a cell, 1e-6 m or more; 0: Columns and Rows say it
	Columns int          `json:"columns,omitempty"` // 1 or more, with Rows; 0: Spacing says it
	Rows    int          `json:"rows,omitempty"`    // 1 or more, with Columns; at most ten million cells in all
	// Workers is the number of goroutines to use, 0 or 1 for none besides the
	// caller's. It changes no bit of the result.
	Workers int `json:"workers,omitempty"`
}

// Grid holds the thickness at the centres of equal cells over the box around the
// boundary. Cells with the centre outside the area have none.
type Grid struct {
	l          mesh.Lattice
	perX, perY float64   // cells per metre
	z          []float64 // row by row from the south; NaN outside
}

// newGrid lays a grid over the boundary of s, with 0 in the area and NaN outside.
func (s *Survey) newGrid(spec GridSpec) (*Grid, error) {
	var f units.Faults
	if s.checkUsable(&f); f.Err() != nil {
		return nil, f.Err()
	}
	parallel.CheckWorkers(&f, spec.Workers)
	var l mesh.Lattice
	switch {
	case spec.Spacing != 0 && (spec.Columns != 0 || spec.Rows != 0):
		f.Add("spacing", spec.Spacing, "either a spacing or columns and rows")
	case spec.Columns != 0 || spec.Rows != 0:
		if spec.Columns < 1 || spec.Columns > maxCells {
			f.Add("columns", spec.Columns, "1 to %v", maxCells)
		}
		if spec.Rows < 1 || spec.Rows > maxCells || f.Err() == nil && spec.Rows > maxCells/spec.Columns {
			f.Add("rows", spec.Rows, "1 or more, with at most %v cells in all", maxCells)
		}
		if f.Err() == nil {
			low, high := s.rings[0].Bounds()
			l = mesh.Lattice{X0: float64(low.X), Y0: float64(low.Y), DX: float64(high.X-low.X) / float64(spec.Columns),
				DY: float64(high.Y-low.Y) / float64(spec.Rows), Cols: spec.Columns, Rows: spec.Rows}
		}
	default:
		l, _ = s.lattice("spacing", spec.Spacing, maxCells, &f)
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	g := &Grid{l, 1 / l.DX, 1 / l.DY, make([]float64, l.Cols*l.Rows)}
	s.mask(g)
	return g, nil
}

// mask puts NaN outside the area, row by row between the crossings of the rings,
// with the sides that a row can cross at hand.
func (s *Survey) mask(g *Grid) {
	var sides, active [][2]mesh.XY // from below to above, those to come by their lower end
	for _, ring := range s.rings {
		for i, c := range ring {
			a, b := mesh.Of(c), mesh.Of(ring[(i+1)%len(ring)])
			if b.Y < a.Y {
				a, b = b, a
			}
			if a.Y < b.Y {
				sides = append(sides, [2]mesh.XY{a, b})
			}
		}
	}
	slices.SortFunc(sides, func(p, q [2]mesh.XY) int { return cmp.Compare(p[0].Y, q[0].Y) })
	var cross []float64
	for r := range g.l.Rows {
		y := g.centre(0, r).Y
		active = slices.DeleteFunc(active, func(e [2]mesh.XY) bool { return e[1].Y <= y })
		for ; len(sides) > 0 && sides[0][0].Y <= y; sides = sides[1:] {
			if sides[0][1].Y > y {
				active = append(active, sides[0])
			}
		}
		cross = cross[:0]
		for _, e := range active {
			a, b := e[0], e[1]
			cross = append(cross, a.X+(y-a.Y)*((b.X-a.X)/(b.Y-a.Y)))
		}
		slices.Sort(cross)
		row := g.z[r*g.l.Cols : (r+1)*g.l.Cols]
		c := 0
		for k := 0; k+1 < len(cross); k += 2 {
			from, to := g.columns(cross[k], cross[k+1])
			for ; c < from; c++ {
				row[c] = math.NaN()
			}
			c = max(c, to+1)
		}
		for ; c < g.l.Cols; c++ {
			row[c] = math.NaN()
		}
	}
}

// inside returns the centres in the area, row by row from the south-west.
func (g *Grid) inside() []plane.Point {
	var list []plane.Point
	for i, z := range g.z {
		if !math.IsNaN(z) {
			list = append(list, g.Centre(i%g.l.Cols, i/g.l.Cols))
		}
	}
	return list
}

// columns returns the columns with centres from x0 to x1, from > to when none.
func (g *Grid) columns(x0, x1 float64) (from, to int) {
	from = max(int(math.Ceil((x0-g.l.X0)*g.perX-0.5)), 0)
	to = min(int(math.Floor((x1-g.l.X0)*g.perX-0.5)), g.l.Cols-1)
	return from, to
}

func (g *Grid) centre(c, r int) mesh.XY {
	return mesh.XY{X: g.l.X0 + (float64(c)+0.5)*g.l.DX, Y: g.l.Y0 + (float64(r)+0.5)*g.l.DY}
}

// Dims returns the number of columns and rows.
func (g *Grid) Dims() (columns, rows int) { return g.l.Cols, g.l.Rows }

// Cell returns the width and height of a cell.
func (g *Grid) Cell() (width, height units.Length) {
	return units.Length(g.l.DX), units.Length(g.l.DY)
}

// Centre returns the centre of the cell in column c, counted from the west, and
// row r, counted from the south. It is meaningful for 0 <= c < columns and 0 <= r
// < rows.
func (g *Grid) Centre(c, r int) plane.Point {
	p := g.centre(c, r)
	return p.Point()
}

// At returns the thickness of the cell in column c and row r, and false when there
// is no such cell or its centre lies outside the area.
func (g *Grid) At(c, r int) (units.Length, bool) {
	if c < 0 || c >= g.l.Cols || r < 0 || r >= g.l.Rows {
		return 0, false
	}
	z := g.z[r*g.l.Cols+c]
	if math.IsNaN(z) {
		return 0, false
	}
	return units.Length(z), true
}

// Range returns the least and the greatest thickness, and false when no cell has
// its centre in the area.
func (g *Grid) Range() (units.Range[units.Length], bool) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, z := range g.z {
		if !math.IsNaN(z) {
			lo, hi = min(lo, z), max(hi, z)
		}
	}
	if lo > hi {
		return units.Range[units.Length]{}, false
	}
	return units.Range[units.Length]{Low: units.Length(lo), High: units.Length(hi)}, true
}

// View returns g as plain numbers in a unit of length, such as [units.Foot], for
// plotting. A unit that is not more than 0 is taken as the metre.
func (g *Grid) View(unit units.Length) GridView {
	if !(unit > 0) {
		unit = units.Metre
	}
	return GridView{*g, float64(unit)}
}

// GridView shows a [Grid] in one unit, coordinates and thickness alike. Its
// methods are those that the plot library of gonum asks of a grid. It is the one
// place where NaN stands for no value.
type GridView struct {
	g    Grid
	unit float64
}

// Dims returns the number of columns and rows.
func (v GridView) Dims() (c, r int) { return v.g.Dims() }

// X returns the coordinate of column c.
func (v GridView) X(c int) float64 { return v.g.centre(c, 0).X / v.unit }

// Y returns the coordinate of row r.
func (v GridView) Y(r int) float64 { return v.g.centre(0, r).Y / v.unit }

// Z returns the thickness in column c and row r, NaN outside the area.
func (v GridView) Z(c, r int) float64 {
	z, ok := v.g.At(c, r)
	if !ok {
		return math.NaN()
	}
	return float64(z) / v.unit
}

// Min returns the least thickness, 0 when there is none.
func (v GridView) Min() float64 {
	z, _ := v.g.Range()
	return float64(z.Low) / v.unit
}

// Max returns the greatest thickness, 0 when there is none.
func (v GridView) Max() float64 {
	z, _ := v.g.Range()
	return float64(z.High) / v.unit
}

// Surface is a thickness over an area: a [TIN], an [IDW] or anything else that
// answers for a place. At returns false where there is none.
type Surface interface {
	At(p plane.Point) (units.Length, bool)
}

// SurfaceFunc is a function that serves as a [Surface].
type SurfaceFunc func(p plane.Point) (units.Length, bool)

// At calls f.
func (f SurfaceFunc) At(p plane.Point) (units.Length, bool) { return f(p) }

// SurfaceGrid evaluates any surface at the centres of a grid over the boundary of
// s. A surface that has no finite thickness at a centre in the area is an error that
// names the place. TIN and IDW have faster grids of their own. It ends with the error of
// ctx when that is done.
func SurfaceGrid(ctx context.Context, s *Survey, surface Surface, spec GridSpec) (*Grid, error) {
	var f units.Faults
	s.checkUsable(&f)
	if units.IsNil(surface) {
		f.Missing("surface", "a surface")
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	g, err := s.newGrid(spec)
	if err != nil {
		return nil, err
	}
	g.rows(spec.Workers, func(r int) {
		for c := range g.l.Cols {
			if ctx.Err() != nil {
				return
			}
			if k := r*g.l.Cols + c; g.z[k] == 0 {
				z, ok := surface.At(g.Centre(c, r))
				g.z[k] = float64(z)
				if !ok || math.IsNaN(g.z[k]) {
					g.z[k] = math.Inf(1)
				}
			}
		}
	})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	for k, z := range g.z {
		if math.Abs(z) > maxDepth { // not NaN, which is outside
			return nil, noThickness(z, g.Centre(k%g.l.Cols, k/g.l.Cols))
		}
	}
	return g, nil
}

// noThickness is the fault of a surface whose value z at p is none that a basin could hold.
func noThickness(z float64, p plane.Point) error {
	if math.Abs(z) <= math.MaxFloat64 {
		return units.Fault(units.FaultRange, "surface", units.Length(z), "%v to %v at %v, as over the whole area", units.Length(-maxDepth), units.Length(maxDepth), outline.Place(p))
	}
	return units.Fault(units.FaultConflict, "surface", units.Words("without a thickness at %v", outline.Place(p)), "a finite thickness over the whole area")
}

// KrigingGrid returns the estimates of k and their standard deviations at the centres of a
// grid over the boundary of s. Faults are on survey, kriging and the fields of spec;
// it ends with the error of ctx when that is done.
func KrigingGrid(ctx context.Context, s *Survey, k *geostat.Kriging, spec GridSpec) (values, sd *Grid, err error) {
	if values, err = s.newGrid(spec); err != nil {
		return nil, nil, err
	}
	clone := *values
	sd = &clone
	sd.z = slices.Clone(values.z)
	points := make([]plane.Point, 0, len(values.z))
	cells := make([]int, 0, len(values.z))
	for i, z := range values.z {
		if !math.IsNaN(z) {
			points = append(points, values.Centre(i%values.l.Cols, i/values.l.Cols))
			cells = append(cells, i)
		}
	}
	estimates, err := k.Estimates(ctx, points, spec.Workers)
	if err != nil {
		return nil, nil, err
	}
	for i, e := range estimates {
		values.z[cells[i]], sd.z[cells[i]] = float64(e.Value), float64(e.SD)
	}
	return values, sd, nil
}
