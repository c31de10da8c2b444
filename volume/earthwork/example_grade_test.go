package earthwork_test

import (
	"fmt"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/earthwork"
)

// hollow is a demonstration grid: a slope to the east with a hollow.
func hollow() volume.LevelGrid {
	g := volume.LevelGrid{StepX: 50 * units.Foot, StepY: 50 * units.Foot}
	for _, row := range [][]float64{
		{100.0, 99.6, 99.1, 98.5},
		{100.2, 97.5, 97.2, 98.6},
		{100.1, 99.7, 99.2, 98.4},
	} {
		var levels []units.Length
		for _, l := range row {
			levels = append(levels, units.Length(l)*units.Foot)
		}
		g.Levels = append(g.Levels, levels)
	}
	return g
}

func ExampleFitPlane() {
	r, err := earthwork.FitPlane(earthwork.FitPlaneSpec{Ground: hollow(), MinGrade: 0.01, Level: earthwork.PlaneLevelBalanced, Soil: clayLoam})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f %% to %.0f degrees, cut %s, fill %s\n", 100*r.Grade, r.Fall, r.Work.Cut.Text(units.CubicYard, 0), r.Work.Fill.Text(units.CubicYard, 0))
	// Output: 1.05 % to 93 degrees, cut 138 yd3, fill 124 yd3
}

func ExampleGrade() {
	final := earthwork.Plane{Level: 100 * units.Foot, East: -0.01}
	r, err := earthwork.Grade(earthwork.GradeSpec{Ground: hollow(), Final: final})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("zero line:", len(r.ZeroLine) > 0)
	fmt.Println(r)
	// Output:
	// zero line: true
	// area             0.3444 acre  6 cells of 50 ft x 50 ft
	// cut, bank        4.5 yd3      over 1,844 ft2, at most 2.4 in deep
	// fill, compacted  314.7 yd3    over 0.302 acre, at most 2 ft high
}

func ExamplePlane() {
	p := earthwork.Plane{Level: 100 * units.Foot, East: -0.01}
	fmt.Println(p.LevelAt(plane.Point{X: 150 * units.Foot}).Text(units.Foot, 1), p.Grade(), p.Fall())
	// Output: 98.5 ft 0.01 90
}

func ExampleLevelGrid() {
	fmt.Println(hollow().LevelAt(plane.Point{X: 75 * units.Foot, Y: 50 * units.Foot}).Text(units.Foot, 2))
	// Output: 97.35 ft
}

func ExampleNewHipCrown() {
	site := plane.Polygon{{}, {X: 300 * units.Foot}, {X: 300 * units.Foot, Y: 200 * units.Foot}, {Y: 200 * units.Foot}}
	crown, err := earthwork.NewHipCrown(earthwork.HipCrownSpec{Outline: site, Foot: 100 * units.Foot, Grade: 0.03})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(crown.LevelAt(plane.Point{X: 150 * units.Foot, Y: 100 * units.Foot}).Text(units.Foot, 1))
	// Output: 103.0 ft
}

func ExampleBasinProfile() {
	berm := earthwork.BermSection{Height: 4 * units.Foot, CrestWidth: 10 * units.Foot, InnerSlope: 3, OuterSlope: 3}
	side := earthwork.ProfileSide{BankSlope: 3, Berm: berm, Beyond: 20 * units.Foot}
	r, err := earthwork.BasinProfile(earthwork.BasinProfileSpec{
		Ground: 100 * units.Foot, FloorWidth: 100 * units.Foot, Depth: 8 * units.Foot,
		Left: side, Right: side, CrownGrade: 0.03,
		Settlement: earthwork.SettlementSpec{Rule: earthwork.SettlementRuleDesign, Share: 0.05},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range r.Points {
		fmt.Println(p.Station.Text(units.Foot, 0), p.Existing.Text(units.Foot, 1), p.Final.Text(units.Foot, 2), p.Built.Text(units.Foot, 2))
	}
	// Output:
	// 0 ft 100.0 ft 100.00 ft 100.00 ft
	// 20 ft 100.0 ft 100.00 ft 100.00 ft
	// 32 ft 104.0 ft 100.00 ft 100.00 ft
	// 42 ft 104.0 ft 100.00 ft 100.00 ft
	// 54 ft 100.0 ft 100.00 ft 100.00 ft
	// 78 ft 92.0 ft 100.72 ft 101.16 ft
	// 128 ft 92.0 ft 102.22 ft 102.73 ft
	// 178 ft 92.0 ft 100.72 ft 101.16 ft
	// 202 ft 100.0 ft 100.00 ft 100.00 ft
	// 214 ft 104.0 ft 100.00 ft 100.00 ft
	// 224 ft 104.0 ft 100.00 ft 100.00 ft
	// 236 ft 100.0 ft 100.00 ft 100.00 ft
	// 256 ft 100.0 ft 100.00 ft 100.00 ft
}

func ExampleGroundProfile() {
	r, err := earthwork.GroundProfile(earthwork.GroundProfileSpec{
		Existing: hollow(), Final: earthwork.Plane{Level: 99 * units.Foot, East: -0.005},
		From: plane.Point{Y: 50 * units.Foot}, To: plane.Point{X: 150 * units.Foot, Y: 50 * units.Foot}, Stations: 7,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// length               150 ft     7 stations
	// cut in the section   16.5 ft2   existing above final
	// fill in the section  105.3 ft2  final above existing
	// fill to build        105.3 ft2  with the allowance
}
