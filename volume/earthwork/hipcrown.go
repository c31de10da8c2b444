package earthwork

import (
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/skeleton"
)

// HipCrownSpec is a crown of one grade on all sides of an outline.
type HipCrownSpec struct {
	// Outline is the foot of the crown: a simple polygon of at most 500 corners,
	// convex or not, in either direction.
	Outline plane.Polygon `json:"outline"`
	Foot    units.Length  `json:"foot"`  // level of the foot, within 100 km of the datum
	Grade   float64       `json:"grade"` // rise per run, more than 0 to 0.5
}

// HipCrown is a hip roof of earth: planes of one grade that rise from every side of
// the outline and meet in hips, ridges and, at corners that point inward, valleys.
// [Crown] over the outline is this shape, and as a surface it is graded to.
type HipCrown struct {
	foot   units.Length
	grade  float64
	middle plane.Point // of the coordinates of the roof
	roof   *skeleton.Roof
}

// NewHipCrown returns the crown of spec. Errors are [units.FieldError] with the json
// field.
func NewHipCrown(spec HipCrownSpec) (*HipCrown, error) {
	var f units.Faults
	f.Between("foot", spec.Foot, -units.MaxLength, units.MaxLength)
	f.NumberUpTo("grade", spec.Grade, units.MaxGrade)
	f.Sub("outline", spec.Outline.CheckUpTo(skeleton.MaxCorners))
	if err := f.Err(); err != nil {
		return nil, err
	}
	outline := spec.Outline
	if outline.SignedArea() < 0 {
		outline = outline.Reversed()
	}
	c := &HipCrown{foot: spec.Foot, grade: spec.Grade}
	var ring []skeleton.Vec
	ring, c.middle = skeleton.Vecs(outline)
	way := slices.Repeat([]float64{1}, len(ring))
	// Time is the way inward from the sides, which have met long before that of once around.
	front, err := skeleton.Follow(ring, way, float64(outline.Perimeter()))
	if err != nil {
		f.Say("outline", "its sides meet in a way that cannot be followed", "an outline without corners that nearly coincide")
		return nil, f.Err()
	}
	c.roof = skeleton.NewRoof(front, false)
	return c, nil
}

func (c *HipCrown) place(p plane.Point) skeleton.Vec {
	return skeleton.Vec{X: float64(p.X - c.middle.X), Y: float64(p.Y - c.middle.Y)}
}

// Check reports a crown that NewHipCrown has not made.
func (c *HipCrown) Check() error {
	if c.roof == nil {
		return units.Fault(units.FaultMissing, "outline", nil, "a crown made by NewHipCrown")
	}
	return nil
}

// LevelAt returns the level at p, outside of the outline that of the foot. It looks
// at each side once for each doubling of the number of sides.
func (c *HipCrown) LevelAt(p plane.Point) units.Length {
	if c.roof == nil {
		return c.foot
	}
	t, _ := c.roof.TimeAt(c.place(p))
	return c.foot + units.Length(c.grade*t)
}

// Peak returns the greatest height over the foot.
func (c *HipCrown) Peak() units.Length {
	if c.roof == nil {
		return 0
	}
	return units.Length(c.grade * c.roof.Front.Last())
}

// Volume returns the fill between the level of the foot and the surface.
func (c *HipCrown) Volume() units.Volume {
	if c.roof == nil {
		return 0
	}
	return units.Volume(c.grade * c.roof.Front.Volume())
}
