package earthwork

import (
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// node is a place with the depth of fill there, below 0 for cut.
type node struct{ x, y, d float64 }

// triangle is counterclockwise; the depth runs straight over it.
type triangle [3]node

// work is what has to be moved in a part of the site.
type work struct {
	cut, fill, cutArea, fillArea, deepest, highest float64
	room                                           [3][]node // for rings that are cut
}

// split adds the work of a whole triangle, split at the line where the depth is 0:
// the tip on one side of the line, of depth a against b and c at the other
// corners, has the share a^2/((a-b)(a-c)) of the area and a third of a as mean
// depth.
func (t triangle) split(w *work) {
	area := cross(t[0], t[1], t[2]) / 2
	mean := (t[0].d + t[1].d + t[2].d) / 3
	k, ok := t.tip()
	if !ok {
		if mean < 0 {
			w.cut, w.cutArea = w.cut-area*mean, w.cutArea+area
		} else {
			w.fill, w.fillArea = w.fill+area*mean, w.fillArea+area
		}
		return
	}
	a, b, c := t[k].d, t[(k+1)%3].d, t[(k+2)%3].d
	tip := area * (a / (a - b)) * (a / (a - c))
	here, there := tip*a/3, area*mean-tip*a/3
	if a > 0 {
		w.fill, w.fillArea = w.fill+here, w.fillArea+tip
		w.cut, w.cutArea = w.cut-there, w.cutArea+area-tip
	} else {
		w.cut, w.cutArea = w.cut-here, w.cutArea+tip
		w.fill, w.fillArea = w.fill+there, w.fillArea+area-tip
	}
}

// tip returns the corner that is alone on its side of the line of no work, false
// when the line does not pass between the corners.
func (t triangle) tip() (int, bool) {
	for k := range 3 {
		a, b, c := t[k].d, t[(k+1)%3].d, t[(k+2)%3].d
		if (a > 0 && b <= 0 && c <= 0 && min(b, c) < 0) || (a < 0 && b >= 0 && c >= 0 && max(b, c) > 0) {
			return k, true
		}
	}
	return 0, false
}

// cross is twice the area of abc, positive when counterclockwise.
func cross(a, b, c node) float64 { return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x) }

// clipped adds the work in the part of t inside the outline, which in its cell is
// the ring inside: that is cut to the triangle, then to each side of the line of no
// work. Cutting a ring that is not convex leaves bridges along the cut, which have
// no area.
func (t triangle) clipped(inside plane.Polygon, to *work) {
	ring := to.room[0][:0]
	for _, c := range inside {
		ring = append(ring, node{x: float64(c.X), y: float64(c.Y)})
	}
	to.room[0] = ring
	for k := range 3 {
		a, b := t[k], t[(k+1)%3]
		out := &to.room[1-k%2]
		*out = keep((*out)[:0], ring, func(n node) float64 { return cross(a, b, n) })
		ring = *out
	}
	whole := cross(t[0], t[1], t[2])
	for i, n := range ring {
		ring[i].d = (cross(t[1], t[2], n)*t[0].d + cross(t[2], t[0], n)*t[1].d + cross(t[0], t[1], n)*t[2].d) / whole
		to.highest, to.deepest = max(to.highest, ring[i].d), max(to.deepest, -ring[i].d)
	}
	above := keep(to.room[2][:0], ring, func(n node) float64 { return n.d })
	volume, area := body(above)
	to.fill, to.fillArea = to.fill+max(volume, 0), to.fillArea+max(area, 0)
	to.room[2] = keep(above[:0], ring, func(n node) float64 { return -n.d })
	volume, area = body(to.room[2])
	to.cut = to.cut + max(-volume, 0)
	// Ground that stays as it is was counted with the fill.
	if volume < 0 {
		to.cutArea += max(area, 0)
	}
}

// keep appends to out the part of a ring where the straight function side is 0 or
// more.
func keep(out, ring []node, side func(node) float64) []node {
	return plane.Cut[node]{Side: side, Between: func(a, b node, t float64) node {
		return node{a.x + t*(b.x-a.x), a.y + t*(b.y-a.y), a.d + t*(b.d-a.d)}
	}}.Keep(out, ring)
}

// body returns the volume under the depths of a ring over which they run straight,
// and its area.
func body(ring []node) (volume, area float64) {
	for i := 1; i+1 < len(ring); i++ {
		a := cross(ring[0], ring[i], ring[i+1]) / 2
		area += a
		volume += a * (ring[0].d + ring[i].d + ring[i+1].d) / 3
	}
	return volume, area
}

// zeroLine returns the ends of the line of no work across t. A line that runs along
// a side belongs to the triangle in cut.
func (t triangle) zeroLine() (p, q node, ok bool) {
	k, ok := t.tip()
	for i := 0; i < 3 && !ok; i++ {
		k, ok = i, t[i].d < 0 && t[(i+1)%3].d == 0 && t[(i+2)%3].d == 0
	}
	on := func(b node) node {
		s := t[k].d / (t[k].d - b.d)
		return node{x: t[k].x + s*(b.x-t[k].x), y: t[k].y + s*(b.y-t[k].y)}
	}
	return on(t[(k+1)%3]), on(t[(k+2)%3]), ok
}

// zero appends the line of no work across t, cut to the ring inside the outline,
// nil for a whole cell.
func (w *grading) zero(to [][2]plane.Point, t triangle, ring plane.Polygon) [][2]plane.Point {
	p, q, ok := t.zeroLine()
	if !ok {
		return to
	}
	cuts := []float64{0, 1}
	for k, a := range ring {
		b := ring[(k+1)%len(ring)]
		na, nb := node{x: float64(a.X), y: float64(a.Y)}, node{x: float64(b.X), y: float64(b.Y)}
		sp, sq := cross(na, nb, p), cross(na, nb, q)
		if s := sp / (sp - sq); s > 0 && s < 1 {
			cuts = append(cuts, s)
		}
	}
	slices.Sort(cuts)
	place := func(s float64) plane.Point {
		return plane.Point{X: units.Length(p.x + s*(q.x-p.x)), Y: units.Length(p.y + s*(q.y-p.y))}
	}
	for i := 1; i < len(cuts); i++ {
		mid := place((cuts[i-1] + cuts[i]) / 2)
		if cuts[i]-cuts[i-1] <= slack || ring != nil && !ring.Contains(mid) {
			continue
		}
		a, b := place(cuts[i-1]), place(cuts[i])
		o := w.grid.Origin
		to = append(to, [2]plane.Point{{X: a.X + o.X, Y: a.Y + o.Y}, {X: b.X + o.X, Y: b.Y + o.Y}})
	}
	return to
}
