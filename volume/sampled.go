package volume

import (
	"context"
	"math"
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/skeleton"
)

// Places is a surface that answers for any place, and reports false where it has
// no level. A surface of thicknesses serves once the level below is added.
type Places interface {
	At(p plane.Point) (units.Length, bool)
}

// SampledSpec is a surface taken at the places of a grid inside an outline. Cells
// inside have four triangles between their corners and their centre; what the
// outline cuts off of a cell is level, at the level of its centroid. The plan area
// is that of the outline, and errors shrink with the square of the step.
type SampledSpec struct {
	Places  Places        `json:"-"`       // the surface
	Outline plane.Polygon `json:"outline"` // of the basin at the top, of at most 500 corners
	Step    units.Length  `json:"step"`    // side of a cell; at most 250,000 cells
}

// level returns the surface within the outline.
func (spec SampledSpec) level() func(p plane.Point) (units.Length, bool) {
	outline := slices.Clone(spec.Outline)
	return func(p plane.Point) (units.Length, bool) {
		if !outline.Contains(p) {
			return 0, false
		}
		return spec.Places.At(p)
	}
}

const maxCells = 250_000

// facets samples the surface until ctx ends. The faults name places without a level, of which
// at most ten are listed.
func (spec SampledSpec) facets(ctx context.Context) ([]facet, error) {
	var f units.Faults
	if len(spec.Outline) > skeleton.MaxCorners {
		f.Count("outline", len(spec.Outline), "corners", "at most %v", skeleton.MaxCorners)
		return nil, f.Err()
	}
	f.Sub("outline", spec.Outline.CheckUpTo(skeleton.MaxCorners))
	if units.IsNil(spec.Places) {
		f.Missing("places", "a surface")
	}
	side(&f, "step", spec.Step)
	low, high := spec.Outline.Bounds()
	if f.Err() == nil {
		f.Between("outline", max(high.X-low.X, high.Y-low.Y), minSide, units.MaxLength)
		if n := math.Ceil(float64((high.X-low.X)/spec.Step)) * math.Ceil(float64((high.Y-low.Y)/spec.Step)); n > maxCells {
			f.Add("step", spec.Step, "a step that gives at most %v cells, not %.0f", maxCells, n)
		}
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	var list []facet
	wrong := 0
	level := func(p plane.Point) float64 {
		l, ok := spec.Places.At(p)
		if !ok || !(math.Abs(float64(l)) <= float64(units.MaxLength)) {
			wrong++
			f.Missing("places", "a level within %v of the datum at %v, %v, inside the outline", units.MaxLength, p.X, p.Y)
		}
		return float64(l)
	}
	add := func(area, slant float64, z ...float64) {
		t := facet{area, [3]float64(z), slant}
		slices.Sort(t.z[:])
		t.snap()
		list = append(list, t)
	}
	cell := spec.Step.Times(spec.Step)
	cols, rows := math.Ceil(float64((high.X-low.X)/spec.Step)), math.Ceil(float64((high.Y-low.Y)/spec.Step))
	cells := plane.Tiling{Low: low, StepX: spec.Step, StepY: spec.Step, Rows: int(rows), Cols: int(cols)}
	whole := func(row, col int) {
		if wrong >= maxListed || ctx.Err() != nil {
			return
		}
		x, y := cells.X(col), cells.Y(row)
		a, b := level(plane.Point{X: x, Y: y}), level(plane.Point{X: x + spec.Step, Y: y})
		c, d := level(plane.Point{X: x + spec.Step, Y: y + spec.Step}), level(plane.Point{X: x, Y: y + spec.Step})
		mid := level(plane.Point{X: x + spec.Step/2, Y: y + spec.Step/2})
		from := d
		for _, to := range []float64{a, b, c, d} {
			along, across := (to-from)/float64(spec.Step), (2*mid-from-to)/float64(spec.Step)
			add(float64(cell)/4, math.Hypot(1, math.Hypot(along, across)), from, to, mid)
			from = to
		}
	}
	part := func(row, col int, ring plane.Polygon) {
		switch area := ring.Area(); {
		case area <= slack*cell || wrong >= maxListed || ctx.Err() != nil:
		case area < (1-slack)*cell:
			z := level(ring.Centroid())
			add(float64(area), 1, z, z, z)
		default:
			whole(row, col)
		}
	}
	cells.Cut(spec.Outline, 0, whole, part)
	return list, f.Err()
}
