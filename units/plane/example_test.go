package plane_test

import (
	"fmt"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// An island that reaches over the edge of its basin.
func ExampleCheckRegion() {
	basin := plane.Polygon{{X: 0, Y: 0}, {X: 60, Y: 0}, {X: 60, Y: 40}, {X: 0, Y: 40}}
	island := plane.Polygon{{X: 10, Y: 10}, {X: 20, Y: 10}, {X: 20, Y: 20}}
	area, err := plane.CheckRegion(basin, []plane.Polygon{island})
	fmt.Println(area.In(units.SquareMetre), err)
	island[2].Y = 50
	_, err = plane.CheckRegion(basin, []plane.Polygon{island})
	for _, f := range units.FieldErrors(err) {
		fmt.Println(f.Field)
	}
	// Output:
	// 2350 <nil>
	// islands[0][2]
	// islands[0][1]
}

func ExampleInside() {
	basin := plane.Polygon{{X: 0, Y: 0}, {X: 60, Y: 0}, {X: 60, Y: 40}, {X: 0, Y: 40}}
	island := plane.Polygon{{X: 10, Y: 10}, {X: 20, Y: 10}, {X: 20, Y: 20}}
	fmt.Println(plane.Inside(basin, []plane.Polygon{island}, []plane.Point{{X: 30, Y: 30}, {X: 18, Y: 12}, {X: 70, Y: 10}}))
	// Output:
	// [true false false]
}

func ExampleOrient() {
	a, b := plane.Point{X: 0, Y: 0}, plane.Point{X: 10, Y: 0}
	fmt.Println(plane.Orient(a, b, plane.Point{X: 5, Y: 1}), plane.Orient(a, b, plane.Point{X: 5, Y: -1}), plane.Orient(a, b, plane.Point{X: 20}))
	// Output:
	// 1 -1 0
}

func ExampleMeet() {
	fmt.Println(plane.Meet(plane.Point{}, plane.Point{X: 4, Y: 4}, plane.Point{Y: 4}, plane.Point{X: 4}))
	// Output:
	// true
}

// What the setback of a well leaves of a field.
func ExampleSetbacks() {
	field := plane.Polygon{{X: 0, Y: 0}, {X: 200 * units.Foot, Y: 0}, {X: 200 * units.Foot, Y: 200 * units.Foot}, {X: 0, Y: 200 * units.Foot}}
	r, err := plane.Setbacks(plane.SetbacksSpec{
		Areas:     []plane.Region{{Outer: field}},
		Setbacks:  []plane.Setback{{Points: []plane.Point{{X: 100 * units.Foot, Y: 0}}, Distance: 50 * units.Foot}},
		Tolerance: 0.1 * units.Foot,
	})
	fmt.Println(r.Off.Text(units.SquareFoot, 1), "of", r.Whole.Text(units.SquareFoot, 0), len(r.Kept), "piece left", err)
	// Output: 3,927.0 ft2 of 40,000 ft2 1 piece left <nil>
}

func ExampleRegion_Area() {
	r := plane.Region{Outer: plane.Polygon{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 4}, {X: 0, Y: 4}}, Holes: []plane.Polygon{{{X: 1, Y: 1}, {X: 1, Y: 2}, {X: 2, Y: 2}, {X: 2, Y: 1}}}}
	fmt.Println(float64(r.Area()))
	// Output: 15
}
