// Package plane holds points and simple polygons in a local level plane: the
// boundary of a basin, an island, a field. Coordinates are lengths, x to the east
// and y to the north.
package plane

import (
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// Point is a place in the local plane.
type Point struct {
	X units.Length `json:"x"`
	Y units.Length `json:"y"`
}

// UnmarshalJSON reads {"x": "30 ft", "y": "26 ft"}. A coordinate left out is a
// [units.FieldError], not 0.
func (p *Point) UnmarshalJSON(text []byte) error {
	var in struct {
		X *units.Length `json:"x"`
		Y *units.Length `json:"y"`
	}
	var f units.Faults
	f.Sub("", strict.Decode(text, &in))
	if in.X == nil {
		f.Missing("x", "the way east, such as 30 ft")
	}
	if in.Y == nil {
		f.Missing("y", "the way north, such as 26 ft")
	}
	if err := f.Err(); err != nil {
		return err
	}
	*p = Point{*in.X, *in.Y}
	return nil
}

// Sub returns the vector from q to p.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Distance returns the distance between p and q.
func (p Point) Distance(q Point) units.Length {
	return units.Length(math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)))
}

// cross is the z component of the product of two vectors.
func (p Point) cross(q Point) float64 { return float64(p.X)*float64(q.Y) - float64(p.Y)*float64(q.X) }

// Polygon is a closed ring of corners, the last joined to the first, which is
// not repeated. Either direction is accepted.
type Polygon []Point

// Check reports what keeps p from being a simple polygon: fewer than three
// corners, a coordinate that is not finite, a corner that repeats the one before
// it, edges that cross or touch, of which at most 20 are listed, no area. Fields are
// [i] and the empty path. It compares all pairs of edges.
func (p Polygon) Check() error {
	var f units.Faults
	if len(p) < 3 {
		f.Count("", len(p), "corners", "3 or more")
		return f.Err()
	}
	for i, c := range p {
		at := f.At("", i)
		at.Finite("x", c.X)
		at.Finite("y", c.Y)
		if c == p[(i+1)%len(p)] {
			at := f.At("", (i+1)%len(p))
			at.Say("", "the same place as the corner before it", "a corner of its own")
		}
	}
	if f.Err() != nil {
		return f.Err()
	}
	n, crossings := len(p), 0
	for i := range n {
		for j := i + 1; j < n && crossings < 20; j++ {
			a, b, c, d := p[i], p[(i+1)%n], p[j], p[(j+1)%n]
			switch {
			case j == i+1:
				if folds(a, b, d) {
					at := f.At("", j)
					at.Say("", "a corner at which the edge turns back on itself", "edges that do not touch")
				}
			case i == 0 && j == n-1:
				if folds(c, a, b) {
					f.Say("[0]", "a corner at which the edge turns back on itself", "edges that do not touch")
				}
			case segmentsMeet(a, b, c, d):
				crossings++
				at := f.At("", j)
				at.Fault(units.FaultConflict, "", units.Words("the start of an edge that meets the edge from [%v]", i), "edges that do not cross")
			}
		}
	}
	if p.Area() == 0 {
		f.Add("", p.Area(), "more than 0")
	}
	return f.Err()
}

// folds reports whether b to c runs back over a to b.
func folds(a, b, c Point) bool {
	u, v := a.Sub(b), c.Sub(b)
	return u.cross(v) == 0 && float64(u.X)*float64(v.X)+float64(u.Y)*float64(v.Y) > 0
}

// segmentsMeet reports whether the closed segments ab and cd have a point in
// common.
func segmentsMeet(a, b, c, d Point) bool {
	if max(a.X, b.X) < min(c.X, d.X) || max(c.X, d.X) < min(a.X, b.X) ||
		max(a.Y, b.Y) < min(c.Y, d.Y) || max(c.Y, d.Y) < min(a.Y, b.Y) {
		return false
	}
	side := func(p, q, r Point) float64 { return q.Sub(p).cross(r.Sub(p)) }
	return side(a, b, c)*side(a, b, d) <= 0 && side(c, d, a)*side(c, d, b) <= 0
}

// SignedArea returns the area, positive for a counterclockwise ring (shoelace
// formula, taken about the first corner so that large coordinates lose nothing).
func (p Polygon) SignedArea() units.Area {
	var sum float64
	for i := 1; i+1 < len(p); i++ {
		sum += p[i].Sub(p[0]).cross(p[i+1].Sub(p[0]))
	}
	return units.Area(sum / 2)
}

// Area returns the area whatever the direction.
func (p Polygon) Area() units.Area { return units.Area(math.Abs(float64(p.SignedArea()))) }

// Perimeter returns the length of the ring.
func (p Polygon) Perimeter() units.Length {
	var sum units.Length
	for i, c := range p {
		sum += c.Distance(p[(i+1)%len(p)])
	}
	return sum
}

// Centroid returns the centre of the area. For a polygon of no area it is the
// middle of the [Polygon.Bounds].
func (p Polygon) Centroid() Point {
	var sx, sy, sum float64
	for i := 1; i+1 < len(p); i++ {
		u, v := p[i].Sub(p[0]), p[i+1].Sub(p[0])
		w := u.cross(v)
		sx += w * float64(u.X+v.X)
		sy += w * float64(u.Y+v.Y)
		sum += w
	}
	if sum == 0 {
		low, high := p.Bounds()
		return Point{low.X + (high.X-low.X)/2, low.Y + (high.Y-low.Y)/2}
	}
	return Point{p[0].X + units.Length(sx/(3*sum)), p[0].Y + units.Length(sy/(3*sum))}
}

// Contains reports whether q lies inside p or on its edge. A place that is not
// finite does not.
func (p Polygon) Contains(q Point) bool {
	if math.IsNaN(float64(q.X)) {
		return false // the comparisons below settle the rest
	}
	in := false
	for i, a := range p {
		b := p[(i+1)%len(p)]
		u, v := b.Sub(a), q.Sub(a)
		c := u.cross(v)
		if c == 0 && q.X >= min(a.X, b.X) && q.X <= max(a.X, b.X) && q.Y >= min(a.Y, b.Y) && q.Y <= max(a.Y, b.Y) {
			return true
		}
		if (a.Y > q.Y) != (b.Y > q.Y) && (c > 0) == (b.Y > a.Y) {
			in = !in
		}
	}
	return in
}

// Reversed returns the ring in the other direction.
func (p Polygon) Reversed() Polygon {
	r := make(Polygon, len(p))
	for i, c := range p {
		r[len(p)-1-i] = c
	}
	return r
}

// Bounds returns the corners of the box around p with the least and the
// greatest coordinates.
func (p Polygon) Bounds() (low, high Point) {
	for i, c := range p {
		if i == 0 {
			low, high = c, c
		}
		low = Point{min(low.X, c.X), min(low.Y, c.Y)}
		high = Point{max(high.X, c.X), max(high.Y, c.Y)}
	}
	return low, high
}
