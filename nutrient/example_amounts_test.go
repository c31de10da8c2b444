package nutrient_test

import (
	"fmt"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

func ExampleLiquidContent() {
	fmt.Println(nutrient.LiquidContent(31 * units.PoundPer1000Gallon))
	// Output: 31 lb/1000 gal
}

func ExampleSolidContent() {
	fmt.Println(nutrient.SolidContent(12 * units.PoundPerTon))
	// Output: 12 lb/ton
}

func ExampleLiquidAmount() {
	stock := nutrient.LiquidAmount(1.2e6 * units.Gallon)
	volume, liquid := stock.Volume()
	fmt.Println(stock, volume.Text(units.Gallon, 0), liquid)
	// Output: 1,200,000 gal 1,200,000 gal true
}

func ExampleSolidAmount() {
	fmt.Println(must(nutrient.SolidAmount(400 * units.Ton).Over(nutrient.SolidRate(8 * units.TonPerAcre))).Trade())
	// Output: 50 acre
}

func ExampleLiquidRate() {
	rate := nutrient.LiquidRate(5000 * units.GallonPerAcre)
	fmt.Println(must(rate.Times(40 * units.Acre)))
	// Output: 200,000 gal
}

func ExampleSolidRate() {
	load := must(nutrient.SolidRate(10 * units.TonPerAcre).Carrying(nutrient.SolidContent(12 * units.PoundPerTon)))
	fmt.Println(load.Text(units.PoundPerAcre, 0))
	// Output: 120 lb/acre
}

func ExampleLiquidPrice() {
	price := nutrient.LiquidPrice(units.PricePer(12, 1000*units.Gallon))
	fmt.Println(price, units.Money(must(price.Of(nutrient.LiquidAmount(300000*units.Gallon)))))
	// Output: 12.00 per 1000 gal 3,600.00
}

func ExampleSolidPrice() {
	fmt.Println(nutrient.SolidPrice(units.PricePer(5, units.Ton)))
	// Output: 5.00 per ton
}

func ExampleContent_Times() {
	n := content("31 lb/1000 gal")
	fmt.Println(must(n.Times(nutrient.LiquidAmount(200000*units.Gallon))).Text(units.Pound, 0))
	// Output: 6,200 lb
}

func ExampleContent_Scale() {
	fmt.Println(must(content("30 lb/1000 gal").Scale(0.55)))
	// Output: 16.5 lb/1000 gal
}

func ExampleContent_Check() {
	fmt.Println(content("12 lb/ton").Check(nutrient.Liquid))
	// Output: solid; want the form of the material: liquid (a density converts)
}

func ExampleRate_As() {
	fmt.Println(must(nutrient.SolidRate(20*units.TonPerAcre).As(nutrient.Liquid, 8.5*units.PoundPerGallon)))
	// Output: 4,706 gal/acre
}

func ExampleTons() {
	yield := nutrient.Tons(6 * units.TonPerAcre)
	fmt.Println(yield)
	// Output: 6 ton/acre
}

func ExampleAnalysis_Check() {
	analysis := nutrient.Analysis{
		Form:   nutrient.Liquid,
		TotalN: content("20 lb/1000 gal"), AmmoniumN: content("12 lb/ton"), P: content("-1 lb/1000 gal"),
	}
	fmt.Println(analysis.Check())
	// Output:
	// ammoniumN: solid; want the form of the material: liquid (a density converts)
	// p: got -1 lb/1000 gal, want 0 or more
}

func ExampleAnalysis_DryBasis() {
	sludge := must(nutrient.Analyze(nutrient.AnalyzeSpec{
		Form: nutrient.Solid, Solids: content("20 %"), Elements: map[nutrient.Element]nutrient.Content{nutrient.Zinc: content("400 mg/kg")},
	}))
	fmt.Println(must(sludge.DryBasis(sludge.Elements[nutrient.Zinc])).Text(units.MilligramPerKilogram, 0))
	// Output: 2,000 mg/kg
}
