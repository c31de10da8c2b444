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
	// 0 m got "12.5", want a length with its unit, such as ft, in, yd, mi, m, cm
	// 0 m got "12,5 ft", want a decimal point, not a comma, or thousands commas in groups of three; a length with its unit, such as ft, in, yd, mi, m, cm
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

// What a pump puts down behind an injector, and what that carries.
func ExampleFlow_OverSwath() {
	rate := (450 * units.GallonPerMinute).OverSwath(3*units.MilePerHour, 15*units.Foot)
	fmt.Println(rate.Trade(), "or", rate.Depth().Text(units.Inch, 2))
	fmt.Println(rate.Carrying(31 * units.PoundPer1000Gallon).Trade())
	// Output:
	// 4,950 gal/acre or 0.18 in
	// 153.4 lb/acre
}

func ExampleFaults() {
	check := func(depth units.Length, share float64) error {
		var f units.Faults
		f.Positive("depth", depth)
		f.Fraction("share", share)
		return f.Err()
	}
	var f units.Faults
	f.Sub("basins[2]", check(-3*units.Foot, 1.5))
	for _, e := range units.FieldErrors(f.Err()) {
		fmt.Println(e.Kind, "|", e.Field, "|", e.Message())
	}
	// Output:
	// range | basins[2].depth | got -3 ft, want more than 0
	// range | basins[2].share | got 1.5, want 0 to 1
}

func ExampleWorking() {
	var w units.Working
	w.Add("liquid", 250000*units.Gallon, "")
	w.Add("nitrogen", (31 * units.PoundPer1000Gallon).Times(250000*units.Gallon), "content x liquid")
	w.Add("hauling", units.Money(3000), "12 per 1000 gal")
	fmt.Print(w)
	// Output:
	// liquid    250,000 gal
	// nitrogen  7,750 lb     content x liquid
	// hauling   3,000.00     12 per 1000 gal
}

func ExampleStyle() {
	var w units.Working
	w.Add("sludge", units.As(2160*units.CubicYard, units.CubicYard, 0), "survey, at %v", units.Share(0.95))
	w.Add("liquid", 250000*units.Gallon, "")
	w.Add("nitrogen", 7750*units.Pound, "%v x liquid", 31*units.PoundPer1000Gallon)
	fmt.Print(w)
	metric := units.Style{System: units.SystemMetric, Signs: units.SignsPointComma}
	fmt.Print(metric.Working(w))

	var f units.Faults
	f.Between("depth", 30*units.Foot, 1*units.Foot, 25*units.Foot)
	fmt.Println(metric.Faults(f.Err()))
	// Output:
	// sludge    2,160 yd3    survey, at 95 %
	// liquid    250,000 gal
	// nitrogen  7,750 lb     31 lb/1000 gal x liquid
	// sludge    1.651 m3  survey, at 95 %
	// liquid    946,4 m3
	// nitrogen  3.515 kg  3,715 kg/m3 x liquid
	// depth: got 9,144 m, want 304,8 mm to 7,62 m
}

func ExampleStyle_Read() {
	comma := units.Style{Signs: units.SignsPointComma}
	var a, b units.Length
	err := comma.Read("1,234 m", &a)
	fmt.Println(a, err)
	err = units.Style{}.Read("1,234 m", &b)
	fmt.Println(b, err)
	// Output:
	// 1.234 m <nil>
	// 1234 m <nil>
}

func ExampleValues() {
	fmt.Println(units.Values[units.System](), units.UnitsOf(units.Area(0))[:4])
	// Output: [US metric] [acre ft2 yd2 ha]
}

func ExampleFaults_At() {
	depths := []units.Length{8 * units.Foot, -3 * units.Foot}
	var f units.Faults
	for i, d := range depths {
		at := f.At("basins", i)
		at.Positive("depth", d)
	}
	byLab := f.Named("reports", "North lab")
	byLab.Missing("solids", "a share of 0 to 1")
	fmt.Println(f.Err())
	// Output:
	// basins[1].depth: got -3 ft, want more than 0
	// reports["North lab"].solids: missing; want a share of 0 to 1
}

func ExampleNames() {
	type Mode int // of some package
	names := units.Names{1: "agitate", 2: "decant"}
	var m Mode
	fmt.Println(units.UnmarshalName(names, []byte("Decant"), &m), names.String(int(m)))
	fmt.Println(units.UnmarshalName(names, []byte("boil"), &m))
	// Output:
	// <nil> decant
	// got "boil", want one of agitate, decant
}

func ExampleRange() {
	cost := units.Range[units.VolumePerArea]{Low: 6000 * units.GallonPerAcre, High: 9000 * units.GallonPerAcre}
	fmt.Println(cost.Mid().Trade(), cost.Half().Trade(), cost.Has(10000*units.GallonPerAcre))
	// Output: 7,500 gal/acre 1,500 gal/acre false
}

func ExampleTemperature() {
	t, err := units.ParseTemperature("68 F")
	fmt.Printf("%.2f %.1f C %v %v\n", t, t.Celsius(), t.Trade(), err)
	// Output: 293.15 K 20.0 C 68 F <nil>
}

func ExampleDuration_Std() {
	d, err := units.ParseDuration("1 h 30 min")
	fmt.Println(d.Std(), units.DurationOf(d.Std()).In(units.Minute), err)
	// Output: 1h30m0s 90 <nil>
}

// What a page or a form shows, in the units of its reader.
func ExampleStyle_Lines() {
	var w units.Working
	w.Add("sludge", 40*units.CubicMetre, "%v deep", 2*units.Foot)
	metric := units.Style{System: units.SystemMetric}
	fmt.Println(metric.Lines(w))
	var f units.Faults
	f.UpTo("depth", 40*units.Metre, 30*units.Foot)
	fmt.Println(metric.Messages(units.FieldErrors(f.Err())))
	// Output:
	// [{sludge 40 m3 0.6096 m deep}]
	// [{depth range got 40 m, want more than 0 and at most 9.144 m 0 0}]
}
