package sludge

import (
	"math"

	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// WGS 84 (National Geospatial-Intelligence Agency, Department of Defense World
// Geodetic System 1984, NGA.STND.0036, the defining parameters of the ellipsoid).
const (
	wgs84Axis       = 6378137.0
	wgs84Flattening = 1 / 298.257223563
	wgs84E2         = wgs84Flattening * (2 - wgs84Flattening)
)

// LonLat is a place in WGS 84, in degrees east and north.
type LonLat struct {
	Lon float64 `json:"lon"` // -180 to 180
	Lat float64 `json:"lat"` // -90 to 90
}

// TangentPlane turns longitude and latitude into a local plane and back: x to the
// east and y to the north of an origin, in the plane that touches the ellipsoid's
// parallel surface at the height of the site (the topocentric frame of IOGP
// Guidance Note 373-7-2, Geographic/topocentric conversions). Distances on the
// ground come out right to 0.01 mm up to 1 km from the origin, and to 10 mm up to
// 10 km, beyond which it should not be used.
type TangentPlane struct {
	origin            LonLat
	height            float64
	sinLat, cosLat    float64
	sinLon, cosLon    float64
	ox, oy, oz        float64 // the origin from the centre of the Earth
	eastPer, northPer float64 // metres per radian at the origin
}

// TangentPlaneSpec names the origin of a plane.
type TangentPlaneSpec struct {
	Origin LonLat `json:"origin"` // latitude -85 to 85
	// Height is that of the site above the ellipsoid: at 300 m a kilometre on the
	// ground is 47 mm longer than on the ellipsoid. 0 is usual where that does not
	// matter.
	Height units.Length `json:"height,omitempty"`
}

// maxFromOrigin bounds places in a tangent plane, in metres.
const maxFromOrigin = 100e3

// NewTangentPlane makes a plane. Errors are [units.FieldError] with the fields
// origin.lon, origin.lat and height.
func NewTangentPlane(spec TangentPlaneSpec) (*TangentPlane, error) {
	var f units.Faults
	f.NumberBetween("origin.lon", spec.Origin.Lon, -180, 180)
	f.NumberBetween("origin.lat", spec.Origin.Lat, -85, 85)
	f.Between("height", spec.Height, -1000*units.Metre, 9000*units.Metre)
	if err := f.Err(); err != nil {
		return nil, err
	}
	t := &TangentPlane{origin: spec.Origin, height: float64(spec.Height + 0)}
	t.sinLat, t.cosLat = math.Sincos(spec.Origin.Lat * math.Pi / 180)
	t.sinLon, t.cosLon = math.Sincos(spec.Origin.Lon * math.Pi / 180)
	t.ox, t.oy, t.oz = geocentric(t.sinLat, t.cosLat, t.sinLon, t.cosLon, t.height)
	w := 1 - wgs84E2*t.sinLat*t.sinLat
	t.northPer = wgs84Axis*(1-wgs84E2)/(w*math.Sqrt(w)) + t.height
	t.eastPer = (wgs84Axis/math.Sqrt(w) + t.height) * t.cosLat
	return t, nil
}

// PlaneOf makes a plane with the origin in the middle of the places, at the
// height given.
func PlaneOf(places []LonLat, height units.Length) (*TangentPlane, error) {
	if len(places) == 0 {
		return nil, units.Fault(units.FaultMissing, "places", nil, "at least 1 place")
	}
	low, high := places[0], places[0]
	for _, p := range places {
		low = LonLat{min(low.Lon, p.Lon), min(low.Lat, p.Lat)}
		high = LonLat{max(high.Lon, p.Lon), max(high.Lat, p.Lat)}
	}
	return NewTangentPlane(TangentPlaneSpec{LonLat{low.Lon + (high.Lon-low.Lon)/2, low.Lat + (high.Lat-low.Lat)/2}, height})
}

func geocentric(sinLat, cosLat, sinLon, cosLon, height float64) (x, y, z float64) {
	n := wgs84Axis / math.Sqrt(1-wgs84E2*sinLat*sinLat)
	return (n + height) * cosLat * cosLon, (n + height) * cosLat * sinLon, (n*(1-wgs84E2) + height) * sinLat
}

// Origin returns the origin of the plane.
func (t *TangentPlane) Origin() LonLat { return t.origin }

// Local returns the place p in the plane. A place that is no longitude and
// latitude, or more than 100 km away, is an error.
func (t *TangentPlane) Local(p LonLat) (plane.Point, error) {
	var f units.Faults
	f.NumberBetween("lon", p.Lon, -180, 180)
	f.NumberBetween("lat", p.Lat, -90, 90)
	if err := f.Err(); err != nil {
		return plane.Point{}, err
	}
	x, y, up := t.local(p)
	if t.eastPer == 0 {
		return plane.Point{}, units.Fault(units.FaultMissing, "plane", nil, "a plane made by NewTangentPlane")
	}
	if math.Hypot(x, y) > maxFromOrigin || up < -maxFromOrigin {
		f.Fault(units.FaultConflict, "p", units.Words("%v, %v", p.Lon, p.Lat), "a place within 100 km of the origin")
		return plane.Point{}, f.Err()
	}
	return plane.Point{X: units.Length(x), Y: units.Length(y)}, nil
}

func (t *TangentPlane) local(p LonLat) (east, north, up float64) {
	sinLat, cosLat := math.Sincos(p.Lat * math.Pi / 180)
	sinLon, cosLon := math.Sincos(p.Lon * math.Pi / 180)
	x, y, z := geocentric(sinLat, cosLat, sinLon, cosLon, t.height)
	x, y, z = x-t.ox, y-t.oy, z-t.oz
	out := t.cosLon*x + t.sinLon*y
	return t.cosLon*y - t.sinLon*x, t.cosLat*z - t.sinLat*out, t.cosLat*out + t.sinLat*z
}

// LonLat returns the longitude and latitude of a place in the plane. A place that
// is not finite or more than 100 km away is an error.
func (t *TangentPlane) LonLat(p plane.Point) (LonLat, error) {
	x, y := float64(p.X), float64(p.Y)
	if t.eastPer == 0 {
		return LonLat{}, units.Fault(units.FaultMissing, "plane", nil, "a plane made by NewTangentPlane")
	}
	if !(math.Hypot(x, y) <= maxFromOrigin) {
		var f units.Faults
		f.Fault(units.FaultConflict, "p", outline.Place(p), "a place within 100 km of the origin")
		return LonLat{}, f.Err()
	}
	// Newton's iteration with the scale at the origin: at the latitudes and distances
	// allowed each step leaves less than a fifth of the error, near the origin far
	// less.
	q := t.origin
	for range 40 {
		east, north, _ := t.local(q)
		dx, dy := x-east, y-north
		q.Lon += dx / t.eastPer * 180 / math.Pi
		q.Lat += dy / t.northPer * 180 / math.Pi
		if math.Hypot(dx, dy) < 1e-8 {
			break
		}
	}
	q.Lon = math.Remainder(q.Lon, 360)
	return q, nil
}
