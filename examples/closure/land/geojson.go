package land

import (
	"encoding/json"
	"fmt"

	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// mapped is a map in local coordinates.
type mapped struct {
	plane    *sludge.TangentPlane
	fields   map[string][]plane.Region
	names    []string // of the fields, in order
	features []Feature
	at       []int // index of each feature on the map
}

// geoFeature is a feature of a GeoJSON FeatureCollection, as far as it counts here.
type geoFeature struct {
	Type       string        `json:"type"`
	Geometry   *geoGeometry  `json:"geometry"`
	Properties geoProperties `json:"properties"`
}

type geoGeometry struct {
	Type        string          `json:"type"`
	Coordinates json.RawMessage `json:"coordinates"`
}

// geoProperties are kind ("field", or what a feature is), name, and the setback of a
// feature as text with its unit.
type geoProperties struct {
	Kind    string        `json:"kind"`
	Name    string        `json:"name"`
	Setback *units.Length `json:"setback"`
}

// part is a piece of a geometry: places, closed for an area, whose holes follow it.
type part struct {
	places [][2]float64
	closed bool
	hole   bool
}

const wantPosition = "positions of longitude and latitude in degrees"

// readMap reads a FeatureCollection (RFC 7946). What is no field is a feature; of an
// area its outer ring counts. Local coordinates are those of the plane, or of one in the
// middle of the map.
func readMap(text []byte, local *sludge.TangentPlane) (mapped, error) {
	m := mapped{plane: local, fields: map[string][]plane.Region{}}
	if len(text) == 0 {
		return m, nil
	}
	var f units.Faults
	var in struct {
		Type     string       `json:"type"`
		Features []geoFeature `json:"features"`
	}
	if err := json.Unmarshal(text, &in); err != nil {
		f.Fault(units.FaultMalformed, "", units.Word(err.Error()), "a GeoJSON FeatureCollection")
		return m, f.Err()
	}
	if in.Type != "FeatureCollection" {
		f.Add("type", in.Type, "FeatureCollection")
	}
	f.CountBetween("features", len(in.Features), "features", 1, mostFeatures+mostFields)
	if f.Err() != nil {
		return m, f.Err()
	}
	list := make([][]part, len(in.Features))
	var places []sludge.LonLat
	for i, x := range in.Features {
		at := f.At("features", i)
		list[i] = x.Geometry.parts(&at)
		for _, p := range list[i] {
			for _, q := range p.places {
				places = append(places, sludge.LonLat{Lon: q[0], Lat: q[1]})
			}
		}
	}
	if f.Err() != nil {
		return m, f.Err()
	}
	if m.plane == nil {
		var err error
		if m.plane, err = sludge.PlaneOf(places, 0); err != nil {
			f.Sub("", err)
			return m, f.Err()
		}
	}
	for i, x := range in.Features {
		at := f.At("features", i)
		m.add(&at, i, x.Properties, list[i])
	}
	return m, f.Err()
}

// parts returns the pieces of a geometry.
func (g *geoGeometry) parts(f *units.Faults) (list []part) {
	if g == nil {
		f.Missing("geometry", "a geometry")
		return nil
	}
	at := f.At("geometry")
	read := func(to any) bool {
		if err := json.Unmarshal(g.Coordinates, to); err != nil {
			at.Fault(units.FaultMalformed, "coordinates", units.Word(err.Error()), wantPosition)
			return false
		}
		return true
	}
	line := func(list []([]float64)) (places [][2]float64) {
		for _, q := range list {
			if len(q) < 2 {
				at.Count("coordinates", len(q), "numbers in a position", "2, %s", units.Word(wantPosition))
				return nil
			}
			places = append(places, [2]float64{q[0], q[1]})
		}
		return places
	}
	rings := func(polygon [][][]float64) {
		for i, ring := range polygon {
			places := line(ring)
			if n := len(places); n > 1 && places[0] == places[n-1] {
				places = places[:n-1]
			}
			list = append(list, part{places, true, i > 0})
		}
	}
	switch g.Type {
	case "Point":
		var p []float64
		if read(&p) {
			list = append(list, part{places: line([][]float64{p})})
		}
	case "MultiPoint":
		var points [][]float64
		if read(&points) {
			for _, p := range points {
				list = append(list, part{places: line([][]float64{p})})
			}
		}
	case "LineString":
		var points [][]float64
		if read(&points) {
			list = append(list, part{places: line(points)})
		}
	case "MultiLineString":
		var lines [][][]float64
		if read(&lines) {
			for _, points := range lines {
				list = append(list, part{places: line(points)})
			}
		}
	case "Polygon":
		var polygon [][][]float64
		if read(&polygon) {
			rings(polygon)
		}
	case "MultiPolygon":
		var polygons [][][][]float64
		if read(&polygons) {
			for _, polygon := range polygons {
				rings(polygon)
			}
		}
	default:
		at.Add("type", g.Type, "Point, LineString or Polygon, or several of one of them")
	}
	for _, p := range list {
		if len(p.places) == 0 && f.Err() == nil {
			at.Missing("coordinates", wantPosition)
		}
	}
	return list
}

// add puts a feature of the map among the fields or the features.
func (m *mapped) add(f *units.Faults, index int, p geoProperties, parts []part) {
	var local [][]plane.Point
	for _, x := range parts {
		var points []plane.Point
		for _, q := range x.places {
			at, err := m.plane.Local(sludge.LonLat{Lon: q[0], Lat: q[1]})
			if err != nil {
				f.Sub("geometry.coordinates", err)
				return
			}
			points = append(points, at)
		}
		local = append(local, points)
	}
	if p.Kind == "field" {
		if p.Name == "" {
			f.Missing("properties.name", "the name of the field")
			return
		}
		if _, twice := m.fields[p.Name]; twice {
			f.Say("properties.name", "the name of another field", "each field once, with all its parts")
			return
		}
		m.names = append(m.names, p.Name)
		for i, x := range parts {
			regions := m.fields[p.Name]
			switch {
			case !x.closed:
				f.Say("geometry.type", "no area", "Polygon or MultiPolygon for a field")
				return
			case x.hole:
				last := &regions[len(regions)-1]
				last.Holes = append(last.Holes, local[i])
			default:
				m.fields[p.Name] = append(regions, plane.Region{Outer: local[i]})
			}
		}
		return
	}
	for i, x := range parts {
		if x.hole {
			continue
		}
		name := p.Name
		if len(parts) > 1 && name != "" {
			name = fmt.Sprintf("%s, part %d", name, i+1)
		}
		m.features = append(m.features, Feature{Name: name, Kind: p.Kind, Setback: p.Setback, Points: local[i], Closed: x.closed})
		m.at = append(m.at, index)
	}
}

// LonLat is the place of a point of the fields' local coordinates; false where nothing
// ties them to the Earth.
func (r *Result) LonLat(p plane.Point) (sludge.LonLat, bool) {
	if r.plane == nil {
		return sludge.LonLat{}, false
	}
	at, err := r.plane.LonLat(p)
	return at, err == nil
}
