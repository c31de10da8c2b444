package nutrient_test

import (
	"fmt"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

func ExampleState_Remarks() {
	state := must(nutrient.NewState(nutrient.StateSpec{
		ID: "atlantis", Jurisdiction: "Atlantis",
		Source: nutrient.Source{Title: "Manure of Atlantis", Publisher: "Atlantis Extension", Edition: "2026"},
		Tables: []nutrient.Table{{Place: "table 1", Gives: "organic", Of: nutrient.BasisOriginal, Unit: "%",
			By: []string{"year"}, Rows: [][]nutrient.Cell{{"1", "80-100"}, {"2", "10-20"}}}},
	}))
	fmt.Println(state.Remarks()[0])
	// Output: the high values of organic add up to 1.2 over the years, of which no more than 1 is counted: any query
}

func ExampleSchedule_Nitrogen() {
	state := must(nutrient.PublishedState("alberta"))
	schedule := must(state.Schedule(nutrient.Query{"compost": "fresh", "method": "injected"}))
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

func ExampleParseYield() {
	yield := must(nutrient.ParseYield("150 bu/acre"))
	_, err := nutrient.ParseYield("150 bu")
	fmt.Println(yield.PerAcre, yield.Unit)
	fmt.Println(err)
	// Output:
	// 150 bu
	// got "150 bu", want a yield, such as 150 bu/acre or 8 t/ha
}

func ExampleState_Crop() {
	state := must(nutrient.PublishedState("montana"))
	barley := must(state.Crop("barley grain", nutrient.Yield{PerAcre: 100, Unit: nutrient.YieldBushel}, nil))
	fmt.Println(barley.P2O5.Low.Text(units.PoundPerAcre, 0))
	// Output: 36 lb/acre
}

func ExampleState_SiteLimit() {
	state := must(nutrient.PublishedState("virginia"))
	saturation := 0.7
	fmt.Println(must(state.SiteLimit(nutrient.Site{Saturation: &saturation}, nil)).Allow)
	// Output: none
}

func ExampleState_Bans() {
	state := must(nutrient.PublishedState("wisconsin"))
	bans := must(state.Bans(nutrient.Query{"what": "liquid manure", "method": "surface", "day": "2026-02-14", "snow": "0 in", "frozen": "no"}))
	for _, ban := range bans {
		fmt.Println(ban.Title, "-", ban.Place)
	}
	// Output: Liquid manure in winter - NR 243.14(7)
}

func ExampleState_BankingGrants() {
	banking := must(nutrient.PublishedState("nebraska")).BankingGrants()[0]
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
