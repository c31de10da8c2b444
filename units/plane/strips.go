package plane

import (
	"cmp"
	"math"
	"slices"

	"example.org/earthbasin/units"
)

// curve is a side or half a circle, which has one y for each x.
type curve struct {
	x0, x1 float64 // x0 < x1
	y0, y1 float64 // of a side
	cx, cy float64 // of half a circle
	r      float64 // 0 for a side
	upper  bool    // of half a circle
	owner  int     // -1 for the field, else the number of the setback
	shape  int     // curves of one shape do not cross
	point  int     // of the setback, at which the shape stands
}

func (c *curve) at(x float64) float64 {
	if c.r > 0 {
		u := min(c.r, max(-c.r, x-c.cx))
		h := math.Sqrt((c.r - u) * (c.r + u))
		if c.upper {
			return c.cy + h
		}
		return c.cy - h
	}
	switch {
	case x <= c.x0:
		return c.y0
	case x >= c.x1:
		return c.y1
	}
	return c.y0 + (c.y1-c.y0)*((x-c.x0)/(c.x1-c.x0))
}

// integral returns the area between the x axis and the curve from a to b.
func (c *curve) integral(a, b float64) float64 {
	if c.r == 0 {
		return (c.at(a) + c.at(b)) / 2 * (b - a)
	}
	half := func(x float64) float64 {
		u := min(c.r, max(-c.r, x-c.cx))
		return (u*math.Sqrt((c.r-u)*(c.r+u)) + c.r*c.r*math.Asin(u/c.r)) / 2
	}
	h := half(b) - half(a)
	if !c.upper {
		h = -h
	}
	return c.cy*(b-a) + h
}

// bounds returns the least and the greatest y.
func (c *curve) bounds() (low, high float64) {
	if c.r > 0 {
		return c.cy - c.r, c.cy + c.r
	}
	return min(c.y0, c.y1), max(c.y0, c.y1)
}

// strips is the plane between stops of a line that goes over it from west to east. All
// numbers are metres from the middle of the field.
//
// A setback is the union of many shapes. What lies inside it, within reach of another
// part of the feature, is hidden: no stop is made there, so that the work grows with the
// outline of the union and not with all that crosses inside.
type strips struct {
	spec      *SetbacksSpec
	origin    Point
	curves    []curve
	low, high float64 // x of the field
	bottom    float64 // y of the field
	top       float64
	shapes    int
	stops     []float64
	r         SetbacksResult
	kept      outline
	taken     outline
}

func newStrips(spec *SetbacksSpec) *strips {
	low, high := spec.Areas[0].Outer.Bounds()
	for _, a := range spec.Areas[1:] {
		l, h := a.Outer.Bounds()
		low, high = Point{min(low.X, l.X), min(low.Y, l.Y)}, Point{max(high.X, h.X), max(high.Y, h.Y)}
	}
	s := &strips{spec: spec, origin: low.Toward(high, 0.5)}
	s.low, s.high = float64(low.X-s.origin.X), float64(high.X-s.origin.X)
	s.bottom, s.top = float64(low.Y-s.origin.Y), float64(high.Y-s.origin.Y)
	n := len(spec.Setbacks)
	s.r.Each, s.r.Only = make([]units.Area, n), make([]units.Area, n)
	for _, a := range spec.Areas {
		for _, ring := range append([]Polygon{a.Outer}, a.Holes...) {
			s.shapes++
			for i, p := range ring {
				s.side(p.Sub(s.origin), ring[(i+1)%len(ring)].Sub(s.origin), -1, i)
			}
		}
	}
	for i := range spec.Setbacks {
		s.setback(i, &spec.Setbacks[i])
	}
	return s
}

// side adds a side but for an upright one, which bounds no strip. Where a side is upright
// or nearly, the place at which it is crossed says little, and the line always stops.
func (s *strips) side(p, q Point, owner, point int) {
	if q.X < p.X {
		p, q = q, p
	}
	if q.X-p.X <= upright*abs(q.Y-p.Y) {
		s.stops = append(s.stops, float64(p.X), float64(q.X))
	}
	if p.X < q.X && float64(q.X) >= s.low && float64(p.X) <= s.high {
		s.curves = append(s.curves, curve{x0: float64(p.X), x1: float64(q.X), y0: float64(p.Y), y1: float64(q.Y), owner: owner, shape: s.shapes, point: point})
	}
}

// setback adds the shapes whose union is a setback: a circle around each corner, a
// rectangle along each side, and the area of a closed one.
func (s *strips) setback(i int, b *Setback) {
	d := float64(b.Distance)
	if b.Closed {
		s.shapes++
		for j, p := range b.Points {
			s.side(p.Sub(s.origin), b.Points[(j+1)%len(b.Points)].Sub(s.origin), i, j)
		}
	}
	if d == 0 {
		return
	}
	last := len(b.Points) - 1
	for j, p := range b.Points {
		if j == 0 || p != b.Points[j-1] {
			s.circle(p.Sub(s.origin), d, i, j)
		}
		if j == last && !b.Closed {
			break
		}
		q := b.Points[(j+1)%len(b.Points)]
		way := math.Hypot(float64(q.X-p.X), float64(q.Y-p.Y))
		if way == 0 {
			continue
		}
		n := Point{units.Length(-float64(q.Y-p.Y) / way * d), units.Length(float64(q.X-p.X) / way * d)}
		a, c := p.Sub(s.origin), q.Sub(s.origin)
		if !s.near(min(a.X, c.X), min(a.Y, c.Y), max(a.X, c.X), max(a.Y, c.Y), d) {
			continue
		}
		s.shapes++
		corners := []Point{{a.X + n.X, a.Y + n.Y}, a.Sub(n), c.Sub(n), {c.X + n.X, c.Y + n.Y}}
		for k, from := range corners {
			s.side(from, corners[(k+1)%4], i, j)
		}
	}
}

// near reports whether a box with a border of d reaches the box of the field.
func (s *strips) near(x0, y0, x1, y1 units.Length, d float64) bool {
	return float64(x1)+d >= s.low && float64(x0)-d <= s.high && float64(y1)+d >= s.bottom && float64(y0)-d <= s.top
}

// upright is the way east for one north up to which a side counts as upright.
const upright = 1e-6

func (s *strips) circle(p Point, r float64, owner, point int) {
	if !s.near(p.X, p.Y, p.X, p.Y, r) {
		return
	}
	s.shapes++
	c := curve{cx: float64(p.X), cy: float64(p.Y), r: r, owner: owner, shape: s.shapes, point: point}
	c.x0, c.x1 = c.cx-r, c.cx+r
	for _, c.upper = range []bool{true, false} {
		s.curves = append(s.curves, c)
	}
}

// hidden reports whether a place on the curve c lies inside its setback, by the parts of
// the feature next to the curve first.
func (s *strips) hidden(c *curve, x, y float64) bool {
	if c.owner < 0 {
		return false
	}
	b := &s.spec.Setbacks[c.owner]
	d := float64(b.Distance) - onEdge
	if d <= 0 {
		return false
	}
	q := Point{units.Length(x), units.Length(y)}
	n := len(b.Points)
	for k := 0; k <= n/2; k++ {
		if s.within(b, (c.point+k)%n, q, d) || s.within(b, (c.point-k+n)%n, q, d) {
			return true
		}
	}
	return b.Closed && Polygon(b.Points).Contains(Point{q.X + s.origin.X, q.Y + s.origin.Y})
}

// onEdge is how far inside a setback a place still counts as on its edge, in metres: far
// above the rounding of numbers.
const onEdge = 1e-8

// within reports whether q is nearer than d to the side of b from its point i.
func (s *strips) within(b *Setback, i int, q Point, d float64) bool {
	p := b.Points[i].Sub(s.origin)
	v := q.Sub(p)
	if i+1 == len(b.Points) && !b.Closed {
		return float64(v.X*v.X+v.Y*v.Y) < d*d
	}
	u := b.Points[(i+1)%len(b.Points)].Sub(s.origin).Sub(p)
	if l := float64(u.X*u.X + u.Y*u.Y); l > 0 {
		t := units.Length(min(1, max(0, float64(u.X*v.X+u.Y*v.Y)/l)))
		v = Point{v.X - t*u.X, v.Y - t*u.Y}
	}
	return float64(v.X*v.X+v.Y*v.Y) < d*d
}

// cross finds the stops: where curves begin, end and cross on the edge of their
// setbacks. It reports whether the work is within its bound.
func (s *strips) cross() bool {
	inField := func(x float64) bool { return x > s.low && x < s.high }
	s.stops = slices.DeleteFunc(s.stops, func(x float64) bool { return !inField(x) })
	s.stops = append(s.stops, s.low, s.high)
	// The lower half of a circle begins, ends and crosses where the upper half, taken as
	// the whole circle, does.
	order := make([]int32, 0, len(s.curves))
	for i := range s.curves {
		c := &s.curves[i]
		if c.r > 0 && !c.upper {
			continue
		}
		order = append(order, int32(i))
		for _, x := range [2]float64{c.x0, c.x1} {
			if inField(x) && !s.hidden(c, x, c.at(x)) {
				s.stops = append(s.stops, x)
			}
		}
	}
	slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(s.curves[a].x0, s.curves[b].x0) })
	var under []int32
	steps := 0
	for _, i := range order {
		c := &s.curves[i]
		low, high := c.bounds()
		n := 0
		for _, j := range under {
			d := &s.curves[j]
			if d.x1 < c.x0 {
				continue
			}
			under[n] = j
			n++
			if l, h := d.bounds(); c.shape != d.shape && l <= high && low <= h {
				crossings(c, d, func(x, y float64) {
					if inField(x) && !s.hidden(c, x, y) && !s.hidden(d, x, y) {
						s.stops = append(s.stops, x)
					}
				})
			}
		}
		under = append(under[:n], i)
		if steps += n; steps > mostSweep || len(s.stops) > mostSweep/10 {
			return false
		}
	}
	slices.Sort(s.stops)
	// Stops that are one but for rounding are one.
	apart := 1e-12 * max(s.high-s.low, s.top-s.bottom)
	n := 0
	for _, x := range s.stops {
		if n == 0 || x-s.stops[n-1] > apart {
			s.stops[n] = x
			n++
		}
	}
	s.stops[n-1] = s.high
	s.stops = s.stops[:n]
	return true
}

// crossings calls stop for every place at which two curves may cross.
func crossings(c, d *curve, stop func(x, y float64)) {
	switch {
	case c.r > 0 && d.r > 0:
		circles(c, d, stop)
	case c.r > 0:
		lineCircle(d, c, stop)
	case d.r > 0:
		lineCircle(c, d, stop)
	default:
		lines(c, d, stop)
	}
}

func lines(c, d *curve, stop func(x, y float64)) {
	x0, x1 := max(c.x0, d.x0), min(c.x1, d.x1)
	if !(x0 < x1) {
		return
	}
	at0, at1 := c.at(x0)-d.at(x0), c.at(x1)-d.at(x1)
	if at0 < 0 && at1 > 0 || at0 > 0 && at1 < 0 {
		x := x0 + (x1-x0)*(at0/(at0-at1))
		stop(x, c.at(x))
	}
}

// lineCircle takes the side c and the whole circle of d.
func lineCircle(c, d *curve, stop func(x, y float64)) {
	px, py := c.x0-d.cx, c.y0-d.cy
	dx, dy := c.x1-c.x0, c.y1-c.y0
	way := math.Hypot(dx, dy)
	ux, uy := dx/way, dy/way
	along, off := -(px*ux + py*uy), px*uy-py*ux
	if math.Abs(off) > d.r {
		return
	}
	h := math.Sqrt((d.r - off) * (d.r + off))
	for _, t := range [2]float64{along - h, along + h} {
		if t > 0 && t < way {
			stop(c.x0+t*ux, c.y0+t*uy)
		}
	}
}

func circles(c, d *curve, stop func(x, y float64)) {
	dx, dy := d.cx-c.cx, d.cy-c.cy
	way := math.Hypot(dx, dy)
	if way == 0 || way > c.r+d.r || way < math.Abs(c.r-d.r) {
		return
	}
	along := (way*way + (c.r-d.r)*(c.r+d.r)) / (2 * way)
	h := math.Sqrt(max(0, (c.r-along)*(c.r+along)))
	mx, my := c.cx+along*dx/way, c.cy+along*dy/way
	stop(mx-h*dy/way, my+h*dx/way)
	stop(mx+h*dy/way, my-h*dx/way)
}

// inside is what a place is in.
type inside struct {
	field   int   // parity
	shapes  []int // of each setback, that the place is in
	parity  []int // of each shape
	covered []int // setbacks that the place is in
}

// step crosses the curve upward.
func (in *inside) step(c *curve) {
	if c.owner < 0 {
		in.field ^= 1
		return
	}
	if in.parity[c.shape] ^= 1; in.parity[c.shape] == 1 {
		if in.shapes[c.owner]++; in.shapes[c.owner] == 1 {
			in.covered = append(in.covered, c.owner)
		}
		return
	}
	if in.shapes[c.owner]--; in.shapes[c.owner] == 0 {
		i := slices.Index(in.covered, c.owner)
		in.covered = slices.Delete(in.covered, i, i+1)
	}
}

// run goes over the plane, adds up the areas and keeps the strips of both outlines. It
// reports whether the work is within its bound.
func (s *strips) run() bool {
	order := make([]int32, len(s.curves))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(s.curves[a].x0, s.curves[b].x0) })
	in := inside{shapes: make([]int, len(s.r.Each)), parity: make([]int, s.shapes+1)}
	var under []int32
	height, whole := make([]float64, len(s.curves)), make([]float64, len(s.curves))
	work := 0
	for k := 0; k+1 < len(s.stops); k++ {
		a, b := s.stops[k], s.stops[k+1]
		x := a + (b-a)/2
		// Of two sides that meet at x the one that begins there counts.
		under = slices.DeleteFunc(under, func(i int32) bool { return s.curves[i].x1 <= x })
		for len(order) > 0 && s.curves[order[0]].x0 <= x {
			if s.curves[order[0]].x1 > x {
				under = append(under, order[0])
			}
			order = order[1:]
		}
		for _, i := range under {
			c := &s.curves[i]
			height[i] = c.at(x)
			whole[i] = c.at(a) + c.at(b) // tells apart what touches in the middle
		}
		above := func(i, j int32) bool {
			return height[i] > height[j] || height[i] == height[j] && whole[i] > whole[j]
		}
		// Nearly in order from the strip before.
		for i := 1; i < len(under); i++ {
			for j := i; j > 0 && above(under[j-1], under[j]); j-- {
				under[j], under[j-1] = under[j-1], under[j]
				work++
			}
		}
		if work += len(under); work > mostSweep {
			return false
		}
		in.field = 0
		var below float64 // integral of the last curve at which anything changed
		for _, i := range under {
			c := &s.curves[i]
			was := in.class()
			if in.changes(c) {
				at := c.integral(a, b)
				if in.field == 1 {
					s.add(&in, units.Area(max(0, at-below)))
				}
				below = at
			}
			in.step(c)
			if now := in.class(); now != was {
				s.kept.turn(k, i, was == classKept, now == classKept)
				s.taken.turn(k, i, was == classTaken, now == classTaken)
			}
		}
	}
	return true
}

// add counts an area that is in all of in.
func (s *strips) add(in *inside, area units.Area) {
	s.r.Whole += area
	if len(in.covered) == 0 {
		s.r.Left += area
	} else {
		s.r.Off += area
	}
	for _, o := range in.covered {
		s.r.Each[o] += area
	}
	if len(in.covered) == 1 {
		s.r.Only[in.covered[0]] += area
	}
}

// changes reports whether crossing the curve upward changes the field or a setback that
// the place is in, and not only the shapes of one.
func (in *inside) changes(c *curve) bool {
	if c.owner < 0 {
		return true
	}
	if in.parity[c.shape] == 0 {
		return in.shapes[c.owner] == 0
	}
	return in.shapes[c.owner] == 1
}

type class int

const (
	classNone class = iota
	classKept
	classTaken
)

func (in *inside) class() class {
	switch {
	case in.field == 0:
		return classNone
	case len(in.covered) == 0:
		return classKept
	}
	return classTaken
}
