package volume

import (
	"fmt"
	"math"
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// GradeSpec compares the ground with a final grade.
type GradeSpec struct {
	Ground LevelGrid `json:"ground"`
	// Outline limits the work to a site inside the grid; without it the whole
	// grid counts.
	Outline plane.Polygon `json:"outline,omitempty"`
	// Final is the surface to build, taken at the crossings of the ground grid: a
	// Plane, a HipCrown, another LevelGrid.
	Final Levels `json:"-"`
}

// GradeCell is the work in one cell of the grid, named by its south-west crossing.
type GradeCell struct {
	Row  int          `json:"row"`
	Col  int          `json:"col"`
	Area units.Area   `json:"area"` // inside the outline
	Cut  units.Volume `json:"cut"`
	Fill units.Volume `json:"fill"`
}

// GradeResult is the earthwork between ground and final grade: Cut in place before
// digging (bank), Fill in place after placing (compacted).
type GradeResult struct {
	Cut      units.Volume     `json:"cut"`
	Fill     units.Volume     `json:"fill"`
	CutArea  units.Area       `json:"cutArea"`
	FillArea units.Area       `json:"fillArea"` // with ground that stays as it is
	MostCut  units.Length     `json:"mostCut"`  // deepest, at a crossing inside
	MostFill units.Length     `json:"mostFill"`
	Cells    []GradeCell      `json:"cells"`    // those inside, south-west first
	ZeroLine [][2]plane.Point `json:"zeroLine"` // pieces of the line between cut and fill
	Cautions []string         `json:"cautions"`
	shown
}

// Grade returns cut and fill by cell. Each cell is four triangles that meet at the
// mean of its corners, so that a cell all in cut or all in fill holds its area
// times the mean of the corner depths, the grid formula of the textbooks. A
// triangle that has both is split at the line of no work, and cells at the outline
// are cut along it; for these surfaces the volumes are exact. Errors are
// [units.FieldError] with the json field.
func Grade(spec GradeSpec) (GradeResult, error) {
	var f units.Faults
	spec.Ground.check(&f, "ground")
	checkSurface(&f, "final", spec.Final)
	if len(spec.Outline) > 0 {
		f.Sub("outline", checkOutline(spec.Outline))
	}
	if err := f.Err(); err != nil {
		return GradeResult{}, err
	}
	w := newGrading(&f, spec)
	if err := f.Err(); err != nil {
		return GradeResult{}, err
	}
	r := w.run(0, true)
	r.lines.Add("area", r.CutArea+r.FillArea, fmt.Sprintf("%d cells of %s x %s", len(r.Cells), spec.Ground.StepX.Trade(), spec.Ground.StepY.Trade()))
	r.lines.Add("cut, bank", cubicYards(r.Cut), "over "+r.CutArea.Trade()+", at most "+r.MostCut.Trade()+" deep")
	r.lines.Add("fill, compacted", cubicYards(r.Fill), "over "+r.FillArea.Trade()+", at most "+r.MostFill.Trade()+" high")
	r.Cautions = append(digging(r.MostCut), cautionBanks)
	return r, nil
}

// grading is a checked GradeSpec: the depths of fill, final less ground, at the
// crossings, and what lies inside the outline.
type grading struct {
	grid    LevelGrid
	outline plane.Polygon // counterclockwise, relative to the origin; nil for all
	fill    []float64     // by row
	cols    int
	edges   map[int][]int // edges of the outline by the cell they pass through
}

func newGrading(f *units.Faults, spec GradeSpec) *grading {
	g := spec.Ground
	rows, cols := g.size()
	w := &grading{grid: g, cols: cols, fill: make([]float64, 0, rows*cols)}
	for i, row := range g.Levels {
		for j, l := range row {
			d := float64(spec.Final.LevelAt(g.At(i, j)) - l)
			if !(math.Abs(d) <= 1e9) {
				f.Say("final", fmt.Sprintf("%g m above the ground at row %d, column %d", d, i, j), "a surface near the ground")
				return nil
			}
			w.fill = append(w.fill, d)
		}
	}
	if len(spec.Outline) == 0 {
		return w
	}
	high := plane.Point{X: units.Length(cols-1) * g.StepX, Y: units.Length(rows-1) * g.StepY}
	for i, c := range spec.Outline {
		c = c.Sub(g.Origin)
		// Rounding may put a corner on the edge of the grid just outside.
		tx, ty := slack*high.X, slack*high.Y
		if c.X < -tx || c.Y < -ty || c.X > high.X+tx || c.Y > high.Y+ty {
			f.Say(fmt.Sprintf("outline[%d]", i), "outside the grid", "a corner inside the grid of levels")
		}
		w.outline = append(w.outline, plane.Point{X: min(max(c.X, 0), high.X), Y: min(max(c.Y, 0), high.Y)})
	}
	if w.outline.SignedArea() < 0 {
		w.outline = w.outline.Reversed()
	}
	w.edges = map[int][]int{}
	marks := 0
	for k, a := range w.outline {
		marks += w.mark(k, a, w.outline[(k+1)%len(w.outline)])
		if max(marks, len(w.edges)*len(w.outline)) > mostClips {
			f.Say("outline", fmt.Sprintf("of %d corners on a grid of %d cells", len(w.outline), (rows-1)*(cols-1)), "fewer corners, or a coarser grid")
			return nil
		}
	}
	return w
}

// mostClips bounds time and memory: the whole outline is cut to every cell that it
// passes through.
const mostClips = 20_000_000

// mark notes the cells that the edge k from a to b may pass through: row by row
// those between the ends of its part in the row, with one cell to spare. It
// returns their number.
func (w *grading) mark(k int, a, b plane.Point) (n int) {
	rows, dx, dy := len(w.fill)/w.cols, float64(w.grid.StepX), float64(w.grid.StepY)
	if a.Y > b.Y {
		a, b = b, a
	}
	cell := func(x float64, n int) int { return max(0, min(int(x), n-2)) }
	for i := cell(float64(a.Y)/dy-slack, rows); i <= cell(float64(b.Y)/dy+slack, rows); i++ {
		lo, hi := float64(a.X), float64(b.X)
		if rise := float64(b.Y - a.Y); rise > 0 {
			at := func(y float64) float64 {
				t := min(1, max(0, (y-float64(a.Y))/rise))
				return float64(a.X) + t*float64(b.X-a.X)
			}
			lo, hi = at(float64(i)*dy), at(float64(i+1)*dy)
		}
		lo, hi = min(lo, hi), max(lo, hi)
		for j := cell(lo/dx-slack, w.cols); j <= cell(hi/dx+slack, w.cols); j++ {
			w.edges[i*w.cols+j] = append(w.edges[i*w.cols+j], k)
			n++
		}
	}
	return n
}

// run works out the cells with the final grade raised by the given height. Only
// with detail are cells and zero line kept.
func (w *grading) run(raise float64, detail bool) GradeResult {
	var r GradeResult
	rows := len(w.fill) / w.cols
	dx, dy := float64(w.grid.StepX), float64(w.grid.StepY)
	var cross []float64
	for i := range rows - 1 {
		cross = w.crossings(cross[:0], (float64(i)+0.5)*dy)
		next := 0
		for j := range w.cols - 1 {
			for next < len(cross) && cross[next] <= (float64(j)+0.5)*dx {
				next++
			}
			edges := w.edges[i*w.cols+j]
			if w.outline != nil && len(edges) == 0 && next%2 == 0 {
				continue
			}
			at := i*w.cols + j
			d := [4]float64{w.fill[at] + raise, w.fill[at+1] + raise, w.fill[at+w.cols+1] + raise, w.fill[at+w.cols] + raise}
			c := work{}
			x, y := float64(j)*dx, float64(i)*dy
			mid := node{x + dx/2, y + dy/2, (d[0] + d[1] + d[2] + d[3]) / 4}
			corner := [4]node{{x, y, d[0]}, {x + dx, y, d[1]}, {x + dx, y + dy, d[2]}, {x, y + dy, d[3]}}
			for k := range 4 {
				t := triangle{corner[k], corner[(k+1)%4], mid}
				if len(edges) == 0 {
					t.split(&c)
				} else {
					w.clipped(t, &c)
				}
				if detail {
					r.ZeroLine = w.zero(r.ZeroLine, t, edges)
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
				if len(edges) == 0 {
					r.MostCut = max(r.MostCut, units.Length(-slices.Min(d[:])))
					r.MostFill = max(r.MostFill, units.Length(slices.Max(d[:])))
				} else {
					r.MostCut = max(r.MostCut, units.Length(c.deepest))
					r.MostFill = max(r.MostFill, units.Length(c.highest))
				}
			}
		}
	}
	return r
}

// crossings returns where the level line at y crosses the outline, sorted.
func (w *grading) crossings(to []float64, y float64) []float64 {
	for k, a := range w.outline {
		b := w.outline[(k+1)%len(w.outline)]
		if (float64(a.Y) > y) != (float64(b.Y) > y) {
			to = append(to, float64(a.X)+(y-float64(a.Y))/float64(b.Y-a.Y)*float64(b.X-a.X))
		}
	}
	slices.Sort(to)
	return to
}
