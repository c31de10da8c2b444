package volume

import (
	"math"
	"slices"
)

type vec struct{ x, y float64 }

func (a vec) add(b vec, k float64) vec { return vec{a.x + k*b.x, a.y + k*b.y} }
func (a vec) cross(b vec) float64      { return a.x*b.y - a.y*b.x }
func (a vec) dist(b vec) float64       { return math.Hypot(a.x-b.x, a.y-b.y) }

// ring is a closed chain of edges at one time; corner k is the start of edge k.
type ring struct {
	edges  []int // indices of fronts
	corner []vec
	move   []vec // of the corners per unit of time
	from   float64
	until  float64
}

// area returns the signed area of r as a quadratic of the time since r.from.
func (r *ring) area() (a, b, c float64) {
	n := len(r.corner)
	for k := range n {
		p, q := r.corner[k].add(r.corner[0], -1), r.corner[(k+1)%n].add(r.corner[0], -1)
		v, u := r.move[k], r.move[(k+1)%n]
		a += p.cross(q) / 2
		b += (p.cross(u) + v.cross(q)) / 2
		c += v.cross(u) / 2
	}
	return a, b, c
}

// part returns the ring of the edges from index i up to and without j, around
// the end.
func (r *ring) part(i, j int) ring {
	n := len(r.edges)
	p := ring{from: r.from}
	for k := i; ; k = (k + 1) % n {
		p.edges = append(p.edges, r.edges[k])
		p.corner = append(p.corner, r.corner[k])
		if (k+1)%n == j%n {
			return p
		}
	}
}

// drop takes edge k out; the edge before it then ends where edge k did.
func (r *ring) drop(k int) {
	r.edges = slices.Delete(r.edges, k, k+1)
	r.corner = slices.Delete(r.corner, k, k+1)
}

// fold takes out the shorter of two edges that lie back to back, and returns the
// corner at which the longer one then starts or ends.
func (r *ring) fold(k, next int) int {
	tip, end := r.corner[next], r.corner[(next+1)%len(r.corner)]
	gone := next
	if tip.dist(r.corner[k]) <= tip.dist(end) {
		r.corner[next] = r.corner[k]
		gone = k
	}
	r.drop(gone)
	return gone % len(r.edges)
}

// tidy takes from r, at time t, what an event has left without area: edges of no
// length, edges that lie back to back, rings of no area. Edges in one line become
// one, and a ring that touches itself at a corner becomes two.
func (s *skeleton) tidy(r ring, t float64) ([]ring, error) {
	for k := 0; k < len(r.edges); k++ {
		if len(r.edges) < 3 || s.empty(&r) {
			return nil, nil
		}
		changed, err := s.reduce(&r, k, t)
		if err != nil {
			return nil, err
		}
		if changed {
			k = -1
		}
	}
	n := len(r.edges)
	for k := range n {
		for j := k + 2; j < n; j++ {
			if (j+1)%n != k && r.corner[k].dist(r.corner[j]) <= s.eps {
				return s.both(r.part(k, j), r.part(j, k), t)
			}
		}
	}
	return []ring{r}, nil
}

// reduce takes out edge k or the one after it if one of them has become
// superfluous, and reports whether it did.
func (s *skeleton) reduce(r *ring, k int, t float64) (bool, error) {
	n := len(r.edges)
	next := (k + 1) % n
	f, g := &s.fronts[r.edges[k]], &s.fronts[r.edges[next]]
	tip := r.corner[next]
	length := tip.dist(r.corner[k])
	if length <= 4*s.eps && f.along(tip)-f.along(r.corner[k]) <= s.eps {
		r.drop(k)
		s.sharpen(r, k%(n-1), t)
		return true, nil
	}
	sin := math.Abs(f.sine(g))
	if f.nx*g.nx+f.ny*g.ny < 0 {
		// Back to back, as far as places can be told apart.
		shorter := min(length, tip.dist(r.corner[(next+1)%n]))
		if sin >= parallel && sin*shorter > s.eps {
			return false, nil
		}
		s.sharpen(r, r.fold(k, next), t)
		return true, nil
	}
	if sin >= parallel {
		return false, nil
	}
	// One line. With two slopes the corner has no place to go.
	if math.Abs(f.w-g.w) > parallel*(1+f.w) {
		return false, errStuck(t)
	}
	r.drop(next)
	return true, nil
}

// both tidies the two parts of a ring that came apart at their first corners.
func (s *skeleton) both(first, second ring, t float64) ([]ring, error) {
	s.sharpen(&first, 0, t)
	s.sharpen(&second, 0, t)
	a, err := s.tidy(first, t)
	if err != nil {
		return nil, err
	}
	b, err := s.tidy(second, t)
	return append(a, b...), err
}

// empty reports whether r encloses nothing, up to rounding.
func (s *skeleton) empty(r *ring) bool {
	var area, length float64
	for k, p := range r.corner {
		q := r.corner[(k+1)%len(r.corner)]
		area += p.add(r.corner[0], -1).cross(q.add(r.corner[0], -1)) / 2
		length += p.dist(q)
	}
	return math.Abs(area) <= s.eps*length
}

// sharpen moves corner k onto the lines of its two edges at time t.
func (s *skeleton) sharpen(r *ring, k int, t float64) {
	f, g := &s.fronts[r.edges[(k+len(r.edges)-1)%len(r.edges)]], &s.fronts[r.edges[k]]
	det := f.nx*g.ny - f.ny*g.nx
	if math.Abs(det) < 0.01 {
		return // nearly one line: where it is, is good enough
	}
	p := r.corner[k]
	a, b := -f.ahead(p, t), -g.ahead(p, t)
	r.corner[k] = p.add(vec{(a*g.ny - b*f.ny) / det, (f.nx*b - g.nx*a) / det}, 1)
}
