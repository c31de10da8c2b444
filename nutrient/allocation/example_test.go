package allocation_test

import (
	"context"
	"fmt"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
)

func lbPer1000Gal(x float64) nutrient.Content {
	return nutrient.LiquidContent(units.Concentration(x) * units.PoundPer1000Gallon)
}

func ExampleAllocate() {
	field := func(name string, acres units.Area, miles units.Length, p2o5 units.MassPerArea) allocation.Field {
		return allocation.Field{
			Name: name, Area: acres * units.Acre, Distance: miles * units.Mile,
			Limits: []allocation.Limit{
				{Kind: nutrient.LimitNitrogen, Of: "available N", Room: 120 * units.PoundPerAcre},
				{Kind: nutrient.LimitPhosphorus, Of: "P2O5", Room: p2o5 * units.PoundPerAcre},
			},
		}
	}
	plan, err := allocation.Allocate(context.Background(), allocation.AllocateSpec{
		Seasons: []string{"spring"},
		Materials: []allocation.Material{{
			Name: "slurry", Stock: nutrient.LiquidAmount(400000 * units.Gallon),
			Holds:       []allocation.Holding{{Of: "available N", Content: lbPer1000Gal(12)}, {Of: "P2O5", Content: lbPer1000Gal(15)}},
			Spread:      nutrient.LiquidPrice(units.PricePer(8, 1000*units.Gallon)),
			HaulPerMile: nutrient.LiquidPrice(units.PricePer(3, 1000*units.Gallon)),
			Load:        nutrient.LiquidAmount(6000 * units.Gallon),
		}},
		Fields: []allocation.Field{
			field("home", 40, 0.5, 75), // 5,000 gal/acre by P: 33 loads
			field("hill", 60, 2, 150),  // 10,000 gal/acre
		},
	})
	fmt.Println(plan, err)
	// Output:
	// spring: slurry to home                 198,000 gal     4,950 gal/acre, 33 loads, on 39.6 acre or more
	// spring: slurry to hill                 202,000 gal     3,367 gal/acre, 34 loads, on 20.2 acre or more
	// slurry left                            0 gal           of 400,000 gal
	// hauling and spreading                  4,709.00
	// nutrients the fields need              0.00            credit
	// leaving behind                         0.00
	// net cost before loads were made whole  4,700.00        proved to be the least
	// net cost                               4,709.00        no more than 9.00 above the least
	// more area of home                      22.50 per acre  saved
	// 1 mi less to home                      600.00          saved
	// more room on home, phosphorus          0.300 per lb    saved
	// 1 mi less to hill                      600.00          saved
	//  <nil>
}

// Many stocks, one after the other, when amounts and money alone are asked for.
func ExampleAllocator() {
	planner := allocation.Allocator{Brief: true}
	for _, gallons := range []units.Volume{200000, 300000, 400000} {
		plan, err := planner.Allocate(context.Background(), allocation.AllocateSpec{
			Seasons: []string{"spring"},
			Materials: []allocation.Material{{
				Name: "slurry", Stock: nutrient.LiquidAmount(gallons * units.Gallon),
				Holds:       []allocation.Holding{{Of: "P2O5", Content: lbPer1000Gal(15)}},
				Spread:      nutrient.LiquidPrice(units.PricePer(8, 1000*units.Gallon)),
				HaulPerMile: nutrient.LiquidPrice(units.PricePer(3, 1000*units.Gallon)),
			}},
			Fields: []allocation.Field{{Name: "home", Area: 60 * units.Acre, Distance: units.Mile,
				Limits: []allocation.Limit{{Kind: nutrient.LimitPhosphorus, Of: "P2O5", Room: 75 * units.PoundPerAcre}}}},
		})
		fmt.Println(plan.Materials[0].Placed, "cost", units.Money(plan.Net), "and", plan.Materials[0].Left, "are left", err)
	}
	// Output:
	// 200,000 gal cost 2,200.00 and 0 gal are left <nil>
	// 300,000 gal cost 3,300.00 and 0 gal are left <nil>
	// 300,000 gal cost 3,300.00 and 100,000 gal are left <nil>
}

// A price of the phosphorus limits: the plan with them less the plan without.
func ExampleCostOfLimits() {
	field := func(name string, miles units.Length) allocation.Field {
		return allocation.Field{
			Name: name, Area: 50 * units.Acre, Distance: miles * units.Mile,
			Limits: []allocation.Limit{
				{Kind: nutrient.LimitNitrogen, Of: "available N", Room: 120 * units.PoundPerAcre},
				{Kind: nutrient.LimitPhosphorus, Of: "P2O5", Room: 75 * units.PoundPerAcre},
			},
		}
	}
	r, err := allocation.CostOfLimits(context.Background(), allocation.CostOfLimitsSpec{Kind: nutrient.LimitPhosphorus, Allocate: allocation.AllocateSpec{
		Seasons: []string{"spring"},
		Materials: []allocation.Material{{
			Name: "slurry", Stock: nutrient.LiquidAmount(400000 * units.Gallon),
			Holds:       []allocation.Holding{{Of: "available N", Content: lbPer1000Gal(12)}, {Of: "P2O5", Content: lbPer1000Gal(15)}},
			Spread:      nutrient.LiquidPrice(units.PricePer(8, 1000*units.Gallon)),
			HaulPerMile: nutrient.LiquidPrice(units.PricePer(3, 1000*units.Gallon)),
		}},
		Fields: []allocation.Field{field("near", 1), field("far", 3)},
	}})
	fmt.Printf("%.2f more on %s more land %v\n", r.Extra, r.ExtraArea.Trade(), err)
	// Output:
	// 900.00 more on 50 acre more land <nil>
}

// Rates that hold in 95 of 100 draws of the laboratory's N, which is uncertain by a tenth
// either way, and what that costs.
func ExampleRobust() {
	field := func(name string, miles units.Length) allocation.Field {
		return allocation.Field{Name: name, Area: 20 * units.Acre, Distance: miles * units.Mile,
			Limits: []allocation.Limit{{Kind: nutrient.LimitNitrogen, Of: "available N", Room: 100 * units.PoundPerAcre}}}
	}
	draws := make([]allocation.Draw, 200)
	for i := range draws {
		n := 0.9 + 0.2*(float64(i)+0.5)/200
		draws[i] = allocation.Draw{Materials: []allocation.MaterialDraw{{Stock: 1, Holds: []float64{n}}}}
	}
	r, err := allocation.Robust(context.Background(), allocation.RobustSpec{Keep: 0.95, Draws: draws, Allocate: allocation.AllocateSpec{
		Seasons: []string{"spring"},
		Materials: []allocation.Material{{
			Name: "slurry", Stock: nutrient.LiquidAmount(190000 * units.Gallon), Holds: []allocation.Holding{{Of: "available N", Content: lbPer1000Gal(10)}},
			Spread: nutrient.LiquidPrice(0), HaulPerMile: nutrient.LiquidPrice(units.PricePer(3, 1000*units.Gallon)),
		}},
		Fields: []allocation.Field{field("near", 1), field("far", 3)},
	}})
	fmt.Print(r, err)
	// Output:
	// plain plan keeps every limit  76.5 %   of 200 draws
	//   broken: near, nitrogen      23.5 %
	// this plan keeps every limit   95 %     rooms cut by the quantile 0.945 of what the draws bring
	// price of the safety           38.58    net cost 608.58 in place of 570.00
	// more land in use              20 acre
	//  <nil>
}

// The limits of a field as those on the rate of one material by itself.
func ExampleField_RateLimits() {
	slurry := allocation.Material{Name: "slurry", Stock: nutrient.LiquidAmount(200000 * units.Gallon), Holds: []allocation.Holding{
		{Of: "P2O5", Content: nutrient.LiquidContent(46 * units.PoundPer1000Gallon)}}}
	home := allocation.Field{Name: "home", Limits: []allocation.Limit{
		{Kind: nutrient.LimitPhosphorus, Of: "P2O5", Room: 340 * units.PoundPerAcre},
		{Kind: nutrient.LimitWater, Rate: nutrient.LiquidRate(6000 * units.GallonPerAcre), Material: "effluent"},
	}}
	r, err := nutrient.FieldRate(nutrient.FieldRateSpec{Limits: home.RateLimits(slurry)})
	fmt.Println(r.Rate, err)
	// Output:
	// 7,391 gal/acre <nil>
}
