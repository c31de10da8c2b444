package units_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// The spellings that people use, beside the ones of the display names.
func TestOrdinarySpellings(t *testing.T) {
	for _, c := range []struct {
		text string
		want units.Quantity
	}{
		{"3 acre ft", 3 * units.AcreFoot}, {"3 ac-in", 3 * units.AcreInch}, {"2 metric tons", 2 * units.Tonne}, {"1 metric ton", units.Tonne},
		{"5 US gal", 5 * units.Gallon}, {"5 U.S. gallons", 5 * units.Gallon}, {"5 imp gal", 5 * units.ImperialGallon}, {"5 imperial gallons", 5 * units.ImperialGallon},
		{"1.5 million gal", 1.5e6 * units.Gallon}, {"1.5 million gallons", 1.5e6 * units.Gallon}, {"40 sqft", 40 * units.SquareFoot}, {"40 cf", 40 * units.CubicFoot},
		{"40 cu. ft.", 40 * units.CubicFoot}, {"40 cy", 40 * units.CubicYard}, {"900 gpd", 900 * units.GallonPerDay}, {"31 lb/(1000 gal)", 31 * units.PoundPer1000Gallon},
		{"7 feet, 9 inches", 7*units.Foot + 9*units.Inch}, {"8½ ft", 8.5 * units.Foot}, {"8 ½ ft", 8.5 * units.Foot}, {"½ mi", 0.5 * units.Mile}, {"−¾ in", -0.75 * units.Inch},
		{"12 ft 6½ in", 12*units.Foot + 6.5*units.Inch}, {"8\u00a0ft", 8 * units.Foot}, {"1,234\u202fm", 1234 * units.Metre}, {"\u22125 ft", -5 * units.Foot},
		{"2 rods", 2 * units.Rod}, {"2 chains", 2 * units.Chain}, {"3 pints", 3 * units.Pint}, {"3 pt", 3 * units.Pint}, {"4 long tons", 4 * units.LongTon},
		{"7000 grains", units.Pound}, {"2400 lb/yd3", 2400 * units.PoundPerCubicYard}, {"20 t/ha", 20 * units.TonnePerHectare},
		{"20 ton/ac", 20 * units.TonPerAcre}, {"20 tonne/ac", units.MassPerArea(20000 / units.Acre.SI())}, {"10 kg/t", 10 * units.KilogramPerTonne},
		{"2 [lb_av]/t", units.MassFraction(2 * units.Pound.SI() / 1000)}, {"5 10.[sft_i]", 50 * units.SquareFoot},
	} {
		got := parsed(t, c.want, c.text)
		require.InEpsilon(t, c.want.SI(), got.SI(), 1e-14, c.text)
		require.IsType(t, c.want, got)
	}
}

// parsed reads text as the type of q.
func parsed(t *testing.T, q units.Quantity, text string) units.Quantity {
	t.Helper()
	var err error
	read := func(into interface{ UnmarshalText([]byte) error }) { err = into.UnmarshalText([]byte(text)) }
	switch q.(type) {
	case units.Length:
		var v units.Length
		read(&v)
		q = v
	case units.Area:
		var v units.Area
		read(&v)
		q = v
	case units.Volume:
		var v units.Volume
		read(&v)
		q = v
	case units.Mass:
		var v units.Mass
		read(&v)
		q = v
	case units.Flow:
		var v units.Flow
		read(&v)
		q = v
	case units.Concentration:
		var v units.Concentration
		read(&v)
		q = v
	case units.Density:
		var v units.Density
		read(&v)
		q = v
	case units.MassPerArea:
		var v units.MassPerArea
		read(&v)
		q = v
	case units.MassFraction:
		var v units.MassFraction
		read(&v)
		q = v
	}
	require.NoError(t, err, text)
	return q
}

// A t is a tonne beside units that are metric or of no system, and could be either ton
// beside one of the United States.
func TestTonnesBesideUnits(t *testing.T) {
	for _, word := range strings.Fields("metre meter cm mm km ha hectare litre liter kg kilogram gram tonne sec second minute min h hr hour day watt kilowatt L mL kL dL m g mg ug W kW s d har ar impgal longton kilogram gram seed ppm percent pct METRES Hectares [lb_av]") {
		m, err := units.ParseMass("1 t." + word + "/" + word)
		require.NoError(t, err, word)
		require.InDelta(t, 1000, m.SI(), 1e-9, word)
	}
	for _, word := range strings.Fields("ft foot feet in inch inches yd yard rod chain mi mile acre ac sqft sqyd cf cuft cy cuyd pt pint milliongal gal gallon kgal acre-in ac-in acin acre-inch acre-ft ac-ft af acre-foot acre-feet bu bushel qt quart floz lb pound grain ton oz ounce mph gpm gph gpd cfs mgd hp horsepower gpa Acres GALLONS") {
		_, err := units.ParseMass("1 t." + word + "/" + word)
		require.ErrorContains(t, err, "t beside US units", word)
	}
}

// Words that could mean two things are refused, with a word about why.
func TestRefusedSpellings(t *testing.T) {
	for text, want := range map[string]string{
		"20 t/ac": "ton for 2000 lb or tonne for 1000 kg", "20 T/ac": "could be either", "20 t/acre": "t beside US units",
	} {
		_, err := units.ParseMassPerArea(text)
		require.ErrorContains(t, err, want, text)
	}
	_, err := units.ParseMassFraction("10 lb/t")
	require.ErrorContains(t, err, "ton for 2000 lb or tonne for 1000 kg")
	for _, text := range []string{"1 234 m", "1 234 567 m", "1\u00a0234 m"} {
		_, err = units.ParseLength(text)
		require.ErrorContains(t, err, "one number without spaces", text)
		require.NotContains(t, err.Error(), "mass fraction")
		require.Equal(t, units.FaultMalformed, units.FieldErrors(err)[0].Kind)
	}
	for _, text := range []string{"$12 per 1000 gal", "12 $ per gal", "€ 3/m3"} {
		var p units.Price[units.Volume]
		require.ErrorContains(t, p.UnmarshalText([]byte(text)), "without the sign of a currency", text)
	}
	for _, text := range []string{"8 1/2 ft", "7 feet, 19 inches", "½", "5 lb/(1000 gal", "5 longton/ac"} {
		_, err = units.ParseLength(text)
		require.Error(t, err, text)
	}
}

// Values that are no numbers stay out of JSON, and -0 counts as 0.
func TestOnlyNumbersAreWritten(t *testing.T) {
	text, err := json.Marshal(units.Length(math.Copysign(0, -1)))
	require.NoError(t, err)
	require.Equal(t, `"0 m"`, string(text))
	for _, v := range []any{units.Length(math.NaN()), units.Price[units.Volume](math.NaN()), units.Price[units.Mass](math.Inf(-1)),
		units.Range[units.Volume]{Low: 1, High: units.Volume(math.Inf(1))}, units.Range[float64]{High: math.NaN()}} {
		_, err := json.Marshal(v)
		require.Error(t, err, "%v", v)
	}
	require.Zero(t, units.PricePer(1, units.Volume(0)).SI())
	wide := units.Range[units.Length]{Low: -1e308, High: 1e308}
	require.Zero(t, float64(wide.Mid()))
	require.Equal(t, 1e308, float64(wide.Half()))
}
