package volume

import (
	"fmt"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/limits"
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
	foot  units.Length
	grade float64
	mid   plane.Point // of the coordinates of the roof
	roof  *roof
}

// NewHipCrown returns the crown of spec. Errors are [units.FieldError] with the json
// field.
func NewHipCrown(spec HipCrownSpec) (*HipCrown, error) {
	var f units.Faults
	limits.Signed(&f, "foot", spec.Foot, limits.MaxLength)
	limits.Positive(&f, "grade", spec.Grade, limits.MaxGrade)
	checkFoot(&f, "outline", spec.Outline)
	if err := f.Err(); err != nil {
		return nil, err
	}
	outline := spec.Outline
	if outline.SignedArea() < 0 {
		outline = outline.Reversed()
	}
	low, high := outline.Bounds()
	c := &HipCrown{foot: spec.Foot, grade: spec.Grade, mid: plane.Point{X: low.X + (high.X-low.X)/2, Y: low.Y + (high.Y-low.Y)/2}}
	ring, way := make([]vec, len(outline)), make([]float64, len(outline))
	for i, p := range outline {
		ring[i], way[i] = c.place(p), 1
	}
	// Time is the way inward from the sides, which have met by half of the lesser
	// extent of the outline.
	front, err := follow(ring, way, float64(max(high.X-low.X, high.Y-low.Y)))
	if err != nil {
		f.Say("outline", "an outline whose roof cannot be followed", "an outline without nearly equal edges and corners")
		return nil, f.Err()
	}
	c.roof = newRoof(front)
	return c, nil
}

// checkFoot records what is wrong with the outline of a hip crown.
func checkFoot(f *units.Faults, path string, outline plane.Polygon) {
	if len(outline) > mostCorners {
		f.Add(path, len(outline), fmt.Sprintf("at most %d corners", mostCorners))
		return
	}
	f.Sub(path, checkOutline(outline))
}

func (c *HipCrown) place(p plane.Point) vec {
	return vec{float64(p.X - c.mid.X), float64(p.Y - c.mid.Y)}
}

// check records that a crown was not made by NewHipCrown.
func (c *HipCrown) check(f *units.Faults, path string) {
	if c.roof == nil {
		f.Missing(path, "a crown made by NewHipCrown")
	}
}

// LevelAt returns the level at p, outside of the outline that of the foot. It looks
// at each side once for each doubling of the number of sides.
func (c *HipCrown) LevelAt(p plane.Point) units.Length {
	if c.roof == nil {
		return c.foot
	}
	return c.foot + units.Length(c.grade*c.roof.timeAt(c.place(p)))
}

// Peak returns the greatest height over the foot.
func (c *HipCrown) Peak() units.Length {
	if c.roof == nil {
		return 0
	}
	return units.Length(c.grade * c.roof.front.last())
}

// Volume returns the fill between the level of the foot and the surface.
func (c *HipCrown) Volume() units.Volume {
	if c.roof == nil {
		return 0
	}
	return units.Volume(c.grade) * c.roof.front.volume()
}
