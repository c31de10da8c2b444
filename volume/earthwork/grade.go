package earthwork

import (
	"math"
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/internal/cautions"
)

// GradeSpec compares the ground with a final grade.
type GradeSpec struct {
	Ground volume.LevelGrid `json:"ground"` // levels as they are
	// Outline limits the work to a site inside the grid, of at most 2,000 corners;
	// without it the whole grid counts. A border so ragged that it takes more than
	// two million corners of cells is refused.
	Outline plane.Polygon `json:"outline,omitempty"`
	// Final is the surface to build, taken at the crossings of the ground grid: a
	// Plane, a *HipCrown, another LevelGrid.
	Final Surface `json:"-"`
}

// GradeCell is the work in one cell of the grid, named by its south-west crossing.
type GradeCell struct {
	Row  int          `json:"row"`  // from south, 0 and up
	Col  int          `json:"col"`  // from west, 0 and up
	Area units.Area   `json:"area"` // inside the outline
	Cut  units.Volume `json:"cut"`  // bank
	Fill units.Volume `json:"fill"` // compacted
}

// GradeResult is the earthwork between ground and final grade: Cut in place before
// digging (bank), Fill in place after placing (compacted).
type GradeResult struct {
	StepX    units.Length     `json:"stepX"`    // of the cells, west to east
	StepY    units.Length     `json:"stepY"`    // of the cells, south to north
	Cut      units.Volume     `json:"cut"`      // bank
	Fill     units.Volume     `json:"fill"`     // compacted
	CutArea  units.Area       `json:"cutArea"`  // ground that is cut
	FillArea units.Area       `json:"fillArea"` // with ground that stays as it is
	MaxCut   units.Length     `json:"maxCut"`   // deepest, at a crossing inside
	MaxFill  units.Length     `json:"maxFill"`  // highest, at a crossing inside
	Cells    []GradeCell      `json:"cells"`    // those inside, south-west first
	ZeroLine [][2]plane.Point `json:"zeroLine"` // pieces of the line between cut and fill
	Cautions []string         `json:"cautions"` // what can hurt people, and who decides
}

// Grade returns cut and fill by cell. Each cell is four triangles that meet at the
// mean of its corners, so that a cell all in cut or all in fill holds its area
// times the mean of the corner depths, the grid formula of the textbooks. A
// triangle that has both is split at the line of no work, and cells at the outline
// are cut along it; for these surfaces the volumes are exact. Errors are
// [units.FieldError] with the json field.
func Grade(spec GradeSpec) (GradeResult, error) {
	var f units.Faults
	f.Sub("ground", spec.Ground.Check())
	checkSurface(&f, "final", spec.Final)
	if len(spec.Outline) > 0 {
		f.Sub("outline", spec.Outline.CheckUpTo(maxCorners))
	}
	if err := f.Err(); err != nil {
		return GradeResult{}, err
	}
	w := newGrading(&f, spec)
	if err := f.Err(); err != nil {
		return GradeResult{}, err
	}
	return w.result(), nil
}

// result works out the cells and shows how.
func (w *grading) result() GradeResult {
	r := w.run(0, true)
	r.Cautions = append(cautions.Digging(r.MaxCut), cautions.Banks)
	return r
}

// Working shows cut and fill.
func (r GradeResult) Working() units.Working {
	var w units.Working
	w.Add("area", r.CutArea+r.FillArea, "%v cells of %v x %v", len(r.Cells), r.StepX, r.StepY)
	w.Add("cut, bank", earth(r.Cut), "over %v, at most %v deep", r.CutArea, r.MaxCut)
	w.Add("fill, compacted", earth(r.Fill), "over %v, at most %v high", r.FillArea, r.MaxFill)
	return w
}

// String prints the working.
func (r GradeResult) String() string { return r.Working().String() }

// grading is a checked GradeSpec: the depths of fill, final less ground, at the
// crossings, and what lies inside the outline.
type grading struct {
	grid    volume.LevelGrid
	outline plane.Polygon // counterclockwise, relative to the origin; nil for all
	fill    []float64     // by row
	cols    int
	whole   []bool                // by cell, for an outline: all of it inside
	parts   map[int]plane.Polygon // by cell, what is inside of those that edges pass through
}

func newGrading(f *units.Faults, spec GradeSpec) *grading {
	g := spec.Ground
	rows, cols := g.Size()
	w := &grading{grid: g, cols: cols, fill: make([]float64, 0, rows*cols)}
	w.final(f, spec.Final)
	if len(spec.Outline) == 0 || f.Err() != nil {
		return w
	}
	high := plane.Point{X: units.Length(cols-1) * g.StepX, Y: units.Length(rows-1) * g.StepY}
	for i, c := range spec.Outline {
		c = c.Sub(g.Origin)
		// Rounding may put a corner on the edge of the grid just outside.
		tx, ty := slack*high.X, slack*high.Y
		if c.X < -tx || c.Y < -ty || c.X > high.X+tx || c.Y > high.Y+ty {
			corner := f.At("outline", i)
			corner.Say("", "outside the grid", "a corner inside the grid of levels")
		}
		w.outline = append(w.outline, plane.Point{X: min(max(c.X, 0), high.X), Y: min(max(c.Y, 0), high.Y)})
	}
	if w.outline.SignedArea() < 0 {
		w.outline = w.outline.Reversed()
	}
	w.whole, w.parts = make([]bool, len(w.fill)), map[int]plane.Polygon{}
	cells := plane.Tiling{StepX: g.StepX, StepY: g.StepY, Rows: rows - 1, Cols: cols - 1}
	whole := func(row, col int) { w.whole[row*cols+col] = true }
	part := func(row, col int, ring plane.Polygon) {
		if ring.Area() > slack*g.StepX.Times(g.StepY) {
			w.parts[row*cols+col] = ring
		}
	}
	if _, done := cells.Cut(w.outline, maxClips, whole, part); !done {
		f.Count("outline", len(w.outline), "corners", "fewer corners, or a coarser grid than of %v cells", (rows-1)*(cols-1))
		return nil
	}
	return w
}

// final sets the surface to build.
func (w *grading) final(f *units.Faults, s Surface) {
	w.fill = w.fill[:0]
	for i, row := range w.grid.Levels {
		for j, l := range row {
			d := float64(s.LevelAt(w.grid.At(i, j)) - l)
			if !(math.Abs(d) <= 1e9) {
				f.Fault(units.FaultRange, "final", units.Length(d), "a surface near the ground, also over row %v, column %v", i, j)
				return
			}
			w.fill = append(w.fill, d)
		}
	}
}

// maxClips bounds time and memory where an outline crosses many cells many times: it
// is a hundred times what a site with a border of 2,000 corners needs.
const maxClips = 2_000_000

// inside reports for every crossing, by row, whether it lies in the outline or, up to
// rounding, on it.
func (w *grading) inside() []bool {
	in := make([]bool, len(w.fill))
	if w.outline == nil {
		for k := range in {
			in[k] = true
		}
		return in
	}
	rows, dx, dy := len(w.fill)/w.cols, float64(w.grid.StepX), float64(w.grid.StepY)
	edges := make([][]int, rows) // that reach the row
	for k, a := range w.outline {
		b := w.outline[(k+1)%len(w.outline)]
		low, high := float64(min(a.Y, b.Y))/dy, float64(max(a.Y, b.Y))/dy
		for i := max(0, int(math.Ceil(low-slack))); i <= min(rows-1, int(high+slack)); i++ {
			edges[i] = append(edges[i], k)
		}
	}
	var below, above []float64
	for i, list := range edges {
		mark := func(from, to float64) {
			for j := max(0, int(math.Ceil(from/dx-slack))); j <= min(w.cols-1, int(to/dx+slack)); j++ {
				in[i*w.cols+j] = true
			}
		}
		// Just below the row and just above it: a corner on the row may have the
		// inside on one side only.
		y := float64(i) * dy
		below, above = below[:0], above[:0]
		for _, k := range list {
			a, b := w.outline[k], w.outline[(k+1)%len(w.outline)]
			ay, by := float64(a.Y), float64(b.Y)
			x := float64(a.X)
			if ay != by {
				x += min(1, max(0, (y-ay)/(by-ay))) * float64(b.X-a.X)
			} else {
				mark(float64(min(a.X, b.X)), float64(max(a.X, b.X)))
			}
			if (ay < y) != (by < y) {
				below = append(below, x)
			}
			if (ay > y) != (by > y) {
				above = append(above, x)
			}
		}
		for _, xs := range [][]float64{below, above} {
			slices.Sort(xs)
			for k := 0; k+1 < len(xs); k += 2 {
				mark(xs[k], xs[k+1])
			}
		}
	}
	return in
}

// run works out the cells with the final grade raised by the given height. Only
// with detail are cells and zero line kept.
func (w *grading) run(raise float64, detail bool) GradeResult {
	r := GradeResult{StepX: w.grid.StepX, StepY: w.grid.StepY}
	var c work
	rows := len(w.fill) / w.cols
	dx, dy := float64(w.grid.StepX), float64(w.grid.StepY)
	for i := range rows - 1 {
		for j := range w.cols - 1 {
			at := i*w.cols + j
			var ring plane.Polygon
			if w.outline != nil && !w.whole[at] {
				if ring = w.parts[at]; ring == nil {
					continue
				}
			}
			d := [4]float64{w.fill[at] + raise, w.fill[at+1] + raise, w.fill[at+w.cols+1] + raise, w.fill[at+w.cols] + raise}
			c = work{room: c.room}
			x, y := float64(j)*dx, float64(i)*dy
			mid := node{x + dx/2, y + dy/2, (d[0] + d[1] + d[2] + d[3]) / 4}
			corner := [4]node{{x, y, d[0]}, {x + dx, y, d[1]}, {x + dx, y + dy, d[2]}, {x, y + dy, d[3]}}
			for k := range 4 {
				t := triangle{corner[k], corner[(k+1)%4], mid}
				if ring == nil {
					t.split(&c)
				} else {
					t.clipped(ring, &c)
				}
				if detail {
					r.ZeroLine = w.zero(r.ZeroLine, t, ring)
				}
			}
			if c.cutArea+c.fillArea <= slack*dx*dy {
				continue
			}
			r.Cut += units.Volume(c.cut)
			r.Fill += units.Volume(c.fill)
			r.CutArea += units.Area(c.cutArea)
			r.FillArea += units.Area(c.fillArea)
			if detail {
				r.Cells = append(r.Cells, GradeCell{i, j, units.Area(c.cutArea + c.fillArea), units.Volume(c.cut), units.Volume(c.fill)})
				if ring == nil {
					r.MaxCut = max(r.MaxCut, units.Length(-slices.Min(d[:])))
					r.MaxFill = max(r.MaxFill, units.Length(slices.Max(d[:])))
				} else {
					r.MaxCut = max(r.MaxCut, units.Length(c.deepest))
					r.MaxFill = max(r.MaxFill, units.Length(c.highest))
				}
			}
		}
	}
	return r
}
