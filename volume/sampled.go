package volume

import (
	"fmt"
	"math"
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
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
	Places  Places        `json:"-"`
	Outline plane.Polygon `json:"outline"`
	Step    units.Length  `json:"step"` // side of a cell; at most 250,000 cells
}

const mostCells = 250_000

// facets samples the surface. The faults name places without a level, of which
// at most ten are listed.
func (s SampledSpec) facets() ([]facet, error) {
	var f units.Faults
	if len(s.Outline) > mostCorners {
		f.Add("outline", len(s.Outline), fmt.Sprintf("at most %d corners", mostCorners))
		return nil, f.Err()
	}
	f.Sub("outline", checkOutline(s.Outline))
	if s.Places == nil {
		f.Missing("places", "a surface")
	}
	side(&f, "step", s.Step)
	low, high := s.Outline.Bounds()
	if f.Err() == nil {
		f.Between("outline", max(high.X-low.X, high.Y-low.Y), leastSide, mostSide)
		if n := math.Ceil(float64((high.X-low.X)/s.Step)) * math.Ceil(float64((high.Y-low.Y)/s.Step)); n > mostCells {
			f.Add("step", s.Step, fmt.Sprintf("a step that gives at most %d cells, not %.0f", mostCells, n))
		}
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	var list []facet
	wrong := 0
	level := func(p plane.Point) float64 {
		l, ok := s.Places.At(p)
		if !ok || !(math.Abs(float64(l)) <= float64(mostSide)) {
			wrong++
			f.Missing("places", fmt.Sprintf("a level within 100 km of the datum at %s, %s, inside the outline", p.X.Trade(), p.Y.Trade()))
		}
		return float64(l)
	}
	add := func(area float64, z ...float64) {
		t := facet{area, [3]float64(z)}
		slices.Sort(t.z[:])
		t.snap()
		list = append(list, t)
	}
	cell := s.Step.Times(s.Step)
	cols, rows := math.Ceil(float64((high.X-low.X)/s.Step)), math.Ceil(float64((high.Y-low.Y)/s.Step))
	for i := range int(cols) {
		x := low.X + units.Length(i)*s.Step
		strip := slab(s.Outline, x, x+s.Step, false)
		for j := 0; j < int(rows) && wrong < 10; j++ {
			y := low.Y + units.Length(j)*s.Step
			part := slab(strip, y, y+s.Step, true)
			area := part.Area()
			switch {
			case area <= slack*cell:
			case area < (1-slack)*cell:
				z := level(part.Centroid())
				add(float64(area), z, z, z)
			default:
				a, b := level(plane.Point{X: x, Y: y}), level(plane.Point{X: x + s.Step, Y: y})
				c, d := level(plane.Point{X: x + s.Step, Y: y + s.Step}), level(plane.Point{X: x, Y: y + s.Step})
				mid := level(plane.Point{X: x + s.Step/2, Y: y + s.Step/2})
				for _, e := range [][2]float64{{a, b}, {b, c}, {c, d}, {d, a}} {
					add(float64(cell)/4, e[0], e[1], mid)
				}
			}
		}
	}
	return list, f.Err()
}

// slab returns the part of p with x, or y, between low and high (Sutherland
// and Hodgman, Reentrant polygon clipping, Communications of the ACM 17, 1974).
// Parts of a concave polygon hang together by edges without area.
func slab(p plane.Polygon, low, high units.Length, y bool) plane.Polygon {
	for _, cut := range []struct{ at, sign units.Length }{{low, 1}, {high, -1}} {
		var kept plane.Polygon
		for i, a := range p {
			b := p[(i+1)%len(p)]
			da, db := (a.X-cut.at)*cut.sign, (b.X-cut.at)*cut.sign
			if y {
				da, db = (a.Y-cut.at)*cut.sign, (b.Y-cut.at)*cut.sign
			}
			if da >= 0 {
				kept = append(kept, a)
			}
			if (da >= 0) != (db >= 0) {
				t := da / (da - db)
				kept = append(kept, plane.Point{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y)})
			}
		}
		p = kept
	}
	return p
}
