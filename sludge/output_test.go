package sludge

import (
	"context"
	"encoding/json"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

func TestTangentPlaneRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 2000 {
		origin := LonLat{360*rng.Float64() - 180, 170*rng.Float64() - 85}
		p, err := NewTangentPlane(TangentPlaneSpec{origin, units.Length(3000 * rng.Float64())})
		require.NoError(t, err)
		r := units.Length(math.Pow(10, 4.8*rng.Float64()))
		want := plane.Point{X: r * units.Length(2*rng.Float64()-1), Y: r * units.Length(2*rng.Float64()-1)}
		q, err := p.LonLat(want)
		require.NoError(t, err)
		got, err := p.Local(q)
		require.NoError(t, err)
		require.Less(t, float64(got.Distance(want)), 1e-6)
	}
}

func TestTangentPlaneFaults(t *testing.T) {
	for _, spec := range []TangentPlaneSpec{{Origin: LonLat{181, 0}}, {Origin: LonLat{0, 86}}, {Origin: LonLat{math.NaN(), math.NaN()}},
		{Height: units.Length(math.Inf(1))}} {
		_, err := NewTangentPlane(spec)
		require.NotEmpty(t, units.FieldErrors(err))
	}
	_, err := PlaneOf(nil, 0)
	require.Error(t, err)
	p, err := PlaneOf([]LonLat{{-95, 41}, {-94.99, 41.01}}, 0)
	require.NoError(t, err)
	require.InDelta(t, 41.005, p.Origin().Lat, 1e-12)
	require.InDelta(t, -94.995, p.Origin().Lon, 1e-12)
	three, err := PlaneOf([]LonLat{{10, 50}, {10.02, 50.3}, {10.1, 49.9}}, 0)
	require.NoError(t, err)
	require.InDelta(t, 10.05, three.Origin().Lon, 1e-12)
	require.InDelta(t, 50.1, three.Origin().Lat, 1e-12)
	for _, q := range []LonLat{{85, -41}, {-90, 41}, {0, 91}, {math.NaN(), 0}} {
		_, err := p.Local(q)
		require.Error(t, err, "%v", q)
	}
	for _, q := range []plane.Point{at(1e6, 0), at(math.NaN(), 0), at(0, math.Inf(1))} {
		_, err := p.LonLat(q)
		require.Error(t, err, "%v", q)
	}
}

func TestGeoJSON(t *testing.T) {
	frame, err := NewTangentPlane(TangentPlaneSpec{Origin: LonLat{-95.5, 41.25}})
	require.NoError(t, err)
	s := surveyAt(t, rectangle(-50, -30, 50, 30), []plane.Polygon{rectangle(0, 0, 5, 5)}, xys(-20, 0, 20, -10, 30, 20),
		func(i int) float64 { return float64(i) + 1 })
	c, err := tinOf(t, s, EdgeZero).Contours(context.Background(), []units.Length{0.5, 1.5})
	require.NoError(t, err)
	data, err := GeoJSON(GeoJSONSpec{frame, s, c})
	require.NoError(t, err)
	var got struct {
		Type     string
		Features []struct {
			Type     string
			Geometry struct {
				Type        string
				Coordinates json.RawMessage
			}
			Properties map[string]any
		}
	}
	require.NoError(t, json.Unmarshal(data, &got))
	require.Equal(t, "FeatureCollection", got.Type)
	kinds := map[string]int{}
	for _, f := range got.Features {
		kinds[f.Properties["kind"].(string)]++
		var polygons [][][][2]float64
		switch f.Geometry.Type {
		case "Polygon":
			polygons = make([][][][2]float64, 1)
			require.NoError(t, json.Unmarshal(f.Geometry.Coordinates, &polygons[0]))
		case "MultiPolygon":
			require.NoError(t, json.Unmarshal(f.Geometry.Coordinates, &polygons))
		}
		area := 0.0
		for _, rings := range polygons {
			for i, ring := range rings {
				require.Equal(t, ring[0], ring[len(ring)-1], "rings are closed")
				var local plane.Polygon
				for _, q := range ring[1:] {
					p, err := frame.Local(LonLat{q[0], q[1]})
					require.NoError(t, err)
					local = append(local, p)
				}
				require.Equal(t, i == 0, local.SignedArea() > 0, "right-hand rule")
				area += float64(local.SignedArea())
			}
		}
		if polygons != nil {
			require.InDelta(t, f.Properties["areaSquareMetres"], area, 0.1)
		}
	}
	require.Equal(t, 1, kinds["boundary"])
	require.Equal(t, 3, kinds["sounding"])
	require.Equal(t, 3, kinds["band"])
	require.Positive(t, kinds["contour"])

	three := surveyAt(t, plane.Polygon{at(0, 0), at(40, 0), at(10, 30)}, nil, xys(15, 8), func(int) float64 { return 1 })
	data, err = GeoJSON(GeoJSONSpec{Plane: frame, Survey: three})
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &got))
	var ring [][][2]float64
	require.NoError(t, json.Unmarshal(got.Features[0].Geometry.Coordinates, &ring))
	require.Len(t, ring[0], 4, "a triangle, closed")

	_, err = GeoJSON(GeoJSONSpec{})
	require.Len(t, units.FieldErrors(err), 2)
	far := surveyAt(t, rectangle(0, 0, 1e6, 1e6), nil, xys(1, 1), func(int) float64 { return 1 })
	_, err = GeoJSON(GeoJSONSpec{Plane: frame, Survey: far})
	require.Error(t, err)
	edge, err := NewTangentPlane(TangentPlaneSpec{Origin: LonLat{180, 10}})
	require.NoError(t, err)
	_, err = GeoJSON(GeoJSONSpec{Plane: edge, Survey: s})
	require.ErrorContains(t, err, "180th")
}

func TestXYZ(t *testing.T) {
	s := surveyAt(t, rectangle(0, 0, 3.048, 3.048), []plane.Polygon{rectangle(0.3048, 0.3048, 0.9144, 0.9144)}, xys(3.048, 1.524),
		func(int) float64 { return 0.6096 })
	text, err := s.XYZ(units.Foot, 2)
	require.NoError(t, err)
	require.Equal(t, "10.00,5.00,2.00\n", string(text))
	g, err := tinOf(t, s, EdgeNearest).Grid(context.Background(), GridSpec{Spacing: 5 * units.Foot})
	require.NoError(t, err)
	text, err = g.XYZ(units.Foot, 1)
	require.NoError(t, err)
	require.Equal(t, "7.5,2.5,2.0\n2.5,7.5,2.0\n7.5,7.5,2.0\n", strings.ReplaceAll(string(text), "2.5,2.5,2.0\n", ""))
	_, err = g.XYZ(0, -1)
	require.Len(t, units.FieldErrors(err), 2)
	_, err = s.XYZ(units.Length(math.NaN()), 2)
	require.Error(t, err)
}

// TestParseXYZ: what is written is read, and what is no number is told by its line.
func TestParseXYZ(t *testing.T) {
	s := surveyAt(t, rectangle(0, 0, 30, 30), nil, xys(3, 4, 20, 10, 7, 25), func(i int) float64 { return 0.25 * float64(i+1) })
	text, err := s.XYZ(units.Foot, 9)
	require.NoError(t, err)
	read, err := ParseXYZ(text, units.Foot)
	require.NoError(t, err)
	require.Len(t, read, 3)
	for i, r := range s.Readings() {
		require.InDelta(t, float64(r.At.X), float64(read[i].At.X), 1e-9)
		require.InDelta(t, float64(r.At.Y), float64(read[i].At.Y), 1e-9)
		require.InDelta(t, float64(r.Thickness), float64(*read[i].Thickness), 1e-9)
	}
	read, err = ParseXYZ([]byte("\ufeffEasting;Northing;Sludge\r\n# from the boat\r\n\r\n1.5;2;0.3\r\n 4\t5  0.25"), units.Metre)
	require.NoError(t, err)
	require.Equal(t, []Sounding{NewSounding(1.5, 2, 0.3), NewSounding(4, 5, 0.25)}, read)
	_, err = ParseXYZ([]byte("x y z\n1 2\n1 2 three\n1 2 NaN\n1 2 1e300\n1 2 3 4\n"), units.Metre)
	require.Equal(t, []string{"line 2", "line 3", "line 4", "line 5", "line 6"}, fields(err))
	for n, cut := range map[int]bool{40: false, 56: false, 57: true, 70: true} { // with the number and the space before it
		_, err = ParseXYZ([]byte("1 2 "+strings.Repeat("w", n)), units.Metre)
		require.Equal(t, cut, strings.Contains(err.Error(), "..."), "%d letters", n)
	}
	_, err = ParseXYZ([]byte("x y z\n"), units.Metre)
	require.Equal(t, []string{"text"}, fields(err))
	_, err = ParseXYZ(nil, 0)
	require.Equal(t, []string{"unit"}, fields(err))
}

func FuzzParseXYZ(f *testing.F) {
	f.Add([]byte("x,y,z\n1,2,3\n"))
	f.Add([]byte("#\n1 2 -0\r\n\xff"))
	f.Fuzz(func(t *testing.T, text []byte) {
		list, err := ParseXYZ(text, units.Foot)
		if err != nil {
			require.NotEmpty(t, units.FieldErrors(err))
			return
		}
		for _, s := range list {
			finite(t, float64(s.At.X), float64(s.At.Y), float64(*s.Thickness))
		}
	})
}
