package examples_test

import (
	"context"
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
