package units_test

import (
	"errors"
	"fmt"
	"time"

	"example.org/earthbasin/units"
)

// must shows what the reading gives; a program handles the error.
func must[Q any](q Q, err error) Q {
	if err != nil {
		fmt.Println(err)
	}
	return q
}

func ExampleParseArea() {
	fmt.Println(must(units.ParseArea("1.2 acres")).Text(units.SquareFoot, 0))
	// Output: 52,272 ft2
}

func ExampleParseConcentration() {
	fmt.Println(must(units.ParseConcentration("31 lb/1000 gal")).Text(units.GramPerLitre, 2))
	// Output: 3.71 g/L
}

func ExampleParseDensity() {
	fmt.Println(must(units.ParseDensity("62.4 lb/ft3")).Text(units.KilogramPerCubicMetre, 0))
	// Output: 1,000 kg/m3
}

func ExampleParseDepthRate() {
	fmt.Println(must(units.ParseDepthRate("0.5 in/h")).Text(units.MillimetrePerHour, 1))
	// Output: 12.7 mm/h
}

func ExampleParseDuration() {
	fmt.Println(must(units.ParseDuration("1 h 30 min")).Std())
	// Output: 1h30m0s
}

func ExampleParseFlow() {
	fmt.Println(must(units.ParseFlow("450 gpm")).Times(units.Hour).Text(units.Gallon, 0))
	// Output: 27,000 gal
}

func ExampleParseMass() {
	fmt.Println(must(units.ParseMass("2 tons")).Text(units.Pound, 0))
	// Output: 4,000 lb
}

func ExampleParseMassFraction() {
	fmt.Println(must(units.ParseMassFraction("350 ppm")).Text(units.Percent, 3))
	// Output: 0.035 %
}

func ExampleParseMassPerArea() {
	fmt.Println(must(units.ParseMassPerArea("9 ton/acre")).Text(units.PoundPerAcre, 0))
	// Output: 18,000 lb/acre
}

func ExampleParseSeedsPerArea() {
	fmt.Println(must(units.ParseSeedsPerArea("40 seeds/ft2")).Trade())
	// Output: 40 seeds/ft2
}

func ExampleParseSeedsPerMass() {
	fmt.Println(must(units.ParseSeedsPerMass("110,000 seeds/lb")).Trade())
	// Output: 110,000 seeds/lb
}

func ExampleParsePower() {
	fmt.Println(must(units.ParsePower("60 hp")).Text(units.Kilowatt, 1))
	// Output: 44.7 kW
}

func ExampleParsePowerPerVolume() {
	fmt.Println(must(units.ParsePowerPerVolume("0.5 hp/1000 gal")).Text(units.WattPerCubicMetre, 1))
	// Output: 98.5 W/m3
}

func ExampleParseSpeed() {
	fmt.Println(must(units.ParseSpeed("3 mph")).Text(units.FootPerMinute, 0))
	// Output: 264 ft/min
}

func ExampleParseTemperature() {
	fmt.Println(must(units.ParseTemperature("50 °F")).Trade())
	// Output: 50 F
}

func ExampleParseVolume() {
	fmt.Println(must(units.ParseVolume("1 acre-ft")).Text(units.Gallon, 0))
	// Output: 325,851 gal
}

func ExampleParseVolumePerArea() {
	fmt.Println(must(units.ParseVolumePerArea("27,154 gal/acre")).Text(units.AcreInchPerAcre, 2))
	// Output: 1.00 acre-in/acre
}

func ExampleCelsius() {
	fmt.Printf("%.0f\n", units.Celsius(10).Fahrenheit())
	// Output: 50
}

func ExampleFahrenheit() {
	fmt.Printf("%.0f\n", units.Fahrenheit(50).Celsius())
	// Output: 10
}

func ExampleDurationOf() {
	fmt.Println(units.DurationOf(90 * time.Minute).Trade())
	// Output: 1.5 h
}

func ExamplePoint() {
	exact := units.Point(4 * units.Foot)
	fmt.Println(exact.IsPoint(), exact.Mid().Trade())
	// Output: true 4 ft
}

func ExamplePricePer() {
	slurry := units.PricePer(12, 1000*units.Gallon)
	fmt.Printf("%.2f\n", slurry.Of(400_000*units.Gallon))
	// Output: 4800.00
}

// What a form writes beside a field for a length.
func ExampleHint() {
	fmt.Println(units.Hint(units.Foot))
	// Output: a length with its unit, such as ft, in, yd, mi, m, cm
}

// Earth is counted in cubic yards, and in cubic metres where the metre is used.
func ExampleAs() {
	fill := units.As(units.Volume(950), units.CubicYard, 0)
	fmt.Println(units.Style{}.Text(fill), "or", units.Style{System: units.SystemMetric}.Text(fill))
	// Output: 1,243 yd3 or 950 m3
}

// A select box of units.
func ExampleUnitsOf() {
	fmt.Println(units.UnitsOf(units.Mile)[:4])
	// Output: [ft in yd mi]
}

func ExampleIsNil() {
	var none *units.Names // what a constructor returns beside an error
	fmt.Println(units.IsNil(none), units.IsNil(units.Foot))
	// Output: true false
}

func ExampleJoinPath() {
	fmt.Println(units.JoinPath("fields[2]", "area"), units.JoinPath("fields", "[2]"))
	// Output: fields[2].area fields[2]
}

func ExamplePathKey() {
	fmt.Println("elements" + units.PathKey("Mehlich 3"))
	// Output: elements["Mehlich 3"]
}

func ExamplePathWithin() {
	fmt.Println(units.PathWithin("fields[2].area", "fields[2]"), units.PathWithin("fields[2].area", "field"))
	// Output: true false
}

// A fault of a program's own stands among those of the library.
func ExampleFault() {
	err := units.Fault(units.FaultRange, "loads", units.Count{N: 900, Of: "loads"}, "at most %v a day", 60)
	fmt.Println(err)
	// Output: loads: got 900 loads, want at most 60 a day
}

func ExampleFieldErrors() {
	var f units.Faults
	f.Positive("depth", -2*units.Foot)
	f.Missing("boundary", "a polygon")
	for _, fault := range units.FieldErrors(fmt.Errorf("north basin: %w", f.Err())) {
		fmt.Printf("%s (%s): %s\n", fault.Field, fault.Kind, fault.Message())
	}
	// Output:
	// depth (range): got -2 ft, want more than 0
	// boundary (missing): missing; want a polygon
}

func ExampleWithoutEchoes() {
	read := units.Fault(units.FaultUnit, "depth", "8.5", "a length with its unit")
	checked := errors.Join(units.Fault(units.FaultMissing, "depth", nil, "a length"), units.Fault(units.FaultMissing, "width", nil, "a length"))
	fmt.Println(units.WithoutEchoes(read, checked))
	// Output:
	// depth: got "8.5", want a length with its unit
	// width: missing; want a length
}

// A phrase keeps its values, so that it reads in other units too.
func ExampleWords() {
	p := units.Words("the sludge top is %v down", 8*units.Foot)
	fmt.Println(p)
	fmt.Println(units.Style{System: units.SystemMetric}.Phrase(p))
	// Output:
	// the sludge top is 8 ft down
	// the sludge top is 2.438 m down
}

// An enumeration of a program's own reads as those of the library do.
func ExampleUnmarshalName() {
	names := units.Names{"", "spring", "fall"}
	var season int
	fmt.Println(units.UnmarshalName(names, []byte("Fall"), &season), season)
	fmt.Println(units.UnmarshalName(names, []byte("autumn"), &season))
	// Output:
	// <nil> 2
	// got "autumn", want one of spring, fall
}

func ExampleSQLValue() {
	fmt.Println(units.SQLValue(8 * units.Foot))
	// Output: 2.4384 m <nil>
}

func ExampleSQLScan() {
	var depth units.Length
	fmt.Println(units.SQLScan("8 ft", &depth), depth.Trade())
	fmt.Println(units.SQLScan(8.0, &depth) != nil)
	// Output:
	// <nil> 8 ft
	// true
}

// Flat rows for a table or a spreadsheet.
func ExampleCells() {
	cells, err := units.Cells(units.Range[units.Volume]{Low: 400_000 * units.Gallon, High: 430_000 * units.Gallon}, units.SystemMetric)
	for _, c := range cells {
		fmt.Printf("%s %.1f %s\n", c.Path, c.Value, c.Unit)
	}
	fmt.Println(err)
	// Output:
	// low 1514.2 m3
	// high 1627.7 m3
	// <nil>
}

// A fault suggests the word that was meant.
func ExampleEdits() {
	fmt.Println(units.Edits("olson", "olsen", 2), units.Edits("olson", "bray p1", 2))
	// Output:
	// 1 3
}
