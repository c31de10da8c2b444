package volume

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/plantest"
)

// places is a function as a surface.
type places func(x, y float64) float64

func (f places) At(p plane.Point) (units.Length, bool) {
	z := f(float64(p.X), float64(p.Y))
	return units.Length(z), !math.IsNaN(z)
}

func TestSampledPlaneIsExactWhenCovered(t *testing.T) {
	ell := plane.Polygon{plantest.Pt(0, 0), plantest.Pt(61, 0), plantest.Pt(61, 30), plantest.Pt(25, 33), plantest.Pt(22, 70), plantest.Pt(0, 70)}
	ramp := places(func(x, y float64) float64 { return 100 + 0.02*x - 0.01*y })
	c := ell.Centroid()
	mean, _ := ramp.At(c)
	for _, step := range []units.Length{1.7, 5, 200} {
		b := mustFloor(t, FloorSpec{Sampled: &SampledSpec{Places: ramp, Outline: ell, Step: step}, Top: 103})
		require.InEpsilon(t, float64(ell.Area().Times(103-mean)), float64(Capacity(b)), 1e-7)
		require.InEpsilon(t, float64(ell.Area()), float64(b.AreaAt(b.Depth())), 1e-7)
	}
}

// Far from the origin a step no longer moves a coordinate.
func TestSampledFarOff(t *testing.T) {
	flat := places(func(x, y float64) float64 { return 0 })
	_, err := NewFloor(context.Background(), FloorSpec{Top: 1, Sampled: &SampledSpec{Places: flat, Step: 1000, Outline: plane.Polygon{plantest.Pt(1e20, 0), plantest.Pt(1e20+1e5, 0), plantest.Pt(1e20, 1e4)}}})
	plantest.RequireFields(t, err, "sampled.outline[0].x", "sampled.outline[1].x", "sampled.outline[2].x")
}

func TestSampledBowlConverges(t *testing.T) {
	// A paraboloid z = r²/100 in a circle of radius 10: below the level of its
	// rim it holds half of the cylinder.
	var circle plane.Polygon
	for i := range 400 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 400)
		circle = append(circle, plantest.Pt(10*c, 10*s))
	}
	bowl := places(func(x, y float64) float64 { return (x*x + y*y) / 100 })
	want := math.Pi * 100 / 2
	last := math.Inf(1)
	for _, step := range []units.Length{2, 1, 0.5, 0.25} {
		b := mustFloor(t, FloorSpec{Sampled: &SampledSpec{Places: bowl, Outline: circle, Step: step}, Top: 1})
		off := math.Abs(float64(Capacity(b))/want - 1)
		require.Less(t, off, 0.01*float64(step*step))
		require.Less(t, off, last)
		last = off
	}
}

func TestSampledFaults(t *testing.T) {
	_, err := NewFloor(context.Background(), FloorSpec{Sampled: &SampledSpec{}, Top: 1})
	plantest.RequireFields(t, err, "sampled.outline", "sampled.places", "sampled.step")
	hole := places(func(x, y float64) float64 {
		if x > 5 && y > 5 {
			return math.NaN()
		}
		return 0
	})
	_, err = NewFloor(context.Background(), FloorSpec{Sampled: &SampledSpec{Places: hole, Outline: box(10, 10), Step: 4}, Top: 1})
	require.ErrorContains(t, err, "sampled.places: missing; want a level within 62.14 mi of the datum at 26.25 ft, 26.25 ft")
	_, err = NewFloor(context.Background(), FloorSpec{Sampled: &SampledSpec{Places: hole, Outline: box(10, 10), Step: 0.01}, Top: 1})
	plantest.RequireFields(t, err, "sampled.step")
	_, err = NewFloor(context.Background(), FloorSpec{Sampled: &SampledSpec{Places: places(func(x, y float64) float64 { return 1e9 }), Outline: box(10, 10), Step: 5}, Top: 1})
	require.Error(t, err)
}
