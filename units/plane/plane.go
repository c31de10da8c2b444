// Package plane holds points and simple polygons in a local level plane: the
// boundary of a basin, an island, a field, and what setbacks leave of it
// ([Setbacks]). Coordinates are lengths, x to the east and y to the north.
package plane

import (
	"fmt"
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// Point is a place in the local plane.
type Point struct {
	X units.Length `json:"x"` // to the east
	Y units.Length `json:"y"` // to the north
}

// UnmarshalJSON reads {"x": "30 ft", "y": "26 ft"}. A coordinate left out is a
// [units.FieldError], not 0.
func (p *Point) UnmarshalJSON(text []byte) error { return p.UnmarshalStrict(strict.Reader{}, text) }

// UnmarshalStrict is UnmarshalJSON with the signs of a reader.
func (p *Point) UnmarshalStrict(r strict.Reader, text []byte) error {
	var in struct {
		X *units.Length `json:"x"`
		Y *units.Length `json:"y"`
	}
	var f units.Faults
	f.Sub("", r.Decode(text, &in))
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
// corners, a coordinate beyond [units.MaxCoordinate] either way, a corner that repeats
// the one before it, edges that cross or touch, of which at most 20 are listed, no
// area, and more than a million corners. Fields are [i] and the empty path. It takes n
// log n steps.
func (p Polygon) Check() error { return p.CheckUpTo(maxCorners) }

// CheckUpTo is [Polygon.Check] for at most so many corners.
func (p Polygon) CheckUpTo(corners int) error {
	var f units.Faults
	if len(p) < 3 || len(p) > corners {
		f.Count("", len(p), "corners", "3 or more, at most %v", corners)
		return f.Err()
	}
	if p.checkCorners(&f); f.Err() != nil {
		return f.Err()
	}
	s := newSweep([]Polygon{p}, maxListed)
	s.run(func(int32, int32) {})
	for _, c := range s.found {
		at := f.At("", int(c.corner(p)))
		at.Fault(units.FaultConflict, "", c.words(p, fmt.Sprintf("[%d]", c.a.start)), "edges that do not cross or touch")
	}
	if p.Area() == 0 {
		f.Add("", p.Area(), "more than 0")
	}
	return f.Err()
}

const (
	maxCorners = 1000000
	maxListed  = 20 // crossings
)

// checkCorners records corners that are beyond all places or stand twice.
func (p Polygon) checkCorners(f *units.Faults) {
	for i, c := range p {
		at := f.At("", i)
		at.Between("x", c.X, -units.MaxCoordinate, units.MaxCoordinate)
		at.Between("y", c.Y, -units.MaxCoordinate, units.MaxCoordinate)
		if c == p[(i+1)%len(p)] {
			at := f.At("", (i+1)%len(p))
			at.Say("", "the same place as the corner before it", "a corner of its own")
		}
	}
}

func finite(x units.Length) bool { return math.Abs(float64(x)) <= math.MaxFloat64 }

// CheckRegion reports what keeps a boundary with islands from being an area: what
// [Polygon.Check] reports of each ring, rings that cross or touch, of which at most
// 20 are listed, and islands outside the boundary or within each other. Else it
// returns the area inside the boundary less the islands. Fields are boundary,
// boundary[i], islands[i] and islands[i][j]. It takes n log n steps for n corners,
// at most a million in all.
func CheckRegion(boundary Polygon, islands []Polygon) (units.Area, error) {
	var f units.Faults
	rings := append([]Polygon{boundary}, islands...)
	corners := 0
	counterclockwise := make([]bool, len(rings))
	for i, r := range rings {
		f.Sub(ringName(i), r.Check())
		corners += len(r)
		counterclockwise[i] = r.SignedArea() > 0
	}
	if corners > maxCorners {
		f.Count("islands", corners, "corners with those of the boundary", "at most %v", maxCorners)
	}
	if f.Err() != nil || len(islands) == 0 {
		return boundary.Area(), f.Err()
	}
	s := newSweep(rings, maxListed)
	s.run(func(ring, below int32) {
		if ring == 0 {
			return // an island around it is outside
		}
		field := ringName(int(ring))
		if !s.areaAbove(below, counterclockwise) && s.most > 0 {
			s.most--
			got := "not inside the boundary"
			if below != none && s.edges[below].ring != 0 {
				got = "within " + ringName(int(s.edges[below].ring))
			}
			f.Say(field, got, "an island inside the boundary and apart from the others")
		}
	})
	for _, c := range s.found {
		at := f.At(ringName(int(c.b.ring)), int(c.b.start))
		at.Fault(units.FaultConflict, "", c.words(nil, fmt.Sprintf("%s[%d]", ringName(int(c.a.ring)), c.a.start)), "rings that do not cross or touch")
	}
	area := boundary.Area()
	for _, p := range islands {
		area -= p.Area()
	}
	return area, f.Err()
}

// Inside reports for each of the points whether it lies inside the boundary, its edge
// included, and not on an island, whose edge does not count as the island. The
// rings pass [CheckRegion]. It takes n log n steps for n corners and points.
func Inside(boundary Polygon, islands []Polygon, points []Point) []bool {
	in := make([]bool, len(points))
	corners := len(boundary)
	for _, p := range islands {
		corners += len(p)
	}
	if corners > fewCorners {
		newSweep(append([]Polygon{boundary}, islands...), 1).locate(points, in)
		return in
	}
	for i, q := range points {
		in[i] = boundary.Contains(q)
		for _, p := range islands {
			in[i] = in[i] && (!p.Contains(q) || p.onEdge(q))
		}
	}
	return in
}

// fewCorners is the number of corners that one after the other are looked at faster
// than points are sorted.
const fewCorners = 256

func (p Polygon) onEdge(q Point) bool {
	for i, a := range p {
		if Meet(a, p[(i+1)%len(p)], q, q) {
			return true
		}
	}
	return false
}

func ringName(i int) string {
	if i == 0 {
		return "boundary"
	}
	return fmt.Sprintf("islands[%d]", i-1)
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
