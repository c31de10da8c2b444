package cover_test

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// again writes a result to JSON and reads it back strictly: nothing is lost, and no
// value without a name stops the writing.
func again[R any](t *testing.T) func(R, error) {
	return func(r R, err error) {
		t.Helper()
		require.NoError(t, err)
		data, err := json.Marshal(r)
		require.NoError(t, err)
		var back R
		require.NoError(t, strict.Decode(data, &back), string(data))
		require.Empty(t, cmp.Diff(r, back))
	}
}

func TestResultsRoundTrip(t *testing.T) {
	const lb = units.PoundPerAcre
	acre := units.Acre
	again[cover.LSResult](t)(cover.LS(cover.LSSpec{Version: cover.LSAH537, Length: 100 * units.Foot, Grade: 0.1}))
	again[cover.LSResult](t)(cover.LS(cover.LSSpec{Version: cover.LSAH703, Length: 9 * units.Foot, Grade: 0.1, Rill: cover.RillModerate}))
	again[cover.ErodibilityResult](t)(cover.Erodibility(cover.ErodibilitySpec{SiltAndVeryFineSand: 0.65, Clay: 0.3, OrganicMatter: 0.03, Structure: 2, Permeability: 4}))
	again[cover.SoilLossResult](t)(cover.SoilLoss(cover.SoilLossSpec{System: cover.FactorUnitsSI, R: 3000, K: 0.04, LS: 1, P: 1, BareC: 1, CoveredC: 0.01, Stages: []cover.CoverStage{{Cover: "straw", C: 0.02, Months: 2}},
		Area: acre, Begin: time.October, MonthlyR: [12]float64{4: 0.5, 6: 0.5}, DeliveryRatio: new(0.3), Tolerance: 4 * units.TonPerAcre}))
	again[cover.LimeNeedResult](t)(cover.LimeNeed(cover.LimeNeedSpec{Method: cover.LimePennState, PH: 5, Goal: 7, Acidity: new(6.0)}))
	again[cover.LimeNeedResult](t)(cover.LimeNeed(cover.LimeNeedSpec{Method: cover.LimeNorthCarolina, PH: 5, Goal: 6, BufferPH: new(6.2)}))
	again[cover.LimeResult](t)(cover.Lime(cover.LimeSpec{Basis: cover.LimeECCE, Need: 2000 * lb, ReferenceECCE: 1, Area: acre,
		Material: cover.LimeMaterial{Name: "ground limestone", CCE: 0.9, Fineness: &cover.Fineness{Pass20: 0.9, Pass60: 0.6, Pass100: 0.5}}}))
	most := 60 * lb
	again[cover.FertilizerResult](t)(cover.Fertilizer(cover.FertilizerSpec{Need: cover.Nutrients{N: 40 * lb, K2O: 50 * lb}, Rule: cover.FertilizerBlendLeastWeight,
		Grades: []cover.FertilizerGrade{{Name: "a", N: 0.28, Density: 10.7 * units.PoundPerGallon}, {Name: "b", K2O: 0.6, Bag: 50 * units.Pound}}, Most: cover.NutrientCaps{N: &most}, Area: acre}))
	again[cover.SoilNeedResult](t)(cover.SoilNeed(cover.SoilNeedSpec{Rules: "illinois-327", Tested: true, PH: 5, P: 10 * lb, K: 100 * lb}))
	again[cover.MulchResult](t)(cover.Mulch(cover.MulchSpec{Area: acre, Rate: 2 * units.TonPerAcre, Anchoring: cover.AnchoringCrimped, Crimp: 3 * units.Inch, Rules: []string{"denver-straw", "north-carolina"}}))
	again[cover.PlantingResult](t)(cover.Planting(cover.PlantingSpec{Ready: time.Date(2026, 7, 1, 0, 0, 0, 0, time.UTC), Days: 2, Windows: cover.PublishedWindows()}))
	again[cover.NurseResult](t)(cover.Nurse(cover.NurseSpec{Name: "oats", TemporaryRate: 64 * lb, Share: 0.5, MostShare: 0.5, Area: acre}))
	again[cover.TopsoilOrderResult](t)(cover.TopsoilOrder(cover.TopsoilOrderSpec{Area: acre, Depth: 6 * units.Inch}))
	again[cover.PaymentResult](t)(cover.Payment(cover.PaymentSpec{Scenarios: []cover.PaymentScenario{{Name: "mix", Rate: units.PricePer(129, acre), Area: acre, Share: 1}}}))
	again[cover.BidsResult](t)(cover.Bids(cover.BidsSpec{Items: []cover.BidItem{{Name: "grading", Quantity: 1, Unit: "lump sum"}}, Bids: []cover.Bid{{Bidder: "one", UnitPrices: []*float64{nil}}}}))
	again[cover.PastureResult](t)(cover.Pasture(cover.PastureSpec{Ground: cover.GroundGrassOrLitter, Cover: 0.5, Bare: cover.BareAtTen}))
	again[[]cover.SoilRules](t)(cover.PublishedSoilRules(), nil)
	again[[]cover.CoverFactor](t)(cover.PublishedCoverFactors(), nil)
	again[[]cover.PlantingWindow](t)(cover.PublishedWindows(), nil)
}

// A fault of a bag carries the path of that bag.
func TestBagFaults(t *testing.T) {
	tiny := units.Mass(1e-12)
	_, err := cover.Nurse(cover.NurseSpec{Name: "oats", TemporaryRate: 1, Share: 1, MostShare: 1, Area: units.Acre, Bag: tiny})
	require.Equal(t, []string{"bag"}, fields(err))
	_, err = cover.Mulch(cover.MulchSpec{Area: units.Acre, Rate: 1, Anchoring: cover.AnchoringNone, Bale: tiny})
	require.Equal(t, []string{"bale"}, fields(err))
	_, err = cover.Fertilizer(cover.FertilizerSpec{Need: cover.Nutrients{N: 1}, Rule: cover.FertilizerSingleMeetsAll, Grades: []cover.FertilizerGrade{{Name: "a", N: 0.3, Bag: tiny}}, Area: units.Acre})
	require.Equal(t, []string{"grades[0].bag"}, fields(err))
	_, err = cover.Mix(cover.MixSpec{Area: units.Acre, Basis: cover.MixRatesOfPLS, Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1,
		Items: []cover.MixItemSpec{{Species: "timothy", Rate: 1, Lot: cover.LotSpec{Purity: 1, Germination: 1}, Bag: tiny}}})
	require.Equal(t, []string{"items[0].bag"}, fields(err))
}

func TestMixBounds(t *testing.T) {
	_, err := cover.Mix(cover.MixSpec{Area: 1, Basis: cover.MixRatesOfPLS, Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1, Items: make([]cover.MixItemSpec, 201)})
	require.Equal(t, []string{"items"}, fields(err))
	// Rates so small that their seeds are no number above 0.
	_, err = cover.Mix(cover.MixSpec{Area: 1, Basis: cover.MixRatesOfPLS, Method: cover.SeedingDrilled, MethodFactor: 1e-300, CriticalFactor: 1e-300,
		Items: []cover.MixItemSpec{{Species: "timothy", Rate: 1, Lot: cover.LotSpec{Purity: 1, Germination: 1}}}})
	require.Equal(t, []string{"area"}, fields(err))
}
