package cover_test

import (
	"errors"
	"fmt"
	"time"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
)

func ExampleNewLot() {
	// Purity 85 percent, germination 75 percent.
	lot, err := cover.NewLot(cover.LotSpec{Purity: 0.85, Germination: 0.75})
	if err != nil {
		fmt.Println(err)
		return
	}
	bulk := (12 * units.PoundPerAcre).OverFraction(lot.PLS())
	fmt.Println(lot)
	fmt.Println("bulk for 12 lb PLS/acre:", bulk.Text(units.PoundPerAcre, 1))
	fmt.Println("at 5.00 per lb:", lot.PricePLS(units.PricePer(5.0, units.Pound)).Trade(), "PLS")
	// Output:
	// purity          85 %
	// viable seed     75 %     germination 75 % + hard 0 % + dormant 0 %
	// pure live seed  63.75 %  purity x viable seed
	//
	// bulk for 12 lb PLS/acre: 18.8 lb/acre
	// at 5.00 per lb: 7.843 per lb PLS
}

func ExampleMix() {
	mix, err := cover.Mix(cover.MixSpec{
		Area: 2 * units.Acre, Basis: cover.MixSharesOfSeeds, SeedsPerArea: 40 * units.SeedPerSquareFoot,
		Method: cover.SeedingBroadcast, MethodFactor: 2, CriticalFactor: 1,
		Items: []cover.MixItemSpec{
			{Species: "little bluestem", CountSource: "S", Share: 0.4, Lot: cover.LotSpec{Purity: 0.9, Germination: 0.6, Dormant: 0.2},
				Price: units.PricePer(14.0, units.Pound), Bag: 25 * units.Pound},
			{Species: "Mexican hat", Share: 0.6, Lot: cover.LotSpec{Purity: 0.95, Viability: 0.9}, Price: units.PricePer(30.0, units.Pound)},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(mix)
	// Output:
	// area                 2 acre
	// basis                shares of seeds
	// method               broadcast         base rates x 2, critical area x 1
	// little bluestem      5.81 lb/acre PLS  base 2.90 lb/acre at 239,959 seeds/lb (S)
	//   live seeds         32 seeds/ft2      40 % of the seeds, 77.36 % of the weight
	//   bulk rate          8.07 lb/acre      PLS rate / 72 %
	//   order              16.14 lb          bulk rate x area, bags: 1
	//   cost               350.00
	// Mexican hat          1.70 lb/acre PLS  base 0.85 lb/acre at 1,230,200 seeds/lb (T)
	//   live seeds         48 seeds/ft2      60 % of the seeds, 22.64 % of the weight
	//   bulk rate          1.99 lb/acre      PLS rate / 85.5 %
	//   order              3.976 lb          bulk rate x area
	//   cost               119.27
	// live seeds, all      80 seeds/ft2      before the factors 40 seeds/ft2
	// pure live seed, all  15.02 lb
	// bulk seed, all       20.11 lb
	// seed cost            469.27
}

// sound is a lot for examples in which its quality is no matter.
var sound = cover.LotSpec{Purity: 0.95, Germination: 0.9}

func ExampleRuleSet_Judge() {
	mix, err := cover.Mix(cover.MixSpec{
		Area: 0.4 * units.Acre, Basis: cover.MixSharesOfSeeds, SeedsPerArea: 40 * units.SeedPerSquareFoot,
		Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1, Width: 30 * units.Foot,
		Items: []cover.MixItemSpec{
			{Species: "side-oats grama", Share: 0.4, Lot: sound},
			{Species: "Maximilian sunflower", Share: 0.2, Lot: sound},
			{Species: "Mexican hat", Share: 0.2, Lot: sound},
			{Species: "Indian blanket", Share: 0.1, Lot: sound},
			{Species: "plains coreopsis", Share: 0.1, Lot: sound},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	rules, err := cover.PublishedRuleSet("new-mexico-pollinator-2011")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range rules.Judge(mix) {
		fmt.Println(f)
	}
	// Output:
	// flowering species: 4, want at least 4: met
	// periods in which two begin to flower: 1 to 2, want at least 2: cannot say (not known of plains coreopsis)
	// area: 0.4 acre, want at least 0.5 acre: not met
	// width of strips: 30 ft, want at least 20 ft: met
}

func ExampleNewRuleSet() {
	_, err := cover.NewRuleSet(cover.RuleSetSpec{
		ID: "own", Jurisdiction: "county", Title: "sheet", Edition: "1", Purpose: "grass",
		Rules: []cover.Rule{{Name: "live seeds", Measure: cover.MeasureSeeds, Min: "30"}},
	})
	fmt.Println(err)
	// Output:
	// rules[0].min: is "30", want a number of seeds per area with its unit, such as seeds/ft2, seeds/m2, seeds/acre
}

func ExampleLoadRules() {
	sets, err := cover.LoadRules([]byte(`[{
		"id": "county-grass", "jurisdiction": "county", "title": "sheet", "edition": "1", "url": "", "purpose": "grass", "periods": "",
		"rules": [{"name": "warm grass", "measure": "share of seeds", "of": {"forms": ["grass"], "season": "warm"}, "min": "80 %"}]
	}]`))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(sets[0].Spec().Rules[0].Name)
	// Output: warm grass
}

func ExamplePublishedRules() {
	for _, s := range cover.PublishedRules() {
		fmt.Println(s.Spec().ID, "rules:", len(s.Spec().Rules))
	}
	// Output:
	// indiana-pollinator-2012 rules: 10
	// new-mexico-pollinator-2011 rules: 4
	// iowa-pollinator-2016 rules: 3
	// ohio-native-grass-2010 rules: 6
}

func ExamplePublishedSpecies() {
	table := cover.PublishedSpecies()
	s, _ := table.Find("Buffalograss")
	fmt.Println(len(table.Species), s.Botanical, s.Form, s.Season, s.Nativity, s.SeedForm)
	for _, c := range s.Counts {
		fmt.Println(c.Source, c.Low.Text(units.SeedPerPound, 0), "to", c.High.Text(units.SeedPerPound, 0))
	}
	// Output:
	// 67 Bouteloua dactyloides grass warm native burs
	// B 55,500 seeds/lb to 56,000 seeds/lb
	// H 38,000 seeds/lb to 38,000 seeds/lb
}

func ExampleLoadSpecies() {
	_, err := cover.LoadSpecies([]byte(`{
		"sources": [{"id": "tag", "title": "seed tag", "url": ""}],
		"species": [{"common": "oats", "botanical": "Avena sativa", "form": "cereal",
			"counts": [{"low": "13000 seeds/lb", "high": "13000", "source": "tag"}]}]
	}`))
	fmt.Println(err)
	// Output:
	// species[0].form: is "cereal", want one of grass, legume, forb, shrub
	// species[0].counts[0].high: is "13000", want a number of seeds per mass with its unit, such as seeds/lb, seeds/oz, seeds/kg, seeds/g
}

func ExampleLS() {
	ls, err := cover.LS(cover.LSSpec{Version: cover.LSAH703, Length: 100 * units.Foot, Grade: 0.10, Rill: cover.RillModerate})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(ls)
	// Output:
	// slope length        100 ft  horizontal
	// grade               10 %
	// exponent of length  0.518   AH-703
	// L                   1.18
	// S                   1.172
	// LS                  1.38    AH-703, moderate rill ratio
}

func ExampleErodibility() {
	k, err := cover.Erodibility(cover.ErodibilitySpec{SiltAndVeryFineSand: 0.65, Clay: 0.30, OrganicMatter: 0.028, Structure: 2, Permeability: 4})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("K %.2f US, %.3f SI, cautions: %d\n", k.US, k.SI, len(k.Cautions))
	// Output: K 0.31 US, 0.041 SI, cautions: 2
}

func ExamplePastureC() {
	r, err := cover.PastureC(cover.PastureSpec{Ground: cover.GroundGrassOrLitter, Cover: 0.504, Bare: cover.BareAtTen})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Print(r)
	// Output:
	// canopy        none
	// ground cover  50.4 %  grass or litter
	// C             0.0698  SCS Agronomy Note 50, 0.45 at 10 %
}

func ExamplePublishedCoverFactor() {
	f, err := cover.PublishedCoverFactor("hay-2")
	fmt.Println(f.Cover, f.C, err)
	// Output: hay or straw 2 ton/acre 0.02 <nil>
}

func ExamplePublishedCoverFactors() {
	// The same two tons of straw by three tests.
	for _, f := range cover.PublishedCoverFactors() {
		if f.Rate == 2*units.TonPerAcre {
			fmt.Println(f.C, f.Cover)
		}
	}
	// Output:
	// 0.02 hay or straw 2 ton/acre
	// 0.017 straw 2 ton/acre with tackifier on 3H:1V
	// 0.04 straw 2 ton/acre crimped on 3H:1V
}

func ExampleSoilLoss() {
	loss, err := cover.SoilLoss(cover.SoilLossSpec{
		System: cover.SystemUS, R: 160, K: 0.32, LS: 1.4, P: 1, BareC: 1, CoveredC: 0.02,
		Area: 2 * units.Acre, Begin: time.May, DeliveryRatio: 0.3, Tolerance: 5 * units.TonPerAcre,
		MonthlyR: [12]float64{0.01, 0.02, 0.04, 0.08, 0.14, 0.20, 0.19, 0.15, 0.10, 0.04, 0.02, 0.01},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, line := range loss.Working()[:11] {
		fmt.Printf("%s: %s\n", line.Item, line.Value)
	}
	fmt.Println("a critical area:", loss.Critical)
	// Output:
	// R: 160
	// K: 0.32
	// LS: 1.4
	// C bare, covered: 1, 0.02
	// P: 1
	// bare, a year: 71.68 ton/acre
	// covered, a year: 1.43 ton/acre
	// tolerable loss: met
	// bare on the area: 143.4 ton
	// covered on the area: 2.9 ton
	//   cover after May: 19.7 ton
	// a critical area: true
}

// Straw over the seed in May, the stand of a first year after it.
func ExampleSoilLoss_stages() {
	straw, err := cover.PublishedCoverFactor("hay-2")
	first, err2 := cover.PublishedCoverFactor("year-1")
	if err := errors.Join(err, err2); err != nil {
		fmt.Println(err)
		return
	}
	loss, err := cover.SoilLoss(cover.SoilLossSpec{
		System: cover.SystemUS, R: 160, K: 0.32, LS: 1.4, P: 1, BareC: 1, CoveredC: 0.01,
		Stages: []cover.CoverStage{{Cover: straw.Cover, C: straw.C, Months: 3}, {Cover: first.Cover, C: first.C, Months: 9}},
		Area:   2 * units.Acre, Begin: time.May, DeliveryRatio: 0.3,
		MonthlyR: [12]float64{0.01, 0.02, 0.04, 0.08, 0.14, 0.20, 0.19, 0.15, 0.10, 0.04, 0.02, 0.01},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("first year:", loss.Growing.Text(units.TonPerAcre, 1), "- a month late:", loss.Months[0].DelayMass.Text(units.Ton, 0), "more")
	// Output: first year: 6.8 ton/acre - a month late: 20 ton more
}

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
	r, err := cover.LimeNeed(cover.LimeTestSpec{Method: cover.LimeNorthCarolina, PH: 5, Goal: 6, Acidity: 1.2})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// pH, goal  5, 6
	// acidity   1.2 meq/100 g
	// factor    0.625                                      (goal - pH)/(6.6 - pH)
	// need      1,500 lb/acre                              tons = acidity x factor - credit
	// basis     agricultural lime of the state's standard  North Carolina
}

func ExampleFertilizer() {
	perTon := func(x float64) units.Price[units.Mass] { return units.PricePer(x, units.Ton) }
	r, err := cover.Fertilizer(cover.FertilizerSpec{
		Need: cover.Nutrients{N: 40 * units.PoundPerAcre, P2O5: 60 * units.PoundPerAcre, K2O: 80 * units.PoundPerAcre},
		Rule: cover.FertilizerBlendLeastCost, Area: 2 * units.Acre,
		Grades: []cover.Grade{
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
		Grades: []cover.Grade{{Name: "10-10-10", N: 0.1, P2O5: 0.1, K2O: 0.1}},
	})
	fmt.Println(r.Rate.Trade(), "short of P2O5:", r.Short.P2O5.Trade(), "K2O over:", r.Over.K2O.Trade(), err)
	// Output: 400 lb/acre short of P2O5: 20 lb/acre K2O over: 40 lb/acre <nil>
}

func ExampleSoilNeed() {
	r, err := cover.SoilNeed(cover.SoilSpec{Rules: "illinois-327", Tested: true, PH: 5.2, P: 12 * units.PoundPerAcre, K: 400 * units.PoundPerAcre})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("P2O5", r.Need.P2O5.Trade(), "K2O", r.Need.K2O.Trade(), "lime to pH", r.LimeTo)
	// Output: P2O5 60 lb/acre K2O 0 lb/acre lime to pH 6.2
}

func ExamplePublishedSoilRules() {
	for _, r := range cover.PublishedSoilRules() {
		fmt.Println(r.ID)
	}
	// Output:
	// illinois-327
	// iowa-327
	// indiana-county
	// new-hampshire-native-grass
	// colorado-dryland
}

func ExampleMulch() {
	r, err := cover.Mulch(cover.MulchSpec{
		Area: 2 * units.Acre, Rate: 2 * units.TonPerAcre, Slope: 4, Anchoring: cover.AnchoringCrimped, Crimp: 3 * units.Inch,
		Bale: 40 * units.Pound, Rules: []string{"north-carolina", "pennsylvania-crimped"},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// rate                              2 ton/acre
	// area                              2 acre
	// mulch                             8,000 lb    rate x area, bales of 40 lb: 200
	// north-carolina rate               met         2 ton/acre, want 1 ton/acre to 2 ton/acre
	// north-carolina cover              cannot say  not given, want at least 85 %
	// north-carolina slope              met         4:1, want not steeper than 2:1
	// pennsylvania-crimped rate         not met     2 ton/acre, want at least 3 ton/acre
	// pennsylvania-crimped anchoring    met         crimped, want crimped
	// pennsylvania-crimped crimp depth  met         3.0 in, want at least 3.0 in
	// pennsylvania-crimped slope        met         4:1, want not steeper than 3:1
}

func ExamplePublishedMulchRules() {
	for _, r := range cover.PublishedMulchRules() {
		if r.Rate != nil && r.Material == "straw" {
			fmt.Println(r.ID, r.Rate.Low.Trade(), "to", r.Rate.High.Trade())
		}
	}
	// Output:
	// north-carolina 1 ton/acre to 2 ton/acre
	// washington-straw 2 ton/acre to 3 ton/acre
	// indiana-straw 2 ton/acre to 2 ton/acre
}

func ExampleLoadMulchRules() {
	_, err := cover.LoadMulchRules([]byte(`[{"id": "own", "jurisdiction": "county", "material": "straw", "minCover": 85, "source": "sheet"}]`))
	fmt.Println(err)
	// Output: [0].minCover: is 85, want 0 to 1
}

func ExamplePlanting() {
	r, err := cover.Planting(cover.PlantingSpec{
		Ready: time.Date(2026, time.August, 20, 0, 0, 0, 0, time.UTC), Days: 2, Windows: cover.PublishedWindows(),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// ground ready             2026-08-20
	// days of seeding          2
	// Colorado, dryland        2026-11-01  1 November to 30 April, begin by 2027-04-29, wait 73 days
	// warm-season natives      2027-05-01  1 May to 30 June, begin by 2027-06-29, wait 254 days
	// Minnesota, native mixes  2027-05-15  15 May to 30 June, begin by 2027-06-29, wait 268 days
}

func ExamplePublishedWindows() {
	w := cover.PublishedWindows()[0]
	fmt.Println(w.Name, "from", w.From, "to", w.To)
	// Output: Minnesota, native mixes from 15 May to 30 June
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

func ExampleTopsoil() {
	r, err := cover.Topsoil(cover.TopsoilSpec{Area: 23.5 * units.Acre, Depth: 6 * units.Inch, Price: units.PricePer(1.5, units.CubicYard)})
	fmt.Println(r.Placed.Text(units.CubicYard, 0), fmt.Sprintf("%.2f", r.Cost), err)
	// Output: 18,957 yd3 28435.00 <nil>
}

func ExamplePayment() {
	r, err := cover.Payment(cover.PaymentSpec{
		Scenarios: []cover.PaymentScenario{
			{Name: "pollinator mix", Rate: units.PricePer(410.0, units.Acre), Area: 2.37 * units.Acre, Share: 0.75, Cap: 600},
			{Name: "mulch", Rate: units.PricePer(120.0, units.Acre), Area: 2.37 * units.Acre, Share: 0.75},
		},
		Acres: cover.AcresTenthDown, Cost: 1500,
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
