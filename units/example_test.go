package units_test

import (
	"encoding/json"
	"fmt"

	"example.org/earthbasin/units"
)

func Example() {
	depth := 8.5 * units.Foot
	held := (1.2 * units.Acre).Times(depth)
	n, err := units.ParseConcentration("31 lb/1000 gal")
	if err != nil {
		fmt.Println(err)
		return
	}
	rate, err := units.ParseVolumePerArea("8,000 gal/ac")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(held.Text(units.AcreFoot, 1))
	fmt.Println(n.Times(held).Text(units.Pound, 0))
	fmt.Println(rate.Carrying(n).Text(units.PoundPerAcre, 0))
	// Output:
	// 10.2 acre-ft
	// 103,034 lb
	// 248 lb/acre
}

func ExampleParseLength() {
	for _, s := range []string{"12 ft 6 in", "12.5 [ft_i]", "12.5", "12,5 ft"} {
		l, err := units.ParseLength(s)
		fmt.Println(l, err)
	}
	// Output:
	// 3.8100000000000005 m <nil>
	// 3.81 m <nil>
	// 0 m is "12.5", want a length with its unit, such as ft, in, yd, mi, m, cm
	// 0 m is "12,5 ft", want a decimal point, not a comma, or thousands commas in groups of three; a length with its unit, such as ft, in, yd, mi, m, cm
}

func ExampleDecode() {
	var pond struct {
		Name  string       `json:"name"`
		Depth units.Length `json:"depth"`
		Top   units.Area   `json:"top"`
	}
	err := units.Decode([]byte(`{"name": "north", "depth": 12, "top": "2 acre-ft", "colour": "brown"}`), &pond)
	for _, f := range units.FieldErrors(err) {
		fmt.Println(f)
	}
	// Output:
	// depth: is 12, want text: a length with its unit, such as ft, in, yd, mi, m, cm
	// top: is "2 acre-ft", want an area with its unit, such as acre, ft2, yd2, ha, m2, mi2 ("acre-ft" is a volume)
	// colour: is an unknown key, want one of depth, name, top
}

func ExamplePrice() {
	var haul units.Price[units.Volume]
	if err := json.Unmarshal([]byte(`"12 per 1000 gal"`), &haul); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f\n", haul.Of(250000*units.Gallon))
	// Output: 3000.00
}

func ExampleOxides() {
	fmt.Printf("%.4f %.4f\n", units.OxidesMolar.P2O5PerP(), units.OxidesMolar.K2OPerK())
	fmt.Printf("%.2f %.2f\n", units.OxidesRounded.P2O5PerP(), units.OxidesRounded.K2OPerK())
	// Output:
	// 2.2914 1.2046
	// 2.29 1.20
}
