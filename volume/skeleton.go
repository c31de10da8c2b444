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

// along returns how far p lies in the direction of f.
func (f *front) along(p vec) float64 { return p.x*f.ny - p.y*f.nx }

// ahead returns how far p lies in front of f at time t.
func (f *front) ahead(p vec, t float64) float64 { return p.x*f.nx + p.y*f.ny - f.c - f.w*t }

// skeleton follows fronts from time 0 to end. Its rings, with the time each of
// them lasts, are the result.
type skeleton struct {
	fronts []front
	end    float64
	eps    float64 // places closer than this are one
	rings  []ring
	bank   float64 // area of the banks along the slope
	looks  int     // at pairs of a corner and an edge
}

// parallel is the sine of an angle taken for none.
const parallel = 1e-9

// errStuck says at which time the wavefront could not be followed.
type errStuck float64

func (e errStuck) Error() string {
	return fmt.Sprintf("wavefront cannot be followed past %g", float64(e))
}

// follow runs the wavefront of the counterclockwise or clockwise outline, whose
// interior, or exterior, lies to the left of its edges. Places closer than 1e-10
// of its size are one; an outline with features of just that size, such as a
// plan on a grid that rounding has disturbed, is tried again with 1e-8.
func follow(outline []vec, slopes []float64, end float64) (*skeleton, error) {
	s := &skeleton{end: end}
	n := len(outline)
	var size float64
	for i, p := range outline {
		q := outline[(i+1)%n]
		l := p.dist(q)
		f := front{nx: (p.y - q.y) / l, ny: (q.x - p.x) / l, w: slopes[i], slant: slant(slopes[i])}
		f.c = f.nx*p.x + f.ny*p.y
		s.fronts = append(s.fronts, f)
		size = max(size, math.Hypot(p.x, p.y), l)
	}
	s.eps = 1e-10 * size
	first := s.run(outline)
	if first == nil {
		return s, nil
	}
	s.eps, s.rings, s.bank = 1e-8*size, nil, 0
	if s.run(outline) == nil {
		return s, nil
	}
	return nil, first
}

// run follows every ring that comes from the outline to its end.
func (s *skeleton) run(outline []vec) error {
	start := ring{corner: slices.Clone(outline)}
	for i := range outline {
		start.edges = append(start.edges, i)
	}
	queue, err := s.tidy(start, 0)
	for steps := 0; err == nil && len(queue) > 0; steps++ {
		r := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		if steps > 20*len(outline) {
			return errStuck(r.from)
		}
		var next []ring
		next, err = s.step(r)
		queue = append(queue, next...)
	}
	return err
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
	if r.until = r.from + dt; !(r.until < s.end) {
		r.until, dt = s.end, s.end-r.from
	}
	if err := s.keep(r, dt); err != nil {
		return nil, err
	}
	if r.until == s.end {
		return nil, nil
	}
	now := ring{edges: slices.Clone(r.edges), corner: make([]vec, n), from: r.until}
	for k := range n {
		now.corner[k] = r.corner[k].add(r.move[k], dt)
	}
	if corner < 0 {
		return s.tidy(now, r.until)
	}
	// The corner meets the edge: one part runs from it to the edge, the other
	// from the edge back to it, and both own a piece of the edge.
	first, second := now.part(corner, edge+1), now.part(edge, corner)
	second.corner[0] = now.corner[corner]
	return s.both(first, second, r.until)
}

// velocity returns how the corner between the edges a and b moves: with a at its
// slope, and along it so that it keeps up with b.
func (s *skeleton) velocity(a, b int) (vec, bool) {
	f, g := &s.fronts[a], &s.fronts[b]
	sin := f.sine(g)
	if math.Abs(sin) < parallel {
		return vec{}, false
	}
	// Where the edges are nearly in line, 1 - cos is all that counts.
	cos := f.nx*g.nx + f.ny*g.ny
	less := 1 - cos
	if cos > 0 {
		less = sin * sin / (1 + cos)
	}
	along := (f.w - g.w - f.w*less) / sin
	return vec{f.w*f.nx + along*f.ny, f.w*f.ny - along*f.nx}, true
}

// sine returns the sine of the turn from f to g without cancellation.
func (f *front) sine(g *front) float64 {
	p := f.ny * g.nx
	return math.FMA(f.nx, g.ny, -p) - math.FMA(f.ny, g.nx, -p)
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
		s.looks += n
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
func (s *skeleton) keep(r ring, dt float64) error {
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
