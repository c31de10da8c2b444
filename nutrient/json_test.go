package nutrient

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// survives holds that a spec with only its required fields, and its result, come
// back from their JSON as they were, and that the spec read back has the same
// answer.
func survives[S, R any](t *testing.T, name string, spec S, work func(S) (R, error)) {
	t.Helper()
	t.Run(name, func(t *testing.T) {
		want, err := work(spec)
		require.NoError(t, err)
		var back S
		text, err := json.Marshal(spec)
		require.NoError(t, err)
		require.NoError(t, strict.Decode(text, &back), "%s", text)
		got, err := work(back)
		require.NoError(t, err)
		require.Equal(t, want, got)

		text, err = json.Marshal(want)
		require.NoError(t, err)
		var result R
		require.NoError(t, strict.Decode(text, &result), "%s", text)
		require.Equal(t, want, result)
		again, err := json.Marshal(result)
		require.NoError(t, err)
		require.JSONEq(t, string(text), string(again))
		if w, ok := any(want).(interface{ Working() units.Working }); ok {
			require.Equal(t, w.Working(), any(result).(interface{ Working() units.Working }).Working(), "made from what was stored")
		}
	})
}

func TestSpecsAndResultsSurviveJSON(t *testing.T) {
	report := AnalyzeSpec{Form: Liquid, TotalN: perGallons(30)}
	a := analyze(t, report)
	minnesota := publishedState(t, "minnesota")
	own := stateOf(t, point(PoolTotalN, 1, BasisTotal, 0.5))
	query := Query{"species": "beef", "method": "injected with sweeps"}
	zinc := MetalTable{ID: "x", Limits: []MetalLimit{{Metal: Zinc, Cumulative: 1}}}
	corn := CropNutrients{P2O5: units.Point(lbAcre(60))}
	nutrients := []WorthNutrient{{Name: "N", Holds: lb1000(20), Available: 1, Price: 1, Need: 1}}

	survives(t, "Analyze", report, Analyze)
	survives(t, "Samples", SamplesSpec{Confidence: 0.95, Samples: []Sample{{Report: report}}}, Samples)
	survives(t, "Available", AvailableSpec{Analysis: a, State: minnesota, Query: query, Years: 1}, Available)
	survives(t, "Available of an own state", AvailableSpec{Analysis: a, State: own, Years: 1}, Available)
	survives(t, "CarryOver", CarryOverSpec{First: 2026, Seasons: 1, Applications: []Application{{Season: 2026, Rate: LiquidRate(0.001), Analysis: a, State: minnesota, Query: query}}}, CarryOver)
	survives(t, "Budget", BudgetSpec{First: 2026, Seasons: 1, Rotation: []CropNutrients{corn}}, Budget)
	survives(t, "FieldRate", FieldRateSpec{Limits: []Limit{{Kind: LimitPass, Rate: LiquidRate(0.001)}}}, FieldRate)
	survives(t, "NitrogenRoom", NitrogenRoomSpec{Need: lbAcre(180)}, NitrogenRoom)
	survives(t, "ForageRoom", ForageRoomSpec{K: 0.03, Ca: 0.004, MaxRatio: 2.2, Removal: 1, ShareLow: 1}, ForageRoom)
	survives(t, "Metals", MetalsSpec{Table: zinc, Metals: []MetalLoad{{Metal: Zinc, Holds: SolidContent(0.001)}}}, Metals)
	survives(t, "DailyWeather", DailyWeatherSpec{First: june(1), Last: june(2), Months: make([]MonthWeather, 12)}, DailyWeather)
	survives(t, "SoilWater", loam(dry(2)), SoilWater)
	survives(t, "SoilFill", SoilFillSpec{SoilWaterSpec: loam(dry(2)), First: june(1), Last: june(2), Least: units.Millimetre}, SoilFill)
	survives(t, "PhosphorusRoom", PhosphorusRoomSpec{Jurisdiction: "Nebraska", Limit: SiteLimit{Allow: PBasisNone}}, PhosphorusRoom)
	survives(t, "PhosphorusRoom of a grant", PhosphorusRoomSpec{Jurisdiction: "Nebraska", Limit: SiteLimit{Allow: PBasisRemoval, Times: 1}, Removal: lbAcre(50), Grants: []BankingGrant{nebraskaBanking(t)}}, PhosphorusRoom)
	survives(t, "Jurisdictions", JurisdictionsSpec{Rules: []RuleInUse{{What: "phosphorus", Jurisdiction: "Nebraska"}}}, Jurisdictions)
	survives(t, "Hydraulic", HydraulicSpec{Layers: []SoilLayer{{Depth: 1, Texture: TextureLoam}}, Target: 0.1, Evapotranspiration: 1e-7}, Hydraulic)
	survives(t, "SaltRatings", SaltRatingsSpec{EC: new(1.0)}, SaltRatings)
	survives(t, "LandBase", LandBaseSpec{Stocks: []LandStock{{Name: "N", Mass: 1, PerArea: 1}}}, LandBase)
	survives(t, "Worth", WorthSpec{Nutrients: nutrients, Rate: LiquidRate(0.001), Spread: LiquidPrice(0), HaulPerMile: LiquidPrice(0)}, Worth)
	survives(t, "NebraskaCornNeed", NebraskaCornNeedSpec{Yield: 200, OrganicMatter: 2, PriceFactor: 1, TimingFactor: 1}, NebraskaCornNeed)
	survives(t, "State.SiteLimit", Site{SoilLoss: new(7 * units.TonPerAcre)}, func(s Site) (SiteLimit, error) { return minnesota.SiteLimit(s, nil) })
	survives(t, "State.Crop", Yield{PerAcre: 150, Unit: YieldBushel}, func(y Yield) (CropNutrients, error) {
		return publishedState(t, "illinois").Crop("corn grain", y, nil)
	})
	survives(t, "State.Answer", query, func(q Query) (Answer, error) {
		q["year"] = "1"
		return minnesota.Answer("totalN", q)
	})
}

// The JSON of a state is its id when it comes with the package, else its file.
func TestStateJSON(t *testing.T) {
	text, err := json.Marshal(publishedState(t, "ohio"))
	require.NoError(t, err)
	require.JSONEq(t, `"ohio"`, string(text))

	own, err := ParseState([]byte(`{"id": "own", "base": "us-sludge", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"},
		"tables": [{"place": "1", "gives": "organic", "of": "remaining", "unit": "%", "by": ["year"], "rows": [[1, 25]]}]}`))
	require.NoError(t, err, "a state of the package serves as a base")
	text, err = json.Marshal(own)
	require.NoError(t, err)
	var back struct{ State *State }
	require.NoError(t, strict.Decode([]byte(`{"State":`+string(text)+`}`), &back))
	for year := 1; year <= own.Years(PoolOrganic); year++ {
		require.Equal(t, shareOf(t, own, PoolOrganic, year, nil), shareOf(t, back.State, PoolOrganic, year, nil), year)
	}
	require.Equal(t, []string{"State"}, fields(strict.Decode([]byte(`{"State":"atlantis"}`), &back)))
	require.Equal(t, []string{"State.id", "State.jurisdiction", "State.source.title", "State.source.edition", "State.source.publisher", "State.tables"}, fields(strict.Decode([]byte(`{"State":{}}`), &back)))
	_, err = json.Marshal(new(State))
	require.Error(t, err)
}

func TestPublishedStatesAreReadOnce(t *testing.T) {
	require.Same(t, publishedState(t, "minnesota"), publishedState(t, "minnesota"))
	require.Zero(t, testing.AllocsPerRun(10, func() { publishedState(t, "alberta") }))
}
