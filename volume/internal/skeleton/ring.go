package skeleton

import (
	"math"
	"slices"
)

// Vec is a place, or a way, in the plane.
type Vec struct{ X, Y float64 }

// Add returns a + k b.
func (a Vec) Add(b Vec, k float64) Vec { return Vec{a.X + k*b.X, a.Y + k*b.Y} }

// Cross returns the product of the lengths and the sine of the angle from a to b.
func (a Vec) Cross(b Vec) float64 { return a.X*b.Y - a.Y*b.X }

// Dist returns the distance between a and b.
func (a Vec) Dist(b Vec) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }

// Turn returns the angle from a to b, positive to the left.
func (a Vec) Turn(b Vec) float64 { return math.Atan2(a.Cross(b), a.X*b.X+a.Y*b.Y) }

// Ring is a closed chain of edges at one time; corner k is the start of edge k.
type Ring struct {
	Edges  []int   // as the outline has them
	Corner []Vec   // at the time From
	Move   []Vec   // of the corners per unit of time
	From   float64 // when it comes to be
	Until  float64 // when the next event ends it
}

// Area returns the signed area of r as a quadratic of the time since r.From.
func (r *Ring) Area() (a, b, c float64) {
	n := len(r.Corner)
	for k := range n {
		p, q := r.Corner[k].Add(r.Corner[0], -1), r.Corner[(k+1)%n].Add(r.Corner[0], -1)
		v, u := r.Move[k], r.Move[(k+1)%n]
		a += p.Cross(q) / 2
		b += (p.Cross(u) + v.Cross(q)) / 2
		c += v.Cross(u) / 2
	}
	return a, b, c
}

// part returns the ring of the edges from index i up to and without j, around
// the end.
func (r *Ring) part(i, j int) Ring {
	n := len(r.Edges)
	p := Ring{From: r.From}
	for k := i; ; k = (k + 1) % n {
		p.Edges = append(p.Edges, r.Edges[k])
		p.Corner = append(p.Corner, r.Corner[k])
		if (k+1)%n == j%n {
			return p
		}
	}
}

// drop takes edge k out; the edge before it then ends where edge k did.
func (r *Ring) drop(k int) {
	r.Edges = slices.Delete(r.Edges, k, k+1)
	r.Corner = slices.Delete(r.Corner, k, k+1)
}

// fold takes out the shorter of two edges that lie back to back, and returns the
// corner at which the longer one then starts or ends.
func (r *Ring) fold(k, next int) int {
	tip, end := r.Corner[next], r.Corner[(next+1)%len(r.Corner)]
	gone := next
	if tip.Dist(r.Corner[k]) <= tip.Dist(end) {
		r.Corner[next] = r.Corner[k]
		gone = k
	}
	r.drop(gone)
	return gone % len(r.Edges)
}

// tidy takes from r, at time t, what an event has left without area: edges of no
// length, edges that lie back to back, rings of no area. Edges in one line become
// one, and a ring that touches itself at a corner becomes two.
func (s *Skeleton) tidy(r Ring, t float64) ([]Ring, error) {
	for k := 0; k < len(r.Edges); k++ {
		if len(r.Edges) < 3 || s.empty(&r) {
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
	n := len(r.Edges)
	for k := range n {
		for j := k + 2; j < n; j++ {
			if (j+1)%n != k && r.Corner[k].Dist(r.Corner[j]) <= s.eps {
				return s.both(r.part(k, j), r.part(j, k), t)
			}
		}
	}
	return []Ring{r}, nil
}

// reduce takes out edge k or the one after it if one of them has become
// superfluous, and reports whether it did.
func (s *Skeleton) reduce(r *Ring, k int, t float64) (bool, error) {
	n := len(r.Edges)
	next := (k + 1) % n
	f, g := &s.fronts[r.Edges[k]], &s.fronts[r.Edges[next]]
	tip := r.Corner[next]
	length := tip.Dist(r.Corner[k])
	if length <= 4*s.eps && f.along(tip)-f.along(r.Corner[k]) <= s.eps {
		r.drop(k)
		s.sharpen(r, k%(n-1), t)
		return true, nil
	}
	sin := math.Abs(f.sine(g))
	if f.nx*g.nx+f.ny*g.ny < 0 {
		// Back to back, as far as places can be told apart.
		shorter := min(length, tip.Dist(r.Corner[(next+1)%n]))
		if sin >= Parallel && sin*shorter > s.eps {
			return false, nil
		}
		s.sharpen(r, r.fold(k, next), t)
		return true, nil
	}
	if sin >= Parallel {
		return false, nil
	}
	// One line. With two slopes the corner has no place to go.
	if math.Abs(f.w-g.w) > Parallel*(1+f.w) {
		return false, Stuck(t)
	}
	r.drop(next)
	return true, nil
}

// both tidies the two parts of a ring that came apart at their first corners.
func (s *Skeleton) both(first, second Ring, t float64) ([]Ring, error) {
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
func (s *Skeleton) empty(r *Ring) bool {
	var area, length float64
	for k, p := range r.Corner {
		q := r.Corner[(k+1)%len(r.Corner)]
		area += p.Add(r.Corner[0], -1).Cross(q.Add(r.Corner[0], -1)) / 2
		length += p.Dist(q)
	}
	return math.Abs(area) <= s.eps*length
}

// sharpen moves corner k onto the lines of its two edges at time t.
func (s *Skeleton) sharpen(r *Ring, k int, t float64) {
	f, g := &s.fronts[r.Edges[(k+len(r.Edges)-1)%len(r.Edges)]], &s.fronts[r.Edges[k]]
	det := f.nx*g.ny - f.ny*g.nx
	if math.Abs(det) < 0.01 {
		return // nearly one line: where it is, is good enough
	}
	p := r.Corner[k]
	a, b := -f.ahead(p, t), -g.ahead(p, t)
	r.Corner[k] = p.Add(Vec{(a*g.ny - b*f.ny) / det, (f.nx*b - g.nx*a) / det}, 1)
}
