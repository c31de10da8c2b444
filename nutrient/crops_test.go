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
