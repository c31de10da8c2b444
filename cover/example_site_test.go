package cover_test

import (
	"fmt"
	"time"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
)

func ExampleLime() {
	r, err := cover.Lime(cover.LimeSpec{
		Basis: cover.LimeECCE, Need: 2 * units.TonPerAcre, ReferenceECCE: 1, Area: 2 * units.Acre,
		Material: cover.LimeMaterial{Name: "ground limestone", CCE: 0.95, Fineness: &cover.Fineness{Pass20: 0.95, Pass60: 0.60, Pass100: 0.40}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// need                2 ton/acre      as ECCE
	// effective fraction  66.5 %          CCE x (0.40 pass20-60 + 0.80 pass60-100 + pass100)
	// material            3.008 ton/acre  need / effective fraction
	// on the area         12,030 lb       2 acre
}

func ExampleFineness_Efficiency() {
	e, err := cover.Fineness{Pass20: 0.95, Pass60: 0.60, Pass100: 0.40}.Efficiency()
	fmt.Printf("%.2f %v\n", e, err)
	// Output: 0.70 <nil>
}

func ExampleLimeNeed() {
	r, err := cover.LimeNeed(cover.LimeNeedSpec{Method: cover.LimeNorthCarolina, PH: 5, Goal: 6, Acidity: new(1.2)})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// pH, goal  5, 6
	// acidity   1.2 meq/100 g
	// factor    0.625                                      (goal - pH)/(6.6 - pH)
	// need      1,500 lb/acre                              1 ton/acre x acidity x factor - credit
	// basis     agricultural lime of the state's standard  North Carolina
}

func ExampleFertilizer() {
	perTon := func(x float64) units.Price[units.Mass] { return units.PricePer(x, units.Ton) }
	r, err := cover.Fertilizer(cover.FertilizerSpec{
		Need: cover.Nutrients{N: 40 * units.PoundPerAcre, P2O5: 60 * units.PoundPerAcre, K2O: 80 * units.PoundPerAcre},
		Rule: cover.FertilizerBlendLeastCost, Area: 2 * units.Acre,
		Grades: []cover.FertilizerGrade{
			{Name: "46-0-0", N: 0.46, Price: perTon(600)},
			{Name: "18-46-0", N: 0.18, P2O5: 0.46, Price: perTon(800)},
			{Name: "0-0-60", K2O: 0.60, Price: perTon(500)},
			{Name: "12-12-12", N: 0.12, P2O5: 0.12, K2O: 0.12, Price: perTon(550)},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// 46-0-0   35.92 lb/acre        71.83 lb, cost 21.55
	// 18-46-0  130.4 lb/acre        260.9 lb, cost 104.35
	// 0-0-60   133.3 lb/acre        266.7 lb, cost 66.67
	// N        40 lb/acre           need 40 lb/acre
	// P2O5     60 lb/acre           need 60 lb/acre
	// K2O      80 lb/acre           need 80 lb/acre
	// rule     blend of least cost
	// cost     192.56
}

func ExampleFertilizer_single() {
	// One grade, at the smallest amount, leaves the rest of the need open.
	r, err := cover.Fertilizer(cover.FertilizerSpec{
		Need: cover.Nutrients{N: 40 * units.PoundPerAcre, P2O5: 60 * units.PoundPerAcre}, Rule: cover.FertilizerSingleNoExcess, Area: units.Acre,
		Grades: []cover.FertilizerGrade{{Name: "10-10-10", N: 0.1, P2O5: 0.1, K2O: 0.1}},
	})
	fmt.Println(r.Rate.Trade(), "short of P2O5:", r.Short.P2O5.Trade(), "K2O over:", r.Over.K2O.Trade(), err)
	// Output: 400 lb/acre short of P2O5: 20 lb/acre K2O over: 40 lb/acre <nil>
}

func ExampleSoilNeed() {
	r, err := cover.SoilNeed(cover.SoilNeedSpec{Rules: "illinois-327", Tested: true, PH: 5.2, P: 12 * units.PoundPerAcre, K: 400 * units.PoundPerAcre})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("P2O5", r.Need.P2O5.Trade(), "K2O", r.Need.K2O.Trade(), "lime to pH", r.LimeTo)
	// Output: P2O5 60 lb/acre K2O 0 lb/acre lime to pH 6.2
}

func ExampleMulch() {
	r, err := cover.Mulch(cover.MulchSpec{
		Area: 2 * units.Acre, Rate: 2 * units.TonPerAcre, Slope: new(4.0), Anchoring: cover.AnchoringCrimped, Crimp: 3 * units.Inch,
		Bale: 40 * units.Pound, Rules: []string{"north-carolina", "pennsylvania-crimped"},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// rate                                       2 ton/acre
	// area                                       2 acre
	// mulch                                      8,000 lb    rate x area, bales of 40 lb: 200
	// North Carolina, straw: rate                met         2 ton/acre, want 1 ton/acre to 2 ton/acre
	// North Carolina, straw: cover               cannot say  not given, want at least 85 %
	// North Carolina, straw: slope               met         4:1, want not steeper than 2:1
	// Pennsylvania, straw, crimped: rate         not met     2 ton/acre, want at least 3 ton/acre
	// Pennsylvania, straw, crimped: anchoring    met         crimped, want crimped
	// Pennsylvania, straw, crimped: crimp depth  met         3.0 in, want at least 3.0 in
	// Pennsylvania, straw, crimped: slope        met         4:1, want not steeper than 3:1
}

func ExamplePlanting() {
	missouri, err := cover.PublishedState("missouri")
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := cover.Planting(cover.PlantingSpec{
		Ready: time.Date(2026, time.August, 20, 0, 0, 0, 0, time.UTC), Days: 2, Windows: missouri.Spec().Windows,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// ground ready                          2026-08-20
	// days of seeding                       2
	// Missouri, northern, natives, dormant  2026-11-16  16 November to 15 March, begin by 2027-03-14, wait 88 days
	// Missouri, southern, natives, dormant  2026-12-01  1 December to 29 February, begin by 2027-02-27, wait 103 days
	// Missouri, southern, natives, spring   2027-03-01  1 March to 15 May, begin by 2027-05-14, wait 193 days
	// Missouri, northern, natives, spring   2027-03-16  16 March to 31 May, begin by 2027-05-30, wait 208 days
}

func ExampleNurse() {
	r, err := cover.Nurse(cover.NurseSpec{Name: "oats", TemporaryRate: 96 * units.PoundPerAcre, Share: 0.5, MostShare: 0.5, Area: 2 * units.Acre})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// oats   48 lb/acre  50 % of 96 lb/acre
	// seed   96 lb       2 acre
	// limit  met         at most 50 %
}

func ExampleTopsoilOrder() {
	r, err := cover.TopsoilOrder(cover.TopsoilOrderSpec{Area: 23.5 * units.Acre, Depth: 6 * units.Inch, Price: units.PricePer(1.5, units.CubicYard)})
	fmt.Println(r.Placed.Text(units.CubicYard, 0), fmt.Sprintf("%.2f", r.Cost), err)
	// Output: 18,957 yd3 28435.00 <nil>
}

func ExamplePayment() {
	r, err := cover.Payment(cover.PaymentSpec{
		Scenarios: []cover.PaymentScenario{
			{Name: "pollinator mix", Rate: units.PricePer(410.0, units.Acre), Area: 2.37 * units.Acre, Share: 0.75, Cap: 600},
			{Name: "mulch", Rate: units.PricePer(120.0, units.Acre), Area: 2.37 * units.Acre, Share: 0.75},
		},
		Acres: cover.PartialAcresTenthDown, Cost: 1500,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// pollinator mix  600.00    410.00 per acre x 2.30 acre x 75 %, capped
	// mulch           207.00    120.00 per acre x 2.30 acre x 75 %
	// payment         807.00    limit: scenario cap
	// cost            1,500.00
	// left to pay     693.00    cost - payment
}

func ExampleBids() {
	price := func(x float64) *float64 { return &x }
	r, err := cover.Bids(cover.BidsSpec{
		Items: []cover.BidItem{{Name: "fill", Quantity: 1000, Unit: "yd3"}, {Name: "seeding", Quantity: 2, Unit: "acre"}},
		Bids: []cover.Bid{
			{Bidder: "A", UnitPrices: []*float64{price(4), price(500)}, Stated: 5000},
			{Bidder: "B", UnitPrices: []*float64{price(3.5), price(600)}, Stated: 4800},
			{Bidder: "C", UnitPrices: []*float64{price(3), nil}},
		},
		Payment: 1000,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// B  4,700.00  net 3,700.00, above the lowest 0.00; the stated total is off by 100.00
	// A  5,000.00  net 4,000.00, above the lowest 300.00
	// C  3,000.00  no price for seeding
}
