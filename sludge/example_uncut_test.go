package sludge_test

import (
	"context"
	"fmt"

	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// flatSludge is a basin with banks of 3 : 1 down to 9 ft, its sludge level 3 ft over the
// floor, and three soundings.
func flatSludge() *sludge.Survey {
	edge := plane.Polygon{{X: 0, Y: 0}, {X: 200 * units.Foot, Y: 0}, {X: 200 * units.Foot, Y: 100 * units.Foot}, {X: 0, Y: 100 * units.Foot}}
	floor, err := sludge.NewSlopedFloor(sludge.SlopedFloorSpec{Waterline: edge, Slopes: []float64{3}, Depth: 9 * units.Foot})
	if err != nil {
		panic(err)
	}
	spec := sludge.SurveySpec{Boundary: edge, Sides: sludge.SidesBanks, Floor: floor}
	for _, p := range [][3]float64{{60, 50, 3}, {140, 50, 3}, {100, 24, 2}} {
		spec.Soundings = append(spec.Soundings, sludge.NewSounding(units.Length(p[0])*units.Foot, units.Length(p[1])*units.Foot, units.Length(p[2])*units.Foot))
	}
	s, err := sludge.NewSurvey(context.Background(), spec)
	if err != nil {
		panic(err)
	}
	return s
}

// The third sounding stands on the bank: the top over it is as high as in the middle.
func ExampleSurvey_Uncut() {
	tops, err := flatSludge().Uncut(context.Background(), sludge.BankLevel)
	if err != nil {
		panic(err)
	}
	for _, z := range tops.Thicknesses() {
		fmt.Println(z.Text(units.Foot, 2))
	}
	// Output:
	// 3.00 ft
	// 3.00 ft
	// 3.00 ft
}

func ExampleMeanVolume() {
	r, err := sludge.MeanVolume(context.Background(), flatSludge(), sludge.MeanVolumeSpec{BankRule: sludge.BankLevel, Confidence: 0.95})
	if err != nil {
		panic(err)
	}
	fmt.Println(r.Volume.Volume.Text(units.CubicYard, 0), "and not", r.Mean.Volume.Text(units.CubicYard, 0))
	// Output:
	// 950 yd3 and not 2,222 yd3
}
