package nutrient_test

import (
	"fmt"
	"time"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

func day(text string) time.Time { return must(time.Parse(time.DateOnly, text)) }

// April of a wet spring, with the storm that the station measured.
func ExampleDailyWeather() {
	months := make([]nutrient.MonthWeather, 12)
	months[time.April-1] = nutrient.MonthWeather{Rain: 0.1 * units.Inch, Evapotranspiration: 0.13 * units.Inch, WetDays: 6}
	r := must(nutrient.DailyWeather(nutrient.DailyWeatherSpec{
		First: day("2026-04-01"), Last: day("2026-04-10"), Months: months,
		Days: []nutrient.DayWeather{{Date: day("2026-04-07"), Rain: 1.6 * units.Inch, Evapotranspiration: 0.05 * units.Inch}},
	}))
	fmt.Print(r)
	// Output:
	// days                          10
	// rain                          2.6 in  on 3 days
	// reference evapotranspiration  1.2 in
	// note                                  The wet days of a month lie at equal distances, which no year does.
}

// A field of loam in which half of the water is missing; 1.6 in fall on the fifth day.
func ExampleSoilWater() {
	weather := make([]nutrient.DayWeather, 9)
	for i := range weather {
		weather[i] = nutrient.DayWeather{Date: day("2026-06-01").AddDate(0, 0, i), Evapotranspiration: 0.2 * units.Inch}
	}
	weather[4].Rain = 1.6 * units.Inch
	r := must(nutrient.SoilWater(nutrient.SoilWaterSpec{
		Layers:   []nutrient.SoilLayer{{Depth: 1 * units.Foot, Texture: nutrient.TextureLoam}, {Depth: 2 * units.Foot, Texture: nutrient.TextureLoam}},
		Depleted: 0.5, Drainable: 0.05, Drainage: 0.5 * units.InchPerDay, Easy: 0.5,
		Coefficients: []nutrient.CropCoefficient{{From: weather[0].Date, Factor: 1}},
		Weather:      weather,
		Applied:      []nutrient.WaterApplied{{Date: day("2026-06-02"), Depth: 0.5 * units.Inch, Material: "effluent"}},
		Rule: nutrient.SpreadingRule{Rain: 0.1 * units.Inch, Ahead: 24 * units.Hour, RainAhead: 0.5 * units.Inch,
			Soaking: units.Inch, SoakedDays: 2, Margin: 0.1, Top: 6 * units.Inch},
	}))
	for _, d := range r.Days {
		fmt.Println(d.Date.Format(time.DateOnly), d.Room.Text(units.Inch, 2), d.Reason)
	}
	fmt.Print(r.DayWorking(day("2026-06-06")))
	// Output:
	// 2026-06-01 1.80 in fit
	// 2026-06-02 2.00 in fit
	// 2026-06-03 1.70 in no room for water
	// 2026-06-04 1.90 in rain forecast
	// 2026-06-05 0.49 in rain
	// 2026-06-06 0.69 in soaked
	// 2026-06-07 0.89 in soaked
	// 2026-06-08 1.09 in fit
	// 2026-06-09 1.29 in fit
	// 2026-06-06: available water at field capacity  4.50 in
	// less margin                                    0.45 in
	// less water in the morning                      3.36 in     of the balance up to that day
	// less rain of the day                           0.00 in     of 0.00 in, what does not run off
	// room                                           0.69 in     not below 0
	// fit for spreading                              no: soaked  1.60 in of rain on 2026-06-05, and the rule waits 2 days
}

// The most that a dry week can bring on to a field in which 1.5 in of water is missing.
func ExampleSoilFill() {
	weather := make([]nutrient.DayWeather, 7)
	for i := range weather {
		weather[i] = nutrient.DayWeather{Date: day("2026-06-01").AddDate(0, 0, i), Evapotranspiration: 0.2 * units.Inch}
	}
	r := must(nutrient.SoilFill(nutrient.SoilFillSpec{First: day("2026-06-01"), Last: day("2026-06-07"), Least: 0.1 * units.Inch,
		SoilWaterSpec: nutrient.SoilWaterSpec{
			Layers: []nutrient.SoilLayer{{Depth: 2 * units.Foot, Texture: nutrient.TextureLoam}}, Depleted: 0.5, Drainage: 0.5 * units.InchPerDay, Easy: 0.5,
			Coefficients: []nutrient.CropCoefficient{{From: weather[0].Date, Factor: 1}}, Weather: weather,
			Rule: nutrient.SpreadingRule{Rain: 0.1 * units.Inch, Soaking: units.Inch, SoakedDays: 1, Top: 6 * units.Inch}}}))
	for _, d := range r.Days {
		fmt.Println(d.Date.Format(time.DateOnly), d.Applied.Text(units.Inch, 2))
	}
	// Output:
	// 2026-06-01 1.50 in
	// 2026-06-02 0.20 in
	// 2026-06-03 0.20 in
	// 2026-06-04 0.20 in
	// 2026-06-05 0.20 in
	// 2026-06-06 0.20 in
	// 2026-06-07 0.20 in
}

func ExampleSpreadingRule_Days() {
	rule := nutrient.SpreadingRule{Rain: 0.1 * units.Inch, Soaking: units.Inch, SoakedDays: 1, Top: 6 * units.Inch}
	fmt.Println(rule.Days([]nutrient.DayWeather{{Date: day("2026-06-01"), Rain: 1.6 * units.Inch}, {Date: day("2026-06-02")}, {Date: day("2026-06-03")}}))
	// Output: [rain soaked fit] <nil>
}

func ExampleSoilWaterDay_Limit() {
	d := nutrient.SoilWaterDay{Fit: true, Room: 0.5 * units.Inch}
	rate, _ := d.Limit().Rate.VolumePerArea()
	fmt.Println(rate.Text(units.GallonPerAcre, 0))
	d.Fit = false
	fmt.Println(d.Limit().Rate)
	// Output:
	// 13,577 gal/acre
	// 0 gal/acre
}

func ExampleSoilWaterResult_FitDays() {
	r := nutrient.SoilWaterResult{Days: []nutrient.SoilWaterDay{{Date: day("2026-06-01"), Fit: true}, {Date: day("2026-06-02"), Reason: nutrient.UnfitRain}}}
	fmt.Println(len(r.FitDays(day("2026-06-01"), day("2026-06-30"))))
	// Output: 1
}

func ExampleSoilWaterResult_DayWorking() {
	r := nutrient.SoilWaterResult{Holds: 4 * units.Inch, Days: []nutrient.SoilWaterDay{{Date: day("2026-06-01"), Water: 3 * units.Inch, Room: units.Inch, Fit: true}}}
	fmt.Print(r.DayWorking(day("2026-06-01")))
	// Output:
	// 2026-06-01: available water at field capacity  4.00 in
	// less margin                                    0.00 in
	// less water in the morning                      3.00 in  of the balance up to that day
	// less rain of the day                           0.00 in  of 0.00 in, what does not run off
	// room                                           1.00 in  not below 0
	// fit for spreading                              yes
}

// Five years of phosphorus at once on a field of high risk, where the state allows it.
func ExamplePhosphorusRoom() {
	rule := must(nutrient.PublishedState("nebraska"))
	site := nutrient.Site{RiskIndex: new(8.0)}
	r := must(nutrient.PhosphorusRoom(nutrient.PhosphorusRoomSpec{
		Jurisdiction: rule.Jurisdiction(), Limit: must(rule.SiteLimit(site, nil)), Site: site,
		Removal: 55 * units.PoundPerAcre, Grants: rule.BankingGrants(),
	}))
	fmt.Print(r)
	// Output:
	// removal of one year  55 lb/acre
	// years at once        5            Nebraska, Example: estimating manure phosphorus application rates; then 4 years without manure
	// room for P2O5        275 lb/acre  removal x years x 1, by the rule nebraska
}

func ExampleJurisdictions() {
	r := must(nutrient.Jurisdictions(nutrient.JurisdictionsSpec{Rules: []nutrient.RuleInUse{
		{What: "phosphorus", ID: "nebraska", Jurisdiction: "Nebraska"},
		{What: "availability of N", ID: "minnesota", Jurisdiction: "Minnesota"},
	}}))
	fmt.Print(r.Mixed(), "\n", r)
	// Output:
	// true
	// jurisdiction       Nebraska
	// availability of N  Minnesota  of another jurisdiction
	// phosphorus         Nebraska
}

func ExampleJurisdictionsResult_Mixed() {
	fmt.Println(nutrient.JurisdictionsResult{In: "Nebraska"}.Mixed())
	// Output: false
}

func ExampleCriticalLevel_Answers() {
	critical := nutrient.CriticalLevel{Level: nutrient.SoilTest{Value: 15, Unit: nutrient.SoilPPM, Extractant: nutrient.BrayP1}}
	fmt.Println(critical.Answers(nutrient.SoilTest{Value: 38, Unit: nutrient.SoilPPM, Extractant: nutrient.BrayP1}))
	// Output: false <nil>
}
