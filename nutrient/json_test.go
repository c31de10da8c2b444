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
	minnesota := publishedSet(t, "minnesota")
	own := setOf(t, point(PoolTotalN, 1, BasisTotal, 0.5))
	query := Query{Species: "beef", Method: "injected with sweeps"}
	zinc := MetalTable{ID: "x", Limits: []MetalLimit{{Metal: Zinc, Cumulative: 1}}}
	corn := CropNutrients{P2O5: units.Point(lbAcre(60))}
	nutrients := []WorthNutrient{{Name: "N", Holds: lb1000(20), Available: 1, Price: 1, Need: 1}}

	survives(t, "Analyze", report, Analyze)
	survives(t, "Samples", SamplesSpec{Confidence: 0.95, Samples: []Sample{{Report: report}}}, Samples)
	survives(t, "Available", AvailableSpec{Analysis: a, Set: minnesota, Query: query, Years: 1}, Available)
	survives(t, "Available of an own set", AvailableSpec{Analysis: a, Set: own, Years: 1}, Available)
	survives(t, "CarryOver", CarryOverSpec{First: 2026, Seasons: 1, Applications: []Application{{Season: 2026, Rate: LiquidRate(0.001), Analysis: a, Set: minnesota, Query: query}}}, CarryOver)
	survives(t, "Budget", BudgetSpec{First: 2026, Seasons: 1, Rotation: []CropNutrients{corn}}, Budget)
	survives(t, "FieldRate", FieldRateSpec{Limits: []Limit{{Kind: LimitPass, Rate: LiquidRate(0.001)}}}, FieldRate)
	survives(t, "NitrogenRoom", NitrogenRoomSpec{Need: lbAcre(180)}, NitrogenRoom)
	survives(t, "ForageRoom", ForageRoomSpec{K: 0.03, Ca: 0.004, MaxRatio: 2.2, Removal: 1, ShareLow: 1}, ForageRoom)
	survives(t, "Metals", MetalsSpec{Table: zinc, Metals: []MetalLoad{{Metal: Zinc, Holds: SolidContent(0.001)}}}, Metals)
	survives(t, "DailyWeather", DailyWeatherSpec{First: june(1), Last: june(2), Months: make([]MonthWeather, 12)}, DailyWeather)
	survives(t, "SoilWater", loam(dry(2)), SoilWater)
	survives(t, "SoilFill", SoilFillSpec{SoilWaterSpec: loam(dry(2)), First: june(1), Last: june(2), Least: units.Millimetre}, SoilFill)
	survives(t, "PhosphorusRoom", PhosphorusRoomSpec{Jurisdiction: "Nebraska", Limit: SiteLimit{Allow: PBasisNone}}, PhosphorusRoom)
	survives(t, "PhosphorusRoom of a grant", PhosphorusRoomSpec{Jurisdiction: "Nebraska", Limit: SiteLimit{Allow: PBasisRemoval, Times: 1}, Removal: lbAcre(50), Grants: []BankingGrant{NebraskaBanking()}}, PhosphorusRoom)
	survives(t, "Jurisdictions", JurisdictionsSpec{Rules: []RuleInUse{{What: "phosphorus", Jurisdiction: "Nebraska"}}}, Jurisdictions)
	survives(t, "Hydraulic", HydraulicSpec{Layers: []SoilLayer{{Depth: 1, Texture: TextureLoam}}, Target: 0.1, Evapotranspiration: 1e-7}, Hydraulic)
	survives(t, "SaltRatings", SaltRatingsSpec{EC: new(1.0)}, SaltRatings)
	survives(t, "LandBase", LandBaseSpec{Stocks: []LandStock{{Name: "N", Mass: 1, PerArea: 1}}}, LandBase)
	survives(t, "Worth", WorthSpec{Nutrients: nutrients, Rate: LiquidRate(0.001), Spread: LiquidPrice(0), HaulPerMile: LiquidPrice(0)}, Worth)
	survives(t, "NebraskaCornNeed", NebraskaCornNeedSpec{Yield: 200, OrganicMatter: 2, PriceFactor: 1, TimingFactor: 1}, NebraskaCornNeed)
	survives(t, "SiteRule.Limit", Site{SoilLoss: new(7 * units.TonPerAcre)}, func(s Site) (SiteLimit, error) {
		rule, err := PublishedSiteRule("minnesota-590")
		require.NoError(t, err)
		return rule.Limit(s)
	})
	survives(t, "CropTable.For", Yield{PerAcre: 150, Unit: YieldBushel}, func(y Yield) (CropNutrients, error) {
		table, err := PublishedCropTable("illinois-560")
		require.NoError(t, err)
		return table.For("corn grain", y)
	})
}

// The JSON of a set is its id when it comes with the package, else its file, the
// rows of its base among its own.
func TestSetJSON(t *testing.T) {
	text, err := json.Marshal(publishedSet(t, "ohio-digested-sludge"))
	require.NoError(t, err)
	require.JSONEq(t, `"ohio-digested-sludge"`, string(text))

	own, err := ParseSet([]byte(`{"id": "own", "base": "epa-digested-sludge", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"},
		"rows": [{"pool": "organic", "year": 1, "basis": "remaining", "value": 0.25}]}`))
	require.NoError(t, err, "a set of the package serves as a base")
	text, err = json.Marshal(own)
	require.NoError(t, err)
	var back struct{ Set *Set }
	require.NoError(t, strict.Decode([]byte(`{"Set":`+string(text)+`}`), &back))
	for year := 1; year <= own.Years(PoolOrganic); year++ {
		want, err := own.Factor(PoolOrganic, year, Query{})
		require.NoError(t, err)
		got, err := back.Set.Factor(PoolOrganic, year, Query{})
		require.NoError(t, err)
		require.Equal(t, want.Fraction, got.Fraction, year)
	}
	require.Equal(t, []string{"Set"}, fields(strict.Decode([]byte(`{"Set":"atlantis"}`), &back)))
	require.Equal(t, []string{"Set.id", "Set.jurisdiction", "Set.source.title", "Set.source.edition", "Set.source.publisher", "Set.rows"}, fields(strict.Decode([]byte(`{"Set":{}}`), &back)))
	_, err = json.Marshal(new(Set))
	require.Error(t, err)
}

func TestPublishedTablesAreReadOnce(t *testing.T) {
	require.Same(t, publishedSet(t, "minnesota"), publishedSet(t, "minnesota"))
	require.Zero(t, testing.AllocsPerRun(10, func() { publishedSet(t, "alberta-2006") }))
	credits, err := PublishedCredits()
	require.NoError(t, err)
	for _, c := range credits {
		if c.PerArea != nil {
			c.PerArea.Low = 0
		}
	}
	again, err := PublishedCredits()
	require.NoError(t, err)
	require.NotEqual(t, credits, again, "what a caller changes is his own copy")
}
