package nutrient_test

import (
	"errors"
	"fmt"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func content(s string) (c nutrient.Content) {
	if err := c.UnmarshalText([]byte(s)); err != nil {
		panic(err)
	}
	return c
}

func ExampleRate() {
	var rate nutrient.Rate
	if err := rate.UnmarshalText([]byte("8,000 gal/ac")); err != nil {
		fmt.Println(err)
		return
	}
	load, err := rate.Carrying(content("31 lb/1000 gal"))
	fmt.Println(rate.Form(), load.Text(units.PoundPerAcre, 0), err)
	_, err = rate.Carrying(content("12 lb/ton"))
	fmt.Println(err)
	// Output:
	// liquid 248 lb/acre <nil>
	// content: solid; want the form of the material: liquid (a density converts)
}

func ExampleAmount_Over() {
	held := nutrient.LiquidAmount(1.2e6 * units.Gallon)
	fmt.Println(must(held.Over(nutrient.LiquidRate(8000 * units.GallonPerAcre))).Trade())
	// Output: 150 acre
}

func ExampleContent_As() {
	c := must(content("10 lb/ton").As(nutrient.Liquid, 8.5*units.PoundPerGallon))
	fmt.Println(c)
	// Output: 42.5 lb/1000 gal
}

func ExampleRateFor() {
	fmt.Println(must(nutrient.RateFor(150*units.PoundPerAcre, content("20 lb/1000 gal"))))
	// Output: 7,500 gal/acre
}

func ExampleAnalyze() {
	var report nutrient.AnalyzeSpec
	err := strict.Decode([]byte(`{
		"form": "liquid", "density": "8.4 lb/gal", "solids": "3.5 %", "oxides": "2.29/1.20",
		"tkn": "2,900 mg/L", "ammoniumN": "0.17 %", "p": "620 mg/kg", "k2o": "18 lb/1000 gal"}`), &report)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Print(must(nutrient.Analyze(report)))
	// Output:
	// total solids  294 lb/1000 gal    3.5 % of the mass, at 62.84 lb/ft3
	// total N       24.2 lb/1000 gal
	// ammonium N    14.28 lb/1000 gal
	// organic N     9.922 lb/1000 gal  total less ammonium and nitrate
	// P             5.208 lb/1000 gal
	// P2O5          11.93 lb/1000 gal  P x 2.29
	// K             15 lb/1000 gal
	// K2O           18 lb/1000 gal     K x 1.2
}

func ExampleAnalyze_impossible() {
	_, err := nutrient.Analyze(nutrient.AnalyzeSpec{
		Form: nutrient.Solid, Basis: nutrient.ReportDry,
		TKN: content("2 %"), P: content("10 lb/ton"), P2O5: content("10 lb/ton"),
	})
	for _, e := range units.FieldErrors(err) {
		fmt.Println(e)
	}
	// Output:
	// solids: missing; want the total solids, since on dry basis stand p, p2o5, tkn
}

func ExampleSamples() {
	var list []nutrient.Sample
	for _, tkn := range []string{"20 lb/1000 gal", "21 lb/1000 gal", "22 lb/1000 gal", "20 lb/1000 gal", "60 lb/1000 gal"} {
		list = append(list, nutrient.Sample{Report: nutrient.AnalyzeSpec{Form: nutrient.Liquid, TKN: content(tkn)}})
	}
	r := must(nutrient.Samples(nutrient.SamplesSpec{Samples: list, Confidence: 0.95}))
	o := r.Contents[0].Outlier
	fmt.Printf("mean %v; sample %d stands out: %t; without it %v\n", r.Analysis.TotalN, o.Sample+1, o.IsOut, o.Without)
	// Output: mean 28.6 lb/1000 gal; sample 5 stands out: true; without it 20.75 lb/1000 gal
}

// Alberta Agriculture and Food, Agdex 400/28-3, p. 214: 2.4 g/L, with the
// organic part rounded first.
func ExampleAvailable() {
	state := must(nutrient.PublishedState("alberta"))
	analysis := must(nutrient.Analyze(nutrient.AnalyzeSpec{
		Form: nutrient.Liquid, TotalN: content("3.8 g/L"), AmmoniumN: content("1.9 g/L"),
	}))
	r := must(nutrient.Available(nutrient.AvailableSpec{
		Analysis: analysis, State: state, Years: 2,
		Query: nutrient.Query{"method": "injected", "compost": "fresh"},
	}))
	for _, y := range r.Years {
		n, _ := y.N.Low.Concentration()
		fmt.Printf("year %d: %.3f g/L\n", y.Year, n.In(units.GramPerLitre))
	}
	fmt.Println(r.Source)
	// Output:
	// year 1: 2.375 g/L
	// year 2: 0.228 g/L
	// Nutrient Management Planning Guide, Alberta Agriculture and Food, Agdex 400/28-3, table dated 2006, Table 4.3.4 and pp. 162-168, 214, 221
}

// A form asks for the keys of a state, and shows faults beside them.
func ExampleState_Keys() {
	state := must(nutrient.PublishedState("minnesota"))
	for _, k := range state.Keys()[:3] {
		fmt.Printf("%s (%s): %q\n", k.Label, k.Name, k.Values)
	}
	_, err := state.Answer("totalN", nutrient.Query{"year": "1", "species": "dairy", "method": "broadcast"})
	fmt.Println(err)
	// Output:
	// Animal (species): ["beef" "dairy" "swine" "poultry"]
	// Application (method): ["broadcast" "injected with sweeps" "injected with knife or coulter"]
	// Time to incorporation (incorporation): []
	// incorporation: missing; want a number with its unit, such as 12 h, or never
}

func ExampleState_Schedule() {
	state := must(nutrient.PublishedState("us-sludge"))
	schedule := must(state.Schedule(nutrient.Query{"method": "incorporated"}))
	analysis := must(nutrient.Analyze(nutrient.AnalyzeSpec{Form: nutrient.Solid, TotalN: content("2.5 %"), AmmoniumN: content("1 %")}))
	for year := 1; year <= 3; year++ { // as often as a study needs, without allocation
		n := must(schedule.Nitrogen(analysis, year))
		fmt.Println(year, n.N)
	}
	// Output:
	// 1 26 lb/ton
	// 2 2.4 lb/ton
	// 3 1.08 lb/ton
}

func ExampleCarryOver() {
	state := must(nutrient.PublishedState("new-york"))
	analysis := must(nutrient.Analyze(nutrient.AnalyzeSpec{Form: nutrient.Solid, OrganicN: content("5 lb/ton"), AmmoniumN: content("0 lb/ton")}))
	var list []nutrient.Application
	for _, season := range []int{2024, 2025, 2026} {
		list = append(list, nutrient.Application{
			Season: season, Rate: nutrient.SolidRate(10 * units.TonPerAcre), Analysis: analysis, State: state,
			Query: nutrient.Query{"species": "cows", "dryMatter": "6 %"},
		})
	}
	fmt.Print(must(nutrient.CarryOver(nutrient.CarryOverSpec{Applications: list, First: 2026, Seasons: 1})))
	// Output:
	// 2026: application 1  2.5 lb/acre   rate x available N of that year
	// 2026: application 2  6 lb/acre     rate x available N of that year
	// 2026: application 3  17.5 lb/acre  rate x available N of that year
	// 2026: available N    26 lb/acre    of it 8.5 lb/acre from earlier seasons
}

func ExampleState_Answer() {
	state := must(nutrient.PublishedState("ontario"))
	fmt.Print(must(state.Answer("removalP2O5", nutrient.Query{"crop": "corn"})))
	// Output:
	// What leaves with the crop  0.37 to 0.44 lb/bu  grain rows, Crop removal values: printed 0.37-0.44 lb/bu
	// note                                           Grain at market moisture.
	// removalP2O5                0.37 to 0.44 lb/bu
}

func ExampleBudget() {
	state := must(nutrient.PublishedState("michigan"))
	corn := must(state.Crop("corn grain", nutrient.Yield{PerAcre: 150, Unit: nutrient.YieldBushel}, nil))
	soybean := must(state.Crop("soybean", nutrient.Yield{PerAcre: 40, Unit: nutrient.YieldBushel}, nil))
	banking := must(nutrient.PublishedState("nebraska")).BankingGrants()[0]
	r := must(nutrient.Budget(nutrient.BudgetSpec{
		First: 2026, Seasons: 3, Rotation: []nutrient.CropNutrients{corn, soybean}, Banking: &banking.Banking,
		Applications: []nutrient.BudgetApplication{
			{Season: 2026, Manure: true, P2O5: 150 * units.PoundPerAcre},
			{Season: 2028, Manure: true, P2O5: 30 * units.PoundPerAcre},
		},
		SoilP:      &nutrient.SoilTest{Value: 30, Unit: nutrient.SoilPPM, Extractant: nutrient.BrayP1},
		P2O5PerPPM: units.Point(nutrient.TriStateP2O5PerPPM),
	}))
	for _, y := range r.Seasons {
		fmt.Printf("%d %s: balance %s, soil test %.1f ppm\n", y.Season, y.Crop, y.BalanceP2O5.Low.Text(units.PoundPerAcre, 1), y.SoilP.Low)
	}
	for _, b := range r.Violations {
		fmt.Println(b.Season, b.Rule, b.Want)
	}
	// Output:
	// 2026 corn grain: balance 94.5 lb/acre, soil test 34.7 ppm
	// 2027 soybean: balance 62.5 lb/acre, soil test 33.1 ppm
	// 2028 corn grain: balance 37.0 lb/acre, soil test 31.9 ppm
	// 2028 rest after a banked application no manure until after 2030
}

func ExampleState_SiteLimit_distance() {
	state := must(nutrient.PublishedState("minnesota"))
	distance, strip, loss := 200*units.Foot, false, 3*units.TonPerAcre
	l := must(state.SiteLimit(nutrient.Site{
		SoilTest: &nutrient.SoilTest{Value: 60, Unit: nutrient.SoilPPM, Extractant: nutrient.BrayP1},
		Distance: &distance, FilterStrip: &strip, SoilLoss: &loss,
	}, nil))
	room, capped := l.Cap(55 * units.PoundPerAcre)
	fmt.Println(l.Allow, room.Text(units.PoundPerAcre, 0), capped)
	// Output: removal 55 lb/acre true
}

func ExampleSoilTest_As() {
	test := nutrient.SoilTest{Value: 22, Unit: nutrient.SoilPPM, Extractant: nutrient.Mehlich3ICP}
	fmt.Println(must(test.As(nutrient.BrayP1)))
	// Output: 10.22 ppm bray p1
}

func ExampleNebraskaCornNeed() {
	fmt.Println(must(nutrient.NebraskaCornNeed(nutrient.NebraskaCornNeedSpec{
		Yield: 200, SoilNitrate: 3 * units.MilligramPerKilogram, OrganicMatter: 2, PriceFactor: 1, TimingFactor: 1,
	})).Trade())
	// Output: 195 lb/acre
}

func ExampleState_Limit() {
	state := must(nutrient.PublishedState("minnesota"))
	most, ok, err := state.Limit("n", nutrient.AsCap, nutrient.Query{"crop": "corn after soybean"})
	fmt.Println(most.Figure.Low, most.Unit, ok, err)
	// Output: 150 lb/acre true <nil>
}

func ExampleYield_Mass() {
	grain := nutrient.Yield{PerAcre: 100, Unit: nutrient.YieldBushel}
	straw := must(grain.Mass(48*units.Pound)) * 1.3
	fmt.Println(nutrient.Tons(straw))
	// Output: 3.12 ton/acre
}

func ExampleSpan() {
	var r nutrient.Span[units.MassPerArea]
	err := r.UnmarshalText([]byte("80 to 120 lb/acre"))
	fmt.Println(r, err)
	// Output: 80 lb/acre to 120 lb/acre <nil>
}

func Example() {
	report, err := nutrient.Analyze(nutrient.AnalyzeSpec{
		Form:      nutrient.Liquid,
		TKN:       nutrient.LiquidContent(24 * units.PoundPer1000Gallon),
		AmmoniumN: nutrient.LiquidContent(7 * units.PoundPer1000Gallon),
		P2O5:      nutrient.LiquidContent(46 * units.PoundPer1000Gallon),
	})
	state, err2 := nutrient.PublishedState("alberta")
	if err := errors.Join(err, err2); err != nil {
		fmt.Println(err)
		return
	}
	available, err := nutrient.Available(nutrient.AvailableSpec{Analysis: report, State: state, Years: 3,
		Query: nutrient.Query{"compost": "fresh", "method": "injected"}})
	if err != nil {
		fmt.Println(err)
		return
	}
	rate, err := nutrient.FieldRate(nutrient.FieldRateSpec{Limits: []nutrient.Limit{
		{Kind: nutrient.LimitNitrogen, Holds: available.Years[0].N.High, Room: 180 * units.PoundPerAcre},
		{Kind: nutrient.LimitPhosphorus, Holds: report.P2O5(), Room: 340 * units.PoundPerAcre},
	}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(available.Years[0].N, "the first year;", rate.Rate, "set by", rate.Binding().Kind)
	// Output:
	// 11.25 lb/1000 gal the first year; 7,391 gal/acre set by phosphorus
}
