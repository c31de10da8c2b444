package volume

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// The level sections of a basin with plane banks are the wavefront of a weighted
// straight skeleton: each edge of the outline moves at its own slope, corners
// stay mitred, and from time to time an edge shrinks to nothing or a reflex
// corner runs into an edge and splits the section in two (Aichholzer, Aurenhammer,
// Alberts and Gärtner, A Novel Type of Skeleton for Polygons, Journal of
// Universal Computer Science 1(12), 1995). Between such events corners move
// straight, so the area is a quadratic of the height. A section that begins
// without islands never merges with another, so that every ring is followed by
// itself.

// front is an edge that moves: n·p = c + w·t with the unit normal n to the left
// of its direction.
type front struct {
	nx, ny, c, w float64
	slant        float64 // bank per height
}

type vec struct{ x, y float64 }

func (a vec) add(b vec, k float64) vec { return vec{a.x + k*b.x, a.y + k*b.y} }
func (a vec) cross(b vec) float64      { return a.x*b.y - a.y*b.x }
func (a vec) dist(b vec) float64       { return math.Hypot(a.x-b.x, a.y-b.y) }

// along returns how far p lies in the direction of f.
func (f *front) along(p vec) float64 { return p.x*f.ny - p.y*f.nx }

// ahead returns how far p lies in front of f at time t.
func (f *front) ahead(p vec, t float64) float64 { return p.x*f.nx + p.y*f.ny - f.c - f.w*t }

// ring is a closed chain of edges at one time; corner k is the start of edge k.
type ring struct {
	edges  []int // indices of fronts
	corner []vec
	move   []vec // of the corners per unit of time
	from   float64
	until  float64
}

// skeleton follows fronts from time 0 to end. Its rings, with the time each of
// them lasts, are the result.
type skeleton struct {
	fronts []front
	end    float64
	eps    float64 // places closer than this are one
	rings  []ring
	bank   float64 // area of the banks along the slope
}

// parallel is the sine of an angle taken for none.
const parallel = 1e-9

// errStuck says at which time the wavefront could not be followed.
type errStuck float64

func (e errStuck) Error() string {
	return fmt.Sprintf("wavefront cannot be followed past %g", float64(e))
}

// follow runs the wavefront of the counterclockwise or clockwise outline, whose
// interior, or exterior, lies to the left of its edges.
func follow(outline []vec, slopes []float64, end float64) (*skeleton, error) {
	s := &skeleton{end: end}
	n := len(outline)
	start := ring{corner: slices.Clone(outline)}
	for i, p := range outline {
		q := outline[(i+1)%n]
		l := p.dist(q)
		f := front{nx: (p.y - q.y) / l, ny: (q.x - p.x) / l, w: slopes[i], slant: slant(slopes[i])}
		f.c = f.nx*p.x + f.ny*p.y
		s.fronts = append(s.fronts, f)
		start.edges = append(start.edges, i)
		s.eps = max(s.eps, math.Hypot(p.x, p.y), l)
	}
	s.eps *= 1e-10
	queue, err := s.tidy(start, 0)
	for steps := 0; err == nil && len(queue) > 0; steps++ {
		r := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		if steps > 20*n {
			return nil, errStuck(r.from)
		}
		var next []ring
		if next, err = s.step(r); err == nil {
			queue = append(queue, next...)
		}
	}
	if err != nil {
		return nil, err
	}
	return s, nil
}

// step carries r to its next event, keeps it, and returns what comes out of the
// event.
func (s *skeleton) step(r ring) ([]ring, error) {
	n := len(r.edges)
	r.move = make([]vec, n)
	for k := range n {
		v, ok := s.velocity(r.edges[(k+n-1)%n], r.edges[k])
		if !ok {
			return nil, errStuck(r.from)
		}
		r.move[k] = v
	}
	dt, corner, edge := s.nextEvent(&r)
	r.until = min(r.from+dt, s.end)
	dt = r.until - r.from
	if err := s.keep(r); err != nil {
		return nil, err
	}
	if r.until == s.end {
		return nil, nil
	}
	now := ring{edges: r.edges, corner: make([]vec, n), from: r.until}
	for k := range n {
		now.corner[k] = r.corner[k].add(r.move[k], dt)
	}
	if corner < 0 {
		return s.tidy(now, r.until)
	}
	// The corner meets the edge: one part runs from it to the edge, the other
	// from the edge back to it, and both own a piece of the edge.
	at := now.corner[corner]
	first := now.part(corner, edge+1)
	second := now.part(edge, corner)
	second.corner[0] = at
	a, err := s.tidy(first, r.until)
	if err != nil {
		return nil, err
	}
	b, err := s.tidy(second, r.until)
	return append(a, b...), err
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

// velocity returns how the corner between the edges a and b moves.
func (s *skeleton) velocity(a, b int) (vec, bool) {
	f, g := &s.fronts[a], &s.fronts[b]
	det := f.nx*g.ny - f.ny*g.nx
	if math.Abs(det) < parallel {
		return vec{}, false
	}
	return vec{(f.w*g.ny - g.w*f.ny) / det, (f.nx*g.w - g.nx*f.w) / det}, true
}

// nextEvent returns the time to the next event of r, and the corner and the edge
// that meet in it, or -1 when an edge vanishes.
func (s *skeleton) nextEvent(r *ring) (dt float64, corner, edge int) {
	n := len(r.edges)
	dt, corner, edge = math.Inf(1), -1, -1
	for k := range n {
		f, next := &s.fronts[r.edges[k]], (k+1)%n
		length := f.along(r.corner[next]) - f.along(r.corner[k])
		if rate := f.along(r.move[next]) - f.along(r.move[k]); rate < 0 {
			if t := max(length, 0) / -rate; t < dt {
				dt, corner, edge = t, -1, -1
			}
		}
	}
	for k := range n {
		before := (k + n - 1) % n
		if f, g := &s.fronts[r.edges[before]], &s.fronts[r.edges[k]]; f.nx*g.ny-f.ny*g.nx >= 0 {
			continue // only a reflex corner can run into an edge
		}
		for j := range n {
			if j == k || j == before {
				continue
			}
			f := &s.fronts[r.edges[j]]
			ahead := f.ahead(r.corner[k], r.from)
			rate := f.nx*r.move[k].x + f.ny*r.move[k].y - f.w
			if ahead < -s.eps || rate >= 0 {
				continue
			}
			t := max(ahead, 0) / -rate
			if t >= dt {
				continue
			}
			x := f.along(r.corner[k].add(r.move[k], t))
			from := f.along(r.corner[j].add(r.move[j], t))
			to := f.along(r.corner[(j+1)%n].add(r.move[(j+1)%n], t))
			if x >= from-s.eps && x <= to+s.eps {
				dt, corner, edge = t, k, j
			}
		}
	}
	return dt, corner, edge
}

// keep records r and its bank. The ring halfway to its event must be a simple
// polygon: whatever went wrong before shows there.
func (s *skeleton) keep(r ring) error {
	dt := r.until - r.from
	if dt <= 0 {
		return nil
	}
	n := len(r.edges)
	half := make(plane.Polygon, n)
	var moved float64
	for k := range n {
		moved = max(moved, dt*math.Hypot(r.move[k].x, r.move[k].y))
		p := r.corner[k].add(r.move[k], dt/2)
		half[k] = plane.Point{X: units.Length(p.x), Y: units.Length(p.y)}
		f, next := &s.fronts[r.edges[k]], (k+1)%n
		length := f.along(r.corner[next]) - f.along(r.corner[k]) + dt/2*(f.along(r.move[next])-f.along(r.move[k]))
		s.bank += dt * f.slant * length
	}
	// Between events of one moment corners may still touch, within rounding.
	if moved > s.eps && !s.empty(&r) {
		if err := half.Check(); err != nil {
			return errors.Join(errStuck(r.from), err)
		}
	}
	s.rings = append(s.rings, r)
	return nil
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

// tidy takes from r, at time t, what an event has left without area: edges of no
// length, edges that lie back to back, rings of no area. Edges in one line become
// one, and a ring that touches itself at a corner becomes two.
func (s *skeleton) tidy(r ring, t float64) ([]ring, error) {
	for changed := true; changed; {
		changed = false
		n := len(r.edges)
		if n < 3 || s.empty(&r) {
			return nil, nil
		}
		for k := range n {
			next := (k + 1) % n
			f, g := &s.fronts[r.edges[k]], &s.fronts[r.edges[next]]
			if f.along(r.corner[next])-f.along(r.corner[k]) <= s.eps && r.corner[k].dist(r.corner[next]) <= 4*s.eps {
				r.drop(k)
				s.sharpen(&r, k%len(r.edges), t)
				changed = true
				break
			}
			if math.Abs(f.nx*g.ny-f.ny*g.nx) >= parallel {
				continue
			}
			if f.nx*g.nx+f.ny*g.ny > 0 {
				// One line. With two slopes the corner has no place to go.
				if math.Abs(f.w-g.w) > parallel*(1+f.w) {
					return nil, errStuck(t)
				}
				r.drop(next)
			} else {
				r.fold(k, next)
			}
			changed = true
			break
		}
	}
	n := len(r.edges)
	for k := range n {
		for j := k + 2; j < n; j++ {
			if (j+1)%n != k && r.corner[k].dist(r.corner[j]) <= s.eps {
				a, err := s.tidy(r.part(k, j), t)
				if err != nil {
					return nil, err
				}
				b, err := s.tidy(r.part(j, k), t)
				return append(a, b...), err
			}
		}
	}
	return []ring{r}, nil
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

// drop takes edge k out; the edge before it then ends where edge k did.
func (r *ring) drop(k int) {
	r.edges = slices.Delete(r.edges, k, k+1)
	r.corner = slices.Delete(r.corner, k, k+1)
}

// fold takes out the shorter of two edges that lie back to back.
func (r *ring) fold(k, next int) {
	tip, end := r.corner[next], r.corner[(next+1)%len(r.corner)]
	if tip.dist(r.corner[k]) <= tip.dist(end) {
		r.corner[next] = r.corner[k]
		r.drop(k)
	} else {
		r.drop(next)
	}
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
