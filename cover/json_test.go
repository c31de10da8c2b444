package cover_test

import (
	"encoding/json"
	"reflect"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
	"example.org/earthbasin/units/strict"
)

// Every spec with only its required fields set, and its result, go through JSON and
// back.
func TestJSONBothWays(t *testing.T) {
	seen := evidence.Trips{}
	evidence.RoundTrip(t, seen, cover.Mix, `{"area":"2 acre","basis":"rates of PLS","method":"drilled","methodFactor":1,"criticalFactor":1,"items":[{"species":"timothy","countSource":"W","rate":"3 lb/acre","lot":{"purity":0.9,"viability":0.8}}]}`)
	evidence.RoundTrip(t, seen, cover.LS, `{"version":"AH-703","length":"9 ft","grade":0.1,"rill":"moderate"}`)
	evidence.RoundTrip(t, seen, cover.LS, `{"version":"AH-537","length":"90 ft","grade":0.7}`)
	evidence.RoundTrip(t, seen, cover.Erodibility, `{"siltAndVeryFineSand":0.6,"clay":0.2,"organicMatter":0.02,"structure":2,"permeability":3}`)
	evidence.RoundTrip(t, seen, cover.Pasture, `{"ground":"weeds","cover":0.4,"bare":"0.45 at 10 %"}`)
	evidence.RoundTrip(t, seen, cover.SoilLoss, `{"system":"SI","r":3000,"k":0.04,"ls":1,"p":1,"bareC":1,"coveredC":0.01,"area":"1 ha","begin":5,"monthlyR":[0,0,0,0,1,0,0,0,0,0,0,0]}`)
	evidence.RoundTrip(t, seen, cover.Lime, `{"basis":"CCE","need":"2 ton/acre","area":"1 acre","material":{"cce":0.9}}`)
	evidence.RoundTrip(t, seen, cover.LimeNeed, `{"method":"Penn State","ph":5,"goal":7,"acidity":1.2}`)
	evidence.RoundTrip(t, seen, cover.Fertilizer, `{"need":{"n":"40 lb/acre"},"rule":"blend of least weight","grades":[{"name":"a","n":0.46}],"area":"1 acre"}`)
	evidence.RoundTrip(t, seen, cover.Mulch, `{"area":"1 acre","rate":"2 ton/acre","anchoring":"none"}`)
	evidence.RoundTrip(t, seen, cover.Mulch, `{"area":"1 acre","rate":"2 ton/acre","anchoring":"none","rules":["denver-straw","north-carolina"]}`)
	evidence.RoundTrip(t, seen, cover.SoilNeed, `{"rules":"iowa-327"}`)
	evidence.RoundTrip(t, seen, cover.SoilNeed, `{"own":{"id":"a","jurisdiction":"b","source":"c"},"tested":true,"ph":6,"fertilizer":{"n":"10 lb/acre"}}`)
	evidence.RoundTrip(t, seen, cover.Planting, `{"ready":"2027-02-28","days":3,"windows":[{"name":"w","from":"29 February","to":"15 May"}]}`)
	evidence.RoundTrip(t, seen, cover.Nurse, `{"name":"oats","temporaryRate":"64 lb/acre","share":0.5,"mostShare":0.5,"area":"1 acre"}`)
	evidence.RoundTrip(t, seen, cover.TopsoilOrder, `{"area":"1 acre","depth":"6 in"}`)
	evidence.RoundTrip(t, seen, cover.Payment, `{"scenarios":[{"name":"a","rate":"129 per acre","area":"1.23 acre","share":1}]}`)
	evidence.RoundTrip(t, seen, cover.Bids, `{"items":[{"name":"grading","quantity":2,"unit":"acre"}],"bids":[{"bidder":"one","unitPrices":[9]}]}`)
	evidence.RoundTrip(t, seen, ruleSetSpec, `{"id":"x","jurisdiction":"x","purpose":"x","source":"x","rules":[{"name":"a","measure":"species","min":"3"}]}`)
	evidence.RoundTrip(t, seen, stateSpec, `{"id":"x","jurisdiction":"x","sources":[{"id":"s","title":"t","publisher":"p"}],"mulch":[{"id":"m","material":"straw","source":"s"}]}`)
	require.Empty(t, seen.Untried(t, "example.org/earthbasin/cover"))
	// Tables are data too.
	table := func(x any) {
		text, err := json.Marshal(x)
		require.NoError(t, err)
		back := reflect.New(reflect.TypeOf(x))
		require.NoError(t, strict.Decode(text, back.Interface()))
		require.Empty(t, cmp.Diff(x, back.Elem().Interface()))
	}
	table(cover.PublishedCoverFactors())
}

// ruleSetSpec gives a spec back as the set that it makes has it.
func ruleSetSpec(spec cover.RuleSetSpec) (cover.RuleSetSpec, error) {
	_, err := cover.NewRuleSet(spec)
	return spec, err
}

// stateSpec does the same for a state.
func stateSpec(spec cover.StateSpec) (cover.StateSpec, error) {
	_, err := cover.NewState(spec)
	return spec, err
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
		Items: []cover.MixItemSpec{{Species: "timothy", CountSource: "W", Rate: 1, Lot: cover.LotSpec{Purity: 1, Germination: 1}, Bag: tiny}}})
	require.Equal(t, []string{"items[0].bag"}, fields(err))
}

func TestMixBounds(t *testing.T) {
	_, err := cover.Mix(cover.MixSpec{Area: 1, Basis: cover.MixRatesOfPLS, Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1, Items: make([]cover.MixItemSpec, 201)})
	require.Equal(t, []string{"items"}, fields(err))
	// Factors that no method has, which are told at their own fields, and other figures
	// beyond any order.
	_, err = cover.Mix(cover.MixSpec{Area: 1, Basis: cover.MixRatesOfPLS, Method: cover.SeedingDrilled, MethodFactor: 1e-300, CriticalFactor: 1e-300,
		Items: []cover.MixItemSpec{{Species: "timothy", CountSource: "W", Rate: 1, Lot: cover.LotSpec{Purity: 1, Germination: 1}}}})
	require.Equal(t, []string{"methodFactor", "criticalFactor"}, fields(err))
	_, err = cover.Mix(cover.MixSpec{Area: 1e15, Basis: cover.MixRatesOfPLS, Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1, RowSpacing: 1e-310, Width: 1e15,
		Want:  &units.Range[units.SeedsPerArea]{Low: 1e-310, High: 1e15},
		Items: []cover.MixItemSpec{{Species: "timothy", CountSource: "W", Rate: 1, Lot: cover.LotSpec{Purity: 1, Germination: 1}, Price: 1e15, Bag: 1e15}}})
	require.Equal(t, []string{"area", "want.low", "want.high", "rowSpacing", "width", "items[0].price", "items[0].bag"}, fields(err))
}
