package strict_test

import (
	"fmt"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

func ExampleDecode() {
	var pond struct {
		Name  string       `json:"name"`
		Depth units.Length `json:"depth"`
		Top   units.Area   `json:"top"`
	}
	err := strict.Decode([]byte(`{"name": "north", "depth": 12, "top": "2 acre-ft", "colour": 1}`), &pond)
	for _, e := range units.FieldErrors(err) {
		fmt.Println(e)
	}
	// Output:
	// depth: got 12, want text: a length with its unit, such as ft, in, yd, mi, m, cm (line 1, column 28)
	// top: got "2 acre-ft", want an area with its unit, such as acre, ft2, yd2, ha, m2, mi2 ("acre-ft" is a volume) (line 1, column 39)
	// colour: an unknown key; want one of depth, name, top (line 1, column 62)
}

func ExampleCheck() {
	var pond struct {
		Depth units.Length `json:"depth"`
		Share float64      `json:"share"`
	}
	err := strict.Check([]byte(`{"depth": "-2 m"}`), &pond, func() error {
		var f units.Faults
		f.Positive("depth", pond.Depth)
		f.PositiveFraction("share", pond.Share)
		return f.Err()
	})
	fmt.Println(err)
	// Output:
	// depth: got -2 m, want more than 0 (line 1, column 11)
	// share: missing; want more than 0 and at most 1 (line 1, column 1)
}

// Where the comma is decimal, 1,234 m is a little more than a metre.
func ExampleReader() {
	var tank struct {
		Depth  units.Length `json:"depth"`
		Volume units.Volume `json:"volume"`
	}
	german := strict.Reader{Style: units.Style{System: units.SystemMetric, Signs: units.SignsPointComma}}
	err := german.Check([]byte(`{"depth": "1,234 m", "volume": "1.250,5 m3"}`), &tank, func() error {
		var f units.Faults
		f.UpTo("volume", tank.Volume, 1000*units.CubicMetre)
		return f.Err()
	})
	fmt.Println(tank.Depth.Text(units.Metre, 3), german.Style.Faults(err))
	// Output:
	// 1.234 m volume: got 1.250,5 m3, want more than 0 and at most 1.000 m3 (line 1, column 32)
}

func ExampleMake() {
	type spec struct {
		Depth units.Length `json:"depth"`
	}
	tank := func(s spec) (units.Volume, error) {
		var f units.Faults
		f.UpTo("depth", s.Depth, 10*units.Metre)
		return units.SquareMetre.Times(s.Depth), f.Err()
	}
	held, err := strict.Make([]byte(`{"depth": "2 m"}`), tank)
	fmt.Println(held.Text(units.CubicMetre, 1), err)
	_, err = strict.Make([]byte(`{"depth": "20 m"}`), tank)
	fmt.Println(err)
	// Output:
	// 2.0 m3 <nil>
	// depth: got 20 m, want more than 0 and at most 32.81 ft (line 1, column 11)
}
