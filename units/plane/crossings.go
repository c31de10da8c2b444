package plane

import (
	"cmp"
	"slices"

	"example.org/earthbasin/units"
)

// edge is the side of a ring from corner start to the next one.
type edge struct{ ring, start int32 }

// crossing is two sides that meet where they should not.
type crossing struct{ a, b edge }

// corner returns the corner of p at which two sides of it fold, or at which the
// later of the two begins.
func (c crossing) corner(p Polygon) int32 {
	if c.folds(p) && c.a.start == 0 && int(c.b.start) == len(p)-1 {
		return 0
	}
	return c.b.start
}

// folds reports whether the sides are next to each other in p.
func (c crossing) folds(p Polygon) bool {
	return c.a.ring == c.b.ring && (c.a.start+1 == c.b.start || c.a.start == 0 && int(c.b.start) == len(p)-1)
}

// words says what is wrong; other is the start of the earlier side.
func (c crossing) words(p Polygon, other string) units.Phrase {
	if c.folds(p) {
		return units.Words("a corner at which the edge turns back on itself")
	}
	return units.Words("the start of an edge that meets the edge from %v", other)
}

// sweep finds the sides of rings that meet (Shamos and Hoey, Geometric Intersection
// Problems, Symposium on Foundations of Computer Science, 1976): a line goes over the
// plane from west to east, the sides that it cuts are held in order of y, and only
// neighbours in that order are compared, in n log n steps. Of two that meet one is
// taken out, so that the order of the others stays true and more can be found.
//
// Places are in order of x, then y, as if the plane were turned by a hair: no side
// is upright.
type sweep struct {
	rings []Polygon
	edges []edge

	// The sides under the line: a treap, and a list in order.
	left, right, below, above []int32
	priority                  []uint32
	root                      int32
	in                        []bool

	found []crossing
	most  int
	steps int // comparisons of sides, for the test of the cost
}

const none = int32(-1)

func newSweep(rings []Polygon, most int) *sweep {
	s := &sweep{rings: rings, most: most, root: none}
	for r, ring := range rings {
		for i := range ring {
			s.edges = append(s.edges, edge{int32(r), int32(i)})
		}
	}
	n := len(s.edges)
	s.left, s.right, s.below, s.above = make([]int32, n), make([]int32, n), make([]int32, n), make([]int32, n)
	s.priority, s.in = make([]uint32, n), make([]bool, n)
	state := uint32(1)
	for i := range s.priority { // any fixed order that has no pattern
		state ^= state << 13
		state ^= state >> 17
		state ^= state << 5
		s.priority[i] = state
	}
	return s
}

func before(p, q Point) bool { return p.X < q.X || p.X == q.X && p.Y < q.Y }

// ends returns the ends of side e from west to east, and whether the ring runs that
// way.
func (s *sweep) ends(e int32) (a, b Point, east bool) {
	ring, i := s.rings[s.edges[e].ring], s.edges[e].start
	a, b = ring[i], ring[(int(i)+1)%len(ring)]
	if before(b, a) {
		return b, a, false
	}
	return a, b, true
}

// event is a place at which the line takes a side in or lets it go, or at which a
// point is asked about.
type event struct {
	at   Point
	kind eventKind
	of   int32 // the number of the side or the point
}

type eventKind int

// In this order at one place: what ends makes room before what starts, and a point
// on a corner sees the sides that start there.
const (
	ends eventKind = iota
	starts
	asks
)

func (s *sweep) events(points []Point) []event {
	list := make([]event, 0, 2*len(s.edges)+len(points))
	for i := range s.edges {
		a, b, _ := s.ends(int32(i))
		list = append(list, event{a, starts, int32(i)}, event{b, ends, int32(i)})
	}
	for i, p := range points {
		if p.finite() {
			list = append(list, event{p, asks, int32(i)})
		}
	}
	slices.SortFunc(list, func(a, b event) int {
		switch {
		case before(a.at, b.at):
			return -1
		case before(b.at, a.at):
			return 1
		}
		return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(a.of, b.of))
	})
	return list
}

// run goes over the plane until it has found the most that are wanted. While nothing
// is found it tells, at the first place of each ring, which side lies just below, or
// none.
func (s *sweep) run(first func(ring, below int32)) {
	seen := make([]bool, len(s.rings))
	corner := make(map[Point]edge, len(s.edges))
	for _, e := range s.edges {
		p := s.rings[e.ring][e.start]
		if other, twice := corner[p]; twice && len(s.found) < s.most {
			s.found = append(s.found, crossing{other, e})
		}
		corner[p] = e
	}
	for _, e := range s.events(nil) {
		switch {
		case len(s.found) >= s.most:
			return
		case e.kind == ends:
			s.remove(e.of)
			continue
		}
		s.insert(e.of)
		if r := s.edges[e.of].ring; !seen[r] && len(s.found) == 0 {
			seen[r] = true
			first(r, s.below[e.of])
		}
	}
}

// locate goes over the plane of rings that do not meet and sets in for the points in
// the area between them.
func (s *sweep) locate(points []Point, in []bool) {
	counterclockwise := make([]bool, len(s.rings))
	corner := make(map[Point]bool, len(s.edges))
	for i, r := range s.rings {
		counterclockwise[i] = r.SignedArea() > 0
		for _, c := range r {
			corner[c] = true
		}
	}
	for _, e := range s.events(points) {
		switch e.kind {
		case ends:
			s.remove(e.of)
		case starts:
			s.insert(e.of)
		case asks:
			low, on := none, corner[e.at]
			for t := s.root; t != none && !on; {
				a, b, _ := s.ends(t)
				switch o := Orient(a, b, e.at); {
				case o > 0:
					low, t = t, s.right[t]
				case o < 0:
					t = s.left[t]
				default:
					on = true
				}
			}
			in[e.of] = on || s.areaAbove(low, counterclockwise)
		}
	}
}

// areaAbove reports whether the area between the rings lies just above side e: the
// boundary has it on its left when it runs counterclockwise, an island when it runs
// clockwise.
func (s *sweep) areaAbove(e int32, counterclockwise []bool) bool {
	if e == none {
		return false
	}
	_, _, east := s.ends(e)
	ring := s.edges[e].ring
	return (east == counterclockwise[ring]) == (ring == 0)
}

// higher reports whether side e, which begins at or after g does, lies above g.
func (s *sweep) higher(e, g int32) bool {
	s.steps++
	a, b, _ := s.ends(g)
	p, q, _ := s.ends(e)
	if before(p, a) {
		return Orient(p, q, a) < 0
	}
	if o := Orient(a, b, p); o != 0 {
		return o > 0
	}
	return Orient(a, b, q) > 0 // from one corner, or along each other
}

// meets records two sides that meet and reports whether they do. Sides next to each
// other in a ring share a corner, and meet elsewhere only when one runs back over
// the other.
func (s *sweep) meets(e, g int32) bool {
	a, b, _ := s.ends(e)
	c, d, _ := s.ends(g)
	x, y := s.edges[e], s.edges[g]
	n := int32(len(s.rings[x.ring]))
	if x.ring == y.ring && ((x.start+1)%n == y.start || (y.start+1)%n == x.start) {
		if !(a == c && Orient(a, b, d) == 0 || b == d && Orient(a, b, c) == 0) {
			return false
		}
	} else if !Meet(a, b, c, d) {
		return false
	}
	if y.ring < x.ring || y.ring == x.ring && y.start < x.start {
		x, y = y, x
	}
	s.found = append(s.found, crossing{x, y})
	return true
}

// insert puts side e in its place, unless it meets a neighbour.
func (s *sweep) insert(e int32) {
	low, high := none, none
	for t := s.root; t != none; {
		if s.higher(e, t) {
			low, t = t, s.right[t]
		} else {
			high, t = t, s.left[t]
		}
	}
	if low != none && s.meets(low, e) || high != none && s.meets(e, high) {
		return
	}
	s.in[e], s.left[e], s.right[e] = true, none, none
	s.link(low, e)
	s.link(e, high)
	s.root = s.put(s.root, e)
}

func (s *sweep) link(low, high int32) {
	if low != none {
		s.above[low] = high
	}
	if high != none {
		s.below[high] = low
	}
}

func (s *sweep) put(t, e int32) int32 {
	if t == none {
		return e
	}
	if s.higher(e, t) {
		r := s.put(s.right[t], e)
		if s.priority[r] > s.priority[t] {
			s.right[t], s.left[r] = s.left[r], t
			return r
		}
		s.right[t] = r
		return t
	}
	l := s.put(s.left[t], e)
	if s.priority[l] > s.priority[t] {
		s.left[t], s.right[l] = s.right[l], t
		return l
	}
	s.left[t] = l
	return t
}

// remove takes side e out and compares those that become neighbours.
func (s *sweep) remove(e int32) {
	for s.in[e] {
		low, high := s.below[e], s.above[e]
		s.in[e] = false
		s.root = s.take(s.root, e)
		s.link(low, high)
		if low == none || high == none || len(s.found) >= s.most || !s.meets(low, high) {
			return
		}
		e = high // and its neighbours now
	}
}

func (s *sweep) take(t, e int32) int32 {
	if t == e {
		return s.merge(s.left[e], s.right[e])
	}
	if t == none {
		return none
	}
	if s.higher(e, t) {
		s.right[t] = s.take(s.right[t], e)
	} else {
		s.left[t] = s.take(s.left[t], e)
	}
	return t
}

func (s *sweep) merge(l, r int32) int32 {
	switch {
	case l == none:
		return r
	case r == none:
		return l
	case s.priority[l] > s.priority[r]:
		s.right[l] = s.merge(s.right[l], r)
		return l
	}
	s.left[r] = s.merge(l, s.left[r])
	return r
}
