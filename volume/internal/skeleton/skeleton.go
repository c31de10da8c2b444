// Package skeleton follows the level sections of banks that are planes along the
// edges of a polygon: the wavefront of a weighted straight skeleton. Each edge of the
// outline moves at its own slope, corners stay mitred, and from time to time an edge
// shrinks to nothing or a reflex corner runs into an edge and splits the section in
// two (Aichholzer, Aurenhammer, Alberts and Gärtner, A Novel Type of Skeleton for
// Polygons, Journal of Universal Computer Science 1(12), 1995). Between such events
// corners move straight, so the area is a quadratic of the height. A section that
// begins without islands never merges with another, so that every ring is followed
// by itself.
package skeleton

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// front is an edge that moves: n·p = c + w·t with the unit normal n to the left
// of its direction.
type front struct {
	nx, ny, c, w float64
	slant        float64 // bank per height
}

// along returns how far p lies in the direction of f.
func (f *front) along(p Vec) float64 { return p.X*f.ny - p.Y*f.nx }

// ahead returns how far p lies in front of f at time t.
func (f *front) ahead(p Vec, t float64) float64 { return p.X*f.nx + p.Y*f.ny - f.c - f.w*t }

// Skeleton is what [Follow] finds.
type Skeleton struct {
	Rings []Ring  // with the time that each of them lasts
	End   float64 // the time up to which the fronts were followed
	Looks int     // at pairs of a corner and an edge

	fronts []front
	eps    float64 // places closer than this are one
}

// MaxCorners bounds an outline to follow, since every pair of edges is looked at in
// every event.
const MaxCorners = 500

// Parallel is the sine of an angle taken for none.
const Parallel = 1e-9

// Stuck says at which time the wavefront could not be followed.
type Stuck float64

// Error says so in words.
func (e Stuck) Error() string {
	return fmt.Sprintf("wavefront cannot be followed past %g", float64(e))
}

// Follow runs the wavefront of the counterclockwise or clockwise outline, whose
// interior, or exterior, lies to the left of its edges. Places closer than 1e-10
// of its size are one; an outline with features of just that size, such as a
// plan on a grid that rounding has disturbed, is tried again with 1e-8.
func Follow(outline []Vec, slopes []float64, end float64) (*Skeleton, error) {
	s := &Skeleton{End: end}
	n := len(outline)
	var size float64
	for i, p := range outline {
		q := outline[(i+1)%n]
		l := p.Dist(q)
		f := front{nx: (p.Y - q.Y) / l, ny: (q.X - p.X) / l, w: slopes[i], slant: Slant(slopes[i])}
		f.c = f.nx*p.X + f.ny*p.Y
		s.fronts = append(s.fronts, f)
		size = max(size, math.Hypot(p.X, p.Y), l)
	}
	s.eps = 1e-10 * size
	first := s.run(outline)
	if first == nil {
		return s, nil
	}
	s.eps, s.Rings = 1e-8*size, nil
	if s.run(outline) == nil {
		return s, nil
	}
	return nil, first
}

// run follows every ring that comes from the outline to its end.
func (s *Skeleton) run(outline []Vec) error {
	start := Ring{Corner: slices.Clone(outline)}
	for i := range outline {
		start.Edges = append(start.Edges, i)
	}
	queue, err := s.tidy(start, 0)
	for steps := 0; err == nil && len(queue) > 0; steps++ {
		r := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		if steps > 20*len(outline) {
			return Stuck(r.From)
		}
		var next []Ring
		next, err = s.step(r)
		queue = append(queue, next...)
	}
	return err
}

// step carries r to its next event, keeps it, and returns what comes out of the
// event.
func (s *Skeleton) step(r Ring) ([]Ring, error) {
	n := len(r.Edges)
	r.Move = make([]Vec, n)
	for k := range n {
		v, ok := s.velocity(r.Edges[(k+n-1)%n], r.Edges[k])
		if !ok {
			return nil, Stuck(r.From)
		}
		r.Move[k] = v
	}
	dt, corner, edge := s.nextEvent(&r)
	if r.Until = r.From + dt; !(r.Until < s.End) {
		r.Until, dt = s.End, s.End-r.From
	}
	if err := s.keep(r, dt); err != nil {
		return nil, err
	}
	if r.Until == s.End {
		return nil, nil
	}
	now := Ring{Edges: slices.Clone(r.Edges), Corner: make([]Vec, n), From: r.Until}
	for k := range n {
		now.Corner[k] = r.Corner[k].Add(r.Move[k], dt)
	}
	if corner < 0 {
		return s.tidy(now, r.Until)
	}
	// The corner meets the edge: one part runs from it to the edge, the other
	// from the edge back to it, and both own a piece of the edge.
	first, second := now.part(corner, edge+1), now.part(edge, corner)
	second.Corner[0] = now.Corner[corner]
	return s.both(first, second, r.Until)
}

// velocity returns how the corner between the edges a and b moves: with a at its
// slope, and along it so that it keeps up with b.
func (s *Skeleton) velocity(a, b int) (Vec, bool) {
	f, g := &s.fronts[a], &s.fronts[b]
	sin := f.sine(g)
	if math.Abs(sin) < Parallel {
		return Vec{}, false
	}
	// Where the edges are nearly in line, 1 - cos is all that counts.
	cos := f.nx*g.nx + f.ny*g.ny
	less := 1 - cos
	if cos > 0 {
		less = sin * sin / (1 + cos)
	}
	along := (f.w - g.w - f.w*less) / sin
	return Vec{f.w*f.nx + along*f.ny, f.w*f.ny - along*f.nx}, true
}

// sine returns the sine of the turn from f to g without cancellation.
func (f *front) sine(g *front) float64 {
	p := f.ny * g.nx
	return math.FMA(f.nx, g.ny, -p) - math.FMA(f.ny, g.nx, -p)
}

// nextEvent returns the time to the next event of r, and the corner and the edge
// that meet in it, or -1 when an edge vanishes.
func (s *Skeleton) nextEvent(r *Ring) (dt float64, corner, edge int) {
	n := len(r.Edges)
	dt, corner, edge = math.Inf(1), -1, -1
	for k := range n {
		f, next := &s.fronts[r.Edges[k]], (k+1)%n
		length := f.along(r.Corner[next]) - f.along(r.Corner[k])
		if rate := f.along(r.Move[next]) - f.along(r.Move[k]); rate < 0 {
			if t := max(length, 0) / -rate; t < dt {
				dt, corner, edge = t, -1, -1
			}
		}
	}
	for k := range n {
		before := (k + n - 1) % n
		if f, g := &s.fronts[r.Edges[before]], &s.fronts[r.Edges[k]]; f.nx*g.ny-f.ny*g.nx >= 0 {
			continue // only a reflex corner can run into an edge
		}
		s.Looks += n
		for j := range n {
			if j == k || j == before {
				continue
			}
			f := &s.fronts[r.Edges[j]]
			ahead := f.ahead(r.Corner[k], r.From)
			rate := f.nx*r.Move[k].X + f.ny*r.Move[k].Y - f.w
			if ahead < -s.eps || rate >= 0 {
				continue
			}
			t := max(ahead, 0) / -rate
			if t >= dt {
				continue
			}
			x := f.along(r.Corner[k].Add(r.Move[k], t))
			from := f.along(r.Corner[j].Add(r.Move[j], t))
			to := f.along(r.Corner[(j+1)%n].Add(r.Move[(j+1)%n], t))
			if x >= from-s.eps && x <= to+s.eps {
				dt, corner, edge = t, k, j
			}
		}
	}
	return dt, corner, edge
}

// keep records r. The ring halfway to its event must be a simple
// polygon: whatever went wrong before shows there.
func (s *Skeleton) keep(r Ring, dt float64) error {
	if dt <= 0 {
		return nil
	}
	n := len(r.Edges)
	half := make(plane.Polygon, n)
	var moved float64
	for k := range n {
		moved = max(moved, dt*math.Hypot(r.Move[k].X, r.Move[k].Y))
		p := r.Corner[k].Add(r.Move[k], dt/2)
		half[k] = plane.Point{X: units.Length(p.X), Y: units.Length(p.Y)}
	}
	// Between events of one moment corners may still touch, within rounding.
	if moved > s.eps && !s.empty(&r) {
		if err := half.Check(); err != nil {
			return errors.Join(Stuck(r.From), err)
		}
	}
	s.Rings = append(s.Rings, r)
	return nil
}

// Slant returns the length along a bank of slope z per unit of height.
func Slant(z float64) float64 { return math.Sqrt(1 + z*z) }

// Backward returns the outline in the other direction, with the slopes of its
// edges.
func Backward(outline []Vec, slopes []float64) ([]Vec, []float64) {
	n := len(outline)
	out, z := make([]Vec, n), make([]float64, n)
	for i := range n {
		out[i] = outline[n-1-i]
		z[i] = slopes[(2*n-2-i)%n]
	}
	return out, z
}

// BankBetween returns the area, along the slope, of the banks that the wavefront
// leaves between two times.
func (s *Skeleton) BankBetween(from, to float64) float64 {
	var area float64
	for _, r := range s.Rings {
		a, b := max(r.From, from)-r.From, min(r.Until, to)-r.From
		if b <= a {
			continue
		}
		for k, e := range r.Edges {
			f, next := &s.fronts[e], (k+1)%len(r.Edges)
			length := f.along(r.Corner[next]) - f.along(r.Corner[k])
			rate := f.along(r.Move[next]) - f.along(r.Move[k])
			area += (b - a) * f.slant * (length + (a+b)/2*rate)
		}
	}
	return area
}

// Last returns the time up to which the wavefront encloses something.
func (s *Skeleton) Last() float64 {
	var last float64
	for _, r := range s.Rings {
		last = max(last, r.Until)
	}
	return last
}

// Volume returns the content that the wavefront sweeps, time taken for height.
func (s *Skeleton) Volume() float64 {
	var v float64
	for _, r := range s.Rings {
		a, b, c := r.Area()
		x := r.Until - r.From
		v += x * (a + x*(b/2+x*c/3))
	}
	return v
}

// Vecs returns the corners of an outline about the middle of its bounds, and that
// middle.
func Vecs(outline plane.Polygon) (corners []Vec, middle plane.Point) {
	low, high := outline.Bounds()
	middle = plane.Point{X: low.X + (high.X-low.X)/2, Y: low.Y + (high.Y-low.Y)/2}
	for _, c := range outline {
		corners = append(corners, Vec{float64(c.X - middle.X), float64(c.Y - middle.Y)})
	}
	return corners, middle
}

// TurnAt returns the change of direction at corner i, positive to the left.
func TurnAt(p plane.Polygon, i int) float64 {
	n := len(p)
	a, b := p[i].Sub(p[(i+n-1)%n]), p[(i+1)%n].Sub(p[i])
	return Vec{float64(a.X), float64(a.Y)}.Turn(Vec{float64(b.X), float64(b.Y)})
}
