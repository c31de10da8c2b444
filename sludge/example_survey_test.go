package sludge_test

import (
	"context"
	"encoding/json"
	"fmt"

	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

func ExampleSurvey_Area() {
	fmt.Println(survey().Area().Text(units.Acre, 2))
	// Output: 1.10 acre
}

func ExampleSurvey_Boundary() {
	boundary, islands := survey().Boundary()
	for _, c := range boundary {
		fmt.Println(c.X.Text(units.Foot, 0), c.Y.Text(units.Foot, 0))
	}
	fmt.Println(len(islands), "islands")
	// Output:
	// 0 ft 0 ft
	// 300 ft 0 ft
	// 300 ft 160 ft
	// 0 ft 160 ft
	// 0 islands
}

func ExampleSurvey_Contains() {
	s := survey()
	fmt.Println(s.Contains(plane.Point{X: 150 * units.Foot, Y: 80 * units.Foot}), s.Contains(plane.Point{X: -1, Y: 0}))
	// Output: true false
}

func ExampleSurvey_N() {
	fmt.Println(survey().N())
	// Output: 8
}

func ExampleSurvey_Samples() {
	for _, p := range survey().Samples()[:2] {
		fmt.Println(p.At.X.Text(units.Foot, 0), p.At.Y.Text(units.Foot, 0), p.Value.Text(units.Foot, 1))
	}
	// Output:
	// 40 ft 40 ft 1.9 ft
	// 115 ft 40 ft 2.5 ft
}

func ExampleSurvey_Thicknesses() {
	for _, z := range survey().Thicknesses()[:3] {
		fmt.Println(z.Text(units.Foot, 1))
	}
	// Output:
	// 1.9 ft
	// 2.5 ft
	// 2.2 ft
}

func ExampleSurvey_Readings() {
	for _, r := range survey().Readings()[:2] {
		fmt.Println(r.Index, r.ToSludge.Text(units.Foot, 1), r.ToFloor.Text(units.Foot, 1), r.Thickness.Text(units.Foot, 1))
	}
	// Output:
	// 0 5.2 ft 7.1 ft 1.9 ft
	// 1 4.9 ft 7.4 ft 2.5 ft
}

func ExampleSurvey_MeanDepths() {
	toSludge, toFloor, n := survey().MeanDepths()
	fmt.Println(toSludge.Text(units.Foot, 2), toFloor.Text(units.Foot, 2), n)
	// Output: 4.89 ft 7.20 ft 8
}

func ExampleSurvey_Rules() {
	duplicates, outside := survey().Rules()
	fmt.Println(duplicates, outside)
	// Output: refuse refuse
}

func ExampleSurvey_Sides() {
	fmt.Println(survey().Sides())
	// Output: unknown
}

func ExampleSurvey_Dropped() {
	s, err := sludge.NewSurvey(context.Background(), sludge.SurveySpec{
		Boundary:  basin,
		Outside:   sludge.OutsideDrop,
		Soundings: []sludge.Sounding{pole(40, 40, 5.2, 7.1), pole(400, 40, 5.0, 7.2)}, // the second on the bank
	})
	if err != nil {
		panic(err)
	}
	fmt.Println(s.N(), s.Dropped())
	// Output: 1 1
}

func ExampleSurvey_SetToZero() {
	s, err := sludge.NewSurvey(context.Background(), sludge.SurveySpec{
		Boundary:       basin,
		Floor:          sludge.FlatFloor(7 * units.Foot),
		FloorTolerance: 0.2 * units.Foot,
		Soundings: []sludge.Sounding{
			{At: plane.Point{X: 20, Y: 20}, ToSludge: new(5 * units.Foot)},
			{At: plane.Point{X: 60, Y: 20}, ToSludge: new(7.1 * units.Foot)}, // a little below the floor as drawn
		},
	})
	if err != nil {
		panic(err)
	}
	fmt.Println(s.SetToZero())
	// Output: 1
}

func ExampleSurvey_Floor() {
	s, err := sludge.NewSurvey(context.Background(), sludge.SurveySpec{
		Boundary:  basin,
		Floor:     sludge.FlatFloor(7 * units.Foot),
		Soundings: []sludge.Sounding{{At: plane.Point{X: 20, Y: 20}, ToSludge: new(5 * units.Foot)}},
	})
	if err != nil {
		panic(err)
	}
	depth, ok := s.Floor().Depth(plane.Point{X: 20, Y: 20})
	fmt.Println(depth.Text(units.Foot, 1), ok)
	// Output: 7.0 ft true
}

func ExampleSounding_UnmarshalJSON() {
	var s sludge.Sounding
	err := json.Unmarshal([]byte(`{"at": {"x": "40 ft", "y": "40 ft"}, "toSludge": "5.2 ft", "toFloor": "7.1 ft"}`), &s)
	fmt.Println(s.ToSludge.Text(units.Foot, 1), s.ToFloor.Text(units.Foot, 1), err)
	fmt.Println(json.Unmarshal([]byte(`{"thickness": "2 ft"}`), &s))
	// Output:
	// 5.2 ft 7.1 ft <nil>
	// at: missing; want the place, with x and y
}
