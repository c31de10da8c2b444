package units_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// metric is what a reader in most of Europe expects.
var metric = units.Style{System: units.SystemMetric, Signs: units.SignsPointComma}

func TestStyleText(t *testing.T) {
	for _, c := range []struct {
		value  any
		us, si string
	}{
		{8.5 * units.Foot, "8.5 ft", "2,591 m"},
		{8 * units.Inch, "8 in", "203,2 mm"},
		{250000 * units.Gallon, "250,000 gal", "946,4 m3"},
		{100 * units.Gallon, "100 gal", "378,5 L"},
		{units.As(2160*units.CubicYard, units.CubicYard, 0), "2,160 yd3", "1.651 m3"},
		{units.As(180*units.CubicFoot, units.CubicFoot, 1), "180.0 ft3", "5,097 m3"},
		{units.As(310*units.MilligramPerLitre, units.MilligramPerLitre, 0), "310 mg/L", "310 mg/L"},
		{1.2 * units.Acre, "1.2 acre", "0,4856 ha"},
		{40 * units.Acre, "40 acre", "16,19 ha"},
		{50 * units.Ton, "50 ton", "45,36 t"},
		{31 * units.PoundPer1000Gallon, "31 lb/1000 gal", "3,715 kg/m3"},
		{5 * units.Percent, "5 %", "5 %"},
		{7500 * units.GallonPerAcre, "7,500 gal/acre", "70,15 m3/ha"},
		{153 * units.PoundPerAcre, "153 lb/acre", "171,5 kg/ha"},
		{3 * units.MilePerHour, "3 mph", "4,828 km/h"},
		{450 * units.GallonPerMinute, "450 gpm", "102,2 m3/h"},
		{units.Fahrenheit(68), "68 F", "20 C"},
		{units.PricePer(12, 1000*units.Gallon), "0.012 per gal", "3,170 per m3"},
		{units.PricePer(150, units.Hour), "150.00 per h", "150,00 per h"},
		{units.Range[units.Volume]{Low: 482 * units.CubicYard, High: 629 * units.CubicYard}, "97,351 gal to 127,042 gal", "368,5 m3 to 480,9 m3"},
		{units.Span{Low: units.As(482*units.CubicYard, units.CubicYard, 0), High: units.As(629*units.CubicYard, units.CubicYard, 0)}, "482 yd3 to 629 yd3", "368,5 m3 to 480,9 m3"},
		{0.125, "0.125", "0,125"},
		{12345.6, "12,346", "12.346"},
		{units.Share(0.4567), "45.67 %", "45,67 %"},
		{units.Money(3000), "3,000.00", "3.000,00"},
		{units.Count{N: 3, Of: "slopes"}, "3 slopes", "3 slopes"},
		{12, "12", "12"},
		{25000, "25,000", "25.000"},
		{time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC), "2026-06-01", "2026-06-01"},
		{"as it is: 1.5", "as it is: 1.5", "as it is: 1.5"},
		{units.OxidesRounded, "2.29/1.20", "2.29/1.20"},
		{true, "true", "true"},
		{(*units.Length)(nil), "", ""},
		{new(3 * units.Foot), "3 ft", "0,9144 m"},
		{nil, "", ""},
		{units.Length(math.NaN()), "NaN in", "NaN mm"},
		{units.Words("%.1f %% of %v, at most %[2]v", 12.34, units.Foot), "12.3 % of 1 ft, at most 1 ft", "12,3 % of 304,8 mm, at most 304,8 mm"},
	} {
		require.Equal(t, c.us, units.Style{}.Text(c.value), "%v", c.value)
		require.Equal(t, c.si, metric.Text(c.value), "%v", c.value)
	}
	require.Equal(t, "1 234,5 m", strings.ReplaceAll(units.Style{System: units.SystemMetric, Signs: units.SignsSpaceComma, Digits: 5}.Text(1234.5*units.Metre), "\u00a0", " "))
}

// Money begins with its currency, days stand in their layout, and figures are rounded also
// before the point where a style says so.
func TestStyleForPaper(t *testing.T) {
	s := units.Style{Currency: "$", Days: "2 January 2006"}
	euro := units.Style{System: units.SystemMetric, Signs: units.SignsPointComma, Currency: "EUR"}
	round := units.Style{Currency: "$", Round: 3}
	for _, c := range []struct {
		style units.Style
		value any
		want  string
	}{
		{s, units.Money(38.4), "$38.40"},
		{s, units.Money(-16181.5), "-$16,181.50"},
		{s, units.Money(-0.001), "$0.00"},
		{s, units.PricePer(12, 1000*units.Gallon), "$0.012 per gal"},
		{s, units.Words("by %v", time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)), "by 1 June 2026"},
		{euro, units.Money(-16181.5), "-EUR\u00a016.181,50"},
		{round, units.Money(12085), "$12,100"},
		{round, units.Money(-5.283), "-$5.28"},
		{round, 30282 * units.Gallon, "30,300 gal"},
		{round, 0.33884 * units.Acre, "0.339 acre"},
		{round, units.As(402025*units.Gallon, units.Gallon, 0), "402,000 gal"},
		{round, 0 * units.Gallon, "0 gal"},
		{round, units.Volume(math.NaN()), "NaN gal"},
		{round, 2026.0, "2,026"},
	} {
		require.Equal(t, c.want, c.style.Text(c.value), "%v", c.value)
	}
}

// Every unit of every quantity has its counterpart in the other system.
func TestStyleKnowsEveryUnit(t *testing.T) {
	for _, q := range []units.Quantity{units.Length(7), units.Area(7), units.Volume(7), units.Mass(7), units.Duration(7), units.Speed(7), units.Flow(7),
		units.DepthRate(7), units.Density(7), units.Concentration(7), units.MassFraction(7), units.MassPerArea(7), units.SeedsPerMass(7),
		units.SeedsPerArea(7), units.VolumePerArea(7), units.PricePer(7, units.Acre), units.Celsius(7), units.Power(7), units.PowerPerVolume(7)} {
		names := units.UnitsOf(q)
		require.NotEmpty(t, names)
		for _, name := range names {
			require.Contains(t, units.Hint(q)+strings.Join(names, " "), name)
			for _, us := range []string{"ft", "in", "yd", "acre", "gal", "lb", "ton", "oz", "bu", "mi", "hp"} {
				shown := metric.Text(units.Shown{Quantity: q, Unit: name})
				require.NotContains(t, strings.FieldsFunc(shown, func(r rune) bool { return strings.ContainsRune(" /-0123456789", r) }), us, "%s in %s", shown, name)
			}
		}
	}
}

// No template, no arguments and no style make text that people cannot read.
func TestPhrasesAlwaysRead(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	parts := []string{"%v", "%.2f", "%d", "%[2]v", "%[9]v", "%%", "%", "%q", "%[", "%[1", "a", " ", "%s", "%-5.1[1]f"}
	args := []any{nil, 1.5, 3, units.Foot, "x", units.Word("w"), math.NaN(), units.Share(0.1), units.Words("in %v", 1)}
	for range 2000 {
		text := ""
		for range r.IntN(6) {
			text += parts[r.IntN(len(parts))]
		}
		var in []any
		for range r.IntN(4) {
			in = append(in, args[r.IntN(len(args))])
		}
		p := units.Words(text, in...)
		if len(in) > 0 {
			require.NotContains(t, p.String(), "%!", "%q %v", text, in)
		}
		require.NotContains(t, metric.Phrase(p), "<nil>")
	}
}

func TestStyleTranslates(t *testing.T) {
	german := units.Style{System: units.SystemMetric, Signs: units.SignsPointComma, Translate: func(s string) string {
		if t, ok := map[string]string{"got %v, want %v": "%v gegeben, gefordert %v", "%v to %v": "%v bis %v", "%v; want %v": "%v; gefordert %v", "missing": "fehlt",
			"more than 0": "mehr als 0", "%v of %v": "%[2]v, davon %[1]v", "slopes": "Neigungen", "line %v, column %v": "Zeile %v, Spalte %v"}[s]; ok {
			return t
		}
		return s
	}}
	var f units.Faults
	f.Between("depth", 30*units.Foot, 1.5*units.Foot, 25*units.Foot)
	f.Positive("width", -units.Foot)
	f.Missing("length", "more than 0")
	f.Count("slopes", 3, "slopes", "%v or %v", 1, 4)
	require.Equal(t, "depth: 9,144 m gegeben, gefordert 457,2 mm bis 7,62 m\nwidth: -304,8 mm gegeben, gefordert mehr als 0\n"+
		"length: fehlt; gefordert mehr als 0\nslopes: 3 Neigungen gegeben, gefordert 1 or 4", german.Faults(f.Err()))
	var w units.Working
	w.Add("nitrogen", 20*units.Pound, "%v of %v", units.Share(0.5), 40*units.Pound)
	require.Equal(t, "nitrogen  9,072 kg  18,14 kg, davon 50 %\n", german.Working(w))
	require.Equal(t, "nitrogen  20 lb  50 % of 40 lb\n", w.String())
}

// Working is the same after JSON, in every style.
func TestWorkingInJSON(t *testing.T) {
	var w units.Working
	w.Add("depth", 8*units.Foot, "")
	w.Add("earth", units.As(2160*units.CubicYard, units.CubicYard, 0), "of %v layers, %.1f %% loose", 3, 12.5)
	w.Add("range", units.Range[units.Volume]{Low: 1, High: 2}, "at %v", units.Share(0.95))
	w.Put(units.Words("season %v", 2027), units.Money(12.5), units.Words("since %v", time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)))
	w.Add("loads", 12, "rounded up")
	w.Add("factor", 0.125, "by %v", units.Words("rule %v", "b"))
	w.Add("method", units.OxidesRounded, "")
	w.Add("price", units.PricePer(12, 1000*units.Gallon), "")
	w.Add("none", math.Inf(1), "")
	w.Add("nothing", nil, "")
	data, err := json.Marshal(w)
	require.NoError(t, err)
	var back units.Working
	require.NoError(t, json.Unmarshal(data, &back))
	require.Empty(t, cmp.Diff(w, back), string(data))
	require.Equal(t, metric.Working(w), metric.Working(back))
	require.Error(t, json.Unmarshal([]byte(`[{"item":"a","value":{"quantity":"lenght","value":"3 ft"}}]`), &back))
	require.Error(t, json.Unmarshal([]byte(`[{"item":"a","value":{"span":[1,{"span":[1,{"span":[1,{"span":[1,{"span":[1,{"span":[1,2]}]}]}]}]}]}}]`), &back))
}

// Where the comma is decimal, "1,234 m" is 1.234 m; by the default rule 1,234 m.
func TestStyleReads(t *testing.T) {
	comma, point, spaces := units.Style{Signs: units.SignsPointComma}, units.Style{}, units.Style{Signs: units.SignsSpaceComma}
	for _, c := range []struct {
		s    units.Style
		text string
		want units.Length
	}{
		{point, "1,234 m", 1234}, {comma, "1,234 m", 1.234}, {comma, "1.234 m", 1234}, {comma, "1.234,5 m", 1234.5}, {comma, "-0,5 m", -0.5},
		{spaces, "1 234,5 m", 1234.5}, {spaces, "1\u00a0234\u202f567 m", 1234567}, {spaces, "12 ft 6,5 in", 12*units.Foot + 6.5*units.Inch},
		{units.Style{Signs: units.SignsComma}, "1234,5 m", 1234.5}, {comma, "1,5e3 m", 1500}, {comma, "3 [ft_i]", 3 * units.Foot},
	} {
		var l units.Length
		require.NoError(t, c.s.Read(c.text, &l), c.text)
		require.InDelta(t, float64(c.want), float64(l), 1e-12, c.text)
	}
	for _, text := range []string{"1.23 m", "1,234.5 m", "1.234.56 m", "12", "1,2,3 m"} {
		var l units.Length
		err := comma.Read(text, &l)
		require.ErrorContains(t, err, `got "`+text+`"`, text)
	}
	var p units.Price[units.Volume]
	require.NoError(t, comma.Read("1,5 per m3", &p))
	require.Equal(t, units.Price[units.Volume](1.5), p)
	// What a style writes it reads.
	r := rand.New(rand.NewPCG(1, 1))
	for range 500 {
		x := units.Length(math.Exp(r.Float64()*20 - 5))
		for _, signs := range []units.Signs{units.SignsCommaPoint, units.SignsPointComma, units.SignsSpacePoint, units.SignsSpaceComma, units.SignsPoint, units.SignsComma} {
			s := units.Style{System: units.SystemMetric, Signs: signs, Digits: 11}
			var l units.Length
			require.NoError(t, s.Read(s.Text(x), &l), s.Text(x))
			require.InEpsilon(t, float64(x), float64(l), 1e-10, s.Text(x))
		}
	}
}

func TestValues(t *testing.T) {
	require.Equal(t, []string{"molar", "2.29/1.20", "2.3/1.2", "2.2910/1.2051"}, units.Values[units.Oxides]())
	require.Equal(t, []string{"US", "metric"}, units.Values[units.System]())
	require.Contains(t, units.UnitsOf(units.Volume(0)), "gal")
	require.Contains(t, units.UnitsOf(units.Price[units.Volume](0)), "per gal")
	for _, name := range units.UnitsOf(units.Flow(0)) {
		_, err := units.ParseFlow("3 " + name)
		require.NoError(t, err)
	}
	data, err := json.Marshal(metric)
	require.NoError(t, err)
	var back units.Style
	require.NoError(t, json.Unmarshal(data, &back))
	require.Equal(t, metric.Signs, back.Signs)
	require.Equal(t, metric.System, back.System)
}

func FuzzStyleRead(f *testing.F) {
	for _, s := range []string{"1,234 m", "1.234,5 m", "12 ft 6,5 in", "1 234 m", "1\u202f234,5 m", "-1,5e3 km"} {
		f.Add(s, 1)
	}
	f.Fuzz(func(t *testing.T, text string, signs int) {
		s := units.Style{Signs: units.Signs(signs % 6)}
		var l units.Length
		if s.Read(text, &l) == nil {
			require.False(t, math.IsNaN(float64(l)) || math.IsInf(float64(l), 0))
		}
	})
}

// A range from 0 has one unit.
func TestRangeFromZero(t *testing.T) {
	solids := units.Range[units.MassFraction]{High: 0.02}
	require.Equal(t, "0 lb/ton to 40 lb/ton", units.Style{}.Text(solids))
	require.Equal(t, "0 g/kg to 20 g/kg", units.Style{System: units.SystemMetric}.Text(solids))
	require.Equal(t, "0 in to 3 in", units.Style{}.Text(units.Range[units.Length]{High: 3 * units.Inch}))
	require.Equal(t, "0 ft to 0 ft", units.Style{}.Text(units.Range[units.Length]{}))
}
