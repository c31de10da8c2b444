package land

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// squareField is 200 m x 200 m with its south-west corner at the origin.
func squareField() []plane.Region {
	return []plane.Region{{Outer: plane.Polygon{{X: 0, Y: 0}, {X: 200, Y: 0}, {X: 200, Y: 200}, {X: 0, Y: 200}}}}
}

// A stream along the south side, a well in the middle and a house at a corner, in local
// coordinates: what overlaps comes off once.
func TestSetbacksOfAField(t *testing.T) {
	spec := twoFields()
	spec.Fields[0].Area, spec.Fields[0].Setback, spec.Fields[0].Outline = 0, 0, squareField()
	spec.SetbackTable = map[string]units.Length{"well": 30 * units.Metre, "stream": 40 * units.Metre}
	spec.Features = []Feature{
		{Name: "mill brook", Kind: "stream", Points: []plane.Point{{X: -500, Y: 0}, {X: 500, Y: 0}}},
		{Name: "old well", Kind: "well", Points: []plane.Point{{X: 100, Y: 100}}},
		{Name: "house", Kind: "house", Setback: new(50 * units.Metre), Points: []plane.Point{{X: 200, Y: 0}}},
	}
	spec.Fields[1].Setback = units.Acre
	r, err := Plan(spec)
	require.NoError(t, err)
	f := r.Field("home")
	require.InDelta(t, 40_000, float64(f.Whole), 1e-6)
	// Of the quarter circle around the corner the brook's strip has what lies below 40 m.
	above := 50*50*math.Acos(40.0/50) - 40*30.0 // segment of a circle above a chord
	require.InDelta(t, 200*40+math.Pi*900+above/2, float64(f.Off), 1e-6)
	require.InDelta(t, float64(f.Whole-f.Off), float64(f.Area), 1e-6)
	require.Len(t, f.OffBy, 3)
	require.InDelta(t, math.Pi*2500/4, float64(f.OffBy[2].Within), 1e-6)
	require.InDelta(t, above/2, float64(f.OffBy[2].Only), 1e-6)
	require.Contains(t, r.String(), "of mill brook")
	features, err := r.MapFeatures()
	require.NoError(t, err)
	require.Nil(t, features[0].Geometry, "nothing ties it to the Earth")

	// A feature whose distance nobody knows stops the work.
	spec.Features[2].Setback = nil
	r, err = Plan(spec)
	require.NoError(t, err)
	require.Equal(t, "features.house", r.Open[0].Key)
	require.True(t, r.Open[0].Stops)
}

// The same on a map in longitude and latitude, and the map of the answer read again.
func TestFieldOnAMap(t *testing.T) {
	local, err := sludge.NewTangentPlane(sludge.TangentPlaneSpec{Origin: sludge.LonLat{Lon: -98, Lat: 41}})
	require.NoError(t, err)
	at := func(x, y units.Length) string {
		q, err := local.LonLat(plane.Point{X: x, Y: y})
		require.NoError(t, err)
		return fmt.Sprintf("[%.10f, %.10f]", q.Lon, q.Lat)
	}
	ring := fmt.Sprintf("[%s, %s, %s, %s, %s]", at(0, 0), at(200, 0), at(200, 200), at(0, 200), at(0, 0))
	spec := twoFields()
	spec.Fields[0].Area, spec.Fields[0].Setback = 10*units.Acre, 0
	spec.Map = json.RawMessage(`{"type": "FeatureCollection", "features": [
		{"type": "Feature", "properties": {"kind": "field", "name": "home"}, "geometry": {"type": "Polygon", "coordinates": [` + ring + `]}},
		{"type": "Feature", "properties": {"kind": "well", "setback": "100 ft"}, "geometry": {"type": "Point", "coordinates": ` + at(100, 100) + `}}]}`)
	spec.Fields[1].Setback = units.Acre
	r, err := Plan(spec)
	require.NoError(t, err)
	f := r.Field("home")
	// A tenth of a millimetre of the positions on the sides of 200 m.
	require.InDelta(t, 40_000, float64(f.Whole), 0.1)
	require.InDelta(t, math.Pi*100*100*0.3048*0.3048, float64(f.Off), 1e-3)
	features, err := r.MapFeatures()
	require.NoError(t, err)
	text, err := Map(features)
	require.NoError(t, err)
	var out struct {
		Features []struct {
			Geometry struct {
				Coordinates [][][][2]float64 `json:"coordinates"`
			} `json:"geometry"`
			Properties struct {
				Kind string  `json:"kind"`
				Area float64 `json:"areaSquareMetres"`
			} `json:"properties"`
		} `json:"features"`
	}
	require.NoError(t, json.Unmarshal(text, &out))
	require.Len(t, out.Features, 4)
	require.Empty(t, out.Features[3].Geometry.Coordinates, "nobody told where the other field lies")
	for _, x := range out.Features[:3] {
		var sum units.Area
		for _, polygon := range x.Geometry.Coordinates {
			for i, ring := range polygon {
				var p plane.Polygon
				require.Equal(t, ring[0], ring[len(ring)-1], "closed")
				for _, q := range ring[1:] {
					at, err := local.Local(sludge.LonLat{Lon: q[0], Lat: q[1]})
					require.NoError(t, err)
					p = append(p, at)
				}
				require.Equal(t, i == 0, p.SignedArea() > 0, "counterclockwise outside, clockwise holes")
				sum += p.SignedArea()
			}
		}
		require.InEpsilon(t, x.Properties.Area, float64(sum), 2e-3, x.Properties.Kind)
	}
}

func TestMapFaults(t *testing.T) {
	for _, c := range []struct {
		text string
		want string
	}{
		{`{`, "map"},
		{`{"type": "Feature"}`, "map.type"},
		{`{"type": "FeatureCollection", "features": [{"type": "Feature"}]}`, "map.features[0].geometry"},
		{`{"type": "FeatureCollection", "features": [{"geometry": {"type": "Curve"}}]}`, "map.features[0].geometry.type"},
		{`{"type": "FeatureCollection", "features": [{"geometry": {"type": "Point", "coordinates": "x"}}]}`, "map.features[0].geometry.coordinates"},
		{`{"type": "FeatureCollection", "features": [{"geometry": {"type": "Point", "coordinates": [1]}}]}`, "map.features[0].geometry.coordinates"},
		{`{"type": "FeatureCollection", "features": [{"geometry": {"type": "Point", "coordinates": [500, 0]}}]}`, "map"},
		{`{"type": "FeatureCollection", "features": [{"properties": {"kind": "field", "name": "home"}, "geometry": {"type": "Point", "coordinates": [1, 1]}}]}`, "map.features[0].geometry.type"},
		{`{"type": "FeatureCollection", "features": [{"properties": {"kind": "field", "name": "nowhere"}, "geometry": {"type": "Polygon", "coordinates": [[[1, 1], [1.001, 1], [1, 1.001]]]}}]}`, "map"},
		{`{"type": "FeatureCollection", "features": [{"properties": {"kind": "well"}, "geometry": {"type": "LineString", "coordinates": []}}]}`, "map.features[0].geometry.coordinates"},
	} {
		spec := twoFields()
		spec.Map = json.RawMessage(c.text)
		_, err := Plan(spec)
		list := units.FieldErrors(err)
		require.NotEmpty(t, list, c.text)
		require.Contains(t, list[0].Field, c.want, "%s: %v", c.text, err)
	}
	spec := twoFields()
	spec.Fields[0].Outline = squareField()
	spec.Features = []Feature{{Name: "x", Points: nil}, {Name: "y", Kind: "well", Setback: new(units.Length(-1)), Points: []plane.Point{{X: 1, Y: 1}}}}
	_, err := Plan(spec)
	var paths []string
	for _, f := range units.FieldErrors(err) {
		paths = append(paths, f.Field)
	}
	require.Equal(t, []string{"features[0].kind", "fields[0].setback", "features.y.distance"}, paths)
}

// No text that is no map makes a plan panic.
func FuzzMap(f *testing.F) {
	f.Add(`{"type": "FeatureCollection", "features": [{"properties": {"kind": "field", "name": "home"}, "geometry": {"type": "Polygon", "coordinates": [[[1, 1], [1.001, 1], [1, 1.001]]]}}]}`)
	f.Add(`{"type": "FeatureCollection", "features": [{"properties": {"kind": "well", "setback": "100 ft"}, "geometry": {"type": "MultiPoint", "coordinates": [[1, 1], [1, 1]]}}]}`)
	f.Fuzz(func(t *testing.T, text string) {
		spec := twoFields()
		spec.Map = json.RawMessage(text)
		r, err := Plan(spec)
		if err == nil && r.plane != nil {
			_, _ = r.MapFeatures()
		}
	})
}
