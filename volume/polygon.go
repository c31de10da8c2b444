package volume

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// PolygonSpec is the plan of a basin with a level floor and plane banks along the
// edges of a polygon.
type PolygonSpec struct {
	// Outline is the ring of corners at the level At, convex or not, in either
	// direction, of at most 500 corners.
	Outline plane.Polygon `json:"outline"`
	At      Reference     `json:"at"`
	// Depth is the height of the top of the bank over the floor.
	Depth units.Length `json:"depth"`
	// WaterDepth is the height of the water line over the floor; given only
	// with ReferenceWaterLine.
	WaterDepth units.Length `json:"waterDepth,omitzero"`
	// Slopes are horizontal per vertical, 0 to 1000: one for all banks, or one
	// for each edge, that from corner i to corner i+1 at i.
	Slopes []float64 `json:"slopes"`
	// CornerRadius rounds every corner at the level At; banks are cones there.
	// Only a convex outline with one slope can have it.
	CornerRadius units.Length `json:"cornerRadius,omitzero"`
	// Islands are refused: the banks around an island meet those of the outline
	// in ridges that this solid does not follow. Take the island off as a solid
	// of its own where it stands clear of the banks.
	Islands []plane.Polygon `json:"islands,omitempty"`
}

// Polygon is a basin whose banks are planes along the edges of a polygon, with
// mitred corners, or cones at rounded ones. On the way down an arm may end in a
// ridge above the floor, and the section may come apart into several.
type Polygon struct {
	pieces
	centre    plane.Point
	level     float64 // height of the outline
	inward    *skeleton
	outward   *skeleton
	slopeArea float64
	radius    float64
}

// mostCorners bounds the outline, since every pair of edges is looked at in every
// event.
const mostCorners = 500

// NewPolygon returns the basin of spec. Every fault of the outline is listed. A
// basin that closes above its floor is a fault that names the depth at which it
// does, and so is one whose banks meet in a way that cannot be followed, such as
// two edges that come to lie in one line with different slopes.
func NewPolygon(spec PolygonSpec) (*Polygon, error) {
	var f units.Faults
	if len(spec.Outline) > mostCorners {
		f.Add("outline", len(spec.Outline), fmt.Sprintf("at most %d corners", mostCorners))
		return nil, f.Err()
	}
	f.Sub("outline", checkOutline(spec.Outline))
	level, slopes := checkPlan(&f, spec.At, spec.Depth, spec.WaterDepth, spec.Slopes, len(spec.Outline))
	f.NotNegative("cornerRadius", spec.CornerRadius)
	if len(spec.Islands) > 0 {
		f.Add("islands", len(spec.Islands), "none: the banks of an island meet those of the outline in ridges that are not followed")
	}
	if f.Err() == nil {
		low, high := spec.Outline.Bounds()
		f.Between("outline", max(high.X-low.X, high.Y-low.Y), leastSide, mostSide)
		checkCorners(&f, spec, slopes)
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	low, high := spec.Outline.Bounds()
	p := &Polygon{centre: plane.Point{X: low.X + (high.X-low.X)/2, Y: low.Y + (high.Y-low.Y)/2},
		level: float64(level), radius: float64(spec.CornerRadius)}
	in := make([]vec, len(spec.Outline))
	for i, c := range spec.Outline {
		in[i] = vec{float64(c.X - p.centre.X), float64(c.Y - p.centre.Y)}
	}
	out, outSlopes := backward(in, slopes)
	if spec.Outline.SignedArea() < 0 {
		in, slopes, out, outSlopes = out, outSlopes, in, slopes
	}
	below, above := float64(level), float64(spec.Depth-level)
	var err error
	if p.inward, err = follow(in, slopes, below); err != nil {
		return nil, stuck(err, spec.Depth, "below")
	}
	if p.outward, err = follow(out, outSlopes, above); err != nil {
		return nil, stuck(err, spec.Depth, "above")
	}
	if closed := p.inward.last(); closed < below*(1-slack) {
		f.Add("depth", spec.Depth, fmt.Sprintf("at most %s, where the banks have met everywhere", units.Length(closed+above).Trade()))
		return nil, f.Err()
	}
	p.build(spec, slopes[0])
	return p, nil
}

// stuck turns the failure of a wavefront into a fault.
func stuck(err error, depth units.Length, where string) error {
	var at errStuck
	errors.As(err, &at)
	return &units.FieldError{Field: "depth", Value: depth.Trade(), Want: fmt.Sprintf(
		"at most %s %s the level of the outline, where banks meet in a way that cannot be followed", units.Length(at).Trade(), where)}
}

// checkCorners records corners at which one bank would have two slopes, and a
// radius that does not fit.
func checkCorners(f *units.Faults, spec PolygonSpec, slopes []float64) {
	n := len(spec.Outline)
	sign := math.Copysign(1, float64(spec.Outline.SignedArea()))
	uniform := !slices.ContainsFunc(slopes, func(z float64) bool { return z != slopes[0] })
	tangent := make([]float64, n) // from corner to arc, per radius
	for i := range n {
		turn := turnAt(spec.Outline, i)
		if math.Abs(math.Sin(turn)) < parallel && slopes[i] != slopes[(i+n-1)%n] {
			f.Add(fmt.Sprintf("slopes[%d]", i), slopes[i], fmt.Sprintf("%g, that of the edge before it in the same line", slopes[(i+n-1)%n]))
		}
		if tangent[i] = math.Tan(turn * sign / 2); spec.CornerRadius > 0 && turn*sign < 0 {
			f.Add("cornerRadius", spec.CornerRadius, fmt.Sprintf("nothing, since corner %d turns inward", i))
			return
		}
	}
	if spec.CornerRadius == 0 {
		return
	}
	if !uniform {
		f.Add("cornerRadius", spec.CornerRadius, "nothing where banks have different slopes")
	}
	for i, c := range spec.Outline {
		j := (i + 1) % n
		l := float64(c.Distance(spec.Outline[j]))
		if need := tangent[i] + tangent[j]; float64(spec.CornerRadius)*need > l*(1+slack) {
			f.Add("cornerRadius", spec.CornerRadius, fmt.Sprintf("at most %s, which fits on the edge from corner %d", units.Length(l/need).Trade(), i))
		}
	}
}

// turnAt returns the change of direction at corner i, positive to the left.
func turnAt(p plane.Polygon, i int) float64 {
	n := len(p)
	a, b := p[i].Sub(p[(i+n-1)%n]), p[(i+1)%n].Sub(p[i])
	u, v := vec{float64(a.X), float64(a.Y)}, vec{float64(b.X), float64(b.Y)}
	return math.Atan2(u.cross(v), u.x*v.x+u.y*v.y)
}

// backward returns the outline in the other direction, with the slopes of its
// edges.
func backward(outline []vec, slopes []float64) ([]vec, []float64) {
	n := len(outline)
	out, z := make([]vec, n), make([]float64, n)
	for i := range n {
		out[i] = outline[n-1-i]
		z[i] = slopes[(2*n-2-i)%n]
	}
	return out, z
}

// last returns the time up to which the wavefront encloses something.
func (s *skeleton) last() float64 {
	var last float64
	for _, r := range s.rings {
		last = max(last, r.until)
	}
	return last
}

// build adds up the rings. Time runs downward from the outline in the inward
// skeleton and upward in the outward one.
func (p *Polygon) build(spec PolygonSpec, slope float64) {
	depth := float64(spec.Depth)
	var spans []span
	for _, r := range p.inward.rings {
		a, b, c := r.area()
		x := r.until - r.from
		spans = append(spans, span{p.level - r.until, p.level - r.from, a + x*(b+x*c), -b - 2*x*c, c})
	}
	for _, r := range p.outward.rings {
		a, b, c := r.area()
		spans = append(spans, span{p.level + r.from, p.level + r.until, -a, -b, -c})
	}
	p.slopeArea = p.inward.bank + p.outward.bank
	if p.radius > 0 {
		// Between its arc of radius R and its mitre a corner that turns by θ has
		// R²(tan θ/2 - θ/2). R grows upward with the slope.
		var k float64
		for i := range spec.Outline {
			turn := math.Abs(turnAt(spec.Outline, i))
			k += math.Tan(turn/2) - turn/2
		}
		low := 0.0 // where R vanishes
		if slope > 0 {
			low = max(p.level-p.radius/slope, 0)
		}
		r := p.radius + slope*(low-p.level)
		spans = append(spans, span{low, depth, -k * r * r, -2 * k * r * slope, -k * slope * slope})
		x := depth - low
		p.slopeArea -= slant(slope) * k * x * (2*r + slope*x)
	}
	p.pieces = sumSpans(spans, depth, 1e-12*depth)
}

// SlopeArea returns the area of the banks measured along the slope.
func (p *Polygon) SlopeArea() units.Area { return units.Area(p.slopeArea) }

// SectionAt returns the outlines of the level section at height h, which are
// counterclockwise, or clockwise around ground that stands out of it. Rounded
// corners are shown mitred.
func (p *Polygon) SectionAt(h units.Length) []plane.Polygon {
	s, t := p.inward, p.level-clamp(h, p.Depth())
	if t < 0 || p.level == 0 {
		s, t = p.outward, -t
	}
	if s == nil {
		return nil
	}
	var list []plane.Polygon
	for _, r := range s.rings {
		if t < r.from || t > r.until || (t == r.until && t < s.end) {
			continue
		}
		ring := make(plane.Polygon, len(r.corner))
		for k := range ring {
			q := r.corner[k].add(r.move[k], t-r.from)
			ring[k] = plane.Point{X: p.centre.X + units.Length(q.x), Y: p.centre.Y + units.Length(q.y)}
		}
		if s == p.outward {
			ring = ring.Reversed()
		}
		list = append(list, ring)
	}
	return list
}
