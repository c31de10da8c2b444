package land

import (
	"encoding/json"
	"slices"
	"strconv"

	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// MapFeature is a feature of a map that is written (RFC 7946).
type MapFeature struct {
	Type       string         `json:"type"`     // "Feature"
	Geometry   *MapGeometry   `json:"geometry"` // nil: where it lies is not told
	Properties map[string]any `json:"properties"`
}

// MapGeometry is a place in longitude and latitude.
type MapGeometry struct {
	Type        string `json:"type"`
	Coordinates any    `json:"coordinates"`
}

// NewMapFeature returns a feature with its properties; a nil geometry says that nobody
// told where it lies.
func NewMapFeature(g *MapGeometry, properties map[string]any) MapFeature {
	return MapFeature{"Feature", g, properties}
}

// MapAreas returns regions of the plane as a MultiPolygon. Errors are those of
// [sludge.TangentPlane.LonLat].
func MapAreas(local *sludge.TangentPlane, regions []plane.Region) (*MapGeometry, error) {
	var f units.Faults
	polygons := [][][]position{}
	for _, region := range regions {
		polygon := [][]position{ring(&f, local, region.Outer, true)}
		for _, h := range region.Holes {
			polygon = append(polygon, ring(&f, local, h, false))
		}
		polygons = append(polygons, polygon)
	}
	return &MapGeometry{"MultiPolygon", polygons}, f.Err()
}

// MapLine returns points of the plane as a LineString, one alone as a Point. Errors are
// those of [sludge.TangentPlane.LonLat].
func MapLine(local *sludge.TangentPlane, points []plane.Point) (*MapGeometry, error) {
	var f units.Faults
	line := positions(&f, local, points)
	if len(line) == 1 {
		return &MapGeometry{"Point", line[0]}, f.Err()
	}
	return &MapGeometry{"LineString", line}, f.Err()
}

// Map returns the features as a FeatureCollection (RFC 7946).
func Map(features []MapFeature) ([]byte, error) {
	if features == nil {
		features = []MapFeature{}
	}
	return json.Marshal(map[string]any{"type": "FeatureCollection", "features": features})
}

// position is longitude and latitude in degrees with nine decimals: a tenth of a
// millimetre.
type position [2]json.Number

func positions(f *units.Faults, local *sludge.TangentPlane, points []plane.Point) []position {
	degrees := func(x float64) json.Number { return json.Number(strconv.FormatFloat(x, 'f', 9, 64)) }
	out := []position{}
	for _, p := range points {
		q, err := local.LonLat(p)
		f.Sub("", err)
		out = append(out, position{degrees(q.Lon), degrees(q.Lat)})
	}
	return out
}

// ring is a closed ring, counterclockwise or not.
func ring(f *units.Faults, local *sludge.TangentPlane, p plane.Polygon, counterclockwise bool) []position {
	if p.SignedArea() > 0 != counterclockwise {
		p = p.Reversed()
	}
	return positions(f, local, slices.Concat(p, p[:min(1, len(p))]))
}

// MapFeatures are the fields in longitude and latitude: of each that has an outline the
// whole (kind "field"), what may be spread on ("spreadable") and what lies within setbacks
// ("setback"), each with its area in m2. A field without one, or whose coordinates nothing
// ties to the Earth, is a feature without a place.
func (r *Result) MapFeatures() ([]MapFeature, error) {
	var list []MapFeature
	var f units.Faults
	for i := range r.Fields {
		x := &r.Fields[i]
		if x.Shapes == nil || r.plane == nil {
			list = append(list, NewMapFeature(nil, map[string]any{"kind": "field", "name": x.Name, "areaSquareMetres": float64(x.Whole)}))
			continue
		}
		for _, s := range []struct {
			kind    string
			regions []plane.Region
			area    units.Area
		}{{"field", x.Shapes.Outline, x.Whole}, {"spreadable", x.Shapes.Kept, x.Area}, {"setback", x.Shapes.Taken, x.Off}} {
			g, err := MapAreas(r.plane, s.regions)
			f.Sub("", err)
			list = append(list, NewMapFeature(g, map[string]any{"kind": s.kind, "name": x.Name, "areaSquareMetres": float64(s.area)}))
		}
	}
	return list, f.Err()
}

// Spreadable is where a field may be spread on, nil where nobody told where it lies.
func (r *Result) Spreadable(field string) (*MapGeometry, error) {
	x := r.Field(field)
	if x == nil || x.Shapes == nil || r.plane == nil {
		return nil, nil
	}
	return MapAreas(r.plane, x.Shapes.Kept)
}
