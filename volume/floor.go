package volume

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/limits"
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
	Grid    *LevelGrid   `json:"grid,omitempty"`
	Sampled *SampledSpec `json:"sampled,omitempty"`
	// Top is the level of the top of the bank in the datum of the surface.
	// Ground above it stays dry, and at the rim of the surface the bank is a
	// wall.
	Top units.Length `json:"top"`
}

// Floor is a basin over a surface of triangles. Its areas and volumes are exact
// integrals over them, whatever their shape. Heights count from the lowest
// corner.
type Floor struct {
	pieces
	lowest units.Length
}

// mostTriangles bounds a surface.
const mostTriangles = 2_000_000

// NewFloor returns the basin of spec. Triangles without area and corners that
// are not finite are faults, of which at most ten are listed; a surface that lies
// nowhere below the top is one too.
func NewFloor(spec FloorSpec) (*Floor, error) {
	var f units.Faults
	limits.Signed(&f, "top", spec.Top, limits.MaxLength)
	var list []facet
	given := 0
	read := func(field string, facets []facet, err error) {
		given++
		f.Sub(field, err)
		list = facets
	}
	if spec.Surface != nil {
		facets, err := readTriangles(spec.Surface)
		read("surface", facets, err)
	}
	if spec.Grid != nil {
		facets, err := gridFacets(spec.Grid, "grid")
		read("", facets, err)
	}
	if spec.Sampled != nil {
		facets, err := spec.Sampled.facets()
		read("sampled", facets, err)
	}
	if given != 1 {
		f.Add("surface", given, "one of surface, grid and sampled")
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	lowest := slices.MinFunc(list, func(a, b facet) int { return cmp.Compare(a.z[0], b.z[0]) }).z[0]
	depth := float64(spec.Top) - lowest
	if !(depth >= float64(minSide)) {
		f.Add("top", spec.Top, "above "+units.Length(lowest).Trade()+", the lowest level of the surface")
		return nil, f.Err()
	}
	return &Floor{sweep(list, lowest, depth), units.Length(lowest)}, nil
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
	ring := [5][2]int{{0, 0}, {0, 1}, {1, 1}, {1, 0}, {0, 0}}
	level := func(k int) units.Length { return g.grid.Levels[row+ring[k][0]][col+ring[k][1]] }
	place := func(k int) plane.Point { return g.grid.At(row+ring[k][0], col+ring[k][1]) }
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
	limits.Signed(&f, "level", level, limits.MaxLength)
	var list []facet
	if surface == nil {
		f.Missing("surface", "one triangle or more")
	} else {
		facets, err := readTriangles(surface)
		f.Sub("surface", err)
		list = facets
	}
	if err := f.Err(); err != nil {
		return 0, err
	}
	var sum float64
	for i := range list {
		// Turned over, what is above the level is below it.
		t := facet{list[i].area, [3]float64{-list[i].z[2], -list[i].z[1], -list[i].z[0]}}
		sum += t.below(-float64(level))
	}
	return units.Volume(sum), nil
}

// below returns the volume between the facet and the level y above it.
func (t *facet) below(y float64) float64 {
	k := 2
	for k >= 0 && y < t.z[k] {
		k--
	}
	if k < 0 {
		return 0
	}
	return t.curve(k).moved(t.z[k], y)[0].hi
}

// facet is a triangle by its plan area and its levels in rising order.
type facet struct {
	area float64
	z    [3]float64
}

// readTriangles checks the triangles. Fields are [i].
func readTriangles(s Triangles) ([]facet, error) {
	var f units.Faults
	n := s.Len()
	if n < 1 || n > mostTriangles {
		f.Add("", n, fmt.Sprintf("1 to %d triangles", mostTriangles))
		return nil, f.Err()
	}
	list := make([]facet, 0, n)
	wrong := 0
	for i := 0; i < n && wrong < 10; i++ {
		c, l := s.Triangle(i)
		t := facet{math.Abs(float64(plane.Polygon(c[:]).SignedArea())), [3]float64{float64(l[0]), float64(l[1]), float64(l[2])}}
		slices.Sort(t.z[:])
		path := fmt.Sprintf("[%d]", i)
		switch {
		case !(t.area > 0 && t.area <= float64(limits.MaxLength)*float64(limits.MaxLength)):
			wrong++
			f.Add(path, units.Area(t.area), "a triangle with an area")
		case !(t.z[0] >= -float64(limits.MaxLength) && t.z[2] <= float64(limits.MaxLength)):
			wrong++
			worst := l[0]
			for _, z := range l[1:] {
				if !(math.Abs(float64(z)) <= math.Abs(float64(worst))) {
					worst = z
				}
			}
			f.Add(path, worst, "levels within 100 km of the datum")
		}
		t.snap()
		list = append(list, t)
	}
	return list, f.Err()
}

// gridFacets checks the grid at path and returns its triangles.
func gridFacets(g *LevelGrid, path string) ([]facet, error) {
	var f units.Faults
	f.Sub(path, g.Check())
	if err := f.Err(); err != nil {
		return nil, err
	}
	list, err := readTriangles(gridTriangles{*g})
	f.Sub(path, err)
	return list, f.Err()
}

// snap makes corners level that no survey tells apart, so that no curvature is too
// large for a number.
func (t *facet) snap() {
	const least = 1e-12 // m
	if t.z[2]-t.z[0] < least {
		t.z[1], t.z[2] = t.z[0], t.z[0]
	}
	if t.z[1]-t.z[0] < least {
		t.z[1] = t.z[0]
	}
	if t.z[2]-t.z[1] < least {
		t.z[1] = t.z[2]
	}
}

// change is where the part of a facet in the sum becomes another: at its lowest,
// middle or highest corner.
type change struct {
	at     float64
	facet  int32
	corner int8
}

// sweep adds up the facets. The area of a facet below a level is 0, then a
// parabola up to its middle corner, another up to its highest, and its plan area
// above; the sum is a quadratic between any two corners. It is carried upward
// from corner to corner in twofold precision, since a nearly level facet brings a
// curvature that is large for a moment and has to vanish without trace.
func sweep(list []facet, lowest, depth float64) pieces {
	changes := make([]change, 0, 3*len(list))
	for i := range list {
		z := &list[i].z
		for k := range z {
			if z[k] -= lowest; z[k] < depth {
				changes = append(changes, change{z[k], int32(i), int8(k)})
			}
		}
	}
	slices.SortFunc(changes, func(a, b change) int {
		return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.facet, b.facet), cmp.Compare(a.corner, b.corner))
	})
	var sum curve
	var out []piece
	for i, c := range changes {
		t := &list[c.facet]
		if i > 0 && c.at > changes[i-1].at {
			sum = sum.moved(changes[i-1].at, c.at)
		}
		if c.corner > 0 {
			sum = sum.add(t.curve(int(c.corner)-1).moved(t.z[c.corner-1], c.at), -1)
		}
		sum = sum.add(t.curve(int(c.corner)), 1)
		if i+1 == len(changes) || changes[i+1].at > c.at {
			out = append(out, piece{low: c.at, v: sum[0].hi, a: sum[1].hi, b: 2 * sum[2].hi, c: 3 * sum[3].hi})
		}
	}
	return newPieces(out, depth)
}

// curve returns the volume below a level as a cubic of the height over corner k,
// good up to the next corner.
func (t *facet) curve(k int) curve {
	low, high, whole := t.z[1]-t.z[0], t.z[2]-t.z[1], t.z[2]-t.z[0]
	var v, a, b, c float64
	switch {
	case k == 2:
		v, a = t.area*(whole+high)/3, t.area
	case k == 0 && low > 0:
		c = t.area / (3 * low * whole)
	case k == 1 && high > 0:
		// The plan area less the tip that is still dry.
		v, a = t.area*low*low/(3*whole), t.area*low/whole
		b, c = t.area/whole, -t.area/(3*high*whole)
	}
	return curve{{hi: v}, {hi: a}, {hi: b}, {hi: c}}
}
