package volume

import (
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
	gridded, err := NewFloor(FloorSpec{Grid: &grid, Top: 4})
	require.NoError(t, err)
	sampled, err := NewFloor(FloorSpec{Sampled: &SampledSpec{Outline: plane.Polygon{{}, {X: 40}, {X: 40, Y: 40}, {Y: 40}}, Places: frustum{}, Step: 1}, Top: 4})
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
