package volume

import (
	"math"
	"slices"
	"sync"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// extent is a box around places.
type extent struct{ low, high plane.Point }

// nowhere is the box around no place.
func nowhere() extent {
	far := units.Length(math.Inf(1))
	return extent{plane.Point{X: far, Y: far}, plane.Point{X: -far, Y: -far}}
}

// hold widens the box to a place.
func (e *extent) hold(p plane.Point) {
	e.low = plane.Point{X: min(e.low.X, p.X), Y: min(e.low.Y, p.Y)}
	e.high = plane.Point{X: max(e.high.X, p.X), Y: max(e.high.Y, p.Y)}
}

func (e extent) has(p plane.Point) bool {
	return p.X >= e.low.X && p.X <= e.high.X && p.Y >= e.low.Y && p.Y <= e.high.Y
}

// boxed is a part of a surface: its box, and its two halves or the triangles of a leaf.
type boxed struct {
	extent
	left, right *boxed
	triangles   []int32
}

// leafSize is the most triangles of a leaf.
const leafSize = 8

// trianglesLevel returns the level of a surface at a place, false beyond it. The boxes
// around the triangles are made when a place is first asked for.
func trianglesLevel(s Triangles) func(p plane.Point) (units.Length, bool) {
	tree := sync.OnceValue(func() *boxed { return boxesOf(s, alongCurve(s)) })
	return func(p plane.Point) (units.Length, bool) {
		return tree().level(s, p)
	}
}

// alongCurve returns the triangles in the order of a curve that fills the plane, on which
// near ones are near (G. M. Morton, 1966, from memory).
func alongCurve(s Triangles) []int32 {
	places, all := make([]plane.Point, s.Len()), nowhere()
	for i := range places {
		c, _ := s.Triangle(i)
		places[i] = plane.Point{X: c[0].X + c[1].X + c[2].X, Y: c[0].Y + c[1].Y + c[2].Y} // thrice the middle
		all.hold(places[i])
	}
	along := func(x, low, high units.Length) (cell uint32) {
		if high > low {
			cell = uint32((x - low) / (high - low) * math.MaxUint16)
		}
		return cell
	}
	codes := make([]uint64, len(places)) // place on the curve, then the triangle
	for i, p := range places {
		codes[i] = uint64(i)
		x, y := along(p.X, all.low.X, all.high.X), along(p.Y, all.low.Y, all.high.Y)
		for bit := range 16 {
			codes[i] |= uint64(x>>bit&1|y>>bit&1<<1) << (32 + 2*bit)
		}
	}
	slices.Sort(codes)
	list := make([]int32, len(codes))
	for i, c := range codes {
		list[i] = int32(uint32(c))
	}
	return list
}

// boxesOf halves a list of triangles down to leaves.
func boxesOf(s Triangles, list []int32) *boxed {
	b := &boxed{extent: nowhere()}
	if len(list) <= leafSize {
		b.triangles = list
		for _, i := range list {
			corners, _ := s.Triangle(int(i))
			for _, c := range corners {
				b.hold(c)
			}
		}
		return b
	}
	half := len(list) / 2
	b.left, b.right = boxesOf(s, list[:half]), boxesOf(s, list[half:])
	for _, part := range []*boxed{b.left, b.right} {
		b.hold(part.low)
		b.hold(part.high)
	}
	return b
}

// level returns the level at p of the triangle around it.
func (b *boxed) level(s Triangles, p plane.Point) (units.Length, bool) {
	if !b.has(p) {
		return 0, false
	}
	if b.left != nil {
		if z, ok := b.left.level(s, p); ok {
			return z, true
		}
		return b.right.level(s, p)
	}
	for _, i := range b.triangles {
		if z, ok := levelIn(s, int(i), p); ok {
			return z, true
		}
	}
	return 0, false
}

// levelIn returns the level at a place of a triangle, false beyond it. On a side that two
// share rounding must not lose the place.
func levelIn(s Triangles, i int, p plane.Point) (units.Length, bool) {
	c, l := s.Triangle(i)
	ux, uy := float64(c[1].X-c[0].X), float64(c[1].Y-c[0].Y)
	wx, wy := float64(c[2].X-c[0].X), float64(c[2].Y-c[0].Y)
	px, py := float64(p.X-c[0].X), float64(p.Y-c[0].Y)
	twice := ux*wy - uy*wx
	u, w := (px*wy-py*wx)/twice, (ux*py-uy*px)/twice
	const off = 1e-9
	if !(u >= -off && w >= -off && u+w <= 1+off) {
		return 0, false
	}
	return l[0] + units.Length(u)*(l[1]-l[0]) + units.Length(w)*(l[2]-l[0]), true
}
