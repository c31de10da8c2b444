package nutrient

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func TestPublishedTablesLoad(t *testing.T) {
	for _, id := range PublishedCropTableIDs() {
		table, err := PublishedCropTable(id)
		require.NoError(t, err, id)
		for _, c := range table.Crops() {
			n, err := table.For(c.Crop, Yield{PerAcre: 100, Unit: c.Unit})
			require.NoError(t, err, c.Crop)
			require.Positive(t, float64(n.P2O5.Low), c.Crop)
			require.True(t, n.N.Low > 0 || n.NRule != "", c.Crop)
		}
	}
	credits, err := PublishedCredits()
	require.NoError(t, err)
	require.Len(t, credits, 8)
	for _, c := range credits {
		require.True(t, (c.PerArea == nil) != (c.PerMass == nil), c.Name)
		require.NotEmpty(t, c.Source.Title)
	}
	_, err = PublishedCropTable("atlantis")
	require.Equal(t, []string{"table"}, fields(err))
}

func TestCropTableDoesNotChange(t *testing.T) {
	table, err := PublishedCropTable("michigan-2017")
	require.NoError(t, err)
	table.Crops()[0].N.Low = 0
	n, err := table.For("corn grain", Yield{PerAcre: 150, Unit: YieldBushel})
	require.NoError(t, err)
	require.InDelta(t, 135, n.N.Low.In(units.PoundPerAcre), 1e-9)
}

func TestCropRangeCarriesThrough(t *testing.T) {
	table, err := PublishedCropTable("ontario-2025")
	require.NoError(t, err)
	n, err := table.For("Corn", Yield{PerAcre: 200, Unit: YieldBushel})
	require.NoError(t, err)
	require.InDelta(t, 130, n.N.Low.In(units.PoundPerAcre), 1e-9)
	require.InDelta(t, 200, n.N.High.In(units.PoundPerAcre), 1e-9)

	_, err = table.For("corn", Yield{PerAcre: 20, Unit: YieldTon})
	require.Equal(t, []string{"yield.unit"}, fields(err))
	_, err = table.For("cotton", Yield{PerAcre: -1, Unit: ""})
	require.Equal(t, []string{"yield.perAcre", "yield.unit", "crop"}, fields(err))
}

func TestCropTableFaults(t *testing.T) {
	_, err := ParseCropTable([]byte(`{"id": "A B", "source": {"title": "x", "colour": "red"}, "rows": [
		{"crop": "corn", "unit": "bu", "n": "1 lb", "nRule": "none", "p2o5": "-1 lb", "k2o": "0.3 to 0.2 lb"},
		{"crop": "Corn", "unit": "peck"}]}`))
	require.Equal(t, []string{"source.colour", "rows[0].k2o", "id", "jurisdiction", "source.edition", "source.publisher", "n",
		"rows[0].n", "rows[0].p2o5", "rows[1].crop", "rows[1].unit", "rows[1].n", "rows[1].p2o5", "rows[1].k2o"}, fields(err), "%v", err)
	_, err = ParseCropTable([]byte(`{"id": "A B", "source": {"title": "x"}, "rows": [
		{"crop": "corn", "unit": "bu", "n": "1 lb", "nRule": "none", "p2o5": "-1 lb", "k2o": "0.2 to 0.3 lb"},
		{"crop": "Corn", "unit": "ton", "p2o5": "1 lb", "k2o": "1 lb"}]}`))
	require.Equal(t, []string{"id", "jurisdiction", "source.edition", "source.publisher", "n", "rows[0].n", "rows[0].p2o5", "rows[1].crop", "rows[1].n"}, fields(err), "%v", err)
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
	const text = `{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"}, "n": "removal", "units": ["bale"], "rows": [
		{"crop": "wheat", "unit": "t", "n": "20 kg", "p2o5": "7 kg", "k2o": "10.5 kg"},
		{"crop": "straw", "unit": "bale", "n": "1 kg", "p2o5": "0.5 kg", "k2o": "2 kg"}]}`
	table, err := ParseCropTable([]byte(text))
	require.NoError(t, err)
	for _, y := range []Yield{{PerHectare: 10, Unit: YieldTonne}, {PerAcre: 10 * units.Acre.In(units.Hectare), Unit: YieldTonne}, {PerHectare: 10000 / 907.18474, Unit: YieldTon}} {
		n, err := table.For("wheat", y)
		require.NoError(t, err)
		require.InDelta(t, 70, n.P2O5.Low.In(units.KilogramPerHectare), 1e-9, "%v", y)
	}
	n, err := table.For("straw", Yield{PerHectare: 12, Unit: "bale"})
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
		_, err := table.For("wheat", c.y)
		require.Equal(t, []string{c.want}, fields(err), name)
	}
	for old, want := range map[string]string{`["bale"]`: "rows[1].unit", `"units": ["bale"]`: "units[1]"} {
		_, err := ParseCropTable([]byte(strings.Replace(text, old, map[string]string{`["bale"]`: `[]`, `"units": ["bale"]`: `"units": ["bale", "Ton"]`}[old], 1)))
		require.Contains(t, fields(err), want)
	}
}
