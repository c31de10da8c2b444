package volume

import (
	"errors"
	"math"
	"slices"
	"sync"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/skeleton"
)

// PolygonSpec is the plan of a basin with a level floor and plane banks along the
// edges of a polygon.
type PolygonSpec struct {
	// Outline is the ring of corners at the level At, convex or not, in either
	// direction, of at most 500 corners.
	Outline plane.Polygon `json:"outline"`
	At      Reference     `json:"at"` // the level of Outline
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
	piecewise
	centre  plane.Point
	banks   banks
	inward  *skeleton.Skeleton
	outward *skeleton.Skeleton
	roofs   func() polygonRoofs // made when a place is first asked for
}

// banks is what the solid is made of: a counterclockwise outline, about the centre,
// at a height over the floor, the slope of each of its edges, and the radius of
// its corners there. The outline may lie below the floor.
type banks struct {
	outline              []skeleton.Vec
	slopes               []float64
	level, depth, radius float64
}

// NewPolygon returns the basin of spec. Every fault of the outline is listed. A
// basin that closes above its floor is a fault that names the depth at which it
// does, and so is one whose banks meet in a way that cannot be followed, such as
// two edges that come to lie in one line with different slopes.
func NewPolygon(spec PolygonSpec) (*Polygon, error) {
	var f units.Faults
	if len(spec.Outline) > skeleton.MaxCorners {
		f.Count("outline", len(spec.Outline), "corners", "at most %v", skeleton.MaxCorners)
		return nil, f.Err()
	}
	f.Sub("outline", spec.Outline.CheckUpTo(skeleton.MaxCorners))
	level, slopes := checkPlan(&f, spec.At, spec.Depth, spec.WaterDepth, spec.Slopes, len(spec.Outline))
	f.ZeroTo("cornerRadius", spec.CornerRadius, units.MaxLength)
	if len(spec.Islands) > 0 {
		f.Count("islands", len(spec.Islands), "islands", "none: their banks meet those of the outline in ridges that are not followed")
	}
	if f.Err() == nil {
		low, high := spec.Outline.Bounds()
		f.Between("outline", max(high.X-low.X, high.Y-low.Y), minSide, units.MaxLength)
		checkCorners(&f, spec, slopes)
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	ring, centre := skeleton.Vecs(spec.Outline)
	if spec.Outline.SignedArea() < 0 {
		ring, slopes = skeleton.Backward(ring, slopes)
	}
	p, err := banks{ring, slopes, float64(level), float64(spec.Depth), float64(spec.CornerRadius)}.solid()
	if err != nil {
		return nil, err
	}
	p.centre = centre
	return p, nil
}

// solid follows the banks down to the floor and up to the top.
func (b banks) solid() (*Polygon, error) {
	p := &Polygon{banks: b}
	depth := units.Length(b.depth)
	out, outSlopes := skeleton.Backward(b.outline, b.slopes)
	below, above := max(b.level, 0), b.depth-b.level
	var err error
	if p.inward, err = skeleton.Follow(b.outline, b.slopes, below); err != nil {
		return nil, stuck(err, depth, "below")
	}
	if p.outward, err = skeleton.Follow(out, outSlopes, above); err != nil {
		return nil, stuck(err, depth, "above")
	}
	if closed := p.inward.Last(); closed < below*(1-slack) {
		var f units.Faults
		f.Add("depth", depth, "at most %v, where the banks have met everywhere", units.Length(closed+above))
		return nil, f.Err()
	}
	p.build()
	p.roofs = sync.OnceValue(p.makeRoofs)
	return p, nil
}

// stuck turns the failure of a wavefront into a fault.
func stuck(err error, depth units.Length, where string) error {
	var at skeleton.Stuck
	errors.As(err, &at)
	return units.Fault(units.FaultRange, "depth", depth, "at most %s %s the level of the outline, where banks meet in a way that cannot be followed", units.Length(at), where)
}

// checkCorners records corners at which one bank would have two slopes, and a
// radius that does not fit.
func checkCorners(f *units.Faults, spec PolygonSpec, slopes []float64) {
	n := len(spec.Outline)
	sign := math.Copysign(1, float64(spec.Outline.SignedArea()))
	uniform := !slices.ContainsFunc(slopes, func(z float64) bool { return z != slopes[0] })
	tangent := make([]float64, n) // from corner to arc, per radius
	for i := range n {
		turn := skeleton.TurnAt(spec.Outline, i)
		if math.Abs(math.Sin(turn)) < skeleton.Parallel && slopes[i] != slopes[(i+n-1)%n] {
			at := f.At("slopes", i)
			at.Add("", slopes[i], "%v, that of the edge before it in the same line", slopes[(i+n-1)%n])
		}
		if tangent[i] = math.Tan(turn * sign / 2); spec.CornerRadius > 0 && turn*sign < 0 {
			f.Fault(units.FaultConflict, "cornerRadius", spec.CornerRadius, "left out, since corner %v turns inward", i)
			return
		}
	}
	if spec.CornerRadius == 0 {
		return
	}
	if !uniform {
		f.Fault(units.FaultConflict, "cornerRadius", spec.CornerRadius, "left out where banks have different slopes")
	}
	for i, c := range spec.Outline {
		j := (i + 1) % n
		l := float64(c.Distance(spec.Outline[j]))
		if need := tangent[i] + tangent[j]; float64(spec.CornerRadius)*need > l*(1+slack) {
			f.Add("cornerRadius", spec.CornerRadius, "at most %v, which fits on the edge from corner %v", units.Length(l/need), i)
		}
	}
}

// build adds up the rings. Time runs downward from the outline in the inward
// skeleton and upward in the outward one.
func (p *Polygon) build() {
	b := p.banks
	var spans []span
	for _, r := range p.inward.Rings {
		area, rate, curve := r.Area()
		x := r.Until - r.From
		spans = append(spans, span{b.level - r.Until, b.level - r.From, area + x*(rate+x*curve), -rate - 2*x*curve, curve})
	}
	for _, r := range p.outward.Rings {
		area, rate, curve := r.Area()
		spans = append(spans, span{b.level + r.From, b.level + r.Until, -area, -rate, -curve})
	}
	if b.radius > 0 {
		slope := b.slopes[0]
		low, k := b.sharpest()
		r := b.radius + slope*(low-b.level)
		spans = append(spans, span{low, b.depth, -k * r * r, -2 * k * r * slope, -k * slope * slope})
	}
	p.piecewise = sumSpans(spans, b.depth, 1e-12*b.depth)
}

// Slopes returns the slopes of the banks, horizontal per vertical, counterclockwise
// by edge of the outline.
func (p *Polygon) Slopes() []float64 { return slices.Clone(p.banks.slopes) }

// SlopeAreaAt returns the area of the banks below height h, measured along the slope.
func (p *Polygon) SlopeAreaAt(h units.Length) units.Area {
	if p.inward == nil {
		return 0 // not made by NewPolygon
	}
	x, b := clamp(h, p.Depth()), p.banks
	// Time runs down from the outline in the inward skeleton, up in the outward one.
	area := p.inward.BankBetween(b.level-min(x, b.level), b.level) + p.outward.BankBetween(0, x-b.level)
	return units.Area(area - b.arcs(x))
}

// arcs returns by how much the mitred banks below a height are larger than those with
// rounded corners: between its arc of radius R and its mitre a corner that turns by θ
// has R²(tan θ/2 - θ/2), and R grows upward with the slope.
func (b banks) arcs(h float64) float64 {
	if b.radius == 0 {
		return 0
	}
	low, k := b.sharpest()
	if h <= low {
		return 0
	}
	slope := b.slopes[0]
	r, x := b.radius+slope*(low-b.level), h-low
	return skeleton.Slant(slope) * k * x * (2*r + slope*x)
}

// sharpest returns the height at which the radius of the rounded corners vanishes, or
// the floor, and the sum of tan θ/2 - θ/2 over the corners.
func (b banks) sharpest() (low, k float64) {
	n := len(b.outline)
	for i, c := range b.outline {
		half := math.Abs(c.Add(b.outline[(i+n-1)%n], -1).Turn(b.outline[(i+1)%n].Add(c, -1))) / 2
		k += math.Tan(half) - half
	}
	if slope := b.slopes[0]; slope > 0 {
		low = max(b.level-b.radius/slope, 0)
	}
	return low, k
}

// SectionAt returns the outlines of the level section at height h, which are
// counterclockwise, or clockwise around ground that stands out of it. Rounded
// corners are shown mitred.
func (p *Polygon) SectionAt(h units.Length) []plane.Polygon {
	s, t := p.inward, p.banks.level-clamp(h, p.Depth())
	if t < 0 || p.banks.level == 0 {
		s, t = p.outward, -t
	}
	if s == nil {
		return nil
	}
	var list []plane.Polygon
	for _, r := range s.Rings {
		if t < r.From || t > r.Until || (t == r.Until && t < s.End) {
			continue
		}
		ring := make(plane.Polygon, len(r.Corner))
		for k := range ring {
			q := r.Corner[k].Add(r.Move[k], t-r.From)
			ring[k] = plane.Point{X: p.centre.X + units.Length(q.X), Y: p.centre.Y + units.Length(q.Y)}
		}
		if s == p.outward {
			ring = ring.Reversed()
		}
		list = append(list, ring)
	}
	return list
}
