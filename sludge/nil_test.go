package sludge

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// bowl is a surface and a floor of somebody else's.
type bowl struct{ depth units.Length }

func (b *bowl) At(plane.Point) (units.Length, bool)      { return b.depth, true }
func (b *bowl) Depth(plane.Point) (units.Length, bool)   { return b.depth, true }
func (b *bowl) FloorAt(plane.Point) (units.Length, bool) { return b.depth, true }

// What a constructor returns beside an error is missing, of whatever type it is.
func TestNilOfForeignType(t *testing.T) {
	s := surveyOf(t, rectangle(0, 0, 9, 9), []geostat.Sample{sampleAt(1, 1, 1), sampleAt(8, 2, 1), sampleAt(4, 8, 1)})
	for _, surface := range []Surface{nil, (*bowl)(nil), (*TIN)(nil), (*IDW)(nil), SurfaceFunc(nil), (*geostat.Kriging)(nil)} {
		_, err := SurfaceVolume(t.Context(), s, SurfaceVolumeSpec{Surface: surface})
		require.Equal(t, []string{"surface"}, fields(err), "%T", surface)
		_, err = SurfaceGrid(t.Context(), s, surface, GridSpec{Spacing: 1})
		require.Contains(t, fields(err), "surface", "%T", surface)
		_, err = SurfaceContours(t.Context(), s, surface, ContourSpec{Levels: []units.Length{1}, Spacing: 1})
		require.Contains(t, fields(err), "surface", "%T", surface)
	}
	for want, floor := range map[string]Floor{"floor": (*bowl)(nil), "floor.surface": SurfaceFloor{(*TIN)(nil)}, "floor.solid": SolidFloor{Solid: (*bowl)(nil)}} {
		spec := SurveySpec{Boundary: rectangle(0, 0, 9, 9), Sides: SidesBanks, Floor: floor, Soundings: []Sounding{NewSounding(1, 1, 1)}}
		_, err := NewSurvey(context.Background(), spec)
		require.Contains(t, fields(err), want)
	}
	_, err := NewSurvey(context.Background(), SurveySpec{Boundary: rectangle(0, 0, 9, 9), Floor: (*SlopedFloor)(nil), Soundings: []Sounding{NewSounding(1, 1, 1)}})
	require.Contains(t, fields(err), "floor")
}
