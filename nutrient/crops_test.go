package nutrient

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// Each crop of a state that has removals has all of them, or says why not.
func TestPublishedCropsAnswer(t *testing.T) {
	for _, id := range []string{"illinois", "ontario", "michigan", "montana"} {
		state := publishedState(t, id)
		for _, k := range state.Keys() {
			if k.Name != KeyCrop {
				continue
			}
			for _, crop := range k.Values {
				answered := 0
				for _, unit := range yieldUnits {
					n, err := state.Crop(crop, Yield{PerAcre: 100, Unit: unit}, nil)
					if err != nil {
						require.Equal(t, []string{"yield.unit"}, fields(err))
						continue
					}
					answered++
					require.Positive(t, float64(n.P2O5.Low), crop)
					require.True(t, n.N.Low > 0 || n.NRule != "", crop)
				}
				require.Positive(t, answered, crop)
			}
		}
	}
	_, err := publishedState(t, "utah").Crop("corn", Yield{PerAcre: 1, Unit: YieldTon}, nil)
	require.Error(t, err, "a state without crops")
}

func TestCropRangeCarriesThrough(t *testing.T) {
	ontario := publishedState(t, "ontario")
	n, err := ontario.Crop("Corn", Yield{PerAcre: 200, Unit: YieldBushel}, nil)
	require.NoError(t, err)
	require.Equal(t, "corn", n.Crop)
	require.InDelta(t, 130, n.N.Low.In(units.PoundPerAcre), 1e-9)
	require.InDelta(t, 200, n.N.High.In(units.PoundPerAcre), 1e-9)

	_, err = ontario.Crop("corn", Yield{PerAcre: 20, Unit: YieldTon}, nil)
	require.Equal(t, []string{"yield.unit"}, fields(err))
	_, err = ontario.Crop("cotton", Yield{PerAcre: -1, Unit: ""}, nil)
	require.Equal(t, []string{"yield.perAcre", "yield.unit"}, fields(err))
	_, err = ontario.Crop("cotton", Yield{PerAcre: 1, Unit: YieldBushel}, nil)
	require.Equal(t, []string{"crop"}, fields(err))
	_, err = ontario.Crop("", Yield{PerAcre: 1, Unit: YieldBushel}, nil)
	require.Equal(t, []string{"crop"}, fields(err))
	n, err = publishedState(t, "illinois").Crop("alfalfa", Yield{PerAcre: 4, Unit: YieldTon}, nil)
	require.NoError(t, err)
	require.Equal(t, "a legume: as corn grain in the same rotation", n.NRule)
}

func TestSpanText(t *testing.T) {
	var r Span[units.MassPerArea]
	for text, want := range map[string]string{
		"40 lb/acre":                 "40 lb/acre",
		"80 to 120 lb/acre":          "80 lb/acre to 120 lb/acre",
		"80 lb/acre to 0.1 ton/acre": "80 lb/acre to 200 lb/acre",
	} {
		require.NoError(t, r.UnmarshalText([]byte(text)), text)
		require.Equal(t, want, r.String())
		b, err := json.Marshal(r)
		require.NoError(t, err)
		var back Span[units.MassPerArea]
		require.NoError(t, json.Unmarshal(b, &back))
		require.Equal(t, r, back)
	}
	for _, bad := range []string{"", "40", "120 to 80 lb/acre", "80 to 120", "x to 120 lb/acre", "80 lb/acre to"} {
		require.Error(t, r.UnmarshalText([]byte(bad)), bad)
	}
}

func TestYieldMass(t *testing.T) {
	m, err := Yield{PerAcre: 100, Unit: YieldBushel}.Mass(48 * units.Pound)
	require.NoError(t, err)
	require.InDelta(t, 4800, m.In(units.PoundPerAcre), 1e-9)
	_, err = Yield{PerAcre: 100, Unit: YieldBushel}.Mass(0)
	require.Equal(t, []string{"bushel"}, fields(err))
	m, err = Yield{PerAcre: 3, Unit: YieldTon}.Mass(0)
	require.NoError(t, err)
	require.Equal(t, Yield{PerAcre: 3, Unit: YieldTon}, Tons(m))
}

func TestNebraskaCornNeedFaults(t *testing.T) {
	_, err := NebraskaCornNeed(NebraskaCornNeedSpec{Yield: -1, OrganicMatter: 101})
	require.Equal(t, []string{"yield", "organicMatter", "priceFactor", "timingFactor"}, fields(err))
	n, err := NebraskaCornNeed(NebraskaCornNeedSpec{Yield: 100, Credits: 500 * units.PoundPerAcre, PriceFactor: 1, TimingFactor: 1})
	require.NoError(t, err)
	require.Zero(t, n, "never below zero")
}

// A table counts in tonnes or in a unit of its own, and a yield comes per acre or
// per hectare.
func TestYieldsInOtherUnits(t *testing.T) {
	state, err := ParseState([]byte(`{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"},
		"keys": [{"name": "crop", "label": "Crop", "values": ["wheat", "straw"]}],
		"tables": [{"place": "1", "by": ["crop", "unit"], "cols": [{"gives": "removalN"}, {"gives": "removalP2O5"}, {"gives": "removalK2O"}],
			"rows": [["wheat", "kg/t", 20, 7, 10.5], ["straw", "kg/bale", 1, 0.5, 2]]}]}`))
	require.NoError(t, err)
	for _, y := range []Yield{{PerHectare: 10, Unit: YieldTonne}, {PerAcre: 10 * units.Acre.In(units.Hectare), Unit: YieldTonne}, {PerHectare: 10000 / 907.18474, Unit: YieldTon}} {
		n, err := state.Crop("wheat", y, nil)
		require.NoError(t, err)
		require.InDelta(t, 70, n.P2O5.Low.In(units.KilogramPerHectare), 1e-9, "%v", y)
	}
	n, err := state.Crop("straw", Yield{PerHectare: 12, Unit: "bale"}, nil)
	require.NoError(t, err)
	require.InDelta(t, 24, n.K2O.High.In(units.KilogramPerHectare), 1e-9)
	require.Equal(t, "12 bale/ha", n.Yield.String())
	for name, c := range map[string]struct {
		y    Yield
		want string
	}{
		"another unit":  {Yield{PerAcre: 1, Unit: YieldBushel}, "yield.unit"},
		"no unit":       {Yield{PerAcre: 1}, "yield.unit"},
		"both areas":    {Yield{PerAcre: 1, PerHectare: 1, Unit: YieldTonne}, "yield.perHectare"},
		"spelt largely": {Yield{PerAcre: 1, Unit: "TON"}, "yield.unit"},
	} {
		_, err := state.Crop("wheat", c.y, nil)
		require.Equal(t, []string{c.want}, fields(err), name)
	}
}

// What one of each unit of yield weighs.
func TestYieldsWeigh(t *testing.T) {
	for unit, pounds := range map[YieldUnit]float64{YieldTon: 2000, YieldTonne: 1000 / 0.45359237, YieldHundredPound: 100, YieldBushel: 56} {
		m, err := Yield{PerAcre: 3, Unit: unit}.Mass(56 * units.Pound)
		require.NoError(t, err)
		require.InDelta(t, 3*pounds, m.In(units.PoundPerAcre), 1e-9, string(unit))
	}
}

// A removal that the file lacks, or has a word in place of, is told beside the figures
// that it has; so is it by a figure that stands only as a limit.
func TestCropWithoutARemoval(t *testing.T) {
	const head = `{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"}, "unchecked": "invented",
		"keys": [{"name": "crop", "label": "Crop", "values": ["wheat"]}], `
	for name, c := range map[string]struct{ rest, lacks string }{
		"no table":   {`"tables": [{"place": "1", "by": ["crop"], "unit": "lb/bu", "cols": [{"gives": "n"}, {"gives": "removalP2O5"}], "rows": [["wheat", 1.2, 0.5]]}]}`, "the state has no figures for it"},
		"lacks":      {`"lacks": [{"gives": ["removalK2O"], "why": "left out"}], "tables": [{"place": "1", "by": ["crop"], "unit": "lb/bu", "cols": [{"gives": "n"}, {"gives": "removalP2O5"}], "rows": [["wheat", 1.2, 0.5]]}]}`, "left out"},
		"n/a":        {`"tables": [{"place": "1", "by": ["crop"], "unit": "lb/bu", "cols": [{"gives": "n"}, {"gives": "removalP2O5"}, {"gives": "removalK2O"}], "rows": [["wheat", 1.2, 0.5, "n/a: none"]]}]}`, "none"},
		"?":          {`"tables": [{"place": "1", "by": ["crop"], "unit": "lb/bu", "cols": [{"gives": "n"}, {"gives": "removalP2O5"}, {"gives": "removalK2O"}], "rows": [["wheat", 1.2, 0.5, "?"]]}]}`, "the figure was not legible"},
		"only a cap": {`"tables": [{"place": "1", "by": ["crop"], "unit": "lb/bu", "cols": [{"gives": "n"}, {"gives": "removalP2O5"}], "rows": [["wheat", 1.2, 0.5]]}, {"place": "2", "gives": "removalK2O", "as": "cap", "unit": "lb/bu", "rows": [[1]]}]}`, "a query that"},
	} {
		state, err := ParseState([]byte(head + c.rest))
		require.NoError(t, err, name)
		n, err := state.Crop("wheat", Yield{PerAcre: 100, Unit: YieldBushel}, nil)
		if name == "only a cap" {
			require.ErrorContains(t, err, c.lacks)
			continue
		}
		require.NoError(t, err, name)
		require.InDelta(t, 120, n.N.Low.In(units.PoundPerAcre), 1e-9, name)
		require.InDelta(t, 50, n.P2O5.Low.In(units.PoundPerAcre), 1e-9, name)
		require.Zero(t, n.K2O, name)
		require.Equal(t, c.lacks, n.K2OLacks, name)
		require.Empty(t, n.P2O5Lacks, name)
		_, err = Budget(BudgetSpec{First: 1, Seasons: 1, Rotation: []CropNutrients{n}})
		require.Contains(t, fields(err), "rotation[0].k2o", "not counted as 0")
	}
	state, err := ParseState([]byte(head + `"tables": [{"place": "1", "gives": "allow", "as": "ban", "rows": [["no"]]}, {"place": "2", "gives": "lime", "unit": "t", "by": ["crop"], "rows": [["wheat", 1]]}]}`))
	require.NoError(t, err)
	_, err = state.Crop("wheat", Yield{PerAcre: 100, Unit: YieldBushel}, nil)
	require.Equal(t, []string{"crop"}, fields(err))
	_, err = state.SiteLimit(Site{}, nil)
	require.Error(t, err, "a rule that only bans says nothing of phosphorus")
}

// Yields as people write them, and what is none.
func TestYieldsAreRead(t *testing.T) {
	for text, want := range map[string]Yield{
		"150 bu/acre": {PerAcre: 150, Unit: YieldBushel}, "150bu/ac": {PerAcre: 150, Unit: YieldBushel}, " 8 t/ha ": {PerHectare: 8, Unit: YieldTonne}, "1,250.5 bales/ ha": {PerHectare: 1250.5, Unit: "bales"}, "3 TON/acre": {PerAcre: 3, Unit: YieldTon},
		"60 100 lb/acre": {PerAcre: 60, Unit: YieldHundredPound}, "0 t/ha": {Unit: YieldTonne}, "-0 t/ha": {Unit: YieldTonne}, "1e3 bu/acre": {PerAcre: 1000, Unit: YieldBushel}, "1000000 bu/acre": {PerAcre: 1e6, Unit: YieldBushel}, "1e-9 t/ha": {PerHectare: 1e-9, Unit: YieldTonne}, "0.5 t/ha": {PerHectare: 0.5, Unit: YieldTonne},
	} {
		got, err := ParseYield(text)
		require.NoError(t, err, text)
		require.Equal(t, want, got, text)
		again, err := ParseYield(got.Text())
		require.NoError(t, err)
		require.Equal(t, got, again)
	}
	for text, kind := range map[string]units.FaultKind{
		"": units.FaultMalformed, "150": units.FaultMalformed, "150 bu": units.FaultMalformed, "many bu/acre": units.FaultMalformed, "8,5 t/ha": units.FaultMalformed, "8,5e3 t/ha": units.FaultMalformed, "1.2.3 t/ha": units.FaultMalformed, "150 bu/mile": units.FaultMalformed,
		"-1 t/ha": units.FaultRange, "1000001 bu/acre": units.FaultRange, "0.9e-9 t/ha": units.FaultRange, "1e999 t/ha": units.FaultRange,
	} {
		_, err := ParseYield(text)
		require.Len(t, units.FieldErrors(err), 1, text)
		require.Equal(t, kind, units.FieldErrors(err)[0].Kind, text)
	}
	for _, y := range []Yield{{PerAcre: 10, Unit: YieldTon}, {PerHectare: 10 / 0.40468564224, Unit: YieldTon}} {
		require.InDelta(t, 10, y.perAcre(), 1e-9)
		m, err := y.Mass(0)
		require.NoError(t, err)
		require.InDelta(t, 10, m.In(units.TonPerAcre), 1e-9)
	}
	require.Equal(t, "12.5 t/ha", Yield{PerHectare: 12.5, Unit: YieldTonne}.String())
	require.Equal(t, "12.5 bu/acre", Yield{PerAcre: 12.5, Unit: YieldBushel}.String())
	for _, bushel := range []units.Mass{0.99 * units.Pound, 1001 * units.Pound} {
		_, err := Yield{PerAcre: 1, Unit: YieldBushel}.Mass(bushel)
		require.Equal(t, []string{"bushel"}, fields(err))
	}
}

// A figure per unit of yield times the yield, in whichever units of a weight the two are
// counted, low with low.
func TestFiguresPerUnitOfYield(t *testing.T) {
	for _, c := range []struct {
		unit      string
		y         Yield
		low, high float64 // lb/acre of 2 to 3 of the unit
		fault     string
	}{
		{"lb/acre", Yield{}, 2, 3, ""}, {"kg/ha", Yield{PerAcre: 9, Unit: "bale"}, 2 * 0.892179, 3 * 0.892179, ""}, {"lb/bu", Yield{PerAcre: 100, Unit: YieldBushel}, 200, 300, ""}, {"lb/ton", Yield{PerAcre: 4, Unit: YieldTon}, 8, 12, ""},
		{"lb/ton", Yield{PerAcre: 80, Unit: YieldHundredPound}, 8, 12, ""}, {"lb/100 lb", Yield{PerAcre: 4, Unit: YieldTon}, 160, 240, ""}, {"kg/t", Yield{PerAcre: 1, Unit: YieldTon}, 4, 6, ""}, {"lb/ton", Yield{PerHectare: 10, Unit: YieldTonne}, 2 * 4.46090, 3 * 4.46090, ""}, {"lb/bale", Yield{PerAcre: 7, Unit: "bale"}, 14, 21, ""},
		{"lb/bu", Yield{}, 0, 0, "yield"}, {"lb/bu", Yield{PerAcre: 4, Unit: YieldTon}, 0, 0, "yield.unit"}, {"lb/ton", Yield{PerAcre: 4, Unit: YieldBushel}, 0, 0, "yield.unit"}, {"ft", Yield{PerAcre: 4, Unit: YieldTon}, 0, 0, "yield"}, {"%", Yield{PerAcre: 4, Unit: YieldTon}, 0, 0, "yield"},
	} {
		got, err := Answer{Unit: c.unit, Figure: units.Range[float64]{Low: 2, High: 3}}.PerArea(c.y)
		if c.fault != "" {
			require.Equal(t, []string{c.fault}, fields(err), "%s of %v", c.unit, c.y)
			continue
		}
		require.NoError(t, err)
		require.InDelta(t, c.low, got.Low.In(units.PoundPerAcre), 1e-4*c.low, "%s of %v", c.unit, c.y)
		require.InDelta(t, c.high, got.High.In(units.PoundPerAcre), 1e-4*c.high, "%s of %v", c.unit, c.y)
	}
	// The need of corn in Nebraska, in lb/acre: (35 + 1.2 Y - 8 N - 0.14 Y OM - credits) x both factors, of organic matter within 0.5 to 3 %.
	for _, c := range []struct{ yield, nitrate, om, credits, price, timing, want float64 }{
		{0, 0, 2, 0, 1, 1, 35}, {100, 0, 0.2, 0, 1, 1, 35 + 120 - 7}, {100, 0, 0.5, 0, 1, 1, 148}, {100, 0, 3, 0, 1, 1, 35 + 120 - 42}, {100, 0, 5, 0, 1, 1, 113}, {100, 5, 2, 0, 1, 1, 35 + 120 - 40 - 28}, {100, 5, 2, 30, 1, 1, 57}, {100, 5, 2, 30, 0.9, 1.05, 57 * 0.945}, {100, 0, 2, 126.5, 1, 1, 0.5}, {100, 0, 2, 128, 1, 1, 0},
	} {
		got, err := NebraskaCornNeed(NebraskaCornNeedSpec{Yield: c.yield, SoilNitrate: units.MassFraction(c.nitrate) * units.MilligramPerKilogram, OrganicMatter: c.om, Credits: lbAcre(c.credits), PriceFactor: c.price, TimingFactor: c.timing})
		require.NoError(t, err)
		require.InDelta(t, c.want, got.In(units.PoundPerAcre), 1e-9, "%+v", c)
	}
}

// The yield of Crop is that of the key of the file, first or last among the keys, unless the
// query has one of its own, and the name of the crop is that of the file.
func TestYieldReachesItsKey(t *testing.T) {
	for _, keys := range []string{yieldKey + ", " + cropKey, cropKey + ", " + yieldKey} {
		s, err := ruled(keys, `{"place": "1", "gives": "n", "unit": "kg/ha", "by": ["crop", "per"], "rows": [["corn", "yield", 12], ["hay; oats", "", 40]]}, {"place": "2", "gives": "removalP2O5", "by": ["crop", "unit"], "rows": [["corn; hay", "kg/t", 7], ["oats", "kg/t", "n/a: not taken off"]]}`)
		require.NoError(t, err)
		n, err := s.Crop("CORN", Yield{PerHectare: 10, Unit: YieldTonne}, nil)
		require.NoError(t, err)
		require.Equal(t, "corn", n.Crop)
		require.Equal(t, NColumnRate, n.NIs)
		require.InDelta(t, 120, n.N.Low.In(units.KilogramPerHectare), 1e-9)
		require.InDelta(t, 70, n.P2O5.High.In(units.KilogramPerHectare), 1e-9)
		n, err = s.Crop("corn", Yield{PerHectare: 10, Unit: YieldTonne}, Query{"yield": "5 t/ha"})
		require.NoError(t, err)
		require.InDelta(t, 60, n.N.Low.In(units.KilogramPerHectare), 1e-9)
		n, err = s.Crop("oats", Yield{PerHectare: 10, Unit: YieldTonne}, nil)
		require.NoError(t, err)
		require.Equal(t, [3]string{"", "not taken off", "the state has no figures for it"}, [3]string{n.NRule, n.P2O5Lacks, n.K2OLacks})
		_, err = s.Crop("corn", Yield{PerAcre: 100, Unit: YieldBushel}, nil)
		require.Equal(t, []string{"yield"}, fields(err), "bushels are no t/ha")
	}
}
