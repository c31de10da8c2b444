package cover_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
)

const (
	lbAcre = units.PoundPerAcre
	tonPer = units.TonPerAcre
)

func TestWorkingOfLime(t *testing.T) {
	// 2 x 0.9 = 1.8 of effective calcium carbonate, / 0.6 = 3, x 4 acres = 12 tons at 30.
	evidence.Shows(t, units.Style{}, evidence.Done(t, cover.Lime, cover.LimeSpec{Basis: cover.LimeECCE, Need: 2 * tonPer, ReferenceECCE: 0.9, Area: 4 * units.Acre, Material: cover.LimeMaterial{ECCE: 0.6, Price: units.PricePer(30, units.Ton)}}), `
		need | 2 ton/acre | as ECCE
		need at full effect | 1.8 ton/acre | x reference ECCE 90 %
		effective fraction | 60 % | ECCE
		material | 3 ton/acre | need / effective fraction
		on the area | 24,000 lb | 4 acre
		cost | 360.00 | 0.015 per lb`)
	// 400 of 2,000 lb are effective: 5 times the need. No price, no cost.
	evidence.Shows(t, units.Style{}, evidence.Done(t, cover.Lime, cover.LimeSpec{Basis: cover.LimeENM, Need: tonPer, Area: units.Acre, Material: cover.LimeMaterial{ENM: 400 * units.PoundPerTon}}), `
		need | 1 ton/acre | as ENM
		effective fraction | 20 % | ENM
		material | 5 ton/acre | need / effective fraction
		on the area | 10,000 lb | 1 acre`)
	// Sieves count in ECCE alone.
	evidence.Shows(t, units.Style{}, evidence.Done(t, cover.Lime, cover.LimeSpec{Basis: cover.LimeCCE, Need: tonPer, Area: units.Acre, Material: cover.LimeMaterial{CCE: 0.5, Fineness: &cover.Fineness{Pass20: 0.5}}}), `
		need | 1 ton/acre | as CCE
		effective fraction | 50 % | CCE
		material | 2 ton/acre | need / effective fraction
		on the area | 4,000 lb | 1 acre`)
	evidence.Shows(t, units.Style{}, evidence.Done(t, cover.LimeNeed, cover.LimeNeedSpec{Method: cover.LimePennState, PH: 5.5, Goal: 6.5, Acidity: new(5.0)}), `
		pH, goal | 5.5, 6.5
		acidity | 5 meq/100 g
		need | 2.1 ton/acre | 1,000 lb/acre x acidity to 7.0; to 6.5, 840 lb/acre x acidity above 4, else 2,000 lb/acre
		basis | pure calcium carbonate, 7 in deep | Penn State`)
	// Acidity 4 (6.6 - 6.35) = 1, factor (6 - 5)/(6.6 - 5) = 0.625, less 250 lb/acre.
	evidence.Shows(t, units.Style{}, evidence.Done(t, cover.LimeNeed, cover.LimeNeedSpec{Method: cover.LimeNorthCarolina, PH: 5, Goal: 6, BufferPH: new(6.35), Credit: 250 * lbAcre}), `
		pH, goal | 5, 6
		acidity | 1 meq/100 g
		factor | 0.625 | (goal - pH)/(6.6 - pH)
		need | 1,000 lb/acre | 1 ton/acre x acidity x factor - credit
		basis | agricultural lime of the state's standard | North Carolina`)
}

func TestWorkingOfFertilizer(t *testing.T) {
	price := units.PricePer(0.2, units.Pound)
	// 28/0.28 = 100 lb/acre, 200 lb at 10 lb/gal.
	evidence.Shows(t, units.Style{}, evidence.Done(t, cover.Fertilizer, cover.FertilizerSpec{Need: cover.Nutrients{N: 28 * lbAcre}, Rule: cover.FertilizerSingleNoExcess, Area: 2 * units.Acre,
		Grades: []cover.FertilizerGrade{{Name: "28-0-0", N: 0.28, Density: 10 * units.PoundPerGallon, Price: price}}}), `
		28-0-0 | 100 lb/acre | 200 lb, 20.0 gal, cost 40.00
		N | 28 lb/acre | need 28 lb/acre
		P2O5 | 0 lb/acre | need 0 lb/acre
		K2O | 0 lb/acre | need 0 lb/acre
		rule | single without excess
		cost | 40.00`)
	// 24/0.12 = 200 lb/acre, 400 lb in bags of 50 lb; 100 lb/acre meet the nitrogen alone.
	spec := cover.FertilizerSpec{Need: cover.Nutrients{N: 12 * lbAcre, P2O5: 24 * lbAcre}, Rule: cover.FertilizerSingleMeetsAll, Area: 2 * units.Acre,
		Grades: []cover.FertilizerGrade{{Name: "12-12-12", N: 0.12, P2O5: 0.12, K2O: 0.12, Bag: 50 * units.Pound, Price: price}}}
	evidence.Shows(t, units.Style{}, evidence.Done(t, cover.Fertilizer, spec), `
		12-12-12 | 200 lb/acre | 400 lb, bags: 8, cost 80.00
		N | 24 lb/acre | need 12 lb/acre, over by 12 lb/acre
		P2O5 | 24 lb/acre | need 24 lb/acre
		K2O | 24 lb/acre | need 0 lb/acre, over by 24 lb/acre
		rule | single that meets all
		cost | 80.00`)
	spec.Grades[0].Price = units.PricePer(0.001, units.Pound)
	require.Contains(t, evidence.Done(t, cover.Fertilizer, spec).String(), "400 lb, bags: 8, cost 0.40")
	spec.Rule, spec.Grades[0].Price = cover.FertilizerSingleNoExcess, 0
	evidence.Shows(t, units.Style{}, evidence.Done(t, cover.Fertilizer, spec), `
		12-12-12 | 100 lb/acre | 200 lb, bags: 4
		N | 12 lb/acre | need 12 lb/acre
		P2O5 | 12 lb/acre | need 24 lb/acre, short by 12 lb/acre
		K2O | 12 lb/acre | need 0 lb/acre, over by 12 lb/acre
		rule | single without excess
		cost | 0.00`)
}

func TestWorkingOfSoilRules(t *testing.T) {
	own := cover.SoilRules{ID: "own", Jurisdiction: "the county", Source: "a sheet", Place: "page 3", MinPH: new(5.5), P: &cover.SoilStep{Below: 15 * lbAcre, Apply: 60 * lbAcre}, K: &cover.SoilStep{Below: 150 * lbAcre, Apply: 200 * lbAcre},
		Nitrogen: []cover.StandNitrogen{{Stand: "legume", N: 5 * lbAcre}, {Stand: "grass", N: 30 * lbAcre}}, Untested: &cover.Nutrients{N: 20 * lbAcre, P2O5: 30 * lbAcre, K2O: 40 * lbAcre}, UntestedLime: new(tonPer), Notes: []string{"rake it in"}}
	need := func(edit func(*cover.SoilNeedSpec)) cover.SoilNeedResult {
		spec := cover.SoilNeedSpec{Own: &own}
		edit(&spec)
		return evidence.Done(t, cover.SoilNeed, spec)
	}
	evidence.Shows(t, units.Style{}, need(func(s *cover.SoilNeedSpec) {
		s.Tested, s.PH, s.P, s.K, s.Stand = true, 5.2, 12*lbAcre, 149*lbAcre, "Grass"
	}), `
		rules | the county | a sheet, page 3
		soil test | pH 5.2 | P 12 lb/acre, K 149 lb/acre
		N | 30 lb/acre | Grass
		P2O5 | 60 lb/acre
		K2O | 200 lb/acre
		lime | to pH 5.5 | pH is below 5.5
		note |  | rake it in`)
	// At the steps themselves nothing is asked; what the rules leave open the test settles.
	at := need(func(s *cover.SoilNeedSpec) {
		s.Tested, s.PH, s.P, s.K, s.Fertilizer.N = true, 5.5, 15*lbAcre, 150*lbAcre, 7*lbAcre
	})
	require.Equal(t, cover.Nutrients{N: 7 * lbAcre}, at.Need)
	require.Zero(t, at.LimeTo)
	own.LimeTo, own.P, own.K = new(6.2), nil, nil
	left := need(func(s *cover.SoilNeedSpec) {
		s.Tested, s.PH, s.Fertilizer = true, 5.4, cover.Nutrients{P2O5: 8 * lbAcre, K2O: 9 * lbAcre}
	})
	require.Equal(t, cover.Nutrients{P2O5: 8 * lbAcre, K2O: 9 * lbAcre}, left.Need)
	require.Equal(t, 6.2, left.LimeTo)
	require.Len(t, left.Cautions, 2)
	evidence.Shows(t, units.Style{}, need(func(s *cover.SoilNeedSpec) {}), `
		rules | the county | a sheet, page 3
		soil test | none
		N | 20 lb/acre
		P2O5 | 30 lb/acre
		K2O | 40 lb/acre
		lime | 1 ton/acre | without a test
		note |  | rake it in`)
	// Nitrogen of the stand and of untested ground are not added up.
	require.Equal(t, 30*lbAcre, need(func(s *cover.SoilNeedSpec) { s.Stand = "grass" }).Need.N)
	require.Equal(t, 20*lbAcre, need(func(s *cover.SoilNeedSpec) { s.Stand = "legume" }).Need.N)
	own.Place, own.WaiveFertilizer, own.WaiveLime = "", new(25*lbAcre), new(2000*lbAcre)
	evidence.Shows(t, units.Style{}, need(func(s *cover.SoilNeedSpec) {
		s.Tested, s.PH, s.Fertilizer.N, s.Fertilizer.K2O, s.Lime = true, 7, 10*lbAcre, 14*lbAcre, 1999*lbAcre
	}), `
		rules | the county | a sheet
		soil test | pH 7 | P 0 lb/acre, K 0 lb/acre
		N | 10 lb/acre
		P2O5 | 0 lb/acre
		K2O | 14 lb/acre
		fertilizer | may be left out | the need is below the sheet's limit
		lime | may be left out | the need is below the sheet's limit
		note |  | rake it in`)
	// Each of the caller's own limits is checked by itself.
	for field, edit := range map[string]func(*cover.SoilRules){
		"minPH": func(r *cover.SoilRules) { r.MinPH = new(2.0) }, "limeTo": func(r *cover.SoilRules) { r.LimeTo = new(12.0) }, "p.below": func(r *cover.SoilRules) { r.P = &cover.SoilStep{} },
		"k.apply": func(r *cover.SoilRules) { r.K = &cover.SoilStep{Below: 1, Apply: -1} }, "nitrogen[0].n": func(r *cover.SoilRules) { r.Nitrogen = []cover.StandNitrogen{{N: -1}} },
		"untested.p2o5": func(r *cover.SoilRules) { r.Untested = &cover.Nutrients{P2O5: -1} }, "untested.k2o": func(r *cover.SoilRules) { r.Untested = &cover.Nutrients{K2O: -1} },
		"untestedLime": func(r *cover.SoilRules) { r.UntestedLime = new(-lbAcre) }, "waiveFertilizer": func(r *cover.SoilRules) { r.WaiveFertilizer = new(-lbAcre) }, "waiveLime": func(r *cover.SoilRules) { r.WaiveLime = new(-lbAcre) },
	} {
		bad := cover.SoilRules{}
		edit(&bad)
		_, err := cover.SoilNeed(cover.SoilNeedSpec{Own: &bad, Tested: true, PH: 7, Fertilizer: cover.Nutrients{N: lbAcre}, P: lbAcre, K: lbAcre})
		require.Equal(t, []string{"own." + field}, fields(err))
	}
	for field, spec := range map[string]cover.SoilNeedSpec{
		"ph": {PH: 2.9}, "p": {PH: 6, P: -1}, "k": {PH: 6, K: -1}, "lime": {PH: 6, Lime: -1}, "fertilizer.n": {PH: 6, Fertilizer: cover.Nutrients{N: -1}}, "fertilizer.k2o": {PH: 6, Fertilizer: cover.Nutrients{K2O: -1}}, "stand": {PH: 6, Stand: "grass"},
	} {
		spec.Tested, spec.Rules = true, "iowa-327"
		if spec.Fertilizer == (cover.Nutrients{}) {
			spec.Fertilizer.P2O5 = lbAcre
		}
		_, err := cover.SoilNeed(spec)
		require.Equal(t, []string{field}, fields(err))
	}
	_, err := cover.SoilNeed(cover.SoilNeedSpec{Rules: "illinois-327", Tested: true, PH: 6, P: lbAcre, K: lbAcre, Stand: "native warm-season grass", Fertilizer: cover.Nutrients{N: lbAcre, K2O: lbAcre}})
	require.Equal(t, []string{"fertilizer.k2o", "fertilizer.n"}, fields(err))
	_, err = cover.SoilNeed(cover.SoilNeedSpec{Rules: "iowa-327", Stand: "corn"})
	require.EqualError(t, err, `stand: got "corn", want empty, since the rules have no stands`)
}

func TestWorkingOfMulch(t *testing.T) {
	// 1.5 tons x 2 acres = 6,000 lb: 120 bales of 50 lb at 0.10 a pound.
	spec := cover.MulchSpec{Area: 2 * units.Acre, Rate: 1.5 * tonPer, Slope: new(3.0), Anchoring: cover.AnchoringCrimped, Crimp: 2 * units.Inch, Cover: 0.8, Thickness: 2 * units.Inch, Bale: 50 * units.Pound, Price: units.PricePer(0.1, units.Pound),
		Own: []cover.MulchRule{{ID: "a", Jurisdiction: "the county", Material: "straw", Source: "x", Rate: &units.Range[units.MassPerArea]{Low: tonPer, High: 1.5 * tonPer}, MinCover: new(0.8), Thickness: &units.Range[units.Length]{Low: units.Inch, High: 2 * units.Inch},
			Anchoring: []cover.Anchoring{cover.AnchoringCrimped, cover.AnchoringNetted}, CrimpDepth: new(2 * units.Inch), MinSlope: new(3.0)}, {ID: "b", Material: "hay", Source: "x", MinCover: new(0.9)}}}
	evidence.Shows(t, units.Style{}, evidence.Done(t, cover.Mulch, spec), `
		rate | 1.5 ton/acre
		area | 2 acre
		mulch | 6,000 lb | rate x area, bales of 50 lb: 120
		cost | 600.00 | 0.100 per lb
		the county, straw: rate | met | 1.5 ton/acre, want 1 ton/acre to 1.5 ton/acre
		the county, straw: cover | met | 80 %, want at least 80 %
		the county, straw: thickness | met | 2.00 in, want 1.00 in to 2.00 in
		the county, straw: anchoring | met | crimped, want crimped or netted
		the county, straw: crimp depth | met | 2.0 in, want at least 2.0 in
		the county, straw: slope | met | 3:1, want not steeper than 3:1
		b cover | not met | 80 %, want at least 90 %`)
	// All at their ends is met; a little beyond on either side is not.
	verdicts := func(edit func(*cover.MulchSpec)) map[string]string {
		s := spec
		s.Own = spec.Own[:1]
		edit(&s)
		not := map[string]string{}
		for _, f := range evidence.Done(t, cover.Mulch, s).Findings {
			if f.Verdict != cover.VerdictMet {
				not[f.Rule] = f.Verdict.String() + f.Why
			}
		}
		return not
	}
	for _, c := range []struct {
		edit func(*cover.MulchSpec)
		want map[string]string
	}{
		{func(s *cover.MulchSpec) { s.Rate = tonPer }, map[string]string{}}, {func(s *cover.MulchSpec) { s.Rate = 0.999 * tonPer }, map[string]string{"a rate": "not met"}}, {func(s *cover.MulchSpec) { s.Rate = 1.501 * tonPer }, map[string]string{"a rate": "not met"}},
		{func(s *cover.MulchSpec) { s.Cover = 0.799 }, map[string]string{"a cover": "not met"}}, {func(s *cover.MulchSpec) { s.Cover = 0 }, map[string]string{"a cover": "cannot saythe cover is not given"}},
		{func(s *cover.MulchSpec) { s.Thickness = units.Inch }, map[string]string{}}, {func(s *cover.MulchSpec) { s.Thickness = 0.999 * units.Inch }, map[string]string{"a thickness": "not met"}}, {func(s *cover.MulchSpec) { s.Thickness = 2.001 * units.Inch }, map[string]string{"a thickness": "not met"}},
		{func(s *cover.MulchSpec) { s.Thickness = 0 }, map[string]string{"a thickness": "cannot saythe thickness is not given"}}, {func(s *cover.MulchSpec) { s.Anchoring, s.Crimp = cover.AnchoringNetted, 0 }, map[string]string{}},
		{func(s *cover.MulchSpec) { s.Anchoring, s.Crimp = cover.AnchoringNone, 0 }, map[string]string{"a anchoring": "not met"}}, {func(s *cover.MulchSpec) { s.Crimp = 1.999 * units.Inch }, map[string]string{"a crimp depth": "not met"}},
		{func(s *cover.MulchSpec) { s.Crimp = 0 }, map[string]string{"a crimp depth": "cannot saythe crimp depth is not given"}}, {func(s *cover.MulchSpec) { s.Slope = new(2.999) }, map[string]string{"a slope": "not met"}}, {func(s *cover.MulchSpec) { s.Slope = nil }, map[string]string{"a slope": "cannot saythe slope is not given"}},
	} {
		require.Equal(t, c.want, verdicts(c.edit))
	}
	// One figure is judged as the least. Loose mulch has no bales, and costs its weight.
	loose := spec
	loose.Bale, loose.Own = 0, []cover.MulchRule{{ID: "c", Material: "straw", Source: "x", Rate: &units.Range[units.MassPerArea]{Low: tonPer, High: tonPer}}}
	evidence.Shows(t, units.Style{}, evidence.Done(t, cover.Mulch, loose), `
		rate | 1.5 ton/acre
		area | 2 acre
		mulch | 6,000 lb | rate x area
		cost | 600.00 | 0.100 per lb
		c rate | met | 1.5 ton/acre, want at least 1 ton/acre`)
	loose.Area, loose.Bale = units.SquareFoot, 50*units.Pound
	require.Contains(t, evidence.Done(t, cover.Mulch, loose).String(), "rate x area, bales of 50 lb: 1\n")
	// Part of a bale is a whole one, and the bales are paid.
	spec.Bale, spec.Price = 70*units.Pound, units.PricePer(1, units.Pound)
	bales := evidence.Done(t, cover.Mulch, spec)
	require.Equal(t, 86, bales.Bales) // 6,000/70 = 85.7
	require.InDelta(t, 86*70, bales.Cost, 1e-9)
	_, err := cover.Mulch(cover.MulchSpec{Area: units.Acre, Rate: tonPer, Anchoring: cover.AnchoringNone, Own: []cover.MulchRule{
		{Rate: &units.Range[units.MassPerArea]{Low: 2, High: 1}, Thickness: &units.Range[units.Length]{Low: 2, High: 1}, MinCover: new(1.1), Anchoring: []cover.Anchoring{cover.AnchoringNone, 9}, CrimpDepth: new(units.Length(0)), MinSlope: new(0.0)}}})
	require.Equal(t, []string{"own[0].id", "own[0].material", "own[0].source", "own[0].rate.high", "own[0].minCover", "own[0].thickness.high", "own[0].anchoring[1]", "own[0].crimpDepth", "own[0].minSlope"}, fields(err))
}

func TestWorkingOfNurseAndTopsoil(t *testing.T) {
	// Half of 96 is 48, x 2 acres = 96 lb: 3 bags of 40 lb, of which 120 lb are paid.
	evidence.Shows(t, units.Style{}, evidence.Done(t, cover.Nurse, cover.NurseSpec{Name: "oats", TemporaryRate: 96 * lbAcre, Share: 0.5, MostShare: 0.4, Area: 2 * units.Acre, Bag: 40 * units.Pound, Price: units.PricePer(0.5, units.Pound)}), `
		oats | 48 lb/acre | 50 % of 96 lb/acre
		seed | 96 lb | 2 acre, bags: 3
		cost | 60.00 | 0.500 per lb
		limit | not met | at most 40 %`)
	// An acre-foot is 43,560/27 = 1,613.33 yd3; 20 % are lost of 2,016.67, and 1,000 are there.
	spec := cover.TopsoilOrderSpec{Area: units.Acre, Depth: 12 * units.Inch, Loss: 0.2, Stock: 1000 * units.CubicYard, Price: units.PricePer(3, units.CubicYard)}
	r := evidence.Done(t, cover.TopsoilOrder, spec)
	evidence.Shows(t, units.Style{}, r, `
		placed | 1,613 yd3 | 1 acre x 12.0 in
		hauled | 2,017 yd3 | loss 20 %
		bought | 1,017 yd3 | stock 1,000 yd3
		cost | 3,050.00`)
	require.Zero(t, r.Left)
	spec.Stock = 3000 * units.CubicYard
	r = evidence.Done(t, cover.TopsoilOrder, spec)
	require.InDelta(t, 3000-43560.0/27/0.8, r.Left.In(units.CubicYard), 1e-9)
	require.Zero(t, r.Bought)
	require.Zero(t, r.Cost)
}

func TestWorkingOfPayment(t *testing.T) {
	spec := cover.PaymentSpec{Acres: cover.PartialAcresTenthDown, Cost: 2000, Scenarios: []cover.PaymentScenario{
		{Name: "seeding", Rate: units.PricePer(400, units.Acre), Area: 2.37 * units.Acre, Share: 0.75}, {Name: "mulch", Rate: units.PricePer(100, units.Acre), Area: 2 * units.Acre, Share: 1}, {Name: "pipe", Cost: 300, Share: 0.5, Cap: 100}}}
	evidence.Shows(t, units.Style{}, evidence.Done(t, cover.Payment, spec), `
		seeding | 690.00 | 400.00 per acre x 2.30 acre x 75 %
		mulch | 200.00 | 100.00 per acre x 2.00 acre
		pipe | 100.00 | cost 300.00 x 50 %, capped
		payment | 990.00 | limit: scenario cap
		cost | 2,000.00
		left to pay | 1,010.00 | cost - payment`)
	evidence.Shows(t, units.Style{}, evidence.Done(t, cover.Payment, cover.PaymentSpec{Scenarios: []cover.PaymentScenario{{Name: "sign", Cost: 0.5, Share: 1}}}), `
		sign | 0.50 | cost 0.50
		payment | 0.50 | limit: none
		cost | 0.00
		left to pay | -0.50 | cost - payment`)
	for _, c := range []struct {
		edit                func(*cover.PaymentSpec)
		payment, net, share float64
		limit               string
	}{
		// 1,040 without the cap of the pipe. A cap or a cost that is just met bounds nothing.
		{func(s *cover.PaymentSpec) { s.Scenarios[2].Cap = 0 }, 1040, 960, 0.52, "none"}, {func(s *cover.PaymentSpec) { s.Scenarios[2].Cap = 150 }, 1040, 960, 0.52, "none"}, {func(s *cover.PaymentSpec) { s.Scenarios[2].Cap = 149 }, 1039, 961, 0.5195, "scenario cap"},
		{func(s *cover.PaymentSpec) { s.Scenarios[2].Cap = 0.5 }, 890.5, 1109.5, 0.44525, "scenario cap"}, {func(s *cover.PaymentSpec) { s.Cap = 990 }, 990, 1010, 0.495, "scenario cap"}, {func(s *cover.PaymentSpec) { s.Cap = 989 }, 989, 1011, 0.4945, "cap"},
		{func(s *cover.PaymentSpec) { s.Cap = 0.5 }, 0.5, 1999.5, 0.00025, "cap"}, {func(s *cover.PaymentSpec) { s.WithinCost, s.Cost = true, 990 }, 990, 0, 1, "scenario cap"}, {func(s *cover.PaymentSpec) { s.WithinCost, s.Cost = true, 989 }, 989, 0, 1, "cost"},
		{func(s *cover.PaymentSpec) { s.Cost = 0.5 }, 990, -989.5, 1980, "scenario cap"}, {func(s *cover.PaymentSpec) { s.Cost = 0 }, 990, -990, 0, "scenario cap"}, {func(s *cover.PaymentSpec) { s.WithinCost, s.Cost = true, 0 }, 0, 0, 0, "cost"},
	} {
		s := spec
		s.Scenarios = append([]cover.PaymentScenario(nil), spec.Scenarios...)
		c.edit(&s)
		r := evidence.Done(t, cover.Payment, s)
		require.InDeltaSlice(t, []float64{c.payment, c.net, c.share}, []float64{r.Payment, r.Net, r.ShareOfCost}, 1e-9)
		require.Equal(t, c.limit, r.Limit)
		sum := 0.0
		for i, row := range r.Rows {
			require.Equal(t, row.Paid < row.Full, row.Capped)
			require.Equal(t, s.Scenarios[i].Name, row.Name)
			sum += row.Paid
		}
		require.InDelta(t, sum, r.Sum, 1e-9)
	}
}

func TestWorkingOfBids(t *testing.T) {
	p := func(x float64) *float64 { return &x }
	spec := cover.BidsSpec{Items: []cover.BidItem{{Name: "fill", Quantity: 100, Unit: "yd3"}, {Name: "seeding", Quantity: 2, Unit: "acre"}},
		Bids: []cover.Bid{{Bidder: "half", UnitPrices: []*float64{p(1), nil}}, {Bidder: "north", UnitPrices: []*float64{p(4), p(50)}, Stated: 500.5}, {Bidder: "south", UnitPrices: []*float64{p(3), p(60)}, Stated: 419.4}, {Bidder: "east", UnitPrices: []*float64{p(4), p(50)}, Stated: 499.4},
			{Bidder: "none", UnitPrices: []*float64{nil, nil}}}, Payment: 100}
	r := evidence.Done(t, cover.Bids, spec)
	evidence.Shows(t, units.Style{}, r, `
		south | 420.00 | net 320.00, above the lowest 0.00; the stated total is off by -0.60
		north | 500.00 | net 400.00, above the lowest 80.00
		east | 500.00 | net 400.00, above the lowest 80.00; the stated total is off by -0.60
		none | 0.00 | no price for fill, seeding
		half | 100.00 | no price for seeding`)
	require.Equal(t, []float64{300, 120}, r.Rows[0].Amounts)
	require.Equal(t, []float64{100, 0}, r.Rows[4].Amounts)
	require.Zero(t, r.Rows[0].PerArea)
	require.Zero(t, r.Rows[4].Above)
	// Amounts and areas below 1 count like others; a stated total that is off by half a unit
	// of money or less is rounded.
	small := cover.BidsSpec{Items: []cover.BidItem{{Name: "sign", Quantity: 1, Unit: "each"}}, Bids: []cover.Bid{{Bidder: "one", UnitPrices: []*float64{p(0.25)}, Stated: 0.8}, {Bidder: "two", UnitPrices: []*float64{p(0)}, Stated: 0.5}}, Area: units.SquareMetre / 2}
	b := evidence.Done(t, cover.Bids, small)
	require.Equal(t, []float64{0, 0.25}, []float64{b.Rows[0].Total, b.Rows[1].Total})
	require.Zero(t, b.Rows[0].StatedOff)
	require.InDelta(t, 0.55, b.Rows[1].StatedOff, 1e-12)
	require.InDelta(t, 0.5, b.Rows[1].PerArea.SI(), 1e-12)
	spec.Bids = []cover.Bid{spec.Bids[0], spec.Bids[4]}
	r = evidence.Done(t, cover.Bids, spec)
	require.Empty(t, r.Lowest)
	require.Zero(t, r.Rows[0].Above)
}

func TestSourcesAsWords(t *testing.T) {
	for want, s := range map[string]cover.Source{"Office, Sheet": {Title: "Sheet", Publisher: "Office"}, "Office, Sheet, number 3": {Title: "Sheet", Publisher: "Office", Number: "number 3"}, "Office, Sheet (2020)": {Title: "Sheet", Publisher: "Office", Year: "2020"},
		"Office, Sheet, number 3 (2020)": {ID: "x", Title: "Sheet", Publisher: "Office", Number: "number 3", Year: "2020", URL: "y"}} {
		require.Equal(t, want, s.String())
	}
	// A rule of a published state names its source in full and the place in it.
	r := evidence.Done(t, cover.SoilNeed, cover.SoilNeedSpec{Rules: "new-hampshire-native-grass"})
	line := (units.Style{}).Lines(r.Working())[0]
	state, err := cover.PublishedState("new-hampshire")
	require.NoError(t, err)
	row := state.Spec().Soil[0]
	source, err := state.Source(row.Source)
	require.NoError(t, err)
	require.Equal(t, units.LineText{Item: "rules", Value: row.Jurisdiction, How: strings.TrimSuffix(source.String()+", "+row.Place, ", ")}, line)
	for _, err := range []error{second(state.Source("none")), second(state.RuleSet("none")), second(cover.PublishedCoverFactor("none")), second(cover.PublishedState("none"))} {
		require.Equal(t, []string{"id"}, fields(err))
	}
	require.ErrorContains(t, second(cover.PublishedCoverFactor("none")), "one of fallow, native-grass, ")
}

func second[T any](_ T, err error) error { return err }

func TestWorkingOfPlanting(t *testing.T) {
	day := func(m time.Month, d int) cover.MonthDay { return cover.MonthDay{Month: m, Day: d} }
	spec := cover.PlantingSpec{Ready: time.Date(2026, time.August, 20, 15, 0, 0, 0, time.UTC), Days: 3, Windows: []cover.PlantingWindow{
		{Name: "spring", From: day(time.April, 1), To: day(time.April, 30)}, {Name: "a day", From: day(time.May, 1), To: day(time.May, 1)}, {Name: "fall", From: day(time.August, 1), To: day(time.August, 22)}, {Name: "two days", From: day(time.June, 30), To: day(time.July, 1)}}}
	r := evidence.Done(t, cover.Planting, spec)
	evidence.Shows(t, units.Style{}, r, `
		ground ready | 2026-08-20
		days of seeding | 3
		fall | 2026-08-20 | 1 August to 22 August, begin by 2026-08-20, wait 0 days
		spring | 2027-04-01 | 1 April to 30 April, begin by 2027-04-28, wait 224 days
		a day | too short
		two days | too short`)
	require.True(t, r.Now)
	require.Equal(t, r.Openings[0], r.Next)
	require.Equal(t, []string{"a day", "two days"}, r.TooShort)
	require.Empty(t, r.Cautions)
	spec.Ready = spec.Ready.AddDate(0, 0, 1)
	r = evidence.Done(t, cover.Planting, spec)
	require.False(t, r.Now)
	require.Len(t, r.Cautions, 1)
	require.Equal(t, "spring", r.Next.Window.Name)
	for d, want := range map[cover.MonthDay]string{day(0, 1): "day 1 of month 0", day(1, 0): "0 January", day(12, 31): "31 December", day(13, 2): "day 2 of month 13", day(1, 1): "1 January"} {
		require.Equal(t, want, d.String())
		_, err := d.MarshalText()
		require.Equal(t, want == "1 January" || want == "31 December", err == nil, want)
	}
}

func TestWorkingOfSlopeAndSoil(t *testing.T) {
	// The unit plot: 72.6 ft at 9 %, where 16.8 x 0.0896377 - 0.50 = 1.0059 and b is
	// 1.00042/(3 x 0.145209 + 0.56) = 1.00479.
	evidence.Shows(t, units.Style{}, evidence.Done(t, cover.LS, cover.LSSpec{Version: cover.LSAH703, Length: 72.6 * units.Foot, Grade: 0.09, Rill: cover.RillModerate}), `
		slope length | 72.6 ft | horizontal
		grade | 9 %
		exponent of length | 0.501 | AH-703
		L | 1
		S | 1.006
		LS | 1.01 | AH-703, moderate rill ratio`)
	evidence.Shows(t, units.Style{}, evidence.Done(t, cover.LS, cover.LSSpec{Version: cover.LSAH703, Length: 6 * units.Foot, Grade: 0.10, Rill: cover.RillModerate}), `
		slope length | 6 ft | horizontal
		grade | 10 %
		LS | 0.48 | AH-703, moderate rill ratio
		note |  | shorter than 15 ft: read from AH-703 table 4-2`)
	// 3:4, sin 0.6: 65.41 x 0.36 + 4.56 x 0.6 + 0.065 = 26.3486, exponent 0.5 at 4 x 72.6 ft.
	steep := evidence.Done(t, cover.LS, cover.LSSpec{Version: cover.LSAH537, Length: 290.4 * units.Foot, Grade: 0.75})
	require.InDeltaSlice(t, []float64{0.5, 2, 26.3486, 52.6972}, []float64{steep.Exponent, steep.L, steep.S, steep.LS}, 1e-9)
	// At 60 %: sin2 = 0.36/1.36 = 0.264706, sin 0.514496: 2 (17.31441 + 2.34610 + 0.065).
	require.InDelta(t, 39.4510, steep.Range.Low, 5e-4)
	require.Len(t, steep.Notes, 2)
	// (430 x 0.36 + 30 x 0.6 + 0.43)/6.613 = 173.23/6.613.
	require.InDelta(t, 173.23/6.613, evidence.Done(t, cover.LS, cover.LSSpec{Version: cover.LSQuadratic, Length: 290.4 * units.Foot, Grade: 0.75}).S, 1e-9)
	for grade, notes := range map[float64]int{0.2: 0, 0.201: 1, 0.6: 1, 0.601: 2} {
		require.Len(t, evidence.Done(t, cover.LS, cover.LSSpec{Version: cover.LSAH537, Length: 100 * units.Foot, Grade: grade}).Notes, notes, "%v", grade)
	}
	// M = 50 x 80 = 4,000, 2.1e-4 x 4000^1.14 = 2.6823; x 10 + 3.25 + 2.5 = 32.573 (100 K).
	k := cover.ErodibilitySpec{SiltAndVeryFineSand: 0.5, Clay: 0.2, OrganicMatter: 0.02, Structure: 3, Permeability: 4}
	evidence.Shows(t, units.Style{}, evidence.Done(t, cover.Erodibility, k), `
		silt + very fine sand | 50 %
		clay | 20 %
		organic matter | 2 %
		structure, permeability | 3, 4 | classes
		K, US | 0.326 | equation of the AH-537 nomograph
		K, SI | 0.0429 | x 0.1317`)
	for organic, cautions := range map[float64]int{0.04: 2, 0.041: 3} {
		k.OrganicMatter = organic
		require.Len(t, evidence.Done(t, cover.Erodibility, k).Cautions, cautions, "%v", organic)
	}
	evidence.Shows(t, units.Style{}, evidence.Done(t, cover.Pasture, cover.PastureSpec{Canopy: cover.CanopyBrush50, Ground: cover.GroundGrassOrLitter, Cover: 0.5, Bare: cover.BareAtZero}), `
		canopy | brush 50 %
		ground cover | 50 % | grass or litter
		C | 0.0615 | SCS Agronomy Note 50, 0.45 at 0 %`)
}

func TestWorkingOfSoilLoss(t *testing.T) {
	// R K LS P = 100 x 0.2 x 0.5 x 1 = 10 ton/acre a year.
	spec := cover.SoilLossSpec{System: cover.FactorUnitsUS, R: 100, K: 0.2, LS: 0.5, P: 1, BareC: 0.9, CoveredC: 0.01, Area: 2 * units.Acre, Begin: time.December, DeliveryRatio: new(0.5), Tolerance: 0.1 * tonPer,
		Stages: []cover.CoverStage{{Cover: "straw", C: 0.1, Months: 1}, {Cover: "seedlings", C: 0.2, Months: 1}}, MonthlyR: [12]float64{time.January - 1: 0.25, time.December - 1: 0.75}}
	r := evidence.Done(t, cover.SoilLoss, spec)
	lines := strings.Split(r.String(), "\n")
	for i := range lines {
		lines[i] = strings.Join(strings.Fields(lines[i]), " ")
	}
	// At once: 7.5 x 0.1 in December, 2.5 x 0.2 in January = 1.25. After December: bare 6.75,
	// straw in January 0.25, then seedlings without rain: 7 - 1.25, and the loss of the next
	// two months, covered in both, is told with neither.
	require.Equal(t, []string{
		"R 100 US units", "K 0.2 US units", "LS 0.5", "C bare, covered 0.9, 0.01", "P 1", "bare, a year 9.00 ton/acre R K LS C P", "covered, a year 0.10 ton/acre R K LS C P",
		"stage straw C 0.1, months: 1", "stage seedlings C 0.2, months: 1", "first year, laid at once 1.25 ton/acre by stage", "tolerable loss met at most 200 lb/acre",
		"bare on the area 18.0 ton 9.0 ton at the edge, ratio 0.5", "covered on the area 0.2 ton 0.1 ton at the edge, ratio 0.5",
		"cover after December 11.5 ton more than at once; in the month bare 6.75 ton/acre, covered 0.07 ton/acre",
	}, lines[:14])
	require.Equal(t, "loss of a year once covered: 200 lb/acre, want at most 200 lb/acre: met", r.Tolerance.String())
	require.True(t, r.Critical)
	// 9 tons are above twice a tolerance of 4.49, and not of 4.5.
	for tolerance, critical := range map[float64]bool{4.49: true, 4.5: false, 4.51: false} {
		spec.Tolerance = units.MassPerArea(tolerance) * tonPer
		require.Equal(t, critical, evidence.Done(t, cover.SoilLoss, spec).Critical, "%v", tolerance)
	}
	spec.Tolerance = 0.0999 * tonPer
	require.Equal(t, cover.VerdictNotMet, evidence.Done(t, cover.SoilLoss, spec).Tolerance.Verdict)
	spec.Tolerance = 0
	require.Nil(t, evidence.Done(t, cover.SoilLoss, spec).Tolerance)
	// A K that is not reported for any soil is warned of in either system, at the ends not.
	for k, cautions := range map[float64]int{0.0199: 2, 0.02: 1, 0.69: 1, 0.691: 2} {
		us, si := spec, spec
		us.K, si.System, si.K = k, cover.FactorUnitsSI, k*cover.ErodibilitySI*(1+1e-12)
		if k == 0.69 {
			si.K = k * cover.ErodibilitySI * (1 - 1e-12)
		}
		require.Len(t, evidence.Done(t, cover.SoilLoss, us).Cautions, cautions, "%v", k)
		require.Len(t, evidence.Done(t, cover.SoilLoss, si).Cautions, cautions, "%v in SI", k)
	}
}

func TestWorkingOfMix(t *testing.T) {
	// 43,560 seeds/lb are a seed per ft2 for each lb/acre. Rates x 2 for the method, the second
	// x 3 for critical ground: 20 and 30 lb/acre; half and a quarter of the bulk are live.
	spec := cover.MixSpec{Area: 2 * units.Acre, Basis: cover.MixRatesOfPLS, Method: cover.SeedingDrilled, MethodFactor: 2, CriticalFactor: 1, RowSpacing: 6 * units.Inch, Want: &units.Range[units.SeedsPerArea]{Low: 15 * units.SeedPerSquareFoot, High: 20 * units.SeedPerSquareFoot},
		Species: []cover.Species{{Common: "a", Botanical: "x", Form: cover.LifeFormGrass, Counts: []cover.SeedCount{{Low: 43560 * units.SeedPerPound, High: 43560 * units.SeedPerPound, Source: "sheet"}}}, {Common: "b", Botanical: "y", Form: cover.LifeFormForb, Counts: []cover.SeedCount{{Low: 20000 * units.SeedPerPound, High: 30000 * units.SeedPerPound, Source: "sheet"}}}},
		Items:   []cover.MixItemSpec{{Species: "a", Rate: 10 * lbAcre, Lot: cover.LotSpec{Purity: 1, Viability: 0.5}, Price: units.PricePer(2, units.Pound), Bag: 30 * units.Pound}, {Species: "b", SeedsPerMass: 43560 * units.SeedPerPound, Rate: 5 * lbAcre, CriticalFactor: 3, Lot: cover.LotSpec{Purity: 0.5, Germination: 0.5}}}}
	r := evidence.Done(t, cover.Mix, spec)
	evidence.Shows(t, units.Style{}, r, `
		area | 2 acre
		basis | rates of PLS
		method | drilled | base rates x 2, critical area x 1
		a | 20.00 lb/acre PLS | base 10.00 lb/acre at 43,560 seeds/lb (sheet)
		  live seeds | 20 seeds/ft2 | 40 % of the seeds, 40 % of the weight
		  bulk rate | 40.00 lb/acre | PLS rate / 50 %
		  order | 80 lb | bulk rate x area, bags: 3
		  cost | 180.00
		b | 30.00 lb/acre PLS | base 5.00 lb/acre at 43,560 seeds/lb (given)
		  published counts | 20,000 seeds/lb to 43,560 seeds/lb | the rate is worked out with 43,560 seeds/lb
		  critical area |  | base rate x 3 for this species
		  live seeds | 30 seeds/ft2 | 60 % of the seeds, 60 % of the weight
		  bulk rate | 120.00 lb/acre | PLS rate / 25 %
		  order | 240 lb | bulk rate x area
		live seeds, all | 50 seeds/ft2 | before the factors 15 seeds/ft2
		seeds check | met | want 15 seeds/ft2 to 20 seeds/ft2
		pure live seed, all | 100 lb
		bulk seed, all | 320 lb
		seed cost | 180.00 | without b`)
	in := func(q, unit units.Quantity) float64 { return q.SI() / unit.SI() }
	require.InDeltaSlice(t, []float64{15, 15, 50, 50, 160, 100, 320, 3, 180}, []float64{in(r.BaseRate, lbAcre), in(r.BaseSeeds, units.SeedPerSquareFoot), in(r.Rate, lbAcre), in(r.SeedsPerArea, units.SeedPerSquareFoot), in(r.BulkRate, lbAcre),
		in(r.PLSMass, units.Pound), in(r.BulkMass, units.Pound), float64(r.Bags), r.Cost}, 1e-9)
	// 20 seeds/ft2 in rows half a foot apart are 10 to the foot.
	require.InDelta(t, 10, r.Rows[0].PerFootOfRow, 1e-9)
	require.InDelta(t, 15, r.Rows[1].PerFootOfRow, 1e-9)
	for _, c := range []struct {
		low, high float64
		want      cover.Verdict
	}{{15, 15, cover.VerdictMet}, {15.01, 20, cover.VerdictNotMet}, {10, 14.99, cover.VerdictNotMet}} {
		spec.Want = &units.Range[units.SeedsPerArea]{Low: units.SeedsPerArea(c.low) * units.SeedPerSquareFoot, High: units.SeedsPerArea(c.high) * units.SeedPerSquareFoot}
		require.Equal(t, c.want, evidence.Done(t, cover.Mix, spec).Seeds.Verdict)
	}
	spec.Items[0].Price = 0
	r = evidence.Done(t, cover.Mix, spec)
	require.Equal(t, []string{"a", "b"}, r.Unpriced)
	require.Len(t, r.Cautions, 1)
	require.Zero(t, r.Cost)
	// An unknown species is one fault, not one more about its count.
	spec.Items[1].Species, spec.Items[1].SeedsPerMass = "no such plant", 0
	_, err := cover.Mix(spec)
	require.Equal(t, []string{"items[1].species"}, fields(err))
	spec.Items[1] = cover.MixItemSpec{Species: "b", SeedsPerMass: 43560 * units.SeedPerPound, CountSource: "sheet", Rate: lbAcre, Share: 0.5, PureStand: lbAcre, Lot: fullLot}
	_, err = cover.Mix(spec)
	require.Equal(t, []string{"items[1].countSource", "items[1].share", "items[1].pureStand"}, fields(err))
}
