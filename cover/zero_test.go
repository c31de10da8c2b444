package cover_test

import (
	"encoding"
	"encoding/json"
	"fmt"
	"reflect"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
)

// fields lists the paths of the faults of err.
func fields(err error) []string {
	var list []string
	for _, f := range units.FieldErrors(err) {
		list = append(list, f.Field)
	}
	return list
}

func TestZeroValuesAreRefused(t *testing.T) {
	errs := map[string]error{}
	try := func(name string, err error) { errs[name] = err }
	_, err := cover.NewLot(cover.LotSpec{})
	try("lot", err)
	_, err = cover.Mix(cover.MixSpec{})
	try("mix", err)
	_, err = cover.NewRuleSet(cover.RuleSetSpec{})
	try("rules", err)
	_, err = cover.LS(cover.LSSpec{})
	try("LS", err)
	_, err = cover.Erodibility(cover.ErodibilitySpec{})
	try("K", err)
	_, err = cover.Pasture(cover.PastureSpec{})
	try("C", err)
	_, err = cover.SoilLoss(cover.SoilLossSpec{})
	try("soil loss", err)
	_, err = cover.Lime(cover.LimeSpec{})
	try("lime", err)
	_, err = cover.LimeNeed(cover.LimeNeedSpec{})
	try("lime need", err)
	_, err = cover.Fertilizer(cover.FertilizerSpec{})
	try("fertilizer", err)
	_, err = cover.SoilNeed(cover.SoilNeedSpec{})
	try("soil need", err)
	_, err = cover.Mulch(cover.MulchSpec{})
	try("mulch", err)
	_, err = cover.Planting(cover.PlantingSpec{})
	try("planting", err)
	_, err = cover.Nurse(cover.NurseSpec{})
	try("nurse", err)
	_, err = cover.TopsoilOrder(cover.TopsoilOrderSpec{})
	try("topsoil", err)
	_, err = cover.Payment(cover.PaymentSpec{})
	try("payment", err)
	_, err = cover.Bids(cover.BidsSpec{})
	try("bids", err)
	for name, err := range errs {
		require.NotEmpty(t, units.FieldErrors(err), name)
	}
	// Results made otherwise print and judge without a panic.
	require.Empty(t, new(cover.RuleSet).Judge(cover.MixResult{}))
	for _, s := range []fmt.Stringer{cover.MixResult{}, cover.LSResult{}, cover.SoilLossResult{}, cover.LimeResult{}, cover.LimeNeedResult{},
		cover.FertilizerResult{}, cover.SoilNeedResult{}, cover.MulchResult{}, cover.PlantingResult{}, cover.NurseResult{}, cover.TopsoilOrderResult{},
		cover.PaymentResult{}, cover.PastureResult{}, cover.BidsResult{}, cover.ErodibilityResult{}} {
		require.NotPanics(t, func() { _ = s.String() })
	}
	require.NotPanics(t, func() {
		require.Empty(t, new(cover.State).Spec())
		_, err := new(cover.State).FindSpecies("oats")
		require.Error(t, err)
	})
	for _, s := range cover.PublishedStates() {
		for _, set := range s.RuleSets() {
			require.NotPanics(t, func() { set.Judge(cover.MixResult{}) })
		}
	}
}

// What a caller does to a published table or a rule set stays with the caller.
func TestTablesAreCopies(t *testing.T) {
	cover.PublishedSpecies()[0].Counts[0].Low = -1
	require.Positive(t, cover.PublishedSpecies()[0].Counts[0].Low.SI())
	us, err := cover.PublishedState("united-states")
	require.NoError(t, err)
	*us.Spec().Mulch[0].MinCover = -1
	require.Positive(t, *us.Spec().Mulch[0].MinCover)
	illinois, err := cover.PublishedState("illinois")
	require.NoError(t, err)
	*illinois.Spec().Soil[0].MinPH = -1
	require.Positive(t, *illinois.Spec().Soil[0].MinPH)
	set, err := cover.PublishedRuleSet("indiana-pollinator-2012")
	require.NoError(t, err)
	set.Spec().Rules[0].Of.Forms[0] = 99
	require.Equal(t, cover.LifeFormForb, set.Spec().Rules[0].Of.Forms[0])
	m := mix(t, cover.MixSpec{Area: 1, Basis: cover.MixRatesOfPLS, Method: cover.SeedingDrilled, MethodFactor: 1, CriticalFactor: 1,
		Items: []cover.MixItemSpec{{Species: "alsike clover", CountSource: "W", Rate: 1, Lot: fullLot}}})
	m.Rows[0].Species.Counts[0].Low = -1
	s, err := us.FindSpecies("alsike clover")
	require.NoError(t, err)
	require.Positive(t, s.Counts[0].Low.SI())
	s.Counts[0].Low = -1
	s, err = us.FindSpecies("alsike clover")
	require.NoError(t, err)
	require.Positive(t, s.Counts[0].Low.SI())
}

// scramble writes into everything that v shares with others.
func scramble(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			scramble(v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				scramble(v.Field(i))
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			scramble(v.Index(i))
		}
	case reflect.String:
		v.SetString("scrambled")
	case reflect.Float64:
		v.SetFloat(-1)
	case reflect.Int:
		v.SetInt(99)
	}
}

// Nothing that is written into what a state, a set of rules or a table hands out is seen
// by who asks next.
func TestNothingIsShared(t *testing.T) {
	same := func(name string, get func() any) {
		before, err := json.Marshal(get())
		require.NoError(t, err, name)
		out := reflect.New(reflect.TypeOf(get())).Elem()
		out.Set(reflect.ValueOf(get()))
		scramble(out)
		after, err := json.Marshal(get())
		require.NoError(t, err, name)
		require.Equal(t, string(before), string(after), name)
	}
	for _, s := range cover.PublishedStates() {
		same(s.Spec().ID, func() any { return s.Spec() })
		for _, set := range s.RuleSets() {
			same(set.Spec().ID, func() any { return set.Spec() })
		}
	}
	same("species", func() any { return cover.PublishedSpecies() })
	same("factors", func() any { return cover.PublishedCoverFactors() })
	row := cover.Species{Common: "a", Botanical: "b", Form: cover.LifeFormForb, Synonyms: []string{"c"}, Bloom: []cover.Bloom{cover.BloomMid}, BloomSource: "s", Counts: []cover.SeedCount{{Low: 1e6, High: 1e6, Source: "s"}}, Rates: []cover.StandRate{{Low: 1, High: 1, Source: "s"}}}
	spec := cover.StateSpec{ID: "x", Jurisdiction: "x", Sources: []cover.Source{{ID: "s", Title: "t", Publisher: "p"}}, Windows: []cover.PlantingWindow{{Name: "w", From: cover.MonthDay{Month: 1, Day: 1}, To: cover.MonthDay{Month: 2, Day: 1}, Source: "s"}},
		Rules:   []cover.RuleSetSpec{{ID: "r", Purpose: "p", Source: "s", Rules: []cover.Rule{{Name: "n", Measure: cover.MeasureShareOfSeeds, Of: cover.SpeciesSelector{Forms: []cover.LifeForm{1}, Species: []string{"a"}}, In: &cover.SpeciesSelector{Forms: []cover.LifeForm{1}, Species: []string{"a"}}, Min: "1 %"}, {Name: "o", Measure: cover.MeasureOnly, Allowed: []string{"a"}}}}},
		Mulch:   []cover.MulchRule{{ID: "m", Material: "straw", Source: "s", Rate: &units.Range[units.MassPerArea]{Low: 1, High: 2}, Thickness: &units.Range[units.Length]{Low: 3, High: 4}, MinCover: new(0.5), CrimpDepth: new(units.Length(6)), MinSlope: new(7.0), Anchoring: []cover.Anchoring{1}}},
		Soil:    []cover.SoilRules{{ID: "l", Source: "s", MinPH: new(5.0), LimeTo: new(6.0), P: &cover.SoilStep{Below: 1, Apply: 2}, K: &cover.SoilStep{Below: 3, Apply: 4}, Nitrogen: []cover.StandNitrogen{{Stand: "a", N: 5}}, Untested: &cover.Nutrients{N: 6}, UntestedLime: new(units.MassPerArea(7)), WaiveFertilizer: new(units.MassPerArea(8)), WaiveLime: new(units.MassPerArea(9)), Notes: []string{"n"}}},
		Species: []cover.Species{row}}
	mine, err := cover.NewState(spec)
	require.NoError(t, err)
	same("own", func() any { return mine.Spec() })
	want := mine.Spec()
	scramble(reflect.ValueOf(&spec))
	require.Equal(t, want, mine.Spec(), "nor what is written into what it was made from")
	require.Equal(t, []float64{5, 6, 8, 9}, []float64{*want.Soil[0].MinPH, *want.Soil[0].LimeTo, want.Soil[0].WaiveFertilizer.SI(), want.Soil[0].WaiveLime.SI()})
	require.Equal(t, []any{1.0, 3.0, 0.5, 6.0, 7.0}, []any{want.Mulch[0].Rate.Low.SI(), want.Mulch[0].Thickness.Low.SI(), *want.Mulch[0].MinCover, want.Mulch[0].CrimpDepth.SI(), *want.Mulch[0].MinSlope})
	require.Equal(t, []string{"x", "x", "x"}, []string{want.Rules[0].Jurisdiction, want.Mulch[0].Jurisdiction, want.Soil[0].Jurisdiction})
	found, err := mine.FindSpecies("C")
	require.NoError(t, err)
	require.Equal(t, want.Species[0], found)
	scramble(reflect.ValueOf(&found))
	again, err := mine.FindSpecies("a")
	require.NoError(t, err)
	require.Equal(t, want.Species[0], again)
}

// Every enumeration reads the names that it writes and refuses others.
func TestEnumerations(t *testing.T) {
	type enum interface {
		encoding.TextMarshaler
		fmt.Stringer
	}
	check := func(name string, values []enum, back encoding.TextUnmarshaler) {
		for _, v := range values {
			text, err := v.MarshalText()
			require.NoError(t, err, name)
			require.Equal(t, v.String(), string(text))
			require.NoError(t, back.UnmarshalText(text))
			require.Equal(t, v.String(), fmt.Sprint(back))
		}
		require.NotEmpty(t, units.FieldErrors(back.UnmarshalText([]byte("nonsense"))), name)
	}
	check("form", []enum{cover.LifeFormGrass, cover.LifeFormShrub}, new(cover.LifeForm))
	check("season", []enum{cover.SeasonUnknown, cover.SeasonWarm}, new(cover.Season))
	check("nativity", []enum{cover.NativityNative, cover.NativityIntroduced}, new(cover.Nativity))
	check("bloom", []enum{cover.BloomEarly, cover.BloomLate}, new(cover.Bloom))
	check("basis", []enum{cover.MixSharesOfSeeds, cover.MixRatesOfPLS}, new(cover.MixBasis))
	check("method", []enum{cover.SeedingDrilled, cover.SeedingHydroseeded}, new(cover.SeedingMethod))
	check("verdict", []enum{cover.VerdictMet, cover.VerdictCannotSay}, new(cover.Verdict))
	check("measure", []enum{cover.MeasureSpecies, cover.MeasureWidth}, new(cover.Measure))
	check("LS", []enum{cover.LSAH537, cover.LSAH703}, new(cover.LSVersion))
	check("rill", []enum{cover.RillLow, cover.RillHigh}, new(cover.RillRatio))
	check("system", []enum{cover.FactorUnitsUS, cover.FactorUnitsSI}, new(cover.FactorUnits))
	check("canopy", []enum{cover.CanopyNone, cover.CanopyTrees75}, new(cover.Canopy))
	check("ground", []enum{cover.GroundGrassOrLitter, cover.GroundWeeds}, new(cover.GroundCover))
	check("bare", []enum{cover.BareAtZero, cover.BareAtTen}, new(cover.BareColumn))
	check("lime", []enum{cover.LimeCCE, cover.LimeENP}, new(cover.LimeBasis))
	check("lime method", []enum{cover.LimePennState, cover.LimeNorthCarolina}, new(cover.LimeMethod))
	check("fertilizer", []enum{cover.FertilizerBlendLeastCost, cover.FertilizerSingleMeetsAll}, new(cover.FertilizerRule))
	check("anchoring", []enum{cover.AnchoringNone, cover.AnchoringNetted}, new(cover.Anchoring))
	check("acres", []enum{cover.PartialAcresExact, cover.PartialAcresWholeDown}, new(cover.PartialAcres))
	check("day", []enum{cover.MonthDay{Month: 2, Day: 29}, cover.MonthDay{Month: 12, Day: 1}}, new(cover.MonthDay))
	for _, s := range []string{"May 5", "5 May", "5 may"} {
		var d cover.MonthDay
		require.NoError(t, d.UnmarshalText([]byte(s)))
		require.Equal(t, cover.MonthDay{Month: 5, Day: 5}, d)
	}
	require.Error(t, new(cover.MonthDay).UnmarshalText([]byte("30 February")))
}
