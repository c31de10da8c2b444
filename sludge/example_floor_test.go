package sludge_test

import (
	"fmt"

	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// bowl is a cone of 10 ft for each 100 ft about the origin.
type bowl struct{}

func (bowl) FloorAt(p plane.Point) (units.Length, bool) { return p.Distance(plane.Point{}) / 10, true }

func ExampleFlatFloor_Depth() {
	depth, ok := sludge.FlatFloor(8 * units.Foot).Depth(plane.Point{})
	fmt.Println(depth.Text(units.Foot, 1), ok)
	// Output: 8.0 ft true
}

func ExampleSurfaceFloor_Depth() {
	// The floor as surveyed when the basin was built, deeper to the east.
	built := sludge.SurfaceFunc(func(p plane.Point) (units.Length, bool) { return 7*units.Foot + p.X/100, true })
	depth, ok := sludge.SurfaceFloor{Surface: built}.Depth(plane.Point{X: 100 * units.Foot})
	fmt.Println(depth.Text(units.Foot, 1), ok)
	// Output: 8.0 ft true
}

func ExampleSolidFloor_Depth() {
	// A basin of package volume has the method that a Solid asks for.
	floor := sludge.SolidFloor{Solid: bowl{}, Liquid: 9 * units.Foot}
	depth, ok := floor.Depth(plane.Point{X: 20 * units.Foot})
	fmt.Println(depth.Text(units.Foot, 1), ok)
	// Output: 7.0 ft true
}

func ExampleNewSlopedFloor() {
	floor, err := sludge.NewSlopedFloor(sludge.SlopedFloorSpec{Waterline: basin, Slopes: []float64{3}, Depth: 9 * units.Foot})
	if err != nil {
		panic(err)
	}
	for _, x := range []units.Length{0, 6, 15, 150} { // feet from the western bank
		depth, _ := floor.Depth(plane.Point{X: x * units.Foot, Y: 80 * units.Foot})
		fmt.Println(depth.Text(units.Foot, 1))
	}
	// Output:
	// 0.0 ft
	// 2.0 ft
	// 5.0 ft
	// 9.0 ft
}

func ExampleSlopedFloor_Depth() {
	floor, err := sludge.NewSlopedFloor(sludge.SlopedFloorSpec{Waterline: basin, Slopes: []float64{2, 3, 2, 3}, Depth: 9 * units.Foot})
	if err != nil {
		panic(err)
	}
	depth, ok := floor.Depth(plane.Point{X: 150 * units.Foot, Y: 10 * units.Foot}) // 10 ft from the southern bank
	fmt.Println(depth.Text(units.Foot, 1), ok)
	// Output: 5.0 ft true
}
