package sludge_test

import (
	"bytes"
	"context"
	"fmt"

	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

func grid() *sludge.Grid {
	g, err := tin().Grid(context.Background(), sludge.GridSpec{Spacing: 40 * units.Foot})
	if err != nil {
		panic(err)
	}
	return g
}

func frame() *sludge.TangentPlane {
	p, err := sludge.NewTangentPlane(sludge.TangentPlaneSpec{Origin: sludge.LonLat{Lon: -95.5, Lat: 41.25}, Height: 310})
	if err != nil {
		panic(err)
	}
	return p
}

func ExampleGrid_Dims() {
	g := grid()
	columns, rows := g.Dims()
	fmt.Println(columns, rows)
	// Output: 8 4
}

func ExampleGrid_Cell() {
	g := grid()
	width, height := g.Cell()
	fmt.Println(width.Text(units.Foot, 1), height.Text(units.Foot, 1))
	// Output: 37.5 ft 40.0 ft
}

func ExampleGrid_Centre() {
	g := grid()
	p := g.Centre(0, 0) // the south-western cell
	fmt.Println(p.X.Text(units.Foot, 0), p.Y.Text(units.Foot, 0))
	// Output: 19 ft 20 ft
}

func ExampleGrid_At() {
	g := grid()
	z, ok := g.At(1, 2)
	fmt.Println(z.Text(units.Foot, 2), ok)
	_, ok = g.At(99, 0)
	fmt.Println(ok)
	// Output:
	// 2.49 ft true
	// false
}

func ExampleGrid_Range() {
	g := grid()
	z, ok := g.Range()
	fmt.Println(z.Low.Text(units.Foot, 2), z.High.Text(units.Foot, 2), ok)
	// Output: 1.40 ft 3.07 ft true
}

func ExampleGrid_View() {
	v := grid().View(units.Foot)
	fmt.Printf("%.2f ft\n", v.Z(1, 2))
	// Output: 2.49 ft
}

func ExampleGrid_XYZ() {
	g := grid()
	text, err := g.XYZ(units.Foot, 2)
	if err != nil {
		panic(err)
	}
	fmt.Print(string(text[:bytes.IndexByte(text, '\n')+1]))
	// Output: 18.75,20.00,1.91
}

func ExampleGridView_Dims() {
	v := grid().View(units.Foot)
	fmt.Println(v.Dims())
	// Output: 8 4
}

func ExampleGridView_X() {
	v := grid().View(units.Foot)
	fmt.Printf("%.0f\n", v.X(0)) // feet
	// Output: 19
}

func ExampleGridView_Y() {
	v := grid().View(units.Foot)
	fmt.Printf("%.0f\n", v.Y(0)) // feet
	// Output: 20
}

func ExampleGridView_Z() {
	v := grid().View(units.Foot)
	fmt.Printf("%.2f\n", v.Z(0, 0)) // feet
	// Output: 1.91
}

func ExampleGridView_Min() {
	v := grid().View(units.Foot)
	fmt.Printf("%.2f\n", v.Min()) // feet
	// Output: 1.40
}

func ExampleGridView_Max() {
	v := grid().View(units.Foot)
	fmt.Printf("%.2f\n", v.Max()) // feet
	// Output: 3.07
}

func ExampleSurfaceFunc_At() {
	slope := sludge.SurfaceFunc(func(p plane.Point) (units.Length, bool) { return p.X / 100, true })
	z, ok := slope.At(plane.Point{X: 150 * units.Foot})
	fmt.Println(z.Text(units.Foot, 2), ok)
	// Output: 1.50 ft true
}

func ExampleIDW_At() {
	w, err := sludge.NewIDW(survey(), sludge.IDWSpec{Power: 2})
	if err != nil {
		panic(err)
	}
	z, ok := w.At(plane.Point{X: 40 * units.Foot, Y: 40 * units.Foot}) // at a sounding
	fmt.Println(z.Text(units.Foot, 2), ok)
	// Output: 1.90 ft true
}

func ExampleIDW_Grid() {
	w, err := sludge.NewIDW(survey(), sludge.IDWSpec{Power: 2, Neighbours: 4})
	if err != nil {
		panic(err)
	}
	g, err := w.Grid(context.Background(), sludge.GridSpec{Spacing: 20 * units.Foot, Workers: 2})
	if err != nil {
		panic(err)
	}
	z, _ := g.Range()
	fmt.Println(z.Low.Text(units.Foot, 2), z.High.Text(units.Foot, 2))
	// Output: 1.45 ft 3.35 ft
}

func ExampleTIN_Volume() {
	v := tin().Volume()
	fmt.Println(v.Volume.Text(units.CubicYard, 0), v.MeanThickness.Text(units.Foot, 2))
	// Output: 3,997 yd3 2.25 ft
}

func ExampleTIN_Len() {
	fmt.Println(tin().Len())
	// Output: 18
}

func ExampleTangentPlane_Origin() {
	fmt.Println(frame().Origin())
	// Output: {-95.5 41.25}
}

func ExampleTangentPlane_Local() {
	at, err := frame().Local(sludge.LonLat{Lon: -95.499, Lat: 41.251})
	fmt.Println(at.X.Text(units.Foot, 1), at.Y.Text(units.Foot, 1), err)
	// Output: 275.0 ft 364.4 ft <nil>
}

func ExampleTangentPlane_LonLat() {
	p, err := frame().LonLat(plane.Point{X: 100, Y: 200})
	fmt.Printf("%.6f %.6f %v\n", p.Lon, p.Lat, err)
	// Output: -95.498807 41.251801 <nil>
}
