package nutrient_test

import (
	"fmt"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

func lbPer1000Gal(x float64) nutrient.Content {
	return nutrient.LiquidContent(units.Concentration(x) * units.PoundPer1000Gallon)
}

func ExampleFieldRate() {
	n, err := nutrient.NitrogenRoom(nutrient.NitrogenRoomSpec{
		Need:    160 * units.PoundPerAcre,
		Legume:  30 * units.PoundPerAcre,
		Starter: 10 * units.PoundPerAcre,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := nutrient.FieldRate(nutrient.FieldRateSpec{
		Limits: []nutrient.Limit{
			{Kind: nutrient.LimitNitrogen, Holds: lbPer1000Gal(12), Room: n.Room},
			{Kind: nutrient.LimitPhosphorus, Holds: lbPer1000Gal(15), Room: 75 * units.PoundPerAcre},
			{Kind: nutrient.LimitPass, Rate: nutrient.LiquidRate(9000 * units.GallonPerAcre)},
		},
		Needs: []nutrient.NutrientNeed{{Name: "available N", Holds: lbPer1000Gal(12), Need: n.Room}},
	})
	fmt.Println(r, err)
	// Output:
	// phosphorus allows    5,000 gal/acre   binds
	// pass allows          9,000 gal/acre   would allow 4,000 gal/acre more
	// nitrogen allows      10,000 gal/acre  would allow 5,000 gal/acre more
	// rate                 5,000 gal/acre   the least of them
	// available N applied  60 lb/acre       60 lb/acre missing
	//  <nil>
}

// A study evaluates into the same result and changes the spec between.
func ExampleFieldRateResult_Evaluate() {
	spec := nutrient.FieldRateSpec{Limits: []nutrient.Limit{
		{Kind: nutrient.LimitNitrogen, Holds: lbPer1000Gal(10), Room: 150 * units.PoundPerAcre},
		{Kind: nutrient.LimitPhosphorus, Holds: lbPer1000Gal(5), Room: 60 * units.PoundPerAcre},
	}}
	var r nutrient.FieldRateResult
	for _, p := range []float64{3, 5, 8} {
		spec.Limits[1].Holds = lbPer1000Gal(p)
		if err := r.Evaluate(&spec); err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(r.Rate, r.Binding().Name)
	}
	// Output:
	// 15,000 gal/acre nitrogen
	// 12,000 gal/acre phosphorus
	// 7,500 gal/acre phosphorus
}

func ExampleNitrogenRoom() {
	r, err := nutrient.NitrogenRoom(nutrient.NitrogenRoomSpec{
		Need:              180 * units.PoundPerAcre,
		Legume:            40 * units.PoundPerAcre,
		IrrigationNitrate: 10 * units.MilligramPerLitre,
		IrrigationDepth:   units.Foot,
		SoilNitrate:       3 * units.PartPerMillion,
		SoilNitrateCredit: nutrient.NebraskaSoilNitrate,
	})
	fmt.Println(r, err)
	// Output:
	// need                     180 lb/acre
	// less legume              40 lb/acre
	// less irrigation nitrate  27.19 lb/acre  nitrate-N x depth
	// less soil nitrate        24 lb/acre     mg/kg x credit per mg/kg
	// room for available N     88.81 lb/acre  need less credits, not below 0
	//  <nil>
}

func ExampleForageRoom() {
	r, err := nutrient.ForageRoom(nutrient.ForageRoomSpec{
		K: 3.2 * units.Percent, Ca: 0.4 * units.Percent, Mg: 0.2 * units.Percent,
		MaxRatio: 2, Removal: 240 * units.PoundPerAcre, ShareHigh: 0.5, ShareLow: 1,
	})
	fmt.Printf("ratio %.2f, high %v, %s of K2O, %v\n", r.Ratio, r.High, r.Room.Trade(), err)
	// Output:
	// ratio 2.25, high true, 120 lb/acre of K2O, <nil>
}

func ExampleMetals() {
	rule := must(must(nutrient.PublishedState("us-sludge")).MetalTable(nil))
	r, err := nutrient.Metals(nutrient.MetalsSpec{
		Annual: nutrient.AnnualLimitsApply,
		Table:  rule,
		Metals: []nutrient.MetalLoad{{
			Metal: nutrient.Zinc, Dry: new(1500 * units.MilligramPerKilogram),
			Holds:  nutrient.SolidContent(300 * units.MilligramPerKilogram),
			Before: 400 * units.KilogramPerHectare,
		}},
		Yearly: nutrient.SolidRate(40 * units.TonnePerHectare),
	})
	fmt.Printf("%.0f years, ended by %v, %v\n", r.Years, r.Ends, err)
	// Output:
	// 200 years, ended by Zn, <nil>
}

func ExampleState_MetalTable() {
	t := must(must(nutrient.PublishedState("us-epa-1983")).MetalTable(nutrient.Query{"cec": "8 meq/100 g", "ph": "6.7"}))
	for _, l := range t.Limits {
		fmt.Println(l.Metal, l.Cumulative.Text(units.KilogramPerHectare, 0))
	}
	// Output:
	// Pb 1,120 kg/ha
	// Zn 560 kg/ha
	// Cu 280 kg/ha
	// Ni 280 kg/ha
	// Cd 10 kg/ha
}

func ExampleMetalTable_Loads() {
	rule := must(must(nutrient.PublishedState("south-carolina")).MetalTable(nil))
	loads, err := rule.Loads(nutrient.Analysis{
		Form: nutrient.Solid, Solids: nutrient.SolidContent(25 * units.Percent),
		Elements: map[nutrient.Element]nutrient.Content{nutrient.Copper: nutrient.SolidContent(100 * units.MilligramPerKilogram)},
	})
	fmt.Println(loads[0].Metal, loads[0].Dry.Text(units.MilligramPerKilogram, 0), err)
	// Output:
	// Cu 400 mg/kg <nil>
}

func ExampleDryLoad() {
	d, err := nutrient.DryLoad(1500*units.KilogramPerHectare, 500*units.MilligramPerKilogram)
	fmt.Println(d.Text(units.TonPerAcre, 1), err)
	// Output:
	// 1,338.3 ton/acre <nil>
}

func ExampleHydraulic() {
	intake, err := nutrient.MaxPrecipitation(nutrient.IntakeSiltLoam, 0.03, true)
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := nutrient.Hydraulic(nutrient.HydraulicSpec{
		Layers:   []nutrient.SoilLayer{{Depth: 4 * units.Foot, Texture: nutrient.TextureLoam}},
		Depleted: 0.25, Target: 4 * units.Inch, Evapotranspiration: 0.2 * units.InchPerDay,
		Application: 0.3 * units.InchPerHour, Intake: intake,
	})
	fmt.Println(r, err)
	// Output:
	// available water, low   6 in      sum of depth x part, low end of the range
	// available water, high  9.2 in    high end
	// missing                0.25      part of it, on the day
	// one pass, at most      1.5 in    low available water x missing part
	// passes                 3         target 4 in over one pass, rounded up
	// each pass              1.333 in  target over passes
	// between passes         6.667 d   pass over evapotranspiration
	// application rate       0.3 in/h  soil takes in 1 in/h
	// hours of a pass        4.444 h   pass over application rate
	//  <nil>
}

func ExampleAvailableWater() {
	r, err := nutrient.AvailableWater(nutrient.TextureSandyLoam)
	fmt.Printf("%.2f to %.2f in/ft %v\n", r.Low*12, r.High*12, err)
	// Output:
	// 1.25 to 1.75 in/ft <nil>
}

func ExampleMaxPrecipitation() {
	r, err := nutrient.MaxPrecipitation(nutrient.IntakeClay, 0.06, false)
	fmt.Println(r.Text(units.InchPerHour, 2), err)
	// Output:
	// 0.10 in/h <nil>
}

func ExampleSaltRatings() {
	ec, sar := 2.4, 5.0
	r, err := nutrient.SaltRatings(nutrient.SaltRatingsSpec{EC: &ec, SAR: &sar})
	fmt.Println(r, err)
	// Output:
	// conductivity        2.4 dS/m            slight to moderate
	// sodium by SAR       5                   slight to moderate
	// infiltration        2.4 dS/m            none
	// restriction on use  slight to moderate  FAO Irrigation and Drainage Paper 29 rev. 1, Table 1
	//  <nil>
}

func ExampleLandBase() {
	r, err := nutrient.LandBase(nutrient.LandBaseSpec{
		Stocks: []nutrient.LandStock{
			{Name: "available N", Mass: 12000 * units.Pound, PerArea: 150 * units.PoundPerAcre},
			{Name: "P2O5", Mass: 9000 * units.Pound, PerArea: 60 * units.PoundPerAcre},
		},
		Have: 120 * units.Acre,
	})
	fmt.Println(r, err)
	// Output:
	// land for P2O5         150 acre   mass over mass per area, binds
	// land for available N  80 acre    mass over mass per area
	// land at hand          120 acre
	// missing               30.0 acre
	//  <nil>
}

func ExampleWorth() {
	r, err := nutrient.Worth(nutrient.WorthSpec{
		Nutrients: []nutrient.WorthNutrient{
			{Name: "N", Holds: lbPer1000Gal(20), Available: 0.6, Price: units.PricePer(0.5, units.Pound), Need: 100 * units.PoundPerAcre},
			{Name: "P2O5", Holds: lbPer1000Gal(15), Available: 1, Price: units.PricePer(0.4, units.Pound), Need: 160 * units.PoundPerAcre},
		},
		Rate:        nutrient.LiquidRate(5000 * units.GallonPerAcre),
		Spread:      nutrient.LiquidPrice(units.PricePer(5, 1000*units.Gallon)),
		HaulPerMile: nutrient.LiquidPrice(units.PricePer(2, 1000*units.Gallon)),
		Distance:    units.Mile,
	})
	fmt.Println(r, err)
	// Output:
	// N counted            60 lb/acre         of 60 lb/acre applied
	// value of N           30.00 per acre
	// P2O5 counted         75 lb/acre         of 75 lb/acre applied
	// value of P2O5        30.00 per acre
	// gross value          60.00 per acre     nutrients and yield
	// cost                 35.00 per acre     hauling 1.0 mi, spreading, incorporation
	// net value            25.00 per acre
	// net value            5.00 per 1000 gal
	// break-even distance  3.50 mi            what is left for hauling over the price of a mile
	//  <nil>
}

func ExampleFertilizerPrice() {
	p, err := nutrient.FertilizerPrice(units.PricePer(500, units.Ton), 46*units.Percent)
	fmt.Printf("%.4f per lb of N %v\n", p.Of(units.Pound), err)
	// Output:
	// 0.5435 per lb of N <nil>
}

func ExampleUnitPrice() {
	var p nutrient.UnitPrice
	err := p.UnmarshalText([]byte("12 per 1000 gal"))
	money, _ := p.Of(nutrient.LiquidAmount(6000 * units.Gallon))
	fmt.Printf("%v: %.2f a load %v\n", p, money, err)
	// Output:
	// 12.00 per 1000 gal: 72.00 a load <nil>
}

// A rule of another state is a piece of JSON.
func ExampleMetalTable() {
	var rule nutrient.MetalTable
	err := strict.Decode([]byte(`{
		"id": "invented",
		"source": {"title": "Invented rule", "publisher": "", "number": "1", "edition": "2024", "place": "Table 1", "url": ""},
		"limits": [{"metal": "Cu", "ceiling": "2000 mg/kg", "cumulative": "500 kg/ha", "annual": "25 kg/ha"}]
	}`), &rule)
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := nutrient.Metals(nutrient.MetalsSpec{
		Annual: nutrient.AnnualLimitsApply,
		Table:  rule,
		Metals: []nutrient.MetalLoad{{
			Metal: nutrient.Copper, Dry: new(600 * units.MilligramPerKilogram),
			Holds: nutrient.SolidContent(100 * units.MilligramPerKilogram),
		}},
		Yearly: nutrient.SolidRate(50 * units.TonnePerHectare),
	})
	fmt.Println(r, err)
	// Output:
	// Cu, room of all years  446 lb/acre  limit less what was put on
	// Cu, years              100.0        room over 4.461 lb/acre a year
	// site life, years       100.0        ended by Cu
	// limits of one year     apply        as chosen
	// rule                                Invented rule, 1, 2024, Table 1
	//  <nil>
}
