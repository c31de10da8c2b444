package sludge

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// What was not made by its constructor refuses or holds nothing; it never panics.
func TestZeroValues(t *testing.T) {
	var s Survey
	require.False(t, s.Contains(plane.Point{}))
	require.Empty(t, s.Readings())
	require.Zero(t, s.Area())
	_, err := s.Nodes(1)
	require.ErrorContains(t, err, "NewSurvey")
	for _, survey := range []*Survey{nil, {}} {
		_, err = NewTIN(context.Background(), survey, TINSpec{Edge: EdgeZero})
		require.ErrorContains(t, err, "survey")
		_, err = NewIDW(survey, IDWSpec{Power: 2})
		require.ErrorContains(t, err, "survey")
		_, err = SurfaceGrid(context.Background(), survey, &IDW{}, GridSpec{Spacing: 1})
		require.ErrorContains(t, err, "survey")
		_, err = SurfaceContours(context.Background(), survey, &TIN{}, ContourSpec{[]units.Length{1}, 1})
		require.ErrorContains(t, err, "survey")
	}
	for _, survey := range []*Survey{nil, {}} {
		_, err = VolumeWithInterval(context.Background(), survey, VolumeSpec{Confidence: 0.95})
		require.ErrorContains(t, err, "survey")
		_, err = Next(context.Background(), survey, NextSpec{Most: 1, Volume: VolumeSpec{Confidence: 0.95}})
		require.ErrorContains(t, err, "survey")
		_, err = SurfaceVolume(context.Background(), survey, SurfaceVolumeSpec{Surface: &TIN{}})
		require.ErrorContains(t, err, "survey")
		_, err = Difference(context.Background(), DifferenceSpec{Before: survey, After: survey})
		require.ErrorContains(t, err, "before")
	}
	for _, k := range []*geostat.Kriging{nil, {}} {
		_, err = k.Estimate(plane.Point{})
		require.ErrorContains(t, err, "NewKriging")
		_, err = k.System(plane.Point{})
		require.ErrorContains(t, err, "NewKriging")
		_, err = k.Validate(context.Background())
		require.ErrorContains(t, err, "NewKriging")
		_, err = k.Block(geostat.BlockSpec{Boundary: rectangle(0, 0, 9, 9)})
		require.ErrorContains(t, err, "NewKriging")
		_, err = k.Influences(context.Background(), geostat.BlockSpec{Boundary: rectangle(0, 0, 9, 9)})
		require.ErrorContains(t, err, "NewKriging")
		_, err = k.Next(context.Background(), geostat.NextSpec{})
		require.ErrorContains(t, err, "NewKriging")
		_, ok := k.At(plane.Point{})
		require.False(t, ok)
	}
	_, _, err = KrigingGrid(context.Background(), nil, &geostat.Kriging{}, GridSpec{Spacing: 1})
	require.ErrorContains(t, err, "NewSurvey")
	var tin TIN
	_, ok := tin.At(plane.Point{})
	require.False(t, ok)
	require.Zero(t, tin.Volume())
	_, err = tin.Grid(context.Background(), GridSpec{Spacing: 1})
	require.Error(t, err)
	_, err = tin.Contours(context.Background(), []units.Length{1})
	require.Error(t, err)
	var w IDW
	_, ok = w.At(plane.Point{})
	require.False(t, ok)
	_, err = w.Grid(context.Background(), GridSpec{Spacing: 1})
	require.Error(t, err)
	var g Grid
	_, ok = g.Range()
	require.False(t, ok)
	var v GridView
	c, r := v.Dims()
	require.Zero(t, c+r)
	require.Zero(t, g.View(1).Max())
	var p TangentPlane
	_, err = p.Local(LonLat{})
	require.Error(t, err)
	_, err = p.LonLat(plane.Point{})
	require.Error(t, err)
	_, err = GeoJSON(GeoJSONSpec{Plane: &p, Contours: &Contours{}})
	require.NoError(t, err, "no features, no places to turn")
	require.Equal(t, "(0)", EdgeRule(0).String())
	_, err = EdgeRule(0).MarshalText()
	require.Error(t, err)
}
