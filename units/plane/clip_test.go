package plane_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// A triangle cut by a line: the area below is worked out by hand.
func ExampleCut() {
	triangle := plane.Polygon{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 0, Y: 4}}
	below := plane.Cut[plane.Point]{
		Side:    func(p plane.Point) float64 { return float64(1 - p.Y) },
		Between: plane.Point.Toward,
	}
	var part plane.Polygon = below.Keep(nil, triangle)
	fmt.Println(float64(part.Area()), "of", float64(triangle.Area()), "m2")
	// Output:
	// 3.5 of 8 m2
}

func ExamplePoint_Toward() {
	fmt.Println(plane.Point{X: 1, Y: 2}.Toward(plane.Point{X: 5, Y: 0}, 0.25) == plane.Point{X: 2, Y: 1.5})
	// Output:
	// true
}

// The cells of a site: four are inside whole, and the rest of it lies in parts.
func ExampleTiling_Cut() {
	grid := plane.Tiling{StepX: 10, StepY: 10, Rows: 3, Cols: 3}
	site := plane.Polygon{{X: 0, Y: 0}, {X: 25, Y: 0}, {X: 25, Y: 25}, {X: 0, Y: 25}}
	cells := 0
	var rest units.Area
	_, done := grid.Cut(site, 0,
		func(row, col int) { cells++ },
		func(row, col int, ring plane.Polygon) { rest += ring.Area() })
	fmt.Println(cells, "whole,", float64(rest), "m2 in parts,", done)
	// Output:
	// 4 whole, 225 m2 in parts, true
}

// star draws a ring around a middle, concave nearly everywhere.
func star(r *rand.Rand, middle plane.Point, reach float64, corners int) plane.Polygon {
	p := make(plane.Polygon, corners)
	for i := range p {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(corners))
		d := reach * (0.3 + 0.7*r.Float64())
		p[i] = plane.Point{X: middle.X + units.Length(d*cos), Y: middle.Y + units.Length(d*sin)}
	}
	return p
}

// What lies on the two sides of a line is the ring, and a ring that runs the other
// way is cut at the same places.
func TestCutSplitsARing(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		p := star(r, plane.Point{X: 50, Y: 50}, 40, 3+r.IntN(30))
		nx, ny, at := r.NormFloat64(), r.NormFloat64(), 0.0
		at = 50*nx + 50*ny + 20*r.NormFloat64()
		side := func(sign float64) plane.Cut[plane.Point] {
			return plane.Cut[plane.Point]{Between: plane.Point.Toward, Side: func(c plane.Point) float64 {
				return sign * (float64(c.X)*nx + float64(c.Y)*ny - at)
			}}
		}
		var left, right, back plane.Polygon = side(1).Keep(nil, p), side(-1).Keep(nil, p), side(1).Keep(nil, p.Reversed())
		require.InDelta(t, float64(p.SignedArea()), float64(left.SignedArea()+right.SignedArea()), 1e-9*40*40)
		require.ElementsMatch(t, left, back)
	}
	require.Empty(t, plane.Cut[plane.Point]{}.Keep(nil, nil))
}

// The parts of a ring in the cells add up to it, in either direction.
func TestTilingPartsAddUp(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	for range 50 {
		grid := plane.Tiling{Low: plane.Point{X: 1000, Y: -500}, StepX: 7, StepY: 3, Rows: 1 + r.IntN(30), Cols: 1 + r.IntN(30)}
		w, h := 7*float64(grid.Cols), 3*float64(grid.Rows)
		p := star(r, plane.Point{X: 1000 + units.Length(w/2), Y: -500 + units.Length(h/2)}, min(w, h)/2, 3+r.IntN(20))
		for _, ring := range []plane.Polygon{p, p.Reversed()} {
			var sum float64
			sign := math.Copysign(1, float64(ring.SignedArea()))
			_, done := grid.Cut(ring, 0, func(int, int) { sum += 21 * sign }, func(row, col int, part plane.Polygon) {
				sum += float64(part.SignedArea())
				for _, c := range part {
					require.True(t, c.X >= grid.X(col) && c.X <= grid.X(col+1) && c.Y >= grid.Y(row) && c.Y <= grid.Y(row+1))
				}
			})
			require.True(t, done)
			require.InDelta(t, float64(ring.SignedArea()), sum, 1e-9*w*h)
		}
	}
}

// The cutting grows with the cells on the border and hardly with those inside, ends
// where it is told to, and never for lack of cells.
func TestTilingSteps(t *testing.T) {
	site := star(rand.New(rand.NewPCG(5, 1)), plane.Point{X: 500, Y: 500}, 490, 12)
	steps := func(n, most int) (int, bool) {
		grid := plane.Tiling{StepX: 1000 / units.Length(n), StepY: 1000 / units.Length(n), Rows: n, Cols: n}
		return grid.Cut(site, most, func(int, int) {}, func(int, int, plane.Polygon) {})
	}
	for _, n := range []int{64, 256, 1024} {
		once, _ := steps(n, 0)
		twice, done := steps(2*n, 0)
		require.True(t, done)
		require.LessOrEqual(t, twice, 5*once/2)
	}
	_, done := steps(1024, 1000)
	require.False(t, done)
	var none plane.Tiling
	_, done = none.Cut(site, 0, nil, nil)
	require.True(t, done)
}
