package nutrient_test

import (
	"fmt"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

func lbPer1000Gal(x float64) nutrient.Content {
	return nutrient.LiquidContent(units.Concentration(x) * units.PoundPer1000Gallon)
}

func ExampleFieldRate() {
	n, err := nutrient.NitrogenRoom(nutrient.NitrogenSpec{
		Need:    160 * units.PoundPerAcre,
		Legume:  30 * units.PoundPerAcre,
		Starter: 10 * units.PoundPerAcre,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := nutrient.FieldRate(nutrient.RateSpec{
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
func ExampleRateResult_Evaluate() {
	spec := nutrient.RateSpec{Limits: []nutrient.Limit{
		{Kind: nutrient.LimitNitrogen, Holds: lbPer1000Gal(10), Room: 150 * units.PoundPerAcre},
		{Kind: nutrient.LimitPhosphorus, Holds: lbPer1000Gal(5), Room: 60 * units.PoundPerAcre},
	}}
	var r nutrient.RateResult
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

func ExampleAllocate() {
	field := func(name string, acres units.Area, miles units.Length, p2o5 units.MassPerArea) nutrient.AllocationField {
		return nutrient.AllocationField{
			Name: name, Area: acres * units.Acre, Distance: miles * units.Mile,
			Limits: []nutrient.AllocationLimit{
				{Kind: nutrient.LimitNitrogen, Of: "available N", Room: 120 * units.PoundPerAcre},
				{Kind: nutrient.LimitPhosphorus, Of: "P2O5", Room: p2o5 * units.PoundPerAcre},
			},
		}
	}
	plan, err := nutrient.Allocate(nutrient.AllocationSpec{
		Seasons: []string{"spring"},
		Materials: []nutrient.AllocationMaterial{{
			Name: "slurry", Stock: nutrient.LiquidAmount(400000 * units.Gallon),
			Holds:       []nutrient.Holding{{Of: "available N", Content: lbPer1000Gal(12)}, {Of: "P2O5", Content: lbPer1000Gal(15)}},
			Spread:      nutrient.LiquidPrice(units.PricePer(8, 1000*units.Gallon)),
			HaulPerMile: nutrient.LiquidPrice(units.PricePer(3, 1000*units.Gallon)),
			Load:        nutrient.LiquidAmount(6000 * units.Gallon),
		}},
		Fields: []nutrient.AllocationField{
			field("home", 40, 0.5, 75), // 5,000 gal/acre by P: 33 loads
			field("hill", 60, 2, 150),  // 10,000 gal/acre
		},
	})
	fmt.Println(plan, err)
	// Output:
	// spring: slurry to home     198,000 gal  4,950 gal/acre, 33 loads
	// spring: slurry to hill     202,000 gal  3,367 gal/acre, 34 loads
	// slurry left                0 gal        of 400,000 gal
	// hauling and spreading      4709.00
	// nutrients the fields need  0.00         credit
	// leaving behind             0.00
	// net cost                   4709.00      4700.00 before loads were made whole, not below 4700.00: the least cost is proved
	//  <nil>
}
