package examples_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume"
)

// The surface of a survey goes into package volume as it is: what lies under it there
// is its own volume, and a basin can be cut by it.
func TestTINIsASurfaceOfVolume(t *testing.T) {
	spec := sludge.SurveySpec{
		Boundary: plane.Polygon{{}, {X: 90}, {X: 80, Y: 55}, {X: 40, Y: 35}, {Y: 60}},
		Islands:  []plane.Polygon{{{X: 20, Y: 10}, {X: 30, Y: 10}, {X: 25, Y: 18}}},
	}
	for i, z := range []units.Length{0.4, 1.1, 0.9, 1.6, 0.2, 1.3, 0.8} {
		spec.Soundings = append(spec.Soundings, sludge.NewSounding(units.Length(8+11*i), units.Length(5+3*(i%3)), z))
	}
	survey, err := sludge.NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	for _, edge := range []sludge.EdgeRule{sludge.EdgeZero, sludge.EdgeNearest} {
		tin, err := sludge.NewTIN(context.Background(), survey, sludge.TINSpec{Edge: edge})
		require.NoError(t, err)
		var surface volume.Triangles = tin
		all, err := volume.VolumeUnder(surface, 0)
		require.NoError(t, err)
		require.InEpsilon(t, tin.Volume().Volume.SI(), all.SI(), 1e-12, edge)

		// Above a level as well.
		split, err := tin.Split(0.7)
		require.NoError(t, err)
		above, err := volume.VolumeUnder(surface, 0.7)
		require.NoError(t, err)
		require.InEpsilon(t, split.Above.SI(), above.SI(), 1e-12, edge)
	}
}

// Every basin of volume that knows its floor is the floor of a survey as it is: the
// volume of a level top that was sounded is that of the basin below it.
func TestSolidIsAFloorOfSludge(t *testing.T) {
	ctx := context.Background()
	outline := plane.Polygon{{}, {X: 90}, {X: 90, Y: 40}, {X: 50, Y: 40}, {X: 50, Y: 70}, {Y: 70}}
	rectangle, err := volume.NewRectangular(volume.RectangularSpec{Length: 90, Width: 60, At: volume.ReferenceTop, Depth: 4, Slopes: []float64{3, 2.5, 2, 3}})
	require.NoError(t, err)
	circle, err := volume.NewCircular(volume.CircularSpec{Diameter: 80, At: volume.ReferenceTop, Depth: 4, Slopes: []float64{3}})
	require.NoError(t, err)
	angle, err := volume.NewPolygon(volume.PolygonSpec{Outline: outline, At: volume.ReferenceTop, Depth: 4, Slopes: []float64{3, 2, 3, 2, 3, 2}})
	require.NoError(t, err)
	rounded, err := volume.NewPolygon(volume.PolygonSpec{Outline: plane.Polygon{{}, {X: 90}, {X: 90, Y: 60}, {Y: 60}}, At: volume.ReferenceTop, Depth: 4, Slopes: []float64{3}, CornerRadius: 15})
	require.NoError(t, err)
	grid := volume.LevelGrid{StepX: 9, StepY: 6}
	for row := range 11 {
		var levels []units.Length
		for col := range 11 {
			in := min(row, 10-row, col, 10-col)
			levels = append(levels, 104-units.Length(min(2*in, 4))-units.Length(col%3)/5*units.Length(min(in, 1)))
		}
		grid.Levels = append(grid.Levels, levels)
	}
	built, err := volume.NewFloor(context.Background(), volume.FloorSpec{Grid: &grid, Top: 104})
	require.NoError(t, err)
	ring := func(at, radius units.Length) (p plane.Polygon) {
		for i := range 90 {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / 90)
			p = append(p, plane.Point{X: at + radius*units.Length(cos), Y: at + radius*units.Length(sin)})
		}
		return p
	}
	var round plane.Polygon // the waterline of rounded: radius 12 about corners of 15 m
	for i, p := range ring(0, 12) {
		middle := []plane.Point{{X: 75, Y: 45}, {X: 15, Y: 45}, {X: 15, Y: 15}, {X: 75, Y: 15}}[i*4/90]
		round = append(round, plane.Point{X: middle.X + p.X, Y: middle.Y + p.Y})
	}
	for name, c := range map[string]struct {
		basin    volume.Basin
		boundary plane.Polygon
		origin   plane.Point
	}{
		"rectangle":        {rectangle, plane.Polygon{{X: 3, Y: 3}, {X: 87.5, Y: 3}, {X: 87.5, Y: 58}, {X: 3, Y: 58}}, plane.Point{}},
		"circle":           {circle, ring(500, 37), plane.Point{X: 500, Y: 500}},
		"angle":            {angle, angle.SectionAt(3)[0], plane.Point{}},
		"rounded":          {rounded, round, plane.Point{}},
		"levels, as built": {built, plane.Polygon{{}, {X: 90}, {X: 90, Y: 60}, {Y: 60}}, plane.Point{}},
	} {
		solid, ok := c.basin.(sludge.Solid)
		require.True(t, ok, name)
		liquid := c.basin.Depth() - 1
		floor := sludge.SolidFloor{Solid: solid, Liquid: liquid, Origin: c.origin}
		r := rand.New(rand.NewPCG(1, 1))
		low, high := c.boundary.Bounds()
		spec := sludge.SurveySpec{Boundary: c.boundary, Sides: sludge.SidesBanks, Floor: floor, Outside: sludge.OutsideDrop}
		const height = 1.4
		for range 80 {
			p := plane.Point{X: low.X + units.Length(r.Float64())*(high.X-low.X), Y: low.Y + units.Length(r.Float64())*(high.Y-low.Y)}
			d, _ := floor.Depth(p)
			spec.Soundings = append(spec.Soundings, sludge.Sounding{At: p, ToSludge: new(min(d, liquid-height))})
		}
		survey, err := sludge.NewSurvey(ctx, spec)
		require.NoError(t, err, name)
		v, err := sludge.VolumeWithInterval(ctx, survey, sludge.VolumeSpec{Confidence: 0.95})
		require.NoError(t, err)
		truth := c.basin.VolumeAt(height)
		require.InEpsilon(t, truth.SI(), v.Volume.SI(), 0.01, name)
		require.True(t, v.Interval.Has(truth), "%s: %v in %v", name, truth, v.Interval)
	}
}
