package land

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
)

// twoFields is a farm with corn and grass, two seasons of one crop year and one of the
// next.
func twoFields() Spec {
	corn := func(year int, planted, harvested stage.Date) Crop {
		return Crop{Year: year, Crop: "corn grain", Yield: nutrient.Yield{PerAcre: 150, Unit: nutrient.YieldBushel}, Planted: planted, Harvested: harvested,
			Nitrogen: nutrient.NitrogenRoomSpec{Need: 180 * units.PoundPerAcre}}
	}
	test := &nutrient.SoilTest{Value: 12, Unit: nutrient.SoilPPM, Extractant: nutrient.BrayP1}
	high := &nutrient.SoilTest{Value: 60, Unit: nutrient.SoilPPM, Extractant: nutrient.BrayP1}
	potassium := &nutrient.SoilTest{Value: 100, Unit: nutrient.SoilPPM, Extractant: nutrient.AmmoniumAcetate}
	return Spec{
		CropTable: "illinois", SiteRule: "nebraska",
		Critical: []Critical{
			{OfP2O5, nutrient.CriticalLevel{Level: nutrient.SoilTest{Value: 15, Unit: nutrient.SoilPPM, Extractant: nutrient.BrayP1}}},
			{OfK2O, nutrient.CriticalLevel{Level: nutrient.SoilTest{Value: 125, Unit: nutrient.SoilPPM, Extractant: nutrient.AmmoniumAcetate}}}},
		Prices: []allocation.Price{{Of: OfN, Price: units.PricePer(0.5, units.Pound)}, {Of: OfP2O5, Price: units.PricePer(0.4, units.Pound)}},
		Seasons: []Season{
			{Name: "spring", From: stage.DayOf(2026, time.April, 1), To: stage.DayOf(2026, time.June, 10)},
			{Name: "side-dressing", From: stage.DayOf(2026, time.June, 11), To: stage.DayOf(2026, time.July, 10)},
			{Name: "autumn", From: stage.DayOf(2026, time.October, 1), To: stage.DayOf(2026, time.November, 20), CropYear: 2027},
		},
		Fields: []Field{
			{Name: "home", Area: 40 * units.Acre, Setback: 4 * units.Acre, Distance: units.Mile, SoilK: potassium, Site: nutrient.Site{SoilTest: test, RiskIndex: new(8.0)},
				Crops: []Crop{corn(2026, stage.DayOf(2026, time.May, 1), stage.DayOf(2026, time.September, 30)), corn(2027, stage.Date{}, stage.Date{})}},
			{Name: "meadow", NothingStands: true, Area: 30 * units.Acre, Distance: 2 * units.Mile, Reach: []string{"gun"}, SoilK: potassium, Site: nutrient.Site{SoilTest: high, RiskIndex: new(1.0)},
				Crops: []Crop{{Crop: "orchardgrass", Yield: nutrient.Yield{PerAcre: 4, Unit: nutrient.YieldTon}}}},
		},
	}
}

// The N of a crop year stands once among the limits, however many seasons lie in it; the
// field whose corn stands has no day in the side-dressing; only what the soil answers to
// has a worth.
func TestRoomsAndWindows(t *testing.T) {
	spec := twoFields()
	r, err := Plan(spec)
	require.NoError(t, err)
	home := r.Field("home")
	require.Nil(t, home.Out)
	require.InDelta(t, 36, home.Area.In(units.Acre), 1e-9)
	require.Len(t, home.Years, 2)
	require.InDelta(t, 180, home.Years[0].Nitrogen.Room.In(units.PoundPerAcre), 1e-9)
	// Removal of 150 bu at 0.55 lb of P2O5: Illinois 35 IAC 560 Appendix A.
	require.InDelta(t, 82.5, home.Years[0].Phosphorus.Room.In(units.PoundPerAcre), 1e-9)
	require.Equal(t, Answers{AnswerCounts, AnswerCounts}, home.Answers)
	require.Equal(t, AnswerEnough, r.Field("meadow").Answers.P2O5)
	require.False(t, r.Field("meadow").Years[0].Phosphorus.Limited)
	require.True(t, r.Jurisdictions.Mixed(), "the crops are of Illinois, the rule of Nebraska")

	require.Equal(t, 30, r.Window("home", "spring").FitDays(), "1 to 30 April, before planting")
	require.Zero(t, r.Window("home", "side-dressing").FitDays())
	require.Equal(t, 30, r.Window("meadow", "side-dressing").FitDays())
	var keys []string
	for _, o := range r.Open {
		keys = append(keys, o.Key)
	}
	require.Equal(t, []string{"rule", "weather"}, keys)

	state, err := nutrient.PublishedState("alberta")
	require.NoError(t, err)
	effluent, err := nutrient.Analyze(nutrient.AnalyzeSpec{Form: nutrient.Liquid,
		TKN: lb(4), AmmoniumN: lb(3), P2O5: lb(2), K2O: lb(5), Solids: lb(40)})
	require.NoError(t, err)
	surface := nutrient.Query{"compost": "fresh", "method": "surface", "cover": "bare soil", "weather": "average", "incorporation": "never"}
	materials := []Material{{
		Name: "effluent", Stock: nutrient.LiquidAmount(2e6 * units.Gallon), Analysis: effluent, State: state,
		Query: nutrient.Query{"compost": "fresh", "method": "injected"}, Ways: []Way{{Fields: []string{"meadow"}, Query: &surface}}, Needs: "gun",
		MostPerPass: nutrient.LiquidRate(units.Inch.Applied()), Spread: nutrient.LiquidPrice(0), HaulPerMile: nutrient.LiquidPrice(0)}}
	a, ok, err := r.Allocation(materials)
	require.NoError(t, err)
	require.True(t, ok)
	require.Len(t, a.Counts, 2)
	injected, onTop := a.Counts[0].Available.Years[0].N.High, a.Counts[1].Available.Years[0].N.High
	require.Greater(t, injected.SI(), onTop.SI(), "what is not injected loses ammonia")
	require.Equal(t, onTop, a.Spec.Exceptions[0].Holds[0].Content)
	require.Equal(t, "meadow", a.Spec.Exceptions[0].Field)
	n := 0
	for _, l := range a.Spec.Fields[0].Limits {
		if l.Kind == nutrient.LimitNitrogen {
			n++
			require.Contains(t, []string{"crop year 2026", "crop year 2027"}, l.Season)
		}
	}
	require.Equal(t, 2, n)
	plan, err := allocation.Allocate(t.Context(), a.Spec)
	require.NoError(t, err)
	for _, p := range plan.Placements {
		require.Equal(t, "meadow", p.Field, "the gun reaches no other")
	}
	for _, f := range plan.Fields {
		for _, l := range f.Limits {
			require.LessOrEqual(t, l.Applied, l.Room*(1+1e-9))
		}
	}
}

func lb(x float64) nutrient.Content {
	return nutrient.LiquidContent(units.Concentration(x) * units.PoundPer1000Gallon)
}

// Several years of phosphorus only where the rule grants it.
func TestBankingByGrant(t *testing.T) {
	spec := twoFields()
	rule, err := nutrient.PublishedState("nebraska")
	require.NoError(t, err)
	spec.BankingOfRule = true // twoFields lies in Nebraska
	own, err := Plan(spec)
	require.NoError(t, err)
	require.InDelta(t, 5*82.5, own.Field("home").Years[0].Phosphorus.Room.In(units.PoundPerAcre), 1e-9)
	spec.BankingOfRule, spec.Banking = false, rule.BankingGrants()
	r, err := Plan(spec)
	require.NoError(t, err)
	require.InDelta(t, 5*82.5, r.Field("home").Years[0].Phosphorus.Room.In(units.PoundPerAcre), 1e-9)
	spec.Banking[0].Jurisdiction = "Illinois"
	r, err = Plan(spec)
	require.NoError(t, err)
	require.InDelta(t, 82.5, r.Field("home").Years[0].Phosphorus.Room.In(units.PoundPerAcre), 1e-9)
	require.Len(t, r.Field("home").Years[0].Phosphorus.Refused, 1)
}

// With the weather of the months and the soil of the field the days are fewer, and the
// season takes so much water and no more.
func TestWaterOfTheSoil(t *testing.T) {
	spec := twoFields()
	spec.Rule = &nutrient.SpreadingRule{Rain: 0.1 * units.Inch, Ahead: 24 * units.Hour, RainAhead: 0.5 * units.Inch, Soaking: units.Inch, SoakedDays: 2, Margin: 0.1, Top: 6 * units.Inch}
	months := make([]nutrient.MonthWeather, 12)
	for i := range months {
		months[i] = nutrient.MonthWeather{Rain: 0.13 * units.Inch, Evapotranspiration: 0.15 * units.Inch, WetDays: 9}
	}
	months[10].Frozen = true
	spec.Weather = &nutrient.DailyWeatherSpec{Months: months, Days: []nutrient.DayWeather{{Date: time.Date(2026, 6, 19, 0, 0, 0, 0, time.UTC)}, {Date: time.Date(2026, 6, 20, 0, 0, 0, 0, time.UTC), Rain: 1.6 * units.Inch}}}
	spec.Soil = &nutrient.SoilWaterSpec{Layers: []nutrient.SoilLayer{{Depth: 3 * units.Foot, Texture: nutrient.TextureLoam}}, Depleted: 0.4, Drainable: 0.05,
		Drainage: 0.5 * units.InchPerDay, Coefficients: []nutrient.CropCoefficient{{Factor: 1}}, Easy: 0.5}
	r, err := Plan(spec)
	require.NoError(t, err)
	require.Empty(t, r.Open)
	w := r.Window("meadow", "side-dressing")
	storm := w.From.Until(stage.DayOf(2026, time.June, 20))
	require.Equal(t, nutrient.UnfitForecast, w.Days[storm-1].Reason)
	require.Equal(t, nutrient.UnfitRain, w.Days[storm].Reason)
	require.False(t, w.Days[storm+1].Fit, "nobody spreads the day after 1.6 in")
	require.Less(t, w.FitDays(), 22)
	require.Greater(t, w.Most, w.Days[0].Room)
	frozen := r.Window("home", "autumn")
	require.Equal(t, nutrient.UnfitFrozen, frozen.Days[40].Reason)
	// What the passes bring is gone from the room of the next day.
	day := time.Time(w.From.Plus(1))
	water, err := r.Water("meadow", []nutrient.WaterApplied{{Date: day, Depth: 0.3 * units.Inch, Material: "slurry"}})
	require.NoError(t, err)
	dry := r.Window("meadow", "side-dressing").Water
	for i, d := range dry.Days {
		if d.Date.Equal(day.AddDate(0, 0, 1)) {
			require.Less(t, water.Days[i].Room, d.Room)
		}
	}
	_, err = r.Water("none", nil)
	require.ErrorContains(t, err, "field")
}

// A winter ban of every year closes the days of each year, also across new year; and
// where nobody knows the soil the rule alone decides.
func TestClosedDaysOfEveryYear(t *testing.T) {
	spec := twoFields()
	spec.Closed = []Ban{{From: cover.MonthDay{Month: time.November, Day: 10}, To: cover.MonthDay{Month: time.April, Day: 10}, Why: "winter ban"}}
	r, err := Plan(spec)
	require.NoError(t, err)
	require.Equal(t, 20, r.Window("home", "spring").FitDays(), "11 to 30 April")
	require.Equal(t, 40, r.Window("home", "autumn").FitDays(), "1 October to 9 November")
	weather := make([]nutrient.MonthWeather, 12)
	weather[3].SoilTemperature = new(units.Fahrenheit(41))
	spec.Weather = &nutrient.DailyWeatherSpec{Months: weather, Days: []nutrient.DayWeather{{Date: time.Date(2026, 4, 20, 0, 0, 0, 0, time.UTC), Rain: 1.6 * units.Inch}}}
	spec.Rule = &nutrient.SpreadingRule{Rain: 0.1 * units.Inch, Soaking: units.Inch, SoakedDays: 2, Top: 6 * units.Inch}
	r, err = Plan(spec)
	require.NoError(t, err)
	require.Equal(t, 17, r.Window("home", "spring").FitDays(), "not on 20 to 22 April")
	require.Equal(t, "fields.home.soil", r.Open[0].Key)
	spec.Closed[0].To = cover.MonthDay{}
	_, err = Plan(spec)
	require.ErrorContains(t, err, "closed[0].to")
}

// What is missing is an open point, and nothing is planned on the field.
func TestMissingPartsAreOpen(t *testing.T) {
	r, err := Plan(Spec{})
	require.NoError(t, err)
	require.Equal(t, "fields", r.Open[0].Key)
	require.True(t, r.Open[0].Stops)
	spec := twoFields()
	spec.Fields[0].Site = nutrient.Site{}
	spec.Fields[1].Crops = nil
	spec.SiteRule, spec.Critical, spec.Prices, spec.Seasons = "", nil, nil, nil
	r, err = Plan(spec)
	require.NoError(t, err)
	var keys []string
	for _, o := range r.Open {
		keys = append(keys, o.Key)
	}
	require.Equal(t, []string{"siteRule", "critical", "seasons", "prices", "fields.home.site.soilTest", "fields.meadow.crops"}, keys)
	require.NotNil(t, r.Fields[0].Out)
	_, ok, err := r.Allocation(nil)
	require.NoError(t, err)
	require.False(t, ok)
}

func TestFaultsOfAllParts(t *testing.T) {
	spec := twoFields()
	spec.SiteRule, spec.CropTable = "nowhere", "nowhere"
	spec.Critical[0].Of = "zinc"
	spec.Seasons[1].Name, spec.Seasons[2].From = "spring", stage.DayOf(2025, 1, 1)
	spec.Prices[0].Of = "sand"
	spec.Fields[0].Name, spec.Fields[0].Distance, spec.Fields[0].Setback = "", -1, 50*units.Acre
	spec.Fields[1].Site.SoilTest = &nutrient.SoilTest{Value: -1}
	_, err := Plan(spec)
	var paths []string
	for _, f := range units.FieldErrors(err) {
		paths = append(paths, f.Field)
	}
	require.Equal(t, []string{"siteRule", "cropTable", "critical[0].of", "seasons[1].name", "seasons[2].to", "seasons[2].from", "prices[0].of",
		"fields[0].name", "fields[0].distance", "fields[0].setback", "fields[1].site.soilTest.value", "fields[1].site.soilTest.unit", "fields[1].site.soilTest.extractant"}, paths)
}
