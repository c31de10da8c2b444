package volume

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// frustum is the surface of a basin with a square floor of 20 m and banks of 2:1, as a
// grid at every metre, and the same taken at places.
type frustum struct{}

func (frustum) At(p plane.Point) (units.Length, bool) {
	out := max(10-p.X, p.X-30, 10-p.Y, p.Y-30, 0)
	return out / 2, true
}

// A surveyed floor has the banks of the solid that it was surveyed from: (A_h - A_0)
// sqrt(5)/2 on plane banks of 2:1 (geometry).
func TestSlopeAreaOfFloor(t *testing.T) {
	grid := LevelGrid{StepX: 1, StepY: 1}
	for y := range 41 {
		var row []units.Length
		for x := range 41 {
			l, _ := frustum{}.At(plane.Point{X: units.Length(x), Y: units.Length(y)})
			row = append(row, l)
		}
		grid.Levels = append(grid.Levels, row)
	}
	gridded, err := NewFloor(context.Background(), FloorSpec{Grid: &grid, Top: 4})
	require.NoError(t, err)
	sampled, err := NewFloor(context.Background(), FloorSpec{Sampled: &SampledSpec{Outline: plane.Polygon{{}, {X: 40}, {X: 40, Y: 40}, {Y: 40}}, Places: frustum{}, Step: 1}, Top: 4})
	require.NoError(t, err)
	box := mustRectangular(t, RectangularSpec{Length: 20, Width: 20, At: ReferenceFloor, Depth: 5, Slopes: []float64{2}})
	for _, h := range []units.Length{0, 0.5, 1.3, 4, 9} {
		want := float64(box.SlopeAreaAt(min(h, 4)))
		require.InDelta(t, want, float64(gridded.SlopeAreaAt(h)), 0.005*want+1e-9, "up to %v", h)
		require.InDelta(t, want, float64(sampled.SlopeAreaAt(h)), 0.005*want+1e-9, "up to %v", h)
	}
	r, err := Liner(LinerSpec{Basin: gridded, Thickness: 0.15, Method: LinerMethodArea})
	require.NoError(t, err)
	require.False(t, r.Round)
}

// A tilted plane has its area times the square root of 1 and both its rises squared, in
// whole cells of a surface at places, of a grid and of triangles (geometry).
func TestSlopeAreaOfTiltedPlane(t *testing.T) {
	tilted := places(func(x, y float64) float64 { return 10 + 0.3*x - 0.4*y })
	grid := LevelGrid{StepX: 3, StepY: 2}
	for i := range 6 {
		var row []units.Length
		for j := range 5 {
			l, _ := tilted.At(grid.At(i, j))
			row = append(row, l)
		}
		grid.Levels = append(grid.Levels, row)
	}
	for name, spec := range map[string]FloorSpec{
		"grid":      {Grid: &grid},
		"triangles": {Surface: gridTriangles{grid}},
		"sampled":   {Sampled: &SampledSpec{Places: tilted, Outline: box(12, 10), Step: 2}},
	} {
		spec.Top = 20
		b := mustFloor(t, spec)
		require.InDelta(t, 120*math.Sqrt(1+0.09+0.16), b.SlopeAreaAt(b.Depth()).SI(), 1e-9, name)
		require.InDelta(t, 6, b.LowestLevel().SI(), 1e-12, name)
		// Up to the height 1.5 the wet part is a triangle, 1.5/0.3 by 1.5/0.4 m.
		require.InDelta(t, 1.5/0.3*1.5/0.4/2*math.Sqrt(1.25), b.SlopeAreaAt(1.5).SI(), 1e-9, name)
	}
}
