package earthwork

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/internal/cautions"
	"example.org/earthbasin/volume/internal/plantest"
)

// grid returns levels of the surface at n x m crossings.
func grid(rows, cols int, step units.Length, level func(p plane.Point) float64) volume.LevelGrid {
	g := volume.LevelGrid{Origin: plane.Point{X: 1000, Y: -500}, StepX: step, StepY: 1.5 * step}
	for i := range rows {
		row := make([]units.Length, cols)
		for j := range cols {
			row[j] = units.Length(level(g.At(i, j)))
		}
		g.Levels = append(g.Levels, row)
	}
	return g
}

func TestGradeCutLessFillIsTheIntegral(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		east, north := r.Float64()-0.5, r.Float64()-0.5
		g := grid(11, 15, 10, func(p plane.Point) float64 { return east*float64(p.X-1000) + north*float64(p.Y+500) })
		site := plantest.Star(r, plane.Point{X: 1070, Y: -425}, 65)
		if r.IntN(2) == 0 {
			site = site.Reversed()
		}
		final := Plane{At: plane.Point{X: 1000, Y: -500}, Level: units.Length(40 * (r.Float64() - 0.5)), East: r.Float64() - 0.5, North: r.Float64() - 0.5}
		got, err := Grade(GradeSpec{Ground: g, Outline: site, Final: final})
		require.NoError(t, err)
		require.InEpsilon(t, site.Area().SI(), (got.CutArea + got.FillArea).SI(), 1e-9)
		// Both surfaces are planes: fill - cut is the area times the depth at
		// the centroid.
		c := site.Centroid()
		depth := float64(final.LevelAt(c)) - east*float64(c.X-1000) - north*float64(c.Y+500)
		require.InDelta(t, site.Area().SI()*depth, (got.Fill - got.Cut).SI(), 1e-7*site.Area().SI())
		var cut, fill units.Volume
		for _, cell := range got.Cells {
			cut, fill = cut+cell.Cut, fill+cell.Fill
		}
		require.InDelta(t, got.Cut.SI(), cut.SI(), 1e-6)
		require.InDelta(t, got.Fill.SI(), fill.SI(), 1e-6)
	}
}

// The parts in cut and in fill are checked by themselves: the site split by hand
// along the line of no work of two planes.
func TestGradeSplitsAtTheZeroLine(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	level := grid(8, 8, 10, func(plane.Point) float64 { return 5 })
	corner := level.Origin
	for range 100 {
		// A plane that is zero at x = a: fill on the west, cut on the east.
		a, g := 5+60*r.Float64(), 0.01+0.9*r.Float64()
		if r.IntN(4) == 0 {
			a = 10 * float64(1+r.IntN(6)) // along a line of the grid
			g = 0.25
		}
		final := Plane{At: plane.Point{X: corner.X + units.Length(a)}, Level: 5, East: -g}
		site := plane.Polygon{
			{X: corner.X + 2, Y: corner.Y + 3}, {X: corner.X + 68, Y: corner.Y + 3},
			{X: corner.X + 68, Y: corner.Y + 100}, {X: corner.X + 2, Y: corner.Y + 100},
		}
		got, err := Grade(GradeSpec{Ground: level, Outline: site, Final: final})
		require.NoError(t, err)
		wantFill := g * math.Pow(a-2, 2) / 2 * 97
		wantCut := g * math.Pow(68-a, 2) / 2 * 97
		require.InEpsilon(t, wantFill, got.Fill.SI(), 1e-9)
		require.InEpsilon(t, wantCut, got.Cut.SI(), 1e-9)
		require.InEpsilon(t, (a-2)*97, got.FillArea.SI(), 1e-9)
		require.InEpsilon(t, g*(68-a), float64(got.MaxCut), 1e-9)
		require.InEpsilon(t, g*(a-2), float64(got.MaxFill), 1e-9)
		var length units.Length
		for _, s := range got.ZeroLine {
			length += s[0].Distance(s[1])
			require.InDelta(t, a+1000, float64(s[0].X), 1e-9)
			require.InDelta(t, a+1000, float64(s[1].X), 1e-9)
		}
		require.InEpsilon(t, 97, float64(length), 1e-9)
	}
}

func TestGradeWholeGridEqualsItsOutline(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	g := grid(9, 7, 5, func(plane.Point) float64 { return r.Float64() * 3 })
	final := Plane{At: g.Origin, Level: 1.4, East: 0.01}
	whole, err := Grade(GradeSpec{Ground: g, Final: final})
	require.NoError(t, err)
	low, high := g.Origin, g.At(8, 6)
	framed, err := Grade(GradeSpec{Ground: g, Final: final, Outline: plane.Polygon{low, {X: high.X, Y: low.Y}, high, {X: low.X, Y: high.Y}}})
	require.NoError(t, err)
	require.InEpsilon(t, whole.Cut.SI(), framed.Cut.SI(), 1e-9)
	require.InEpsilon(t, whole.Fill.SI(), framed.Fill.SI(), 1e-9)
	require.Len(t, framed.Cells, len(whole.Cells))
	require.Len(t, whole.Cells, 8*6)
	for _, r := range []GradeResult{whole, framed} {
		for _, c := range r.Cells {
			require.InEpsilon(t, float64(r.StepX.Times(r.StepY)), float64(c.Area), 1e-9, "row %v, col %v", c.Row, c.Col)
		}
	}
	// Swapping ground and final swaps cut and fill.
	swapped, err := Grade(GradeSpec{Ground: grid(9, 7, 5, func(p plane.Point) float64 { return float64(final.LevelAt(p)) }), Final: g})
	require.NoError(t, err)
	require.InEpsilon(t, whole.Cut.SI(), swapped.Fill.SI(), 1e-9)
	require.InEpsilon(t, whole.Fill.SI(), swapped.Cut.SI(), 1e-9)
}

// The volume under LevelAt by a fine sum is that of Grade.
func TestLevelAtIsTheSurfaceOfGrade(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	g := grid(4, 5, 8, func(plane.Point) float64 { return r.Float64() })
	got, err := Grade(GradeSpec{Ground: g, Final: Plane{Level: -10}})
	require.NoError(t, err)
	const n = 240
	sum := 0.0
	for i := range n * 3 {
		for j := range n * 4 {
			sum += 10 + float64(g.LevelAt(plane.Point{X: g.Origin.X + units.Length((float64(j)+0.5)/n)*g.StepX, Y: g.Origin.Y + units.Length((float64(i)+0.5)/n)*g.StepY}))
		}
	}
	require.InEpsilon(t, got.Cut.SI(), sum*float64(g.StepX)*float64(g.StepY)/(n*n), 1e-7)
	for i := range 4 {
		for j := range 5 {
			require.InDelta(t, float64(g.Levels[i][j]), float64(g.LevelAt(g.At(i, j))), 1e-12)
		}
	}
	require.Equal(t, g.Levels[0][0], g.LevelAt(plane.Point{X: -1e6, Y: -1e6}))
}

// Ground below a level plane is a basin, which the floor of triangles works out in
// another way.
func TestGradeIsTheFloorBasin(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 1))
	for range 50 {
		g := grid(2+r.IntN(6), 2+r.IntN(6), 4, func(plane.Point) float64 { return r.NormFloat64() })
		top := units.Length(0.5 * r.NormFloat64())
		basin, err := volume.NewFloor(context.Background(), volume.FloorSpec{Grid: &g, Top: top})
		if err != nil {
			require.ErrorContains(t, err, "top") // no ground below it
			continue
		}
		got, err := Grade(GradeSpec{Ground: g, Final: Plane{Level: top}})
		require.NoError(t, err)
		require.InEpsilon(t, volume.Capacity(basin).SI(), got.Fill.SI(), 1e-9)
		require.InEpsilon(t, basin.AreaAt(basin.Depth()).SI(), got.FillArea.SI(), 1e-9)
	}
}

func TestHipCrownOnGrid(t *testing.T) {
	low := plane.Point{X: 1000, Y: -500}
	site := plane.Polygon{low, {X: 1300, Y: -500}, {X: 1300, Y: -300}, {X: 1000, Y: -300}}
	g := volume.LevelGrid{Origin: low, StepX: 10, StepY: 10}
	for range 21 {
		g.Levels = append(g.Levels, make([]units.Length, 31))
	}
	got, err := Grade(GradeSpec{Ground: g, Outline: site, Final: hipCrown(t, site, 0.03)})
	require.NoError(t, err)
	want, err := Crown(CrownSpec{Shape: CrownShapeHip, Length: 300, Width: 200, Grade: 0.03})
	require.NoError(t, err)
	// The hips run along diagonals of the cells, which the four triangles follow:
	// only the half of the triangles across a hip is off.
	require.InEpsilon(t, want.Volume.SI(), got.Fill.SI(), 2e-3)
	require.InEpsilon(t, float64(want.Peak), float64(got.MaxFill), 1e-12)
	require.Zero(t, got.Cut)
}

func TestFitPlaneIsLeastSquares(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 1))
	for range 40 {
		g := grid(6, 9, 10, func(p plane.Point) float64 {
			return 0.02*float64(p.X-1000) - 0.01*float64(p.Y) + r.NormFloat64()*0.3
		})
		spec := FitPlaneSpec{Ground: g, Level: PlaneLevelMean, MinGrade: []float64{0, 0.005, 0.06, 0.3}[r.IntN(4)]}
		if r.IntN(2) == 0 {
			spec.Outline = plantest.Star(r, plane.Point{X: 1040, Y: -463}, 35)
		}
		got, err := FitPlane(spec)
		if err != nil {
			require.Contains(t, err.Error(), "outline: ")
			continue
		}
		require.InEpsilon(t, got.Work.Cut.SI(), got.Work.Fill.SI(), 1e-9)
		require.GreaterOrEqual(t, got.Grade, spec.MinGrade-1e-12)
		// No plane of the allowed grades does better, whatever its height.
		ss := func(east, north float64) float64 {
			var d []float64
			mean := 0.0
			for i := range 6 {
				for j := range 9 {
					p := g.At(i, j)
					if spec.Outline == nil || spec.Outline.Contains(p) {
						d = append(d, float64(g.Levels[i][j])-east*float64(p.X-1000)-north*float64(p.Y))
						mean += d[len(d)-1]
					}
				}
			}
			mean /= float64(len(d))
			sum := 0.0
			for _, x := range d {
				sum += (x - mean) * (x - mean)
			}
			return sum
		}
		best := ss(got.Plane.East, got.Plane.North)
		for k := range 360 {
			s, c := math.Sincos(float64(k) * math.Pi / 180)
			for _, grade := range []float64{spec.MinGrade, 1.5 * spec.MinGrade, got.Grade, got.Grade * 1.01} {
				if grade >= spec.MinGrade {
					require.GreaterOrEqual(t, ss(grade*s, grade*c), best*(1-1e-9))
				}
			}
		}
		if !got.Forced {
			require.InDelta(t, got.Natural, got.Grade, 1e-12)
		}
	}
}

func TestFitPlaneDemands(t *testing.T) {
	level := grid(5, 5, 10, func(plane.Point) float64 { return 7 })
	got, err := FitPlane(FitPlaneSpec{Ground: level, MinGrade: 0.02, Level: PlaneLevelMean})
	require.NoError(t, err)
	require.InEpsilon(t, 0.02, got.Grade, 1e-9)
	require.True(t, got.Forced)
	require.InDelta(t, 7, float64(got.Plane.LevelAt(level.At(2, 2))), 1e-9)
	// Water to the east means that the ground rises to the west.
	got, err = FitPlane(FitPlaneSpec{Ground: level, MinGrade: 0.02, Fall: new(90.0), Level: PlaneLevelMean})
	require.NoError(t, err)
	require.InDelta(t, -0.02, got.Plane.East, 1e-12)
	require.InDelta(t, 0, got.Plane.North, 1e-12)
	require.InDelta(t, 90, got.Fall, 1e-9)
	// Balanced: the cut, compacted, is the fill.
	r := rand.New(rand.NewPCG(6, 1))
	rough := grid(12, 12, 10, func(plane.Point) float64 { return r.Float64() })
	got, err = FitPlane(FitPlaneSpec{Ground: rough, Level: PlaneLevelBalanced, Soil: SoilSpec{Shrink: new(0.2)}})
	require.NoError(t, err)
	require.InEpsilon(t, 0.8*got.Work.Cut.SI(), got.Work.Fill.SI(), 1e-9)
	// Ground that is the plane already needs no work.
	even := grid(5, 5, 10, func(p plane.Point) float64 { return 0.03 * float64(p.X) })
	got, err = FitPlane(FitPlaneSpec{Ground: even, MinGrade: 0.02, Level: PlaneLevelMean})
	require.NoError(t, err)
	require.InDelta(t, 0, (got.Work.Cut + got.Work.Fill).SI(), 1e-8)
	require.False(t, got.Forced)
	// So does ground that falls as asked and more than asked; asked to fall the
	// other way it gets the least grade that way.
	got, err = FitPlane(FitPlaneSpec{Ground: even, MinGrade: 0.02, Fall: new(270.0), Level: PlaneLevelMean})
	require.NoError(t, err)
	require.InDelta(t, 0.03, got.Plane.East, 1e-12)
	got, err = FitPlane(FitPlaneSpec{Ground: even, MinGrade: 0.02, Fall: new(90.0), Level: PlaneLevelMean})
	require.NoError(t, err)
	require.InDelta(t, -0.02, got.Plane.East, 1e-12)
}

func TestGradeFaults(t *testing.T) {
	nan := units.Length(math.NaN())
	_, err := Grade(GradeSpec{})
	require.ErrorContains(t, err, "ground.stepX")
	require.ErrorContains(t, err, "ground.levels")
	require.ErrorContains(t, err, "final")
	_, err = Grade(GradeSpec{Ground: volume.LevelGrid{StepX: 1, StepY: 1, Levels: [][]units.Length{{0, nan}, {0}}}, Final: Plane{}})
	require.ErrorContains(t, err, "ground.levels[0][1]")
	require.ErrorContains(t, err, "ground.levels[1]: got 1 columns, want 2")
	ok := grid(3, 3, 1, func(plane.Point) float64 { return 0 })
	_, err = Grade(GradeSpec{Ground: ok, Final: Plane{Level: nan}})
	require.ErrorContains(t, err, "final")
	_, err = Grade(GradeSpec{Ground: ok, Final: Plane{}, Outline: plane.Polygon{{X: 0, Y: 0}, {X: 1, Y: 0}, {X: 0, Y: 1}}})
	require.ErrorContains(t, err, "outside the grid")
	// Surfaces that are none.
	for _, s := range []Surface{nil, (*volume.LevelGrid)(nil), volume.LevelGrid{}, volume.LevelGrid{StepX: 1, StepY: 1, Levels: [][]units.Length{{1, 2}, {1}}}, (*HipCrown)(nil), &HipCrown{}, Plane{East: 9}} {
		_, err = Grade(GradeSpec{Ground: ok, Final: s})
		require.ErrorContains(t, err, "final")
		_, err = GroundProfile(GroundProfileSpec{Existing: ok, Final: ok, Built: s, To: plane.Point{X: 1}, Stations: 2})
		if s != nil {
			require.ErrorContains(t, err, "built")
		}
	}
	require.Zero(t, volume.LevelGrid{}.LevelAt(plane.Point{}))
	require.Zero(t, volume.LevelGrid{StepX: 1, StepY: 1, Levels: [][]units.Length{{1, 2}, {1}}}.LevelAt(plane.Point{X: nan, Y: 0}))
	require.Zero(t, new(HipCrown).LevelAt(plane.Point{}))
	_, err = FitPlane(FitPlaneSpec{Ground: ok, MinGrade: math.NaN(), Fall: new(math.Inf(1)), Level: PlaneLevelBalanced})
	require.ErrorContains(t, err, "minGrade")
	require.ErrorContains(t, err, "fall")
	require.ErrorContains(t, err, "soil.swell")
	_, err = FitPlane(FitPlaneSpec{Ground: ok, Level: PlaneLevelMean, Outline: plane.Polygon{{X: 1000.5, Y: -500}, {X: 1001.5, Y: -500}, {X: 1001.5, Y: -497}, {X: 1000.5, Y: -497}}})
	require.ErrorContains(t, err, "on one line")
}

func BenchmarkFitPlane(b *testing.B) {
	g := grid(101, 101, 2, func(p plane.Point) float64 { return math.Sin(float64(p.X)/9) + math.Cos(float64(p.Y)/7) })
	site := plantest.Star(rand.New(rand.NewPCG(1, 1)), plane.Point{X: 1100, Y: -350}, 99)
	for b.Loop() {
		if _, err := FitPlane(FitPlaneSpec{Ground: g, Outline: site, MinGrade: 0.02, Level: PlaneLevelMean}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkGrade(b *testing.B) {
	g := grid(101, 101, 2, func(p plane.Point) float64 { return math.Sin(float64(p.X)/9) + math.Cos(float64(p.Y)/7) })
	site := plantest.Star(rand.New(rand.NewPCG(1, 1)), plane.Point{X: 1100, Y: -350}, 99)
	for b.Loop() {
		if _, err := Grade(GradeSpec{Ground: g, Outline: site, Final: Plane{}}); err != nil {
			b.Fatal(err)
		}
	}
}

// A ragged outline on a fine grid would take hours.
func TestGradeBoundsWork(t *testing.T) {
	g := volume.LevelGrid{StepX: 1, StepY: 1, Levels: make([][]units.Length, 500)}
	for i := range g.Levels {
		g.Levels[i] = make([]units.Length, 2000)
	}
	var comb plane.Polygon
	for i := range 990 {
		y := units.Length(499 * (i % 2))
		comb = append(comb, plane.Point{X: units.Length(2*i) + 0.25, Y: max(y, 1)}, plane.Point{X: units.Length(2*i) + 1.25, Y: max(y, 1)})
	}
	comb = append(comb, plane.Point{X: 1999, Y: 0}, plane.Point{X: 0, Y: 0})
	_, err := Grade(GradeSpec{Ground: g, Outline: comb, Final: Plane{}})
	require.ErrorContains(t, err, "fewer corners, or a coarser grid")
}

// Every cell holds what the surface over it adds up to, row and column by name.
func TestGradeCellsByIntegration(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	g := grid(4, 5, 10, func(plane.Point) float64 { return r.NormFloat64() })
	final := Plane{At: g.At(1, 1), Level: 0.1, East: 0.01, North: -0.02}
	got, err := Grade(GradeSpec{Ground: g, Final: final})
	require.NoError(t, err)
	require.Len(t, got.Cells, 3*4)
	const n = 100
	var cut, fill, cutArea, maxCut, maxFill float64
	for k, c := range got.Cells {
		require.Equal(t, [2]int{k / 4, k % 4}, [2]int{c.Row, c.Col})
		low := g.At(c.Row, c.Col)
		area := float64(g.StepX*g.StepY) / n / n
		var up, down, below float64
		for i := range n {
			for j := range n {
				p := plane.Point{X: low.X + g.StepX*units.Length((float64(i)+0.5)/n), Y: low.Y + g.StepY*units.Length((float64(j)+0.5)/n)}
				switch d := float64(final.LevelAt(p) - g.LevelAt(p)); {
				case d < 0:
					down, below = down-d*area, below+area
				default:
					up += d * area
				}
			}
		}
		require.InDelta(t, down, c.Cut.SI(), 2e-3*150, "row %v, column %v", c.Row, c.Col)
		require.InDelta(t, up, c.Fill.SI(), 2e-3*150, "row %v, column %v", c.Row, c.Col)
		cut, fill, cutArea = cut+down, fill+up, cutArea+below
	}
	for i := range 4 {
		for j := range 5 {
			d := float64(final.LevelAt(g.At(i, j)) - g.Levels[i][j])
			maxCut, maxFill = max(maxCut, -d), max(maxFill, d)
		}
	}
	require.InEpsilon(t, cut, got.Cut.SI(), 1e-3)
	require.InEpsilon(t, fill, got.Fill.SI(), 1e-3)
	require.InEpsilon(t, cutArea, got.CutArea.SI(), 2e-2)
	require.InEpsilon(t, 12*150-cutArea, got.FillArea.SI(), 2e-2)
	require.InDelta(t, maxCut, float64(got.MaxCut), 1e-12)
	require.InDelta(t, maxFill, float64(got.MaxFill), 1e-12)
	require.Equal(t, []units.Length{g.StepX, g.StepY}, []units.Length{got.StepX, got.StepY})
}

// The line of no work between two planes is straight, and inside the outline it is as long
// as the pieces that the sides of the outline cut from it.
func TestZeroLineIsTheChord(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 1))
	for range 100 {
		g := grid(11, 15, 10, func(plane.Point) float64 { return 5 })
		site := plantest.Star(r, plane.Point{X: 1070, Y: -425}, 65)
		sin, cos := math.Sincos(plantest.Between(r, 0, 2*math.Pi))
		through := plane.Point{X: 1070 + units.Length(plantest.Between(r, -20, 20)), Y: -425 + units.Length(plantest.Between(r, -20, 20))}
		final := Plane{At: through, Level: 5, East: 0.3 * sin, North: -0.3 * cos} // level along (cos, sin)
		got, err := Grade(GradeSpec{Ground: g, Outline: site, Final: final})
		require.NoError(t, err)
		var along []float64 // where the line crosses the sides
		for i, a := range site {
			b := site[(i+1)%len(site)]
			da, db := float64(final.LevelAt(a)-5), float64(final.LevelAt(b)-5)
			if (da < 0) != (db < 0) {
				s := units.Length(da / (da - db))
				x, y := a.X+s*(b.X-a.X)-through.X, a.Y+s*(b.Y-a.Y)-through.Y
				along = append(along, float64(x)*cos+float64(y)*sin)
			}
		}
		slices.Sort(along)
		want, length := 0.0, 0.0
		for k := 0; k+1 < len(along); k += 2 {
			want += along[k+1] - along[k]
		}
		for _, s := range got.ZeroLine {
			length += float64(s[0].Distance(s[1]))
			for _, p := range s {
				require.InDelta(t, 5, float64(final.LevelAt(p)), 1e-9)
			}
		}
		require.InDelta(t, want, length, 1e-6*max(want, 1))
	}
}

// Crossings in the outline count for a plane, and those on its edge as well: of a plan of
// squares between crossings every corner of a square, of a star those inside.
func TestFitPlaneCountsItsCrossings(t *testing.T) {
	r := rand.New(rand.NewPCG(10, 1))
	g := grid(10, 10, 10, func(plane.Point) float64 { return r.NormFloat64() })
	count := func(outline plane.Polygon) int {
		got, err := FitPlane(FitPlaneSpec{Ground: g, Outline: outline, Level: PlaneLevelMean})
		require.NoError(t, err)
		return got.Crossings
	}
	for range 50 {
		cells := plantest.RandomCells(r, 9, 40)
		squares, _ := cells.Outline()
		outline, want := make(plane.Polygon, len(squares)), 0
		for k, p := range squares {
			outline[k] = plane.Point{X: g.Origin.X + p.X*g.StepX, Y: g.Origin.Y + p.Y*g.StepY}
		}
		for x := range 10 {
			for y := range 10 {
				if cells.Has(x, y) || cells.Has(x-1, y) || cells.Has(x, y-1) || cells.Has(x-1, y-1) {
					want++
				}
			}
		}
		require.Equal(t, want, count(outline))
		require.Equal(t, want, count(outline.Reversed()))
		star, want := plantest.Star(r, plane.Point{X: 1045, Y: -432}, 44), 0
		for i := range 10 {
			for j := range 10 {
				if star.Contains(g.At(i, j)) {
					want++
				}
			}
		}
		if want > 5 {
			require.Equal(t, want, count(star))
		}
	}
}

// The plane of ground that is one: its grade of 3, 4, 5, through the mean of the crossings;
// demanded to be steeper it lies about the same centre.
func TestFitPlaneOfAPlane(t *testing.T) {
	ground := Plane{At: plane.Point{X: 1000, Y: -500}, Level: 20, East: 0.03, North: 0.04}
	g := grid(5, 9, 10, func(p plane.Point) float64 { return float64(ground.LevelAt(p)) })
	got, err := FitPlane(FitPlaneSpec{Ground: g, Level: PlaneLevelMean})
	require.NoError(t, err)
	require.Equal(t, 45, got.Crossings)
	require.InDelta(t, 0.05, got.Natural, 1e-12)
	require.InDelta(t, 0.05, got.Grade, 1e-12)
	require.InDelta(t, 180+36.8698976, got.Fall, 1e-6) // against (3, 4)
	require.False(t, got.Forced)
	require.InDelta(t, 1040, float64(got.Plane.At.X), 1e-9)
	require.InDelta(t, -470, float64(got.Plane.At.Y), 1e-9)
	require.InDelta(t, float64(ground.LevelAt(got.Plane.At)), float64(got.Plane.Level), 1e-9)
	got, err = FitPlane(FitPlaneSpec{Ground: g, Level: PlaneLevelMean, MinGrade: 0.05})
	require.NoError(t, err)
	require.False(t, got.Forced)
	got, err = FitPlane(FitPlaneSpec{Ground: g, Level: PlaneLevelMean, MinGrade: 0.1})
	require.NoError(t, err)
	require.True(t, got.Forced)
	require.InDelta(t, 0.05, got.Natural, 1e-12)
	require.InDelta(t, 0.1, got.Grade, 1e-12)
	require.InDelta(t, 0.1, got.MinGrade, 1e-12)
	require.InDelta(t, 1040, float64(got.Plane.At.X), 1e-9)
}

// On ground that falls along one axis of the grid the plane that is steep enough may have
// to lean to the side: no direction of that grade is better.
func TestFitPlaneOnOneAxis(t *testing.T) {
	for _, size := range [][2]int{{4, 9}, {9, 4}, {6, 9}} {
		for _, ground := range []Plane{{East: 0.01}, {North: 0.01}, {East: -0.01}, {North: -0.01}, {}} {
			g := grid(size[0], size[1], 10, func(p plane.Point) float64 { return float64(ground.LevelAt(p)) })
			for _, grade := range []float64{0.0101, 0.013, 0.02, 0.3} {
				got, err := FitPlane(FitPlaneSpec{Ground: g, Level: PlaneLevelMean, MinGrade: grade})
				require.NoError(t, err)
				require.InDelta(t, grade, got.Grade, 1e-9)
				squares := func(east, north float64) (sum float64) {
					for i := range size[0] {
						for j := range size[1] {
							x := (float64(j) - float64(size[1]-1)/2) * float64(g.StepX)
							y := (float64(i) - float64(size[0]-1)/2) * float64(g.StepY)
							d := (east-ground.East)*x + (north-ground.North)*y
							sum += d * d
						}
					}
					return sum
				}
				best := squares(got.Plane.East, got.Plane.North)
				for k := range 720 {
					s, c := math.Sincos(float64(k) * math.Pi / 360)
					require.GreaterOrEqual(t, squares(grade*s, grade*c), best*(1-1e-9))
				}
			}
		}
	}
}

// Ground that stays as it is counts with the fill, in whole cells and in cut ones, and has
// no line of no work.
func TestGradeOfGroundThatStays(t *testing.T) {
	g := grid(4, 4, 10, func(p plane.Point) float64 { return 3 })
	for _, outline := range []plane.Polygon{nil, {{X: 1002, Y: -497}, {X: 1025, Y: -494}, {X: 1013, Y: -461}}} {
		got, err := Grade(GradeSpec{Ground: g, Outline: outline, Final: Plane{Level: 3}})
		require.NoError(t, err)
		want := units.Area(30 * 45)
		if outline != nil {
			want = outline.Area()
		}
		require.InDelta(t, want.SI(), got.FillArea.SI(), 1e-9)
		require.Zero(t, got.CutArea)
		require.Zero(t, got.Cut+got.Fill)
		require.Zero(t, got.MaxCut+got.MaxFill)
		require.Empty(t, got.ZeroLine)
	}
}

// A corner that rounding has put a little outside of the grid, in its own measure, lies on
// the edge; one that is further out is refused.
func TestGradeCornersOnTheEdge(t *testing.T) {
	g := grid(2, 2, 1000, func(plane.Point) float64 { return 0 })
	for _, c := range []struct {
		off units.Length
		in  bool
	}{{0, true}, {5e-7, true}, {1e-5, false}} {
		low, high := plane.Point{X: g.Origin.X - c.off, Y: g.Origin.Y - c.off}, plane.Point{X: g.Origin.X + 1000 + c.off, Y: g.Origin.Y + 1500 + c.off}
		got, err := Grade(GradeSpec{Ground: g, Outline: plane.Polygon{low, {X: high.X, Y: low.Y}, high, {X: low.X, Y: high.Y}}, Final: Plane{Level: 1}})
		if !c.in {
			plantest.RequireFields(t, err, "outline[0]", "outline[1]", "outline[2]", "outline[3]")
			continue
		}
		require.NoError(t, err)
		require.InDelta(t, 1.5e6, got.Fill.SI(), 1e-3)
	}
}

// An outline is the same ground whichever way round its corners are told, also one of less
// than a square metre that cuts a cell.
func TestGradeEitherWayRound(t *testing.T) {
	g := grid(3, 3, 1, func(plane.Point) float64 { return 0 })
	for _, size := range []units.Length{0.5, 0.9, 1.9} {
		at := func(x, y units.Length) plane.Point {
			return plane.Point{X: g.Origin.X + x*size, Y: g.Origin.Y + y*size}
		}
		site := plane.Polygon{at(0.05, 0.1), at(1, 0.1), at(0.05, 1)}
		for _, outline := range []plane.Polygon{site, site.Reversed()} {
			got, err := Grade(GradeSpec{Ground: g, Outline: outline, Final: Plane{Level: 0.25}})
			require.NoError(t, err)
			require.InDelta(t, 0.25*0.95*0.9/2*float64(size*size), got.Fill.SI(), 1e-9, "%v", size)
			require.Zero(t, got.Cut)
		}
	}
}

// The cautions are those of the deepest cut, however high the fill is.
func TestGradeCautionsOfTheCut(t *testing.T) {
	of := func(final Plane) []string {
		g := grid(3, 3, 10, func(p plane.Point) float64 { return 0.7 * float64(p.X-1010) }) // 7 m up and down
		got, err := Grade(GradeSpec{Ground: g, Final: final})
		require.NoError(t, err)
		return got.Cautions
	}
	require.Contains(t, of(Plane{Level: 0}), cautions.Design)
	require.NotContains(t, of(Plane{Level: 6.5}), cautions.WayOut) // half a metre of cut, 13.5 m of fill
	require.Contains(t, of(Plane{Level: -6.5}), cautions.Design)
}

// The height at which cut and fill balance is found in a few rounds over the cells, on
// rough ground and on even, and is that height.
func TestBalanceTakesFewRounds(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 1))
	rounds := 0
	const n = 60
	for k := range n {
		rough := plantest.Between(r, 0, 3)
		if k%3 == 0 {
			rough = 0
		}
		g := grid(6, 9, 10, func(p plane.Point) float64 { return 0.02*float64(p.X-1000) + rough*r.NormFloat64() })
		var f units.Faults
		w := newGrading(&f, GradeSpec{Ground: g, Outline: plantest.Star(r, plane.Point{X: 1040, Y: -463}, 35), Final: Plane{At: g.Origin, Level: units.Length(r.NormFloat64()), East: 0.02 * float64(k%2)}})
		require.NoError(t, f.Err())
		perCut := plantest.Between(r, 0.5, 1.2)
		raise, took := w.balance(perCut)
		got := w.run(raise, false)
		require.InDelta(t, perCut*got.Cut.SI(), got.Fill.SI(), 1e-9*got.Fill.SI()+1e-9)
		require.LessOrEqual(t, took, 12)
		rounds += took
	}
	require.LessOrEqual(t, rounds, 6*n)
}

// The line of no work along a side is an end of the triangle in cut, whichever of its
// corners is the first; the triangle in fill beyond has none.
func TestZeroLineAlongASide(t *testing.T) {
	corners := triangle{{0, 0, -1}, {1, 0, 0}, {0, 1, 0}}
	for turn := range 3 {
		cut := triangle{corners[turn], corners[(turn+1)%3], corners[(turn+2)%3]}
		p, q, ok := cut.zeroLine()
		require.True(t, ok, turn)
		require.ElementsMatch(t, []node{{1, 0, 0}, {0, 1, 0}}, []node{p, q}, turn)
		fill := cut
		for i := range fill {
			fill[i].d = -fill[i].d
		}
		_, _, ok = fill.zeroLine()
		require.False(t, ok, turn)
	}
}
