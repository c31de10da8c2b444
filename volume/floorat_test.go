package volume

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/plantest"
	"example.org/earthbasin/volume/internal/skeleton"
)

// floored is a basin that knows its floor at each place.
type floored interface {
	Basin
	FloorAt(p plane.Point) (units.Length, bool)
}

// under sums the depth of a basin below heights over a lattice of n by n places, with its
// sections: both are exact but for the lattice.
func under(b floored, low, high plane.Point, n int, heights ...units.Length) (volumes, areas []float64) {
	volumes, areas = make([]float64, len(heights)), make([]float64, len(heights))
	dx, dy := (high.X-low.X)/units.Length(n), (high.Y-low.Y)/units.Length(n)
	for i := range n {
		for j := range n {
			z, ok := b.FloorAt(plane.Point{X: low.X + (units.Length(i)+0.5)*dx, Y: low.Y + (units.Length(j)+0.5)*dy})
			for k, h := range heights {
				if ok && z <= h {
					volumes[k] += float64((h - z) * dx * dy)
					areas[k] += float64(dx * dy)
				}
			}
		}
	}
	return volumes, areas
}

// The volume below any height is the sum of the depths of the floor below it, for every
// basin that knows its floor.
func TestFloorAtHoldsTheVolume(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for run := range 32 {
		var b floored
		var low, high plane.Point
		tol := 0.004
		var kind string
		switch kind = []string{"rectangular", "circular", "polygon", "rounded", "grid", "triangles", "sampled", "wall"}[run%8]; kind {
		case "rectangular":
			solid := mustRectangular(t, randomRectangular(r))
			l, w := solid.SizeAt(solid.Depth())
			b, high = solid, plane.Point{X: l, Y: w}
		case "circular":
			solid, err := NewCircular(CircularSpec{Diameter: 40, At: ReferenceFloor, Depth: 3, Slopes: []float64{4 * r.Float64()}})
			require.NoError(t, err)
			d := solid.DiameterAt(3) / 2
			b, low, high = solid, plane.Point{X: -d, Y: -d}, plane.Point{X: d, Y: d}
		case "polygon":
			outline, slopes := randomStar(r, 5+r.IntN(30))
			sk, err := skeleton.Follow(vecs(outline), slopes, 100)
			require.NoError(t, err)
			water := units.Length(0.9 * sk.Last())
			outline = turned(outline, 6*r.Float64(), 400, -300)
			solid := mustPolygon(t, PolygonSpec{Outline: outline, At: ReferenceWaterLine, WaterDepth: water, Depth: water + 1, Slopes: slopes})
			b = solid
			low, high = solid.SectionAt(solid.Depth())[0].Bounds()
		case "rounded":
			at := []Reference{ReferenceFloor, ReferenceTop}[r.IntN(2)]
			solid := mustPolygon(t, PolygonSpec{Outline: turned(box(40, 30), 1, 9, 9), At: at, Depth: 4, Slopes: []float64{2}, CornerRadius: units.Length(1 + 14*r.Float64())})
			b = solid
			low, high = solid.SectionAt(solid.Depth())[0].Bounds()
		case "wall":
			solid := mustPolygon(t, PolygonSpec{Outline: turned(box(40, 30), 1, 9, 9), At: ReferenceTop, Depth: 4, Slopes: []float64{0, 2, 0, 1}})
			b = solid
			low, high = solid.SectionAt(solid.Depth())[0].Bounds()
		default:
			grid := &LevelGrid{Origin: plantest.Pt(30, -20), StepX: 5, StepY: 4, Levels: randomLevels(r, 7, 6)}
			spec := FloorSpec{Grid: grid, Top: 103}
			low, high = grid.Origin, grid.At(6, 5)
			outline := plane.Polygon{low, {X: high.X, Y: low.Y}, high, {X: low.X, Y: high.Y}}
			switch kind {
			case "triangles":
				spec = FloorSpec{Surface: gridTriangles{*grid}, Top: 103}
			case "sampled":
				spec = FloorSpec{Sampled: &SampledSpec{Places: atLevels{grid}, Outline: outline, Step: 0.4}, Top: 103}
				tol = 0.01
			}
			solid, err := NewFloor(context.Background(), spec)
			require.NoError(t, err)
			b = solid
		}
		d := b.Depth()
		heights := []units.Length{0.3 * d, 0.6 * d, d}
		volumes, areas := under(b, low, high, 250, heights...)
		for k, h := range heights {
			require.InDelta(t, float64(b.VolumeAt(h)), volumes[k], tol*float64(Capacity(b)), "%s, run %d at %v", kind, run, h)
			require.InDelta(t, float64(b.AreaAt(h)), areas[k], 3*tol*float64(b.AreaAt(d)), "%s, run %d at %v", kind, run, h)
		}
	}
}

func randomLevels(r *rand.Rand, rows, cols int) [][]units.Length {
	list := make([][]units.Length, rows)
	for i := range list {
		for range cols {
			list[i] = append(list[i], 100+units.Length(4*r.Float64()))
		}
	}
	return list
}

// atLevels is a grid as a surface of any kind.
type atLevels struct{ *LevelGrid }

func (g atLevels) At(p plane.Point) (units.Length, bool) { return g.LevelAt(p), true }

// The height of the floor is that at which the section reaches a place: on the outlines
// of sections it is their height, of every polygon, mitred at its corners.
func TestFloorAtOnSections(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	for range 60 {
		outline, slopes := randomStar(r, 5+r.IntN(20))
		sk, err := skeleton.Follow(vecs(outline), slopes, 100)
		require.NoError(t, err)
		water := units.Length(0.95 * sk.Last())
		at := []Reference{ReferenceFloor, ReferenceWaterLine, ReferenceTop}[r.IntN(3)]
		spec := PolygonSpec{Outline: outline, At: at, Depth: water, Slopes: slopes}
		switch at {
		case ReferenceFloor:
			spec.Depth = 1
		case ReferenceWaterLine:
			spec.WaterDepth, spec.Depth = water, water+1
		}
		b, err := NewPolygon(spec)
		if err != nil {
			continue // banks that meet in a way that is not followed
		}
		for _, h := range []units.Length{1e-6, 0.2, 0.5, 0.9, 1} {
			h *= b.Depth()
			for _, ring := range b.SectionAt(h) {
				for i, p := range ring {
					q := ring[(i+1)%len(ring)]
					s := units.Length(r.Float64())
					z, ok := b.FloorAt(plane.Point{X: p.X + s*(q.X-p.X), Y: p.Y + s*(q.Y-p.Y)})
					require.True(t, ok)
					require.InDelta(t, float64(h), float64(z), 1e-7)
				}
			}
		}
	}
}

// A rectangle, a square rounded to a circle and a polygon of the same plan have one floor.
func TestFloorAtAgrees(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	slopes := [4]float64{3, 2, 1, 0}
	rectangle := mustRectangular(t, RectangularSpec{Length: 60, Width: 40, At: ReferenceTop, Depth: 4, Slopes: slopes[:]})
	// Edges of the box: right, end, left, start.
	plan := mustPolygon(t, PolygonSpec{Outline: box(60, 40), At: ReferenceTop, Depth: 4, Slopes: []float64{0, 2, 1, 3}})
	circle, err := NewCircular(CircularSpec{Diameter: 40, At: ReferenceTop, Depth: 4, Slopes: []float64{2}})
	require.NoError(t, err)
	round := mustPolygon(t, PolygonSpec{Outline: turned(box(40, 40), 0, -20, -20), At: ReferenceTop, Depth: 4, Slopes: []float64{2}, CornerRadius: 20})
	for range 4000 {
		p := plane.Point{X: units.Length(-5 + 70*r.Float64()), Y: units.Length(-5 + 50*r.Float64())}
		same := func(a, b floored, p plane.Point) {
			t.Helper()
			x, inA := a.FloorAt(p)
			y, inB := b.FloorAt(p)
			require.Equal(t, inA, inB, "%v", p)
			require.InDelta(t, float64(x), float64(y), 1e-9, "%v", p)
		}
		same(rectangle, plan, p)
		same(circle, round, plane.Point{X: p.X - 30, Y: p.Y - 20})
	}
	h, ok := rectangle.FloorAt(plantest.Pt(6, 20)) // half way up the bank at the start
	require.True(t, ok)
	require.InDelta(t, 2, float64(h), 1e-12)
	h, ok = rectangle.FloorAt(plantest.Pt(30, 39)) // a quarter down the bank on the left
	require.True(t, ok)
	require.InDelta(t, 3, float64(h), 1e-12)
}

// Nowhere is there a height that is no number; the edge of the top belongs to the basin.
func TestFloorAtOutside(t *testing.T) {
	grid := &LevelGrid{StepX: 10, StepY: 10, Levels: [][]units.Length{{5, 5}, {5, 4}}}
	floor, err := NewFloor(context.Background(), FloorSpec{Grid: grid, Top: 4.5})
	require.NoError(t, err)
	mesh, err := NewFloor(context.Background(), FloorSpec{Surface: gridTriangles{*grid}, Top: 4.5})
	require.NoError(t, err)
	sampled, err := NewFloor(context.Background(), FloorSpec{Sampled: &SampledSpec{Places: atLevels{grid}, Outline: box(10, 10), Step: 1}, Top: 4.5})
	require.NoError(t, err)
	circle, err := NewCircular(CircularSpec{Diameter: 10, At: ReferenceTop, Depth: 1, Slopes: []float64{1}})
	require.NoError(t, err)
	corner, ok := circle.FloorAt(plantest.Pt(5, 0))
	require.True(t, ok)
	require.Equal(t, units.Length(1), corner)
	basins := []floored{floor, mesh, sampled, circle, &Floor{}, &Polygon{},
		mustRectangular(t, RectangularSpec{Length: 10, Width: 10, At: ReferenceTop, Depth: 1, Slopes: []float64{1}})}
	for _, at := range []Reference{ReferenceTop, ReferenceFloor} {
		for _, z := range []float64{0, 1} {
			b := mustPolygon(t, PolygonSpec{Outline: box(10, 10), At: at, Depth: 1, Slopes: []float64{z}})
			round := mustPolygon(t, PolygonSpec{Outline: box(10, 10), At: at, Depth: 1, Slopes: []float64{z}, CornerRadius: 2})
			basins = append(basins, b, round)
			low, high := b.SectionAt(1)[0].Bounds()
			for _, p := range []plane.Point{low, high, {X: low.X, Y: 5}, {X: 5, Y: high.Y}} {
				h, ok := b.FloorAt(p)
				require.True(t, ok, "%v", p)
				require.InDelta(t, 1, float64(h), 1+1e-9-z) // a wall has all heights
			}
			h, ok := b.FloorAt(plantest.Pt(5, 5))
			require.True(t, ok)
			require.Zero(t, h)
		}
	}
	for _, b := range basins {
		for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e308, -1e308, 99} {
			for _, p := range []plane.Point{plantest.Pt(x, 5), plantest.Pt(5, x), plantest.Pt(x, x)} {
				h, ok := b.FloorAt(p)
				require.False(t, ok, "%T %v", b, p)
				require.Zero(t, h)
			}
		}
	}
	// A place that rounding has put into a wall lies at its foot.
	walls := mustRectangular(t, RectangularSpec{Length: 10, Width: 10, At: ReferenceTop, Depth: 10, Slopes: []float64{0}})
	foot, ok := walls.FloorAt(plantest.Pt(10+1e-10, 5))
	require.True(t, ok)
	require.Zero(t, foot)
	dry, ok := floor.FloorAt(plantest.Pt(0, 0))
	require.True(t, ok)
	require.Equal(t, units.Length(1), dry) // half a metre over the top
}

// A surface that the caller's grid no longer shows keeps its levels.
func TestFloorAtKeepsItsLevels(t *testing.T) {
	grid := &LevelGrid{StepX: 10, StepY: 10, Levels: [][]units.Length{{5, 5}, {5, 4}}}
	floor, err := NewFloor(context.Background(), FloorSpec{Grid: grid, Top: 6})
	require.NoError(t, err)
	grid.Levels[0][0] = 99
	h, ok := floor.FloorAt(plantest.Pt(0, 0))
	require.True(t, ok)
	require.Equal(t, units.Length(1), h)
}

// asked counts how often a surface is asked for a triangle.
type asked struct {
	triangles
	times int
}

func (a *asked) Triangle(i int) ([3]plane.Point, [3]units.Length) {
	a.times++
	return a.triangles.Triangle(i)
}

// A place is found among many triangles by looking at few, in whatever order they come.
func TestFloorAtLooksAtFewTriangles(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	grid := gridTriangles{LevelGrid{Origin: plantest.Pt(500, -80), StepX: 3, StepY: 2, Levels: randomLevels(r, 71, 71)}}
	s := &asked{}
	for _, i := range r.Perm(grid.Len()) {
		c, l := grid.Triangle(i)
		s.triangles = append(s.triangles, struct {
			corners [3]plane.Point
			levels  [3]units.Length
		}{c, l})
	}
	b := mustFloor(t, FloorSpec{Surface: s, Top: 110})
	place := func() plane.Point { return plantest.Pt(500+210*r.Float64(), -80+140*r.Float64()) }
	b.FloorAt(place()) // the boxes are made
	s.times = 0
	const n = 2000
	for range n {
		p := place()
		h, ok := b.FloorAt(p)
		require.True(t, ok)
		require.InDelta(t, float64(grid.grid.LevelAt(p)-b.LowestLevel()), float64(h), 1e-9)
	}
	require.Less(t, s.times, 12*n, "of %d triangles", grid.Len())
}

// All four edges of a grid belong to its basin, and nothing beyond them, whether it is
// given as levels or as triangles.
func TestFloorAtEdgesOfAGrid(t *testing.T) {
	grid := &LevelGrid{Origin: plantest.Pt(10, 20), StepX: 4, StepY: 3, Levels: [][]units.Length{{1, 2, 3}, {0, 1, 2}}}
	for _, spec := range []FloorSpec{{Grid: grid}, {Surface: gridTriangles{*grid}}} {
		spec.Top = 4
		b := mustFloor(t, spec)
		for _, c := range []struct {
			x, y, want float64
			in         bool
		}{
			{10, 20, 1, true}, {18, 20, 3, true}, {10, 23, 0, true}, {18, 23, 2, true}, {14, 23, 1, true}, {12, 20, 1.5, true}, {10, 21.5, 0.5, true}, {18, 21.5, 2.5, true},
			{9.999, 21, 0, false}, {18.001, 21, 0, false}, {12, 19.999, 0, false}, {12, 23.001, 0, false},
		} {
			h, in := b.FloorAt(plantest.Pt(c.x, c.y))
			require.Equal(t, c.in, in, "%v, %v", c.x, c.y)
			require.InDelta(t, c.want, h.SI(), 1e-12, "%v, %v", c.x, c.y)
		}
	}
}

// Corners of half a metre: beyond the toe, 0.1 m from the middle of the arc, the bank of
// 2:1 rises half as fast as the way from that middle, whichever way it is.
func TestFloorAtSmallCorners(t *testing.T) {
	b := mustPolygon(t, PolygonSpec{Outline: box(4, 3), At: ReferenceTop, Depth: 0.2, Slopes: []float64{2}, CornerRadius: 0.5})
	for _, off := range []float64{0.05, 0.1, 0.2, 0.45, 0.499} {
		for _, angle := range []float64{181, 200, 225, 269} {
			sin, cos := math.Sincos(angle * math.Pi / 180)
			h, ok := b.FloorAt(plantest.Pt(0.5+off*cos, 0.5+off*sin))
			require.True(t, ok)
			require.InDelta(t, max(0, off-0.1)/2, h.SI(), 1e-9, "%v m at %v degrees", off, angle)
		}
	}
	_, ok := b.FloorAt(plantest.Pt(0.5-0.51*math.Sqrt(0.5), 0.5-0.51*math.Sqrt(0.5)))
	require.False(t, ok)
}

// A call that was given up before it began looks at no triangle.
func TestFloorGivenUpReadsNothing(t *testing.T) {
	ctx, end := context.WithCancel(context.Background())
	end()
	s := &asked{triangles: rectangularSurface(6, 3, 2, 4, 0)}
	_, err := NewFloor(ctx, FloorSpec{Surface: s, Top: 4})
	require.ErrorIs(t, err, context.Canceled)
	require.Zero(t, s.times)
}
