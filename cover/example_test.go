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
			{Species: "Mexican hat", CountSource: "T", Share: 0.6, Lot: cover.LotSpec{Purity: 0.95, Viability: 0.9}, Price: units.PricePer(30.0, units.Pound)},
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
	// method               broadcast                               base rates x 2, critical area x 1
	// little bluestem      5.81 lb/acre PLS                        base 2.90 lb/acre at 239,959 seeds/lb (Minnesota Board of Water and Soil Resources)
	//   published counts   239,864 seeds/lb to 261,000 seeds/lb    the rate is worked out with 239,959 seeds/lb
	//   live seeds         32 seeds/ft2                            40 % of the seeds, 77.36 % of the weight
	//   bulk rate          8.07 lb/acre                            PLS rate / 72 %
	//   order              16.14 lb                                bulk rate x area, bags: 1
	//   cost               350.00
	// Mexican hat          1.70 lb/acre PLS                        base 0.85 lb/acre at 1,230,200 seeds/lb (Texas Department of Transportation)
	//   published counts   737,104 seeds/lb to 1,230,200 seeds/lb  the rate is worked out with 1,230,200 seeds/lb
	//   live seeds         48 seeds/ft2                            60 % of the seeds, 22.64 % of the weight
	//   bulk rate          1.99 lb/acre                            PLS rate / 85.5 %
	//   order              3.976 lb                                bulk rate x area
	//   cost               119.27
	// live seeds, all      80 seeds/ft2                            before the factors 40 seeds/ft2
	// pure live seed, all  15.02 lb
	// bulk seed, all       20.11 lb
	// seed cost            469.27
}

// sound is a lot for examples in which its quality is no matter.
var sound = cover.LotSpec{Purity: 0.95, Germination: 0.9}

func ExampleRuleSet_Judge() {
	mix, err := cover.Mix(cover.MixSpec{
		Area: 0.4 * units.Acre, Basis: cover.MixSharesOfSeeds, SeedsPerArea: 40 * units.SeedPerSquareFoot,
		Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1, Width: 30 * units.Foot, CountSources: []string{"S", "T", "E"},
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
	// periods in which two begin to flower: 1, want at least 2: not met
	// area: 0.4 acre, want at least 0.5 acre: not met
	// width of strips: 30 ft, want at least 20 ft: met
}

func ExampleNewRuleSet() {
	_, err := cover.NewRuleSet(cover.RuleSetSpec{
		ID: "own", Jurisdiction: "county", Purpose: "grass", Source: "sheet of the county",
		Rules: []cover.Rule{{Name: "live seeds", Measure: cover.MeasureSeeds, Min: "30"}},
	})
	fmt.Println(err)
	// Output:
	// rules[0].min: got "30", want a number of seeds per area with its unit, such as seeds/ft2, seeds/m2, seeds/acre
}

// A state's rules in one file; faults come in one round with line and column.
func ExampleParseState() {
	s, err := cover.ParseState([]byte(`{"id": "county", "jurisdiction": "a county",
		"sources": [{"id": "sheet", "title": "Seeding sheet", "publisher": "conservation district", "year": "2024"}],
		"windows": [{"name": "grass", "from": "1 April", "to": "31 May", "dormant": false, "source": "sheet"}],
		"rules": [{"id": "grass", "purpose": "grass", "source": "sheet",
			"rules": [{"name": "warm grass", "measure": "share of seeds", "of": {"forms": ["grass"], "season": "warm"}, "min": "80 %"}]}],
		"mulch": [{"id": "straw", "material": "straw", "minCover": 0.85, "source": "sheet"}]
	}`))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Spec().Rules[0].Rules[0].Name, "in", s.Spec().Rules[0].Jurisdiction)

	_, err = cover.ParseState([]byte(`{"id": "county", "jurisdiction": "a county",
		"sources": [{"id": "sheet", "title": "Seeding sheet", "publisher": "conservation district"}],
		"windows": [{"name": "grass", "from": "31 April", "to": "31 May", "dormant": false, "source": "other"}],
		"mulch": [{"id": "straw", "material": "straw", "minCover": 85, "source": "sheet"}]
	}`))
	fmt.Println(err)
	// Output:
	// warm grass in a county
	// windows[0].from: got "31 April", want a day of the year such as 15 May (line 3, column 41)
	// windows[0].source: got "other", want the id of a listed source (line 3, column 97)
	// mulch[0].minCover: got 85, want 0 to 1 (line 4, column 62)
}

func ExampleNewState() {
	_, err := cover.NewState(cover.StateSpec{
		ID: "county", Jurisdiction: "a county", Sources: []cover.Source{{ID: "sheet", Title: "Seeding sheet", Publisher: "conservation district"}},
		Mulch: []cover.MulchRule{{ID: "straw", Material: "straw", MinCover: new(0.85), Source: "shet"}},
	})
	fmt.Println(err)
	// Output: mulch[0].source: got "shet", want the id of a listed source
}

func ExamplePublishedState() {
	carolina, err := cover.PublishedState("north-carolina")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, w := range carolina.Spec().Windows[:2] {
		source, err := carolina.Source(w.Source)
		fmt.Println(w.Name, "from", w.From, "to", w.To, "in", source, err)
	}
	// Output:
	// North Carolina, tall fescue alone or with white clover from 1 September to 30 November in City of Washington, North Carolina, Manual of Standard Designs and Details, page 45.05 <nil>
	// North Carolina, bermudagrass, hulled seed from 1 April to 31 July in City of Washington, North Carolina, Manual of Standard Designs and Details, page 45.05 <nil>
}

func ExamplePublishedStates() {
	for _, s := range cover.PublishedStates() {
		x := s.Spec()
		fmt.Println(x.ID, len(x.Windows), len(x.Rules), len(x.Mulch), len(x.Soil), len(x.Species))
	}
	// Output:
	// colorado 1 0 7 1 0
	// illinois 0 0 0 1 0
	// indiana 0 1 2 1 0
	// iowa 6 1 0 1 0
	// minnesota 1 0 0 0 0
	// missouri 4 1 0 0 0
	// new-hampshire 0 0 0 1 0
	// new-mexico 0 1 0 0 0
	// north-carolina 14 0 2 1 0
	// ohio 0 1 0 0 0
	// pennsylvania 0 0 3 0 0
	// united-states 1 2 2 0 148
	// washington 0 0 2 0 0
	// wisconsin 0 0 4 0 0
}

func ExampleState_FindSpecies() {
	us, err := cover.PublishedState("united-states")
	if err != nil {
		fmt.Println(err)
		return
	}
	s, err := us.FindSpecies("Buchloe dactyloides")
	fmt.Println(s.Common, s.Form, s.Season, s.Nativity, s.SeedForm, err)
	for _, c := range s.Counts {
		fmt.Println(c.Source, c.Low.Text(units.SeedPerPound, 0), "to", c.High.Text(units.SeedPerPound, 0))
	}
	s, err = us.FindSpecies("Indian grass")
	fmt.Println(s.Common, err)
	_, err = us.FindSpecies("indangras")
	fmt.Println(err)
	// Output:
	// buffalograss grass warm native burs <nil>
	// B 55,500 seeds/lb to 56,000 seeds/lb
	// H 38,000 seeds/lb to 38,000 seeds/lb
	// P 335,360 seeds/lb to 335,360 seeds/lb
	// indiangrass <nil>
	// species: got "indangras", want a species of united-states, such as indiangrass
}

func ExamplePublishedSpecies() {
	tall := 0
	for _, s := range cover.PublishedSpecies() {
		if s.Form == cover.LifeFormGrass && s.Height > 4*units.Foot {
			tall++
		}
	}
	fmt.Println(len(cover.PublishedSpecies()), "species, tall grasses:", tall)
	// Output:
	// 148 species, tall grasses: 15
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

func ExamplePasture() {
	r, err := cover.Pasture(cover.PastureSpec{Ground: cover.GroundGrassOrLitter, Cover: 0.504, Bare: cover.BareAtTen})
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
		System: cover.FactorUnitsUS, R: 160, K: 0.32, LS: 1.4, P: 1, BareC: 1, CoveredC: 0.02,
		Area: 2 * units.Acre, Begin: time.May, DeliveryRatio: new(0.3), Tolerance: 5 * units.TonPerAcre,
		MonthlyR: [12]float64{0.01, 0.02, 0.04, 0.08, 0.14, 0.20, 0.19, 0.15, 0.10, 0.04, 0.02, 0.01},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, line := range loss.Working()[:11] {
		fmt.Printf("%s: %s\n", line.Item, line.ValueText())
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
		System: cover.FactorUnitsUS, R: 160, K: 0.32, LS: 1.4, P: 1, BareC: 1, CoveredC: 0.01,
		Stages: []cover.CoverStage{{Cover: straw.Cover, C: straw.C, Months: 3}, {Cover: first.Cover, C: first.C, Months: 9}},
		Area:   2 * units.Acre, Begin: time.May, DeliveryRatio: new(0.3),
		MonthlyR: [12]float64{0.01, 0.02, 0.04, 0.08, 0.14, 0.20, 0.19, 0.15, 0.10, 0.04, 0.02, 0.01},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("first year:", loss.Growing.Text(units.TonPerAcre, 1), "- a month late:", loss.Months[0].DelayMass.Text(units.Ton, 0), "more")
	// Output: first year: 6.8 ton/acre - a month late: 20 ton more
}

func Example() {
	mix, err := cover.Mix(cover.MixSpec{
		Area: 2 * units.Acre, Basis: cover.MixSharesOfSeeds, SeedsPerArea: 40 * units.SeedPerSquareFoot,
		Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1, CountSources: []string{"S"},
		Items: []cover.MixItemSpec{
			{Species: "side-oats grama", Share: 0.6, Lot: cover.LotSpec{Purity: 0.9, Germination: 0.8}, Price: units.PricePer(12, units.Pound)},
			{Species: "indiangrass", Share: 0.4, Lot: cover.LotSpec{Purity: 0.92, Germination: 0.75, Dormant: 0.1}, Price: units.PricePer(14, units.Pound)},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, row := range mix.Rows {
		fmt.Printf("%s: %s PLS, order %s\n", row.Species.Common, row.Rate.Text(units.PoundPerAcre, 2), row.BulkMass.Text(units.Pound, 1))
	}
	// Output:
	// side-oats grama: 10.87 lb/acre PLS, order 30.2 lb
	// indiangrass: 3.63 lb/acre PLS, order 9.3 lb
}

func ExamplePublishedRuleSet() {
	set, err := cover.PublishedRuleSet("indiana-pollinator-2012")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(set.Spec().Jurisdiction)
	for _, r := range set.Spec().Rules[:2] {
		fmt.Println(r.Name, r.Min)
	}
	_, err = cover.PublishedRuleSet("another")
	fmt.Println(err)
	// Output:
	// Indiana
	// flowering species 9
	// early bloom 3
	// id: got "another", want one of indiana-pollinator-2012, iowa-pollinator-2016, missouri-monarch-2017, new-mexico-pollinator-2011, ohio-native-grass-2010, monarch-e327136z2-2017, cp42-2011
}

// The face of a berm is shorter than the table of the handbook reaches.
func ExampleLS_berm() {
	face, err := cover.LS(cover.LSSpec{Version: cover.LSAH703, Length: 10 * units.Foot, Grade: 0.30, Rill: cover.RillHigh})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(face)
	// Output:
	// slope length        10 ft           horizontal
	// grade               30 %
	// exponent of length  0.794           AH-703
	// L                   0.286
	// S                   4.327
	// LS                  1.24            AH-703, high rill ratio
	// LS lies between     0.897 and 1.24
	// note                                shorter than 15 ft, where the equation falls below its own table: LS lies between that of this length and that of 15 ft, which stands
	// note                                steeper than 20 %: the versions part, by 75 % at 33 % and 60 ft
}
