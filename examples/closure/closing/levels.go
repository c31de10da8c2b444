package closing

import (
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/earthwork"
)

// Levels are what the stakes of the crown show: elevations over Datum where the floor of
// the basin has one, else heights over the lowest point of that floor.
type Levels struct {
	Elevations bool         `json:"elevations,omitempty"` // they are elevations
	Datum      string       `json:"datum,omitempty"`      // that elevations refer to; empty where nobody has said
	Foot       units.Length `json:"foot"`                 // edge of the fill, at the ground
	Ridge      units.Length `json:"ridge"`                // highest line of the crown as built, topsoil included
}

// stakes sets the levels of the crown, and the section across it.
func (s *sheet) stakes() {
	c := s.o.Crown
	if c == nil || s.Figures {
		return
	}
	l := &Levels{Elevations: s.Floor != nil, Datum: s.Datum, Foot: s.Ground}
	if s.Floor != nil {
		l.Foot += *s.Floor
	} else {
		s.lacks("floorElevation", "elevations of foot and ridge: they are told over the lowest point of the floor", "the elevation of that point over a bench mark that outlasts the work", stage.Engineer)
	}
	l.Ridge = l.Foot + c.Build.Peak
	s.o.Levels = l
	s.o.Section = s.section(l.Foot)
}

// section is the section across the middle of the basin, the short way; nil for a basin
// that is neither a rectangle nor a circle, or whose outline the caller has told.
func (s *sheet) section(foot units.Length) *earthwork.ProfileResult {
	c := s.o.Crown
	var width, floor units.Length
	var slopes [2]float64
	var sides []int // of the berm
	switch b := s.Basin.(type) {
	case *volume.Rectangular:
		length, across := b.SizeAt(s.Ground)
		floorLength, floorAcross := b.SizeAt(0)
		z := b.Slopes()
		width, floor, slopes, sides = across, floorAcross, [2]float64{z[2], z[3]}, []int{2, 0}
		if length < across {
			width, floor, slopes, sides = length, floorLength, [2]float64{z[0], z[1]}, []int{3, 1}
		}
	case *volume.Circular:
		width, floor, slopes, sides = b.DiameterAt(s.Ground), b.DiameterAt(0), [2]float64{b.Slope(), b.Slope()}, []int{0, 0}
	}
	if width == 0 || len(s.Spec.Crown.Outline) > 0 {
		return nil
	}
	spec := earthwork.BasinProfileSpec{Ground: foot, FloorWidth: floor, Depth: s.Ground, CrownGrade: float64(c.Build.Peak / (width / 2)), GradeBuilt: true, Settlement: c.Spec.Settlement}
	for i, side := range []*earthwork.ProfileSide{&spec.Left, &spec.Right} {
		*side = earthwork.ProfileSide{BankSlope: slopes[i], Beyond: width / 10}
		if s.berm != nil {
			side.Berm = s.berm.Spec.Sides[sides[i]%len(s.berm.Spec.Sides)]
		}
	}
	r, err := earthwork.BasinProfile(spec)
	if err != nil {
		return nil // a pyramid whose steep faces are no crown of a section
	}
	return &r
}
