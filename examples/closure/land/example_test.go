package land_test

import (
	"fmt"
	"time"

	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// A field of grass with a well in it, in two seasons of one crop year.
func ExamplePlan() {
	side := 1000 * units.Foot
	r, err := land.Plan(land.Spec{
		CropTable: "illinois", SiteRule: "illinois",
		Seasons: []land.Season{
			{Name: "spring", From: stage.DayOf(2026, time.April, 1), To: stage.DayOf(2026, time.May, 31)},
			{Name: "after the first cut", From: stage.DayOf(2026, time.June, 10), To: stage.DayOf(2026, time.June, 30)},
		},
		Fields: []land.Field{{
			Name: "meadow", NothingStands: true, Distance: units.Mile,
			Outline: []plane.Region{{Outer: plane.Polygon{{X: 0, Y: 0}, {X: side, Y: 0}, {X: side, Y: side}, {X: 0, Y: side}}}},
			Crops:   []land.Crop{{Crop: "orchardgrass", Yield: nutrient.Yield{PerAcre: 4, Unit: nutrient.YieldTon}}},
			Site: nutrient.Site{
				SoilTest: &nutrient.SoilTest{Value: 40, Unit: nutrient.SoilPoundPerAcre, Extractant: nutrient.BrayP1},
				SoilLoss: new(2 * units.TonPerAcre), TolerableLoss: new(5 * units.TonPerAcre)},
		}},
		SetbackTable: map[string]units.Length{"well": 150 * units.Foot},
		Features:     []land.Feature{{Name: "stock well", Kind: "well", Points: []plane.Point{{X: side / 2, Y: side / 2}}}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Print(&r)
	for _, o := range r.Open {
		fmt.Println(o.Key)
	}
	// Output:
	// jurisdiction                                   Illinois
	// phosphorus                                     Illinois
	// nutrients of crops                             Illinois
	// meadow: area                                   22.96 acre
	//   within 150 ft of stock well                  1.623 acre   1.623 acre of it within no other setback
	//   less setbacks                                1.623 acre   each place once
	//   that may be spread on                        21.33 acre
	//   2026 orchardgrass: room for available N      200 lb/acre  once, in whatever season of the crop year
	//   worth of P2O5                                not known    soil test against the critical level
	//   worth of K2O                                 not known    soil test against the critical level
	//   spring: days fit for spreading               61 of 61
	//   after the first cut: days fit for spreading  21 of 21
	// critical
	// prices
	// rule
	// weather
}
