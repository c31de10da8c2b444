package volume

import (
	"cmp"
	"context"
	"math"
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Triangles is a surface of plane triangles that do not overlap: a floor, or the
// top of the sludge. Any triangulation serves, whatever package it comes from.
type Triangles interface {
	// Len returns the number of triangles.
	Len() int
	// Triangle returns the corners of triangle i and their levels, which rise
	// upward from any datum.
	Triangle(i int) (corners [3]plane.Point, levels [3]units.Length)
}

// FloorSpec is a basin over a surveyed surface.
type FloorSpec struct {
	// One of the three is the surface. A grid has four triangles in each cell,
	// which meet at the centre at the mean of its corners; what lies below a
	// covered cell is the same as with a bilinear surface.
	Surface Triangles    `json:"-"`
	Grid    *LevelGrid   `json:"grid,omitempty"`    // levels at the crossings of a grid
	Sampled *SampledSpec `json:"sampled,omitempty"` // a surface taken at the places of a grid
	// Top is the level of the top of the bank in the datum of the surface.
	// Ground above it stays dry, and at the rim of the surface the bank is a
	// wall.
	Top units.Length `json:"top"`
}

// Floor is a basin over a surface of triangles. Its areas and volumes are exact
// integrals over them, whatever their shape. Heights count from the lowest
// corner.
type Floor struct {
	piecewise
	lowest units.Length
	facets []facet                                  // with heights over the lowest corner
	level  func(p plane.Point) (units.Length, bool) // of the surface
}

const (
	maxTriangles = 2_000_000 // of a surface
	maxListed    = 10        // faults of a surface
)

// NewFloor returns the basin of spec. Triangles without area and corners that
// are not finite are faults, of which at most ten are listed; a surface that lies
// nowhere below the top is one too. It ends with the error of ctx when that is done:
// two million triangles take longer than a second.
func NewFloor(ctx context.Context, spec FloorSpec) (*Floor, error) {
	var f units.Faults
	f.Between("top", spec.Top, -units.MaxLength, units.MaxLength)
	var list []facet
	var levelAt func(p plane.Point) (units.Length, bool)
	given := 0
	read := func(field string, facets []facet, err error) {
		given++
		f.Sub(field, err)
		list = facets
	}
	if !units.IsNil(spec.Surface) {
		facets, err := readTriangles(ctx, spec.Surface)
		read("surface", facets, err)
		levelAt = trianglesLevel(spec.Surface)
	}
	if spec.Grid != nil {
		facets, err := gridFacets(ctx, spec.Grid, "grid")
		read("", facets, err)
		levelAt = spec.Grid.level()
	}
	if spec.Sampled != nil {
		facets, err := spec.Sampled.facets(ctx)
		read("sampled", facets, err)
		levelAt = spec.Sampled.level()
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if given != 1 {
		f.Count("surface", given, "surfaces", "1 of surface, grid and sampled")
	}
	if f.Err() == nil && len(list) == 0 {
		f.Say("surface", "without a triangle of any area", "a surface of some extent, sampled in steps below that")
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	lowest := slices.MinFunc(list, func(a, b facet) int { return cmp.Compare(a.z[0], b.z[0]) }).z[0]
	depth := float64(spec.Top) - lowest
	if !(depth >= float64(minSide)) {
		f.Add("top", spec.Top, "above %v, the lowest level of the surface", units.Length(lowest))
		return nil, f.Err()
	}
	solid, err := sweep(ctx, list, lowest, depth)
	if err != nil {
		return nil, err
	}
	return &Floor{solid, units.Length(lowest), list, levelAt}, nil
}

// SlopeAreaAt returns the area of the surface below height h, measured along the slope,
// without its level floor. It looks at every triangle.
func (b *Floor) SlopeAreaAt(h units.Length) units.Area {
	x := clamp(h, b.Depth())
	var sum float64
	for i := range b.facets {
		sum += b.facets[i].wetted(x) * b.facets[i].slant
	}
	return max(units.Area(sum)-b.AreaAt(0), 0)
}

// FloorAt returns the height of the surface at p over its lowest corner, 0 or more: above
// the depth where it stays dry. It is false beyond the surface. Of a surface that was
// sampled it is that itself, within the outline, from which the cells differ by the
// square of the step.
func (b *Floor) FloorAt(p plane.Point) (units.Length, bool) {
	if b.level == nil {
		return 0, false
	}
	z, ok := b.level(p)
	if !ok || !(math.Abs(float64(z)) <= float64(units.MaxLength)) {
		return 0, false
	}
	return max(z-b.lowest, 0), true
}

// slantOf returns the area of a triangle along its slope for each of its plan.
func slantOf(c [3]plane.Point, l [3]units.Length) float64 {
	ux, uy, uz := float64(c[1].X-c[0].X), float64(c[1].Y-c[0].Y), float64(l[1]-l[0])
	wx, wy, wz := float64(c[2].X-c[0].X), float64(c[2].Y-c[0].Y), float64(l[2]-l[0])
	up := ux*wy - uy*wx
	return math.Hypot(1, math.Hypot((uy*wz-uz*wy)/up, (uz*wx-ux*wz)/up))
}

// LowestLevel returns the level, in the datum of the surface, from which heights
// are counted.
func (b *Floor) LowestLevel() units.Length { return b.lowest }

// gridTriangles is a checked grid as triangles, cell by cell.
type gridTriangles struct{ grid LevelGrid }

func (g gridTriangles) Len() int {
	rows, cols := g.grid.Size()
	return 4 * (rows - 1) * (cols - 1)
}

func (g gridTriangles) Triangle(i int) (corners [3]plane.Point, levels [3]units.Length) {
	_, cols := g.grid.Size()
	cell, side := i/4, i%4
	row, col := cell/(cols-1), cell%(cols-1)
	ring := []struct{ up, right int }{{0, 0}, {0, 1}, {1, 1}, {1, 0}, {0, 0}}
	level := func(k int) units.Length { return g.grid.Levels[row+ring[k].up][col+ring[k].right] }
	place := func(k int) plane.Point { return g.grid.At(row+ring[k].up, col+ring[k].right) }
	low := g.grid.At(row, col)
	centre := plane.Point{X: low.X + g.grid.StepX/2, Y: low.Y + g.grid.StepY/2}
	return [3]plane.Point{place(side), place(side + 1), centre},
		[3]units.Length{level(side), level(side + 1), (level(0) + level(1) + level(2) + level(3)) / 4}
}

// VolumeUnder returns what lies between a level and the surface where the surface
// is above it: the sludge under a surveyed top, or under a surface of
// thicknesses, with the level 0. The error lists what is wrong with the surface.
func VolumeUnder(surface Triangles, level units.Length) (units.Volume, error) {
	var f units.Faults
	f.Between("level", level, -units.MaxLength, units.MaxLength)
	var list []facet
	if units.IsNil(surface) {
		f.Missing("surface", "one triangle or more")
	} else {
		facets, err := readTriangles(context.Background(), surface) // a fraction of a second
		f.Sub("surface", err)
		list = facets
	}
	if err := f.Err(); err != nil {
		return 0, err
	}
	var sum float64
	for i := range list {
		// Turned over, what is above the level is below it.
		t := facet{area: list[i].area, z: [3]float64{-list[i].z[2], -list[i].z[1], -list[i].z[0]}}
		sum += t.below(-float64(level))
	}
	return units.Volume(sum), nil
}

// stopEvery is the number of triangles, or of their corners, after which it is asked
// whether anybody waits for the rest.
const stopEvery = 1 << 14

// readTriangles checks the triangles until ctx ends. Fields are [i].
func readTriangles(ctx context.Context, s Triangles) ([]facet, error) {
	var f units.Faults
	n := s.Len()
	if n < 1 || n > maxTriangles {
		f.Count("", n, "triangles", "1 to %v", maxTriangles)
		return nil, f.Err()
	}
	list := make([]facet, 0, n)
	wrong := 0
	for i := 0; i < n && wrong < maxListed; i++ {
		if i%stopEvery == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		c, l := s.Triangle(i)
		t := facet{math.Abs(float64(plane.Polygon(c[:]).SignedArea())), [3]float64{float64(l[0]), float64(l[1]), float64(l[2])}, slantOf(c, l)}
		slices.Sort(t.z[:])
		switch {
		case !(t.area > 0 && t.area <= float64(units.MaxLength)*float64(units.MaxLength)):
			wrong++
			at := f.At("", i)
			at.Add("", units.Area(t.area), "a triangle with an area")
		case !(t.z[0] >= -float64(units.MaxLength) && t.z[2] <= float64(units.MaxLength)):
			wrong++
			worst := l[0]
			for _, z := range l[1:] {
				if !(math.Abs(float64(z)) <= math.Abs(float64(worst))) {
					worst = z
				}
			}
			at := f.At("", i)
			at.Add("", worst, "levels within %v of the datum", units.MaxLength)
		}
		t.snap()
		list = append(list, t)
	}
	return list, f.Err()
}

// gridFacets checks the grid at path and returns its triangles.
func gridFacets(ctx context.Context, g *LevelGrid, path string) ([]facet, error) {
	var f units.Faults
	f.Sub(path, g.Check())
	if err := f.Err(); err != nil {
		return nil, err
	}
	list, err := readTriangles(ctx, gridTriangles{*g})
	f.Sub(path, err)
	return list, f.Err()
}
