package plane

import (
	"cmp"
	"math"
	"slices"

	"example.org/earthbasin/units"
)

// outline is the strips of an area, from which its rings are put together.
type outline struct {
	strips []strip
	open   int32 // curve at which the area begins, going up
}

// strip is a piece of the area between two stops and two curves.
type strip struct {
	stop       int
	below, top int32 // curves
}

// turn is told of a curve at which the area may begin or end, going up.
func (o *outline) turn(stop int, curve int32, was, now bool) {
	switch {
	case now && !was:
		o.open = curve
	case was && !now:
		o.strips = append(o.strips, strip{stop, o.open, curve})
	}
}

// corner is a place on a stop, by the number of its y among those of the stop.
type corner struct{ stop, y int32 }

// link is a directed piece of an edge with the area on its left; curve is -1 on a stop.
type link struct {
	to    corner
	curve int32
	used  bool
}

// oneCorner is the distance on a stop below which two corners are one, in metres: far
// below what anybody surveys and far above the rounding of numbers.
const oneCorner = 1e-6

// regions puts the rings of the area together.
func (o *outline) regions(s *strips, tolerance units.Length) []Region {
	t := tracer{s: s, tolerance: float64(tolerance), links: map[corner][]link{}}
	t.link(o.strips)
	return t.regions()
}

// tracer makes rings of strips.
type tracer struct {
	s         *strips
	tolerance float64
	ys        [][]float64 // of each stop, in order
	links     map[corner][]link
	from      []corner // in order of place
}

func (t *tracer) at(c int32, stop int) float64 { return t.s.curves[c].at(t.s.stops[stop]) }

// number returns the corner of a curve on a stop.
func (t *tracer) number(c int32, stop int) corner {
	y := t.at(c, stop)
	list := t.ys[stop]
	i, _ := slices.BinarySearch(list, y)
	if i == len(list) || i > 0 && y-list[i-1] < list[i]-y {
		i--
	}
	return corner{int32(stop), int32(i)}
}

func (t *tracer) add(from, to corner, curve int32) {
	if from == to {
		return
	}
	if len(t.links[from]) == 0 {
		t.from = append(t.from, from)
	}
	t.links[from] = append(t.links[from], link{to: to, curve: curve})
}

// thin reports whether a strip that ends in a point on both sides is nothing between
// them either, as one between the two halves of a circle is not.
func (t *tracer) thin(p strip) bool {
	x := (t.s.stops[p.stop] + t.s.stops[p.stop+1]) / 2
	return t.s.curves[p.top].at(x)-t.s.curves[p.below].at(x) <= oneCorner
}

// link makes the links of the strips: along their curves, and on the stops where one
// side is of the area and the other is not.
func (t *tracer) link(list []strip) {
	n := len(t.s.stops)
	t.ys = make([][]float64, n)
	for _, p := range list {
		for stop := p.stop; stop <= p.stop+1; stop++ {
			t.ys[stop] = append(t.ys[stop], t.at(p.below, stop), t.at(p.top, stop))
		}
	}
	for i, ys := range t.ys {
		slices.Sort(ys)
		k := 0
		for _, y := range ys {
			if k == 0 || y-ys[k-1] > oneCorner {
				ys[k] = y
				k++
			}
		}
		t.ys[i] = ys[:k]
	}
	// walls count by how much the area to the west of a piece of the stop is in it, less
	// that to the east.
	walls := make([][]int8, n)
	for i := range walls {
		walls[i] = make([]int8, len(t.ys[i]))
	}
	for _, p := range list {
		var below, top [2]corner
		for e := range 2 {
			below[e], top[e] = t.number(p.below, p.stop+e), t.number(p.top, p.stop+e)
			if top[e].y < below[e].y {
				top[e] = below[e]
			}
		}
		if below == top && t.thin(p) {
			continue
		}
		t.add(below[0], below[1], p.below)
		t.add(top[1], top[0], p.top)
		for e, sign := range [2]int8{-1, 1} {
			for y := below[e].y; y < top[e].y; y++ {
				walls[p.stop+e][y] += sign
			}
		}
	}
	for stop, wall := range walls {
		for y, w := range wall {
			a, b := corner{int32(stop), int32(y)}, corner{int32(stop), int32(y) + 1}
			switch {
			case w > 0:
				t.add(a, b, -1) // the area is to the west
			case w < 0:
				t.add(b, a, -1)
			}
		}
	}
	slices.SortFunc(t.from, func(a, b corner) int { return cmp.Or(cmp.Compare(a.stop, b.stop), cmp.Compare(a.y, b.y)) })
}

// regions follows the links to rings, and cuts them where they touch themselves.
func (t *tracer) regions() []Region {
	var outer, holes []Polygon
	for _, start := range t.from {
		for {
			var path []corner
			var curves []int32
			place := map[corner]int{}
			for c, ok := start, true; ok; {
				if at, again := place[c]; again {
					switch ring := t.ring(path[at:], curves[at:]); {
					case len(ring) < 3:
					case ring.SignedArea() > 0:
						outer = append(outer, ring)
					case ring.SignedArea() < 0:
						holes = append(holes, ring)
					}
					for _, gone := range path[at:] {
						delete(place, gone)
					}
					path, curves = path[:at], curves[:at]
				}
				place[c] = len(path)
				links := t.links[c]
				next := slices.IndexFunc(links, func(l link) bool { return !l.used })
				if ok = next >= 0; ok {
					links[next].used = true
					path, curves = append(path, c), append(curves, links[next].curve)
					c = links[next].to
				}
			}
			if !slices.ContainsFunc(t.links[start], func(l link) bool { return !l.used }) {
				break
			}
		}
	}
	regions := make([]Region, len(outer))
	for i, ring := range outer {
		regions[i].Outer = ring
	}
	for _, h := range holes {
		best := -1
		q := h[0].Toward(h[1], 0.5)
		for i := range regions {
			if r := regions[i].Outer; r.Area() > h.Area() && r.Contains(q) && (best < 0 || r.Area() < regions[best].Outer.Area()) {
				best = i
			}
		}
		if best >= 0 {
			regions[best].Holes = append(regions[best].Holes, h)
		}
	}
	return regions
}

// ring returns the corners of a ring: one for each change of curve, and chords along
// arcs.
func (t *tracer) ring(path []corner, curves []int32) Polygon {
	n := len(path)
	first := 0
	for first < n && curves[first] == curves[(first+n-1)%n] {
		first++
	}
	if first == n {
		return nil // all on one curve
	}
	var ring Polygon
	for k := range n {
		i := (first + k) % n
		if c := curves[i]; c != curves[(i+n-1)%n] {
			ring = append(ring, t.place(path[i]))
			if c >= 0 && t.s.curves[c].r > 0 {
				end := k + 1
				for end < n && curves[(first+end)%n] == c {
					end++
				}
				ring = t.chords(ring, &t.s.curves[c], path[i], path[(first+end)%n])
			}
		}
	}
	out := ring[:0]
	for _, p := range ring {
		if len(out) == 0 || p != out[len(out)-1] {
			out = append(out, p)
		}
	}
	if len(out) > 1 && out[0] == out[len(out)-1] {
		out = out[:len(out)-1]
	}
	return out
}

func (t *tracer) place(c corner) Point {
	return Point{t.s.origin.X + units.Length(t.s.stops[c.stop]), t.s.origin.Y + units.Length(t.ys[c.stop][c.y])}
}

// chords appends the corners between the ends of a piece of half a circle.
func (t *tracer) chords(ring Polygon, c *curve, from, to corner) Polygon {
	angle := func(at corner) float64 {
		u := min(1, max(-1, (t.s.stops[at.stop]-c.cx)/c.r))
		if c.upper {
			return math.Acos(u)
		}
		return -math.Acos(u)
	}
	a, b := angle(from), angle(to)
	most := 2 * math.Acos(max(0, 1-t.tolerance/c.r))
	n := int(math.Ceil(math.Abs(b-a)/most - 1e-9))
	for i := 1; i < n; i++ {
		sin, cos := math.Sincos(a + (b-a)*float64(i)/float64(n))
		ring = append(ring, Point{t.s.origin.X + units.Length(c.cx+c.r*cos), t.s.origin.Y + units.Length(c.cy+c.r*sin)})
	}
	return ring
}
