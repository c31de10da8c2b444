package sludge

import (
	"context"
	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Region is an area with holes: an outer ring, counterclockwise, and rings inside
// it, clockwise, that are left out.
type Region = plane.Region

// Band is the area in which the thickness lies from Low to below High.
type Band struct {
	Low     units.Length `json:"low"`     // of the first band the least thickness, if that is below the first level
	High    units.Length `json:"high"`    // of the last band the greatest thickness, if that is above the last level
	Area    units.Area   `json:"area"`    // of the regions
	Regions []Region     `json:"regions"` // that make it up; none where no thickness lies in it
}

// ContourLine is a line of one thickness with the thicker side on its left. A
// closed line does not repeat its first point; an open one runs from edge to edge.
type ContourLine struct {
	Level  units.Length  `json:"level"`  // thickness all along it
	Points []plane.Point `json:"points"` // two or more, three or more when closed
	Closed bool          `json:"closed"` // the last point joins the first
}

// Contours are the bands between levels and the lines between the bands. The areas
// of the bands add up to the area of the survey.
type Contours struct {
	Levels []units.Length `json:"levels"` // rising, as asked for
	Bands  []Band         `json:"bands"`  // one more than levels, from the thinnest
	Lines  []ContourLine  `json:"lines"`  // by level
}

// cells is a mesh of triangles and squares, corners counterclockwise, that fills
// an area, and the sides on its edge with the area on their left.
type cells struct {
	pt    []mesh.XY
	z     []float64
	count int
	cell  func(i int) []int32 // nil for a cell outside the area
	edge  [][2]int32
}

// Contours returns the contours of the surface, exact on its triangles. It ends with
// the error of ctx when that is done.
func (t *TIN) Contours(ctx context.Context, levels []units.Length) (*Contours, error) {
	if err := checkLevelList(levels); err != nil {
		return nil, err
	}
	m := t.mesh
	if m == nil {
		return nil, units.Fault(units.FaultMissing, "tin", nil, "a surface made by NewTIN")
	}
	c := cells{pt: m.Pt, z: t.z, count: len(t.in)}
	c.cell = func(i int) []int32 {
		if !t.in[i] {
			return nil
		}
		return m.Corner[3*i : 3*i+3]
	}
	for i := range m.Corner {
		k := int32(i)
		if t.in[k/3] && (m.Twin[k] == mesh.None || !t.in[m.Twin[k]/3]) {
			c.edge = append(c.edge, [2]int32{m.From(k), m.To(k)})
		}
	}
	return c.contours(ctx, levels)
}

// check records the figures of c, which may not come from here, that are no numbers
// of a basin.
func (c *Contours) check(f *units.Faults) {
	if c == nil {
		return
	}
	deep := units.Length(maxDepth)
	for i, b := range c.Bands {
		at := f.At("contours.bands", i)
		at.Between("low", b.Low, -deep, deep)
		at.Between("high", b.High, -deep, deep)
		at.Between("area", b.Area, units.Area(0), units.Area(outline.MaxCoordinate*outline.MaxCoordinate))
	}
	for i, l := range c.Lines {
		at := f.At("contours.lines", i)
		at.Between("level", l.Level, -deep, deep)
	}
}

func checkLevelList(levels []units.Length) error {
	var f units.Faults
	if len(levels) == 0 {
		f.Missing("levels", "at least 1 level")
	}
	if len(levels) > 1000 {
		f.Count("levels", len(levels), "levels", "at most 1000")
		return f.Err()
	}
	for i, l := range levels {
		at := f.At("levels", i)
		at.Between("", l, units.Length(-maxDepth), units.Length(maxDepth))
		if i > 0 && !(l > levels[i-1]) {
			at.Add("", l, "more than the level before it")
		}
	}
	return f.Err()
}

// Series returns the points of the line in the given unit, which must be above 0. A
// closed line ends where it began.
func (l ContourLine) Series(unit units.Length) units.Series {
	s := make(units.Series, len(l.Points), len(l.Points)+1)
	for i, p := range l.Points {
		s[i] = [2]float64{p.X.In(unit), p.Y.In(unit)}
	}
	if l.Closed && len(s) > 0 {
		s = append(s, s[0])
	}
	return s
}
