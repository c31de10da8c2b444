// Package sludge works out how much sludge lies in an earthen basin from
// soundings: the thickness where it was measured, a surface over the whole
// boundary, the volume under it with an interval, contours and maps, and the
// removal of it.
//
// # From soundings to a volume
//
// A [Survey] holds the boundary and the soundings after every rule that the
// caller chose has been applied: level changes of the liquid, duplicates,
// soundings outside, the floor under sonar readings. Everything else starts from
// it:
//
//	s, err := sludge.NewSurvey(sludge.SurveySpec{Boundary: edge, Soundings: soundings})
//	tin, err := sludge.NewTIN(s, sludge.TINSpec{Edge: sludge.EdgeNearest})
//	v := tin.Volume()
//
// # Sign and reference
//
// Depths are measured down from the liquid surface. Thickness is the depth to
// the hard floor less the depth to the sludge top, both from one surface; a
// negative thickness is an error. Soundings with the sludge top only, as sonar
// gives, need a design or as-built [Floor], and their thickness is marked as
// resting on an assumed floor.
package sludge
