package main

import (
	"example.org/earthbasin/calibrate"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume"
)

// lagoon is a survey of an invented lagoon: thickness at the points of a grid of 40
// ft, within a waterline with cut corners.
func lagoon() sludge.SurveySpec {
	thickness := [][]float64{ // feet, from the near bank to the far one
		{1.2, 1.6, 1.9, 1.7, 1.3, 0.8},
		{2.4, 3.6, 3.1, 2.6, 2.0, 1.4},
		{2.9, 4.7, 3.8, 2.9, 2.3, 1.6},
		{1.8, 2.7, 2.5, 2.1, 1.6, 0.9},
	}
	at := func(x, y float64) plane.Point {
		return plane.Point{X: units.Length(x) * units.Foot, Y: units.Length(y) * units.Foot}
	}
	s := sludge.SurveySpec{
		Boundary: plane.Polygon{at(25, 0), at(215, 0), at(240, 25), at(240, 135), at(215, 160), at(25, 160), at(0, 135), at(0, 25)},
		Sides:    sludge.SidesBanks,
	}
	for j, row := range thickness {
		for i, t := range row {
			thick := units.Length(t) * units.Foot
			s.Soundings = append(s.Soundings, sludge.Sounding{At: at(20+40*float64(i), 20+40*float64(j)), Thickness: &thick})
		}
	}
	return s
}

// basin is the same lagoon as it was built.
func basin() volume.RectangularSpec {
	return volume.RectangularSpec{Length: 250 * units.Foot, Width: 170 * units.Foot, At: volume.ReferenceWaterLine,
		WaterDepth: 9 * units.Foot, Depth: 11 * units.Foot, Slopes: []float64{2.5}}
}

// pattern is the catch of trays across one pass of an invented spreader, in pounds.
func pattern() calibrate.Pattern {
	return calibrate.Pattern{Spacing: 3 * units.Foot, Line: 21 * units.Foot,
		Trays: []float64{0.1, 0.5, 1.2, 1.9, 2.3, 2.6, 2.5, 2.7, 2.4, 2.5, 2.2, 1.7, 0.9, 0.4, 0.1}}
}
