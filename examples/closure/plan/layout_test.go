package plan_test

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/units"
)

// What the plan of the site shows has the sizes that the library reckons with.
func TestLayout(t *testing.T) {
	p, err := plan.Read(t.Context(), plan.Demo())
	require.NoError(t, err)
	l, chosen := p.Results.Layout, p.Results.Closing.Outcomes[0]
	feet := func(x, y float64) float64 { return x * y * 0.3048 * 0.3048 }
	require.InDelta(t, feet(230, 150), float64(l.Crest[0].Area()), 1e-9)
	require.InDelta(t, feet(230-12*5.5, 150-12*5), float64(l.Floor[0].Area()), 1e-9)
	require.InDelta(t, float64(chosen.Berm.Footprint), float64(l.BermToe.Area())-feet(230-15, 150-15), 1e-9, "between inner and outer toe")
	require.InDelta(t, float64(chosen.Crown.Build.Plan), float64(l.Crown.Area()), 1e-9)
	require.Len(t, l.Hips, 4)

	// A circle drawn with corners loses less than a thousandth of its area, and a field on
	// the map has a direction: its middle lies east of the pit.
	round := scene(t, "circular-metric")
	l = round.Results.Layout
	require.InEpsilon(t, math.Pi*26*26, float64(l.Crest[0].Area()), 1e-3)
	require.Len(t, l.Ridge, 1)
	require.Equal(t, "Pit field", l.Fields[0].Field)
	require.Greater(t, float64(l.Fields[0].Way.X), 0.9)
	require.InDelta(t, 1, math.Hypot(float64(l.Fields[0].Way.X), float64(l.Fields[0].Way.Y)), 1e-9)
	require.Nil(t, l.Fields[1].Way)

	require.Len(t, scene(t, "l-shape-islands").Results.Layout.Crest[0], 6)
}

func TestLayoutFaults(t *testing.T) {
	refused(t, map[string]wrong{
		"no name":      {map[string]any{"layout.places": []any{map[string]any{"points": []any{map[string]any{"x": "1 ft", "y": "1 ft"}}}}}, "layout.places[0].name"},
		"no point":     {map[string]any{"layout.places": []any{map[string]any{"name": "gate"}}}, "layout.places[0].points"},
		"thin area":    {map[string]any{"layout.places": []any{map[string]any{"name": "pile", "closed": true, "points": []any{map[string]any{"x": "1 ft", "y": "1 ft"}}}}}, "layout.places[0].points"},
		"far away":     {map[string]any{"layout.basin": map[string]any{"x": "11 km", "y": "0 m"}}, "layout.basin.x"},
		"off the pole": {map[string]any{"layout.origin": map[string]any{"lon": 0, "lat": 91}}, "layout.origin.lat"},
	})
}

// The map has the basin where it lies, and what goes on each field.
func TestGeoJSON(t *testing.T) {
	type feature struct {
		Geometry *struct {
			Type        string          `json:"type"`
			Coordinates json.RawMessage `json:"coordinates"`
		} `json:"geometry"`
		Properties map[string]any `json:"properties"`
	}
	kinds := func(p *plan.Plan, system units.System) map[string][]feature {
		text, err := p.GeoJSON(system)
		require.NoError(t, err)
		var out struct {
			Type     string    `json:"type"`
			Features []feature `json:"features"`
		}
		require.NoError(t, json.Unmarshal(text, &out))
		require.Equal(t, "FeatureCollection", out.Type)
		list := map[string][]feature{}
		for _, x := range out.Features {
			kind := x.Properties["kind"].(string)
			list[kind] = append(list[kind], x)
		}
		return list
	}
	demo, err := plan.Read(t.Context(), plan.Demo())
	require.NoError(t, err)
	list := kinds(demo, units.SystemUS)
	var basin [][][][2]float64
	require.NoError(t, json.Unmarshal(list["basin"][0].Geometry.Coordinates, &basin))
	// A degree of longitude at 42 degrees north is 82,853 m (NGA, length of a degree by the
	// WGS 84 ellipsoid: 111,412.84 cos - 93.5 cos 3 + 0.118 cos 5).
	degree := 111412.84*math.Cos(42*math.Pi/180) - 93.5*math.Cos(3*42*math.Pi/180) + 0.118*math.Cos(5*42*math.Pi/180)
	require.InDelta(t, 230*0.3048, (basin[0][0][1][0]-basin[0][0][0][0])*degree, 0.01)
	require.Len(t, list["pipe"], 2)
	require.Len(t, list["stockpile"], 1)
	require.Len(t, list["field"], 5)
	require.Equal(t, "MultiPolygon", list["field"][0].Geometry.Type)
	require.Nil(t, list["field"][1].Geometry, "nobody told where it lies")
	require.NotEmpty(t, list["setback"])
	placed := list["placement"]
	require.Len(t, placed, len(demo.Results.Taken().Spread.Allocated.Placements))
	require.Contains(t, []any{"gal/acre", "ton/acre", "lb/acre"}, placed[0].Properties["rateUnit"])
	require.Greater(t, placed[0].Properties["rate"], 0.0)
	require.NotEmpty(t, placed[0].Properties["material"])

	round := kinds(scene(t, "circular-metric"), units.SystemMetric)
	require.NotNil(t, round["setback"][0].Geometry)
	require.Equal(t, "MultiPolygon", round["placement"][0].Geometry.Type)

	// Without any tie to the Earth the map says what is missing.
	plain, err := plan.Read(t.Context(), edit(t, map[string]any{"layout": nil, "land.origin": nil}))
	require.NoError(t, err)
	_, err = plain.GeoJSON(units.SystemUS)
	require.ErrorContains(t, err, "layout.origin")
}

// The map is as RFC 7946 (The GeoJSON Format, IETF 2016) wants it: section 3.1.6 on rings,
// closed and by the right-hand rule, section 3.2 on members of a feature, section 4 on
// longitude before latitude and no crs.
func TestGeoJSONFollowsItsStandard(t *testing.T) {
	demo, err := plan.Read(t.Context(), plan.Demo())
	require.NoError(t, err)
	for _, p := range []*plan.Plan{demo, scene(t, "circular-metric")} {
		text, err := p.GeoJSON(units.SystemUS)
		require.NoError(t, err)
		var out map[string]json.RawMessage
		require.NoError(t, json.Unmarshal(text, &out))
		require.NotContains(t, out, "crs")
		var features []map[string]json.RawMessage
		require.NoError(t, json.Unmarshal(out["features"], &features))
		polygons := 0
		for _, f := range features {
			require.JSONEq(t, `"Feature"`, string(f["type"]))
			require.Contains(t, f, "geometry")
			require.Contains(t, f, "properties")
			var g *struct {
				Type        string          `json:"type"`
				Coordinates json.RawMessage `json:"coordinates"`
			}
			require.NoError(t, json.Unmarshal(f["geometry"], &g))
			if g == nil {
				continue // unlocated
			}
			require.Contains(t, []string{"Point", "LineString", "MultiPolygon"}, g.Type)
			if g.Type != "MultiPolygon" {
				continue
			}
			var many [][][][2]float64
			require.NoError(t, json.Unmarshal(g.Coordinates, &many))
			for _, one := range many {
				polygons++
				for i, ring := range one {
					require.GreaterOrEqual(t, len(ring), 4)
					require.Equal(t, ring[0], ring[len(ring)-1])
					twice := 0.0
					for k := range ring[1:] {
						a, b := ring[k], ring[k+1]
						require.InDelta(t, -92, a[0], 3, "longitude first")
						require.InDelta(t, 43, a[1], 2)
						twice += (a[0]-ring[0][0])*(b[1]-ring[0][1]) - (b[0]-ring[0][0])*(a[1]-ring[0][1])
					}
					require.Equal(t, i == 0, twice > 0, "outer rings run counterclockwise, holes clockwise")
				}
			}
		}
		require.Greater(t, polygons, 5)
	}
}
