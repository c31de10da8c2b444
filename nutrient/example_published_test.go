package nutrient_test

import (
	"fmt"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

func ExamplePublishedSet() {
	set := must(nutrient.PublishedSet("minnesota"))
	fmt.Println(set.Jurisdiction(), "-", set.Source())
	for _, lacking := range set.Lacks() {
		fmt.Println("lacks", lacking)
	}
	// Output:
	// Minnesota - Calculating manure application rates, University of Minnesota Extension, current page, Table 1
	// lacks the second year of poultry manure
	// lacks manure that is broadcast and never incorporated
	// lacks availability of P and K
}

func ExampleNewSet() {
	half, tenth := 0.5, 0.1
	set, err := nutrient.NewSet(nutrient.SetSpec{
		ID: "atlantis-2026", Jurisdiction: "Atlantis",
		Source: nutrient.Source{Title: "Manure of Atlantis", Publisher: "Atlantis Extension", Edition: "2026", Place: "Table 4"},
		Keys:   []nutrient.Key{{Name: "soil", Label: "Soil", Values: []string{"sandy", "heavy"}}},
		Rows: []nutrient.Row{
			{Pool: nutrient.PoolTotalN, Year: 1, Basis: nutrient.BasisTotal, Value: &half,
				When: nutrient.Selector{Own: map[nutrient.KeyName]nutrient.OwnSelector{"soil": {Values: []string{"heavy"}}}}},
			{Pool: nutrient.PoolTotalN, Year: 1, Basis: nutrient.BasisTotal, Value: &tenth,
				When: nutrient.Selector{Own: map[nutrient.KeyName]nutrient.OwnSelector{"soil": {Values: []string{"sandy"}}}}},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	factor := must(set.Factor(nutrient.PoolTotalN, 1, nutrient.Query{Own: map[nutrient.KeyName]string{"soil": "heavy"}}))
	fmt.Println(set.Keys()[0].Name.Path(), factor.Fraction.Low)
	// Output: own.soil 0.5
}

func ExampleSet_Remarks() {
	share := func(year int, low, high float64) nutrient.Row {
		return nutrient.Row{Pool: nutrient.PoolOrganic, Year: year, Basis: nutrient.BasisOriginal, Low: &low, High: &high}
	}
	set := must(nutrient.NewSet(nutrient.SetSpec{
		ID: "atlantis-ranges", Jurisdiction: "Atlantis",
		Source: nutrient.Source{Title: "Manure of Atlantis", Publisher: "Atlantis Extension", Edition: "2026"},
		Rows:   []nutrient.Row{share(1, 0.8, 1), share(2, 0.1, 0.2)},
	}))
	fmt.Println(set.Remarks()[0])
	// Output: the high values of organic add up to 1.2 over the years, of which no more than 1 is counted: any query
}

func ExampleSchedule_Nitrogen() {
	set := must(nutrient.PublishedSet("alberta-2006"))
	schedule := must(set.Schedule(nutrient.Query{Compost: "fresh", Method: "injected"}))
	slurry := must(nutrient.Analyze(nutrient.AnalyzeSpec{Form: nutrient.Liquid, TKN: content("3.8 g/L"), AmmoniumN: content("1.9 g/L")}))
	for year := 1; year <= 3; year++ {
		n := must(schedule.Nitrogen(slurry, year)).N.High
		c, _ := n.Concentration()
		fmt.Println("year", year, c.Text(units.GramPerLitre, 3))
	}
	// Output:
	// year 1 2.375 g/L
	// year 2 0.228 g/L
	// year 3 0.114 g/L
}

func ExamplePublishedCropTable() {
	table := must(nutrient.PublishedCropTable("montana-2003"))
	fmt.Println(table.Crops()[0].Crop, "by the", table.Crops()[0].Unit)
	// Output: barley grain by the bu
}

func ExamplePublishedCropTableIDs() {
	fmt.Println(nutrient.PublishedCropTableIDs())
	// Output: [illinois-560 ontario-2025 michigan-2017 montana-2003]
}

func ExampleNewCropTable() {
	mass := func(m units.Mass) *nutrient.Span[units.Mass] { return &nutrient.Span[units.Mass]{Low: m, High: m} }
	table := must(nutrient.NewCropTable(nutrient.CropTableSpec{
		ID: "atlantis-crops", Jurisdiction: "Atlantis", N: nutrient.NColumnRemoval,
		Source: nutrient.Source{Title: "Crops of Atlantis", Publisher: "Atlantis Extension", Edition: "2026"},
		Rows: []nutrient.CropRow{{Crop: "kelp", Unit: nutrient.YieldTonne,
			N: mass(12 * units.Kilogram), P2O5: mass(4 * units.Kilogram), K2O: mass(30 * units.Kilogram)}},
	}))
	kelp := must(table.For("kelp", nutrient.Yield{PerHectare: 8, Unit: nutrient.YieldTonne}))
	fmt.Println(kelp.P2O5.Low.Text(units.KilogramPerHectare, 0))
	// Output: 32 kg/ha
}

func ExamplePublishedSiteRule() {
	rule := must(nutrient.PublishedSiteRule("virginia-saturation"))
	saturation := 0.7
	fmt.Println(must(rule.Limit(nutrient.Site{Saturation: &saturation})).Allow)
	// Output: none
}

func ExamplePublishedSiteRuleIDs() {
	fmt.Println(nutrient.PublishedSiteRuleIDs())
	// Output: [minnesota-590 nebraska-index utah illinois-502 virginia-saturation]
}

func ExampleNewSiteRule() {
	three := 3.0
	rule := must(nutrient.NewSiteRule(nutrient.SiteRuleSpec{
		ID: "atlantis-index", Jurisdiction: "Atlantis",
		Source:      nutrient.Source{Title: "Phosphorus of Atlantis", Publisher: "Atlantis Extension", Edition: "2026"},
		Extractants: []nutrient.Extractant{"sea water"}, Units: []nutrient.SoilTestUnitSpec{{Name: "index"}},
		Rows: []nutrient.SiteRow{
			{Allow: nutrient.PBasisRemoval, Times: 2, When: nutrient.SiteSelector{SoilTest: []nutrient.SoilTestClass{
				{Extractant: "sea water", Unit: "index", Class: nutrient.Class[float64]{Below: &three}}}}},
			{Allow: nutrient.PBasisNone, When: nutrient.SiteSelector{SoilTest: []nutrient.SoilTestClass{
				{Extractant: "sea water", Unit: "index", Class: nutrient.Class[float64]{From: &three}}}}},
		},
	}))
	limit := must(rule.Limit(nutrient.Site{SoilTest: &nutrient.SoilTest{Value: 2, Unit: "index", Extractant: "sea water"}}))
	room, capped := limit.Cap(50 * units.PoundPerAcre)
	fmt.Println(limit.Allow, room.Text(units.PoundPerAcre, 0), capped)
	// Output: removal 100 lb/acre true
}

func ExampleNebraskaBanking() {
	banking := nutrient.NebraskaBanking()
	fmt.Println(banking.Room(55*units.PoundPerAcre).Text(units.PoundPerAcre, 0), "in", banking.Years, "years")
	// Output: 275 lb/acre in 5 years
}

func ExampleSoilTest_PPM() {
	fmt.Println(nutrient.SoilTest{Value: 60, Unit: nutrient.SoilPoundPerAcre, Extractant: nutrient.BrayP1}.PPM())
	fmt.Println(nutrient.SoilTest{Value: 25, Unit: nutrient.SoilMilligramPerLitre, Extractant: nutrient.Olsen}.PPM())
	// Output:
	// 30 true
	// 0 false
}

func ExampleFieldRateResult_Clone() {
	spec := nutrient.FieldRateSpec{Limits: []nutrient.Limit{
		{Kind: nutrient.LimitNitrogen, Holds: content("12 lb/1000 gal"), Room: 120 * units.PoundPerAcre},
		{Kind: "chloride", Holds: content("9 lb/1000 gal"), Room: 45 * units.PoundPerAcre}, // a kind of the state's own
	}}
	var result nutrient.FieldRateResult
	if err := result.Evaluate(&spec); err != nil {
		fmt.Println(err)
		return
	}
	first := result.Clone()
	spec.Limits[1].Room *= 3
	if err := result.Evaluate(&spec); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(first.Rate, first.Binding().Kind, "-", result.Rate, result.Binding().Kind)
	// Output: 5,000 gal/acre chloride - 10,000 gal/acre nitrogen
}
