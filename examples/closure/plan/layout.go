package plan

import (
	"math"

	"example.org/earthbasin/examples/closure/closing"
	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/earthwork"
)

// Layout is where things lie on the site, for its plan and its map. All coordinates are
// those of the soundings: x to the east, y to the north.
type Layout struct {
	// Basin is where the south-west corner of the top of the bank of a rectangle, whose
	// length runs east, or the centre of a circle lies; nil: at 0, 0. A basin with an outline
	// lies where that does.
	Basin *plane.Point `json:"basin,omitzero"`
	// Origin is where the coordinates have theirs; nil: nobody knows, and no map of the
	// country has the basin.
	Origin *sludge.LonLat `json:"origin,omitzero"`
	Places []Place        `json:"places,omitzero"` // beside the basin and its berm, at most 100
}

// Place is something on the site: a point, a line, or an area.
type Place struct {
	Name   string        `json:"name"`            // as the plan of the site shows it
	Kind   string        `json:"kind,omitzero"`   // such as "pipe", "pump", "stockpile", "outlet", "gate"
	Points []plane.Point `json:"points"`          // one for a point, at least two of a line, at most 1000
	Closed bool          `json:"closed,omitzero"` // the points are the corners of an area
}

// LayoutResult is the plan of the site. What the scenario does not tell is left out.
type LayoutResult struct {
	Crest []plane.Polygon `json:"crest"`           // inside top of the bank
	Floor []plane.Polygon `json:"floor,omitempty"` // foot of the banks; none where they meet
	// BermEdge and BermToe are the outer edge of the berm's crest and where its outer slope
	// meets the ground; none without a berm.
	BermEdge plane.Polygon `json:"bermEdge,omitempty"`
	BermToe  plane.Polygon `json:"bermToe,omitempty"`
	// Crown is the foot of the crown to build; none where none is planned.
	Crown  plane.Polygon    `json:"crown,omitempty"`
	Ridge  []plane.Point    `json:"ridge,omitempty"` // of the crown, two ends or one top; none over an outline
	Hips   [][2]plane.Point `json:"hips,omitempty"`  // from the foot to the ridge
	Places []Place          `json:"places,omitempty"`
	Fields []Toward         `json:"fields,omitempty"` // in the order of the land, with their distance or direction

	plane *sludge.TangentPlane
}

// Toward is the way to a field.
type Toward struct {
	Field    string       `json:"field"`
	Distance units.Length `json:"distance,omitzero"` // one way, by the scenario; 0: not told
	// Way is a vector of length 1 m from the basin toward the middle of the field; nil where
	// the scenario does not tell where both lie.
	Way *plane.Point `json:"way,omitempty"`
}

// check finds what is wrong with the places.
func (l *Layout) check() error {
	var f units.Faults
	at := func(f *units.Faults, p plane.Point) {
		f.Between("x", p.X, -farthest, farthest)
		f.Between("y", p.Y, -farthest, farthest)
	}
	if l.Basin != nil {
		in := f.At("basin")
		at(&in, *l.Basin)
	}
	if l.Origin != nil {
		_, err := sludge.NewTangentPlane(sludge.TangentPlaneSpec{Origin: *l.Origin})
		f.Sub("", err)
	}
	f.CountBetween("places", len(l.Places), "places", 0, mostParts)
	if f.Err() != nil {
		return f.Err()
	}
	for i, p := range l.Places {
		in := f.At("places", i)
		if p.Name == "" {
			in.Missing("name", "what it is")
		}
		least := 1
		if p.Closed {
			least = 3
		}
		in.CountBetween("points", len(p.Points), "points", least, mostPoints)
		for j, q := range p.Points[:min(len(p.Points), mostPoints)] {
			point := in.At("points", j)
			at(&point, q)
		}
	}
	return f.Err()
}

const (
	farthest   = 10 * units.Kilometre // from the origin, where local coordinates bend
	mostPoints = 1000
	around     = 96 // corners that stand for a circle
)

// layout draws the site; nil for a basin whose outline nobody knows.
func layout(s *Scenario, c *Contents, fields *land.Result, chosen *closing.Outcome) *LayoutResult {
	var l Layout
	if s.Layout != nil {
		l = *s.Layout
	}
	var at plane.Point
	if l.Basin != nil {
		at = *l.Basin
	}
	r := &LayoutResult{Places: l.Places}
	level := c.Depth
	if s.Closing != nil && s.Closing.Ground > 0 {
		level = s.Closing.Ground
	}
	foot := func(h units.Length) []plane.Polygon { return section(c.Solid, at, h) }
	if r.Crest = foot(c.Depth); len(r.Crest) == 0 {
		return nil
	}
	if c.Solid.AreaAt(0) > 0 {
		r.Floor = foot(0)
	}
	if chosen != nil {
		if b := chosen.Berm; b != nil && len(r.Crest) == 1 {
			side := func(i int) earthwork.BermSection { return b.Spec.Sides[i%len(b.Spec.Sides)] }
			r.BermEdge = moved(r.Crest[0], func(i int) units.Length { return side(i).CrestWidth })
			r.BermToe = moved(r.Crest[0], func(i int) units.Length {
				return side(i).CrestWidth + units.Length(side(i).OuterSlope)*side(i).Height
			})
		}
		if chosen.Crown != nil {
			if rings := foot(level); len(rings) == 1 {
				r.Crown = rings[0]
				r.roof(chosen.Crown.Build.Spec)
			}
		}
	}
	if l.Origin != nil {
		r.plane, _ = sludge.NewTangentPlane(sludge.TangentPlaneSpec{Origin: *l.Origin})
	}
	r.toward(s, fields)
	return r
}

// section is the outline of a basin at a height, in the coordinates of the site.
func section(b volume.Basin, at plane.Point, h units.Length) []plane.Polygon {
	down := b.Depth() - h
	switch b := b.(type) {
	case *volume.Rectangular:
		length, width := b.SizeAt(b.Depth())
		z := b.Slopes()
		x0, y0 := at.X+units.Length(z[0])*down, at.Y+units.Length(z[3])*down
		x1, y1 := at.X+length-units.Length(z[1])*down, at.Y+width-units.Length(z[2])*down
		return []plane.Polygon{{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}}
	case *volume.Circular:
		ring := make(plane.Polygon, around)
		for i := range ring {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / around)
			ring[i] = plane.Point{X: at.X + units.Length(cos)*b.DiameterAt(h)/2, Y: at.Y + units.Length(sin)*b.DiameterAt(h)/2}
		}
		return []plane.Polygon{ring}
	case *volume.Polygon:
		return b.SectionAt(h)
	}
	return nil
}

// moved is a ring whose sides lie so far outward of those of ring, its corners mitred.
func moved(ring plane.Polygon, by func(side int) units.Length) plane.Polygon {
	n := len(ring)
	out := make(plane.Polygon, n)
	for i, p := range ring {
		before, after := (i+n-1)%n, i
		a, b := outward(ring, before), outward(ring, after)
		d, e := by(before), by(after)
		// The corner lies d outward of one side and e outward of the other.
		if det := float64(a.X*b.Y - a.Y*b.X); math.Abs(det) > 1e-3 {
			out[i] = plane.Point{X: p.X + units.Length(float64(d*b.Y-e*a.Y)/det), Y: p.Y + units.Length(float64(a.X*e-b.X*d)/det)}
		} else {
			out[i] = plane.Point{X: p.X + b.X*max(d, e), Y: p.Y + b.Y*max(d, e)}
		}
	}
	return out
}

// roof finds ridge and hips of a crown over a rectangle or a circle.
func (r *LayoutResult) roof(spec earthwork.CrownSpec) {
	low, high := r.Crown.Bounds()
	middle := plane.Point{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 2}
	if spec.Shape == earthwork.CrownShapeCone {
		r.Ridge = []plane.Point{middle}
		return
	}
	if len(spec.Outline) > 0 || len(r.Crown) != 4 {
		return
	}
	reach := max(high.X-low.X, high.Y-low.Y) / 2 // of the ridge from the middle
	switch spec.Shape {
	case earthwork.CrownShapeHip:
		reach -= min(high.X-low.X, high.Y-low.Y) / 2
	case earthwork.CrownShapePyramid:
		reach = 0
	}
	a, b := middle, middle
	if high.X-low.X >= high.Y-low.Y {
		a.X, b.X = a.X-reach, b.X+reach
	} else {
		a.Y, b.Y = a.Y-reach, b.Y+reach
	}
	r.Ridge = []plane.Point{a, b}
	if spec.Shape == earthwork.CrownShapeGable {
		return
	}
	for _, corner := range r.Crown {
		end := a
		if corner.Distance(b) < corner.Distance(a) {
			end = b
		}
		r.Hips = append(r.Hips, [2]plane.Point{corner, end})
	}
}

// toward finds the way to each field.
func (r *LayoutResult) toward(s *Scenario, fields *land.Result) {
	if fields == nil {
		return
	}
	from := r.Crest[0].Centroid()
	for i := range fields.Fields {
		f := &fields.Fields[i]
		t := Toward{Field: f.Name}
		for _, x := range s.Land.Fields {
			if x.Name == f.Name {
				t.Distance = x.Distance
			}
		}
		if r.plane != nil && f.Shapes != nil && len(f.Shapes.Outline) > 0 {
			if on, ok := fields.LonLat(f.Shapes.Outline[0].Outer.Centroid()); ok {
				if to, err := r.plane.Local(on); err == nil {
					if far := from.Distance(to); far > 0 {
						t.Way = &plane.Point{X: units.Metre * (to.X - from.X) / far, Y: units.Metre * (to.Y - from.Y) / far}
					}
				}
			}
		}
		if t.Distance > 0 || t.Way != nil {
			r.Fields = append(r.Fields, t)
		}
	}
}

// outward is the direction out of the polygon at edge i, of length 1.
func outward(p plane.Polygon, i int) plane.Point {
	a, b := p[i], p[(i+1)%len(p)]
	x, y := float64(b.Y-a.Y), -float64(b.X-a.X)
	if p.SignedArea() < 0 {
		x, y = -x, -y
	}
	long := max(math.Hypot(x, y), math.SmallestNonzeroFloat64)
	return plane.Point{X: units.Length(x / long), Y: units.Length(y / long)}
}
