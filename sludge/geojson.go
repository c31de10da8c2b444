package sludge

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// GeoJSONSpec says what to write. At least one of Survey and Contours is given.
type GeoJSONSpec struct {
	Plane    *TangentPlane // places the local plane on the Earth
	Survey   *Survey       // boundary and soundings, or nil
	Contours *Contours     // bands and lines, or nil
}

type geoFeature struct {
	Type       string         `json:"type"`
	Geometry   geoGeometry    `json:"geometry"`
	Properties map[string]any `json:"properties"`
}

type geoGeometry struct {
	Type        string `json:"type"`
	Coordinates any    `json:"coordinates"`
}

// GeoJSON writes a FeatureCollection by RFC 7946 (The GeoJSON Format, IETF, 2016):
// WGS 84 longitude and latitude, outer rings counterclockwise and holes clockwise,
// rings closed. Each feature has a property kind: boundary (Polygon), sounding
// (Point with name, thicknessMetres, floorAssumed), band (MultiPolygon with
// lowMetres, highMetres, areaSquareMetres) or contour (LineString with
// thicknessMetres, the thicker side on the left). Degrees have nine decimals, a
// tenth of a millimetre; rings that have no area at that are left out. Data that
// lie on both sides of the 180th meridian are refused.
func GeoJSON(spec GeoJSONSpec) ([]byte, error) {
	var f units.Faults
	if spec.Plane == nil {
		f.Missing("plane", "a tangent plane")
	}
	if spec.Survey == nil && spec.Contours == nil {
		f.Missing("survey", "a survey or contours")
	}
	spec.Contours.check(&f)
	if err := f.Err(); err != nil {
		return nil, err
	}
	w := geoWriter{plane: spec.Plane, west: math.Inf(1), east: math.Inf(-1)}
	list := []geoFeature{}
	add := func(kind, geometry string, coordinates any, properties map[string]any) {
		properties["kind"] = kind
		list = append(list, geoFeature{"Feature", geoGeometry{geometry, coordinates}, properties})
	}
	if s := spec.Survey; s != nil {
		w.field = "survey"
		boundary, islands := s.Boundary()
		add("boundary", "Polygon", w.polygon(Region{Outer: boundary, Holes: islands}), map[string]any{"areaSquareMetres": s.area})
		for _, r := range s.Readings() {
			p := map[string]any{"thicknessMetres": float64(r.Thickness), "floorAssumed": r.FloorAssumed}
			if r.Name != "" {
				p["name"] = r.Name
			}
			add("sounding", "Point", w.position(r.At), p)
		}
	}
	if c := spec.Contours; c != nil {
		for i, b := range c.Bands {
			w.field, w.index = "contours.bands", i
			polygons := [][][][2]json.Number{}
			for _, r := range b.Regions {
				if p := w.polygon(r); p != nil {
					polygons = append(polygons, p)
				}
			}
			add("band", "MultiPolygon", polygons, map[string]any{
				"lowMetres": float64(b.Low), "highMetres": float64(b.High), "areaSquareMetres": float64(b.Area)})
		}
		for i, l := range c.Lines {
			w.field, w.index = "contours.lines", i
			points := l.Points
			if l.Closed && len(points) > 0 {
				points = append(points[:len(points):len(points)], points[0])
			}
			var line [][2]json.Number
			for _, p := range points {
				line = append(line, w.position(p))
			}
			add("contour", "LineString", line, map[string]any{"thicknessMetres": float64(l.Level)})
		}
	}
	if w.err != nil {
		return nil, w.err
	}
	if w.east-w.west > 180 {
		return nil, units.Fault(units.FaultConflict, "plane", units.Words("at the 180th meridian"), "data on one side of it")
	}
	return json.Marshal(struct {
		Type     string       `json:"type"`
		Features []geoFeature `json:"features"`
	}{"FeatureCollection", list})
}

// geoWriter turns places into positions and keeps the first error.
type geoWriter struct {
	plane      *TangentPlane
	field      string // of the spec, the survey or a list of the contours
	index      int
	west, east float64
	err        error
}

func (w *geoWriter) position(p plane.Point) [2]json.Number {
	q, err := w.plane.LonLat(p)
	if err != nil && w.err == nil {
		path := w.field
		if path != "survey" {
			path = fmt.Sprintf("%s[%d]", path, w.index)
		}
		var f units.Faults
		f.Sub(path, err)
		w.err = f.Err()
	}
	w.west, w.east = min(w.west, q.Lon), max(w.east, q.Lon)
	return [2]json.Number{degrees(q.Lon), degrees(q.Lat)}
}

func degrees(v float64) json.Number { return json.Number(strconv.FormatFloat(v, 'f', 9, 64)) }

// polygon returns the rings of r, closed, or nil when the outer ring has no area
// in print.
func (w *geoWriter) polygon(r Region) [][][2]json.Number {
	var rings [][][2]json.Number
	for i, p := range append([]plane.Polygon{r.Outer}, r.Holes...) {
		var ring [][2]json.Number
		for _, c := range p {
			if q := w.position(c); len(ring) == 0 || q != ring[len(ring)-1] {
				ring = append(ring, q)
			}
		}
		if len(ring) > 1 && ring[0] == ring[len(ring)-1] {
			ring = ring[:len(ring)-1]
		}
		if len(ring) < 3 {
			if i == 0 {
				return nil
			}
			continue
		}
		rings = append(rings, append(ring, ring[0]))
	}
	return rings
}
