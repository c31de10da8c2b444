package cover_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
)

const (
	pennErosion = "Pennsylvania DEP, Erosion and Sediment Pollution Control Program Manual 363-2134-008 (2012), chapter 11"
	pennPrice   = "Penn State, Calculating the Price of Pure Live Seed (2023)"
	texasPLS    = "Texas Department of Transportation, Pure Live Seed"
	prairie     = "USGS Northern Prairie, Seeded Grasslands, table 4 (after SCS ND-20, 1980)"
	wvu5302     = "West Virginia University Extension, sheet 5302 (1994)"
	co911074    = "Colorado DRMS document 911074, page 6"
	co1214831   = "Colorado DRMS document 1214831, page 53"
	dryNW       = "Minnesota Board of Water and Soil Resources, conservation mix, dry prairie north-west"
	pennTurf    = "Penn State, turf handbook, table 1, lime recommendations, pH goal 7.0"
	steps       = "Four steps in fertilizer calculations"
	lsLandfill  = "Landfill cover soil loss by AH-703 tables 4-1 and 4-3, San Joaquin County document 600356, page 363"
	lsTable     = "AH-703 (1997), table 4-2, moderate rill ratio, as on the Michigan State University RUSLE page"
	co551603    = "Colorado DRMS document 551603, page 5, table 6"
	mnCover     = "Minnesota Stormwater Manual, bare soil, cover types and percent reduction of soil loss"
)

func lot(t *testing.T, purity, germination, hard float64) *cover.Lot {
	t.Helper()
	l, err := cover.NewLot(cover.LotSpec{Purity: purity, Germination: germination, Hard: hard})
	require.NoError(t, err)
	return l
}

func pls(t *testing.T, purity, germination, hard float64) float64 {
	t.Helper()
	return 100 * float64(lot(t, purity, germination, hard).PLS())
}

func TestPublishedSeedLots(t *testing.T) {
	perPound := func(purity, germination float64) float64 { return 100 / pls(t, purity, germination, 0) }
	cost := func(purity, germination, bulk float64) float64 {
		return lot(t, purity, germination, 0).PricePLS(units.PricePer(bulk, units.Pound)).Of(units.Pound)
	}
	var checks []evidence.Check
	add := func(q string, got, want, tol float64, unit, source string, kind evidence.Kind) {
		checks = append(checks, evidence.Check{Quantity: q, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind})
	}
	const hardSeed = "PLS against bulk seed, consultant's note, switchgrass lot with hard seed"
	add("PLS, purity 98, germination 92, hard 5", pls(t, 0.98, 0.92, 0.05), 95.06, 0.005, "%", hardSeed, evidence.Published)
	add("bulk for 3 PLS lb/acre of that lot", (3 * units.PoundPerAcre).OverFraction(lot(t, 0.98, 0.92, 0.05).PLS()).In(units.PoundPerAcre), 3.16, 0.005, "lb/acre", hardSeed, evidence.Published)
	add("PLS, purity 85, germination 72", pls(t, 0.85, 0.72, 0), 61, 0.5, "%", pennErosion, evidence.Published)
	add("bulk for 12 PLS lb/acre at 35 % PLS", (12 * units.PoundPerAcre).OverFraction(lot(t, 1, 0.35, 0).PLS()).In(units.PoundPerAcre), 34.3, 0.05, "lb/acre", pennErosion, evidence.Published)
	add("PLS, purity 85, germination 75", pls(t, 0.85, 0.75, 0), 64, 0.5, "%", texasPLS, evidence.Published)
	// 1.56 is 1/0.64: the source rounds in between, so the tolerance is 0.01.
	add("bulk per PLS lb, purity 85, germination 75", perPound(0.85, 0.75), 1.56, 0.01, "lb", texasPLS, evidence.Published)
	add("PLS, purity 92, germination 80", pls(t, 0.92, 0.80, 0), 74, 0.5, "%", pennPrice, evidence.Published)
	add("bulk per PLS lb, purity 92, germination 80", perPound(0.92, 0.80), 1.4, 0.05, "lb", pennPrice, evidence.Published)
	add("PLS, lot A, purity 85, germination 60", pls(t, 0.85, 0.60, 0), 51, 0.5, "%", pennPrice, evidence.Published)
	add("bulk per PLS lb, lot A", perPound(0.85, 0.60), 2, 0.5, "lb", pennPrice, evidence.Published)
	// $3.90 is $1.95 x the rounded 2 lb: 2 % of the price.
	add("price per PLS lb, lot A at $1.95", cost(0.85, 0.60, 1.95), 3.90, 0.08, "$/lb", pennPrice, evidence.Published)
	add("PLS, lot B, purity 99, germination 90", pls(t, 0.99, 0.90, 0), 89, 0.5, "%", pennPrice, evidence.Published)
	// The source states $2.50 and goes on with $3.00.
	add("price per PLS lb, lot B at the stated $2.50", cost(0.99, 0.90, 2.50), 3.30, 0.05, "$/lb", pennPrice, evidence.Slip)
	const wind = "Seed grower's technical sheet on pure live seed"
	add("PLS, purity 98, germination 95", pls(t, 0.98, 0.95, 0), 93.1, 0.05, "%", wind, evidence.Published)
	add("price per PLS lb, purity 98, germination 95 at $5.00", cost(0.98, 0.95, 5), 5.37, 0.005, "$/lb", wind, evidence.Published)
	add("PLS, purity 96, germination 91", pls(t, 0.96, 0.91, 0), 87.36, 1e-9, "%", "Rangelands Gateway, glossary, pure live seed", evidence.Published)
	evidence.Run(t, "cover", evidence.Rights(checks, map[string][2]float64{
		"price per PLS lb, lot B at the stated $2.50": {2.81, 0.005},
	}))
}

// The table prints the pounds of bulk seed that hold one of pure live seed, to
// 0.05; a cell is up to one step off the nearest, so the tolerance is 0.045.
func TestPublishedPLSTable(t *testing.T) {
	rows := []struct {
		purity float64
		cells  [11]float64
	}{
		{100, [11]float64{1.0, 1.05, 1.1, 1.2, 1.25, 1.35, 1.4, 1.55, 1.65, 1.8, 2.0}},
		{90, [11]float64{1.1, 1.2, 1.25, 1.3, 1.4, 1.5, 1.6, 1.7, 1.85, 2.0, 2.2}},
		{80, [11]float64{1.25, 1.3, 1.4, 1.5, 1.55, 1.65, 1.8, 1.9, 2.1, 2.25, 2.5}},
		{70, [11]float64{1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 2.05, 2.2, 2.4, 2.6, 2.85}},
		{60, [11]float64{1.65, 1.75, 1.85, 1.95, 2.1, 2.2, 2.4, 2.55, 2.8, 3.05, 3.35}},
		{50, [11]float64{2.0, 2.1, 2.2, 2.35, 2.5, 2.65, 2.85, 3.1, 3.35, 3.65, 4.0}},
	}
	var checks []evidence.Check
	for _, r := range rows {
		for i, want := range r.cells {
			germination := 100 - 5*float64(i)
			checks = append(checks, evidence.Check{
				Quantity: fmt.Sprintf("bulk per PLS lb, purity %.0f, germination %.0f", r.purity, germination),
				Got:      100 / pls(t, r.purity/100, germination/100, 0), Want: want, Tol: 0.045, Unit: "lb",
				Source: prairie, Kind: evidence.Published,
			})
		}
	}
	evidence.Run(t, "cover", checks)
}

// one is a mix of one species by its rate of pure live seed.
func one(t *testing.T, rate, seedsPerPound, rowInches float64) cover.MixRow {
	t.Helper()
	m, err := cover.Mix(cover.MixSpec{
		Area: units.Acre, Basis: cover.MixRatesOfPLS, Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1,
		RowSpacing: units.Length(rowInches) * units.Inch,
		Items: []cover.MixItemSpec{{
			Species: "western wheatgrass", SeedsPerMass: units.SeedsPerMass(seedsPerPound) * units.SeedPerPound,
			Rate: units.MassPerArea(rate) * units.PoundPerAcre, Lot: cover.LotSpec{Purity: 1, Germination: 1},
		}},
	})
	require.NoError(t, err)
	return m.Rows[0]
}

func TestPublishedSeedsPerArea(t *testing.T) {
	var checks []evidence.Check
	add := func(q string, got, want, tol float64, unit, source string, kind evidence.Kind) {
		checks = append(checks, evidence.Check{Quantity: q, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind})
	}
	table, err := cover.PublishedState("united-states")
	require.NoError(t, err)
	for _, c := range []struct {
		name string
		want float64
	}{
		{"alfalfa", 5}, {"alsike clover", 16}, {"birdsfoot trefoil", 9}, {"sericea lespedeza", 8}, {"red clover", 6},
		{"bermudagrass", 41}, {"smooth brome", 3}, {"orchardgrass", 15}, {"tall fescue", 5}, {"perennial ryegrass", 5}, {"annual ryegrass", 5},
	} {
		s, err := table.FindSpecies(c.name)
		require.NoError(t, err)
		for _, n := range s.Counts {
			if n.Source == "W" {
				add("seeds at 1 lb/acre, "+c.name, units.PoundPerAcre.Seeds(n.Mid()).In(units.SeedPerSquareFoot), c.want, 0.5, "seeds/ft2", wvu5302, evidence.Published)
			}
		}
	}

	sumSeeds, sumRate, sumAcre := 0.0, 0.0, 0.0
	for _, c := range []struct {
		name                  string
		perFt2, perPound, lbs float64
		furrow                float64
	}{
		{"mountain brome", 1.0, 90000, 0.48, 0.06},
		{"thickspike wheatgrass", 1.2, 154000, 0.34, 0.07},
		{"streambank wheatgrass", 1.2, 156000, 0.34, 0},
		{"slender wheatgrass", 1.8, 159000, 0.49, 0.10},
		{"Rocky Mountain fescue", 1.5, 680000, 0.10, 0},
		{"basin wildrye", 0.6, 130000, 0.20, 0.04},
		{"western wheatgrass", 2.0, 110000, 0.79, 0.12},
		{"big bluegrass", 1.0, 882000, 0.05, 0},
		{"beardless bluebunch wheatgrass", 1.8, 117000, 0.67, 0},
	} {
		seeds := units.SeedsPerArea(c.perFt2) * units.SeedPerSquareFoot
		rate := seeds.OverCount(units.SeedsPerMass(c.perPound) * units.SeedPerPound)
		add("PLS rate, "+c.name, rate.In(units.PoundPerAcre), c.lbs, 0.005, "lb/acre", co911074, evidence.Published)
		row := one(t, rate.In(units.PoundPerAcre), c.perPound, 8)
		if c.furrow > 0 {
			// The print multiplies by 8/144 rounded to 0.06.
			add("seeds per inch of 8 in row, "+c.name, row.PerFootOfRow/12, c.furrow, 0.01, "seeds/in", co911074, evidence.Published)
		}
		sumSeeds += row.SeedsPerArea.In(units.SeedPerSquareFoot)
		sumRate += row.Rate.In(units.PoundPerAcre)
		sumAcre += row.SeedsPerArea.In(units.SeedPerAcre)
	}
	add("seeds per ft2, sum of nine grasses", sumSeeds, 12.1, 1e-6, "seeds/ft2", co911074, evidence.Published)
	add("seeds per acre, sum of nine grasses", sumAcre, 527076, 1e-3, "seeds/acre", co911074, evidence.Published)
	add("PLS rate, sum of nine grasses", sumRate, 3.5, 0.05, "lb/acre", co911074, evidence.Published)
	for _, c := range []struct {
		name                        string
		perFt2, perPound, acre, lbs float64
	}{
		// 110,642 per acre is 2.54 per ft2: the printed 2.5 was rounded afterwards.
		{"western yarrow", 2.5, 2770000, 110642, 0.04},
		{"Pacific aster", 1.0, 2668000, 43560, 0.02},
		{"cicer milkvetch", 1.0, 145000, 43560, 0.30},
	} {
		seeds := units.SeedsPerArea(c.perFt2) * units.SeedPerSquareFoot
		add("seeds per acre, "+c.name, seeds.In(units.SeedPerAcre), c.acre, 0.02*c.acre, "seeds/acre", co911074, evidence.Published)
		add("PLS rate, "+c.name, seeds.OverCount(units.SeedsPerMass(c.perPound)*units.SeedPerPound).In(units.PoundPerAcre), c.lbs, 0.005, "lb/acre", co911074, evidence.Published)
	}

	// Seeds per pound are the printed seeds per ounce x 16.
	for _, c := range []struct {
		name                 string
		lbs, perPound, seeds float64
	}{
		{"big bluestem", 1.5, 160000, 5.51}, {"side-oats grama", 1.4, 96000, 3.09}, {"blue grama", 0.5, 640000, 7.35},
		{"Kalm's brome", 0.9, 128000, 2.64}, {"Canada wildrye", 1, 83200, 1.91}, {"slender wheatgrass", 1, 110400, 2.53},
		{"prairie junegrass", 0.15, 3200000, 11.02}, {"little bluestem", 2.3, 240000, 12.67}, {"indiangrass", 1, 192000, 4.41},
		{"sand dropseed", 0.08, 3200000, 5.88}, {"prairie dropseed", 0.25, 256000, 1.47}, {"blue giant hyssop", 0.05, 1440000, 1.65},
		{"purple prairie clover", 0.12, 217800, 0.60},
	} {
		row := one(t, c.lbs, c.perPound, 0)
		add("seeds per ft2, "+c.name, row.SeedsPerArea.In(units.SeedPerSquareFoot), c.seeds, 0.006, "seeds/ft2", dryNW, evidence.Published)
		// The table carries the count that the two figures imply.
		s, err := table.FindSpecies(c.name)
		require.NoError(t, err)
		for _, n := range s.Counts {
			if n.Source == "S" {
				add("count in the table, "+c.name, n.Mid().In(units.SeedPerPound)/(c.seeds*43560/c.lbs), 1, 0.006/c.seeds, "ratio", dryNW, evidence.Published)
			}
		}
	}
	add("430 seeds/m2", (430 * units.SeedPerSquareMetre).In(units.SeedPerSquareFoot), 40, 0.5, "seeds/ft2", "Tallgrass Prairie Center, 2015 trial, and Iowa State Research Farm Progress Reports 2016, article 62", evidence.Published)
	evidence.Run(t, "cover", checks)
}

var fullLot = cover.LotSpec{Purity: 1, Germination: 1}

func mix(t *testing.T, spec cover.MixSpec) cover.MixResult {
	t.Helper()
	m, err := cover.Mix(spec)
	require.NoError(t, err)
	return m
}

func TestPublishedMixes(t *testing.T) {
	var checks []evidence.Check
	add := func(q string, got, want, tol float64, unit, source string, kind evidence.Kind) {
		checks = append(checks, evidence.Check{Quantity: q, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind})
	}
	base := cover.MixSpec{Area: units.Acre, Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1, CountSources: []string{"S", "T", "W", "E", "B"}}
	lb := units.PoundPerAcre

	// Oats in a pollinator mix: the rest of the mix is one entry of its totals.
	spec := base
	spec.Basis = cover.MixRatesOfPLS
	oats, rest := 11.13*43560/37.88, (44.31-11.13)*43560/(42.32-37.88)
	spec.Species = []cover.Species{
		{Common: "oats", Botanical: "Avena sativa", Form: cover.LifeFormGrass},
		{Common: "rest", Botanical: "rest of the mix", Form: cover.LifeFormForb},
	}
	spec.Items = []cover.MixItemSpec{
		{Species: "oats", SeedsPerMass: units.SeedsPerMass(oats) * units.SeedPerPound, Rate: 37.88 * lb, Lot: fullLot},
		{Species: "rest", SeedsPerMass: units.SeedsPerMass(rest) * units.SeedPerPound, Rate: (42.32 - 37.88) * lb, Lot: fullLot},
	}
	const bwsr = "Minnesota Board of Water and Soil Resources, pilot pollinator mixes, July 2018 (totals implied)"
	m := mix(t, spec)
	add("oats, share of seeds", 100*m.Rows[0].ShareOfSeeds, 25.12, 0.01, "%", bwsr, evidence.Identity)
	add("oats, share of weight", 100*m.Rows[0].ShareOfWeight, 89.5, 0.05, "%", bwsr, evidence.Identity)

	// A permit mix by rates.
	type entry struct {
		name       string
		lbs, seeds float64
	}
	permit := []entry{
		{"thickspike wheatgrass", 1.00, 3.5}, {"western wheatgrass", 0.50, 1.3}, {"slender wheatgrass", 0.50, 1.8},
		{"alkali sacaton", 0.15, 6.1}, {"Sandberg bluegrass", 0.20, 4.2}, {"Indian ricegrass", 1.00, 3.2},
		{"Maximilian sunflower", 0.50, 2.6}, {"Palmer penstemon", 0.40, 5.6}, {"scarlet globemallow", 0.30, 3.4},
	}
	spec = base
	spec.Basis = cover.MixRatesOfPLS
	for _, e := range permit {
		spec.Items = append(spec.Items, cover.MixItemSpec{Species: e.name, CountSource: "E", Rate: units.MassPerArea(e.lbs) * lb, Lot: fullLot})
	}
	m = mix(t, spec)
	for i, e := range permit {
		add("permit mix, "+e.name, m.Rows[i].SeedsPerArea.In(units.SeedPerSquareFoot), e.seeds, 0.1, "seeds/ft2", co1214831, evidence.Published)
	}

	// 40 seeds/ft2, one grass to three forbs.
	spec = base
	spec.Basis, spec.SeedsPerArea = cover.MixSharesOfSeeds, 40*units.SeedPerSquareFoot
	spec.Items = []cover.MixItemSpec{
		{Species: "little bluestem", CountSource: "S", Share: 0.25, Lot: fullLot},
		{Species: "Mexican hat", Share: 0.75, Lot: fullLot},
	}
	m = mix(t, spec)
	const iowa = "Iowa State Research Farm Progress Reports, volume 2016 issue 1, article 62"
	add("grass of 40 seeds/ft2 at 1:3", m.Rows[0].SeedsPerArea.In(units.SeedPerSquareFoot), 10, 1e-9, "seeds/ft2", iowa, evidence.Published)
	add("forbs of 40 seeds/ft2 at 1:3", m.Rows[1].SeedsPerArea.In(units.SeedPerSquareFoot), 30, 1e-9, "seeds/ft2", iowa, evidence.Published)

	// A broadcast mix with PLS and bulk rates; the lots are those implied.
	spec = base
	spec.Basis, spec.Method = cover.MixRatesOfPLS, cover.SeedingBroadcast
	spec.Species = []cover.Species{{Common: "sweetclover", Botanical: "Melilotus officinalis", Form: cover.LifeFormLegume, Nativity: cover.NativityIntroduced}}
	sum := func(last cover.MixItemSpec) cover.MixResult {
		spec := spec
		spec.Items = []cover.MixItemSpec{
			{Species: "western wheatgrass", CountSource: "D", Rate: 6.4 * lb, Lot: cover.LotSpec{Purity: 1, Viability: 0.64}},
			{Species: "blue grama", Rate: 1.0 * lb, Lot: cover.LotSpec{Purity: 1, Viability: 1.0 / 3}},
			{Species: "side-oats grama", Rate: 3.5 * lb, Lot: cover.LotSpec{Purity: 1, Viability: 3.5 / 18}},
			{Species: "Indian ricegrass", Rate: 5.0 * lb, Lot: cover.LotSpec{Purity: 1, Viability: 5.0 / 11}},
			{Species: "sweetclover", SeedsPerMass: 260000 * units.SeedPerPound, Rate: 0.6 * lb, Lot: cover.LotSpec{Purity: 1, Viability: 0.6 / 0.7}},
			last,
		}
		return mix(t, spec)
	}
	const co493681 = "Colorado DRMS document 493681, page 15"
	switchgrass := sum(cover.MixItemSpec{Species: "switchgrass", SeedsPerMass: 300000 * units.SeedPerPound, Rate: 1.4 * lb, Lot: cover.LotSpec{Purity: 1, Viability: 0.7}})
	sacaton := sum(cover.MixItemSpec{Species: "alkali sacaton", CountSource: "B", Rate: 0.3 * lb, Lot: cover.LotSpec{Purity: 1, Viability: 0.75}})
	add("broadcast mix with switchgrass, PLS", switchgrass.Rate.In(lb), 17.9, 1e-9, "lb/acre", co493681, evidence.Published)
	add("broadcast mix with switchgrass, bulk", switchgrass.BulkRate.In(lb), 44.7, 1e-9, "lb/acre", co493681+"; lots implied", evidence.Identity)
	add("broadcast mix with sacaton, PLS", sacaton.Rate.In(lb), 16.8, 1e-9, "lb/acre", co493681, evidence.Published)
	add("broadcast mix with sacaton, bulk", sacaton.BulkRate.In(lb), 43.1, 1e-9, "lb/acre", co493681+"; lots implied", evidence.Identity)

	// Shares of the pure stand.
	spec = base
	spec.Basis = cover.MixSharesOfPureStand
	spec.Items = []cover.MixItemSpec{
		{Species: "blue grama", Share: 0.2, PureStand: 3 * lb, Lot: fullLot},
		{Species: "side-oats grama", Share: 0.3, PureStand: 9 * lb, Lot: fullLot},
		{Species: "western wheatgrass", CountSource: "D", Share: 0.5, PureStand: 16 * lb, Lot: fullLot},
	}
	m = mix(t, spec)
	const co764746 = "Colorado DRMS document 764746, page 16"
	for i, want := range []float64{0.6, 2.7, 8.0} {
		add("pure stand share, "+m.Rows[i].Species.Common, m.Rows[i].Rate.In(lb), want, 1e-9, "lb/acre", co764746+"; pure stands implied", evidence.Identity)
	}
	add("pure stand shares, total", m.Rate.In(lb), 11.3, 1e-9, "lb/acre", co764746+"; pure stands implied", evidence.Identity)

	// Seven species by percent of 33 lb/acre: two printed rows do not follow.
	spec = base
	spec.Basis, spec.Rate = cover.MixSharesOfPLSWeight, 33*lb
	percents := []float64{30, 24, 17, 10, 10, 6, 3}
	printed := []float64{10, 8, 5, 3, 3, 2, 2}
	for i, s := range []string{"Indian blanket", "clasping coneflower", "lemon mint", "plains coreopsis", "Mexican hat", "bahiagrass", "timothy"} {
		spec.Items = append(spec.Items, cover.MixItemSpec{Species: s, Share: percents[i] / 100, Lot: fullLot})
	}
	m = mix(t, spec)
	const txdot = "Texas Department of Transportation, wildflower program, rolling plains list (percent and lb/acre)"
	for i, want := range printed {
		kind := evidence.Published
		if i == 2 || i == 6 { // 17 % needs 5.6 lb and 3 % needs 1.0 lb
			kind = evidence.Slip
		}
		add(fmt.Sprintf("%.0f %% of 33 lb/acre, row %d", percents[i], i+1), m.Rows[i].Rate.In(lb), want, 0.5, "lb/acre", txdot, kind)
	}
	evidence.Run(t, "cover", evidence.Rights(checks, map[string][2]float64{
		"17 % of 33 lb/acre, row 3": {5.61, evidence.Exact},
		"3 % of 33 lb/acre, row 7":  {0.99, evidence.Exact},
	}))
}
