package volume

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// boxed is a part of a surface: its box, and its two halves or the triangles of a leaf.
type boxed struct {
	low, high   [2]float64
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
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	middle := func(i int) [2]float64 {
		c, _ := s.Triangle(i)
		return [2]float64{float64(c[0].X+c[1].X+c[2].X) / 3, float64(c[0].Y+c[1].Y+c[2].Y) / 3}
	}
	for i := range s.Len() {
		for k, x := range middle(i) {
			low[k], high[k] = min(low[k], x), max(high[k], x)
		}
	}
	const cells = 1 << 16
	codes, list := make([]uint32, s.Len()), make([]int32, s.Len())
	for i := range list {
		list[i] = int32(i)
		for k, x := range middle(i) {
			if high[k] > low[k] {
				cell := uint32((x - low[k]) / (high[k] - low[k]) * (cells - 1))
				for bit := range 16 {
					codes[i] |= cell >> bit & 1 << (2*bit + k)
				}
			}
		}
	}
	slices.SortFunc(list, func(i, j int32) int { return cmp.Or(cmp.Compare(codes[i], codes[j]), cmp.Compare(i, j)) })
	return list
}

// boxesOf halves a list of triangles down to leaves.
func boxesOf(s Triangles, list []int32) *boxed {
	if len(list) <= leafSize {
		b := &boxed{low: [2]float64{math.Inf(1), math.Inf(1)}, high: [2]float64{math.Inf(-1), math.Inf(-1)}, triangles: list}
		for _, i := range list {
			corners, _ := s.Triangle(int(i))
			for _, c := range corners {
				for k, x := range [2]float64{float64(c.X), float64(c.Y)} {
					b.low[k], b.high[k] = min(b.low[k], x), max(b.high[k], x)
				}
			}
		}
		return b
	}
	half := len(list) / 2
	l, r := boxesOf(s, list[:half]), boxesOf(s, list[half:])
	b := &boxed{left: l, right: r}
	for k := range 2 {
		b.low[k], b.high[k] = min(l.low[k], r.low[k]), max(l.high[k], r.high[k])
	}
	return b
}

// level returns the level at p of the triangle around it.
func (b *boxed) level(s Triangles, p plane.Point) (units.Length, bool) {
	x, y := float64(p.X), float64(p.Y)
	if !(x >= b.low[0] && x <= b.high[0] && y >= b.low[1] && y <= b.high[1]) {
		return 0, false
	}
	if b.left != nil {
		if z, ok := b.left.level(s, p); ok {
			return z, true
		}
		return b.right.level(s, p)
	}
	for _, i := range b.triangles {
		if z, ok := levelIn(s, int(i), x, y); ok {
			return z, true
		}
	}
	return 0, false
}

// levelIn returns the level at a place of a triangle, false beyond it. On a side that two
// share rounding must not lose the place.
func levelIn(s Triangles, i int, x, y float64) (units.Length, bool) {
	c, l := s.Triangle(i)
	ux, uy := float64(c[1].X-c[0].X), float64(c[1].Y-c[0].Y)
	wx, wy := float64(c[2].X-c[0].X), float64(c[2].Y-c[0].Y)
	px, py := x-float64(c[0].X), y-float64(c[0].Y)
	twice := ux*wy - uy*wx
	u, w := (px*wy-py*wx)/twice, (ux*py-uy*px)/twice
	const off = 1e-9
	if !(u >= -off && w >= -off && u+w <= 1+off) {
		return 0, false
	}
	u, w = min(max(u, 0), 1), min(max(w, 0), 1)
	return l[0] + units.Length(u)*(l[1]-l[0]) + units.Length(w)*(l[2]-l[0]), true
}
