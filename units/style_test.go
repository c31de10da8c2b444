package units_test

import (
	"encoding/json"
	"fmt"
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

// The unit that fits a size begins at the size itself and not just below it, in either
// system; what is negative has the unit of its size.
func TestUnitsBySize(t *testing.T) {
	for _, c := range []struct {
		at     units.Quantity
		below  units.Quantity
		system units.System
		want   string
	}{
		{units.Foot, 0.999 * units.Foot, units.SystemUS, "ft in"}, {units.Mile, 0.999 * units.Mile, units.SystemUS, "mi ft"},
		{0.5 * units.Metre, 0.499 * units.Metre, units.SystemMetric, "m mm"}, {2 * units.Kilometre, 1.999 * units.Kilometre, units.SystemMetric, "km m"},
		{units.Acre / 10, 0.0999 * units.Acre, units.SystemUS, "acre ft2"}, {units.Hectare / 10, 0.0999 * units.Hectare, units.SystemMetric, "ha m2"},
		{units.CubicMetre, 0.999 * units.CubicMetre, units.SystemMetric, "m3 L"}, {units.Pound, 0.999 * units.Pound, units.SystemUS, "lb oz"},
		{20 * units.Ton, 19.99 * units.Ton, units.SystemUS, "ton lb"}, {units.Kilogram, 0.999 * units.Kilogram, units.SystemMetric, "kg g"},
		{10 * units.Tonne, 9.99 * units.Tonne, units.SystemMetric, "t kg"}, {units.Minute, 59 * units.Second, units.SystemUS, "min s"},
		{units.Hour, 59 * units.Minute, units.SystemUS, "h min"}, {72 * units.Hour, 71 * units.Hour, units.SystemUS, "d h"},
		{units.Minute, 59 * units.Second, units.SystemMetric, "min s"}, {units.Hour, 59 * units.Minute, units.SystemMetric, "h min"}, {72 * units.Hour, 71 * units.Hour, units.SystemMetric, "d h"},
		{units.MilePerHour / 4, 0.249 * units.MilePerHour, units.SystemUS, "mph ft/min"}, {0.05 * units.MetrePerSecond, 0.0499 * units.MetrePerSecond, units.SystemMetric, "m/s m/h"},
		{0.2 * units.MetrePerSecond, 0.199 * units.MetrePerSecond, units.SystemMetric, "km/h m/s"}, {units.CubicMetrePerHour / 2, 0.499 * units.CubicMetrePerHour, units.SystemMetric, "m3/h L/min"},
		{units.InchPerHour / 100, 0.00999 * units.InchPerHour, units.SystemUS, "in/h in/d"}, {100 * units.MilligramPerLitre, 99.9 * units.MilligramPerLitre, units.SystemMetric, "kg/m3 mg/L"},
		{units.MassFraction(0.0005), units.MassFraction(0.000499), units.SystemUS, "lb/ton mg/kg"}, {5 * units.Percent, 4.99 * units.Percent, units.SystemUS, "% lb/ton"},
		{units.MassFraction(0.0005), units.MassFraction(0.000499), units.SystemMetric, "g/kg mg/kg"}, {5 * units.Percent, 4.99 * units.Percent, units.SystemMetric, "% g/kg"},
		{units.TonPerAcre, 0.999 * units.TonPerAcre, units.SystemUS, "ton/acre lb/acre"}, {3 * units.TonnePerHectare / 1, 2.99 * units.TonnePerHectare, units.SystemMetric, "t/ha kg/ha"},
		{units.Kilowatt, 999 * units.Watt, units.SystemMetric, "kW W"},
	} {
		style := units.Style{System: c.system}
		at, below, _ := strings.Cut(c.want, " ")
		unit := func(q units.Quantity) string { _, u, _ := strings.Cut(style.Text(q), " "); return u }
		require.Equal(t, at, unit(c.at), "%v", c.at)
		require.Equal(t, below, unit(c.below), "%v", c.below)
	}
	require.Equal(t, "-5 ft", units.Style{}.Text(-5*units.Foot))
	require.Equal(t, "-3 mi", units.Style{}.Text(-3*units.Mile))
	// 0 and the columns of tables have a unit of the system, too.
	for _, c := range []struct {
		q      units.Quantity
		us, si string
	}{{units.Power(0), "0 hp", "0 kW"}, {units.PowerPerVolume(0), "0 hp/1000 gal", "0 W/m3"}, {units.Length(0), "0 ft", "0 m"}, {units.Volume(0), "0 gal", "0 m3"}, {units.Flow(0), "0 gpm", "0 m3/h"}, {units.Mass(0), "0 lb", "0 kg"}, {units.Duration(0), "0 h", "0 h"}} {
		require.Equal(t, c.us, units.Style{}.Text(c.q))
		require.Equal(t, c.si, units.Style{System: units.SystemMetric}.Text(c.q))
		x, unit := units.SystemUS.Number(c.q)
		require.Equal(t, c.us, fmt.Sprint(x, " ", unit))
		x, unit = units.SystemMetric.Number(c.q)
		require.Equal(t, c.si, fmt.Sprint(x, " ", unit))
	}
	// A price is told with three decimals below 10 either way, and with two from there on.
	for x, want := range map[float64]string{9.999: "9.999 per gal", 10: "10.00 per gal", -9.999: "-9.999 per gal", -10: "-10.00 per gal", 0: "0.000 per gal"} {
		require.Equal(t, want, units.Style{}.Text(units.PricePer(x, units.Gallon)))
	}
	// One that is per a unit of its own keeps it where the system has it, and where it is
	// one of another kind has the usual one.
	price := units.PricePer(378.5411784, units.CubicMetre)
	for _, c := range []struct {
		system     units.System
		unit, want string
	}{{units.SystemUS, "", "1.433 per gal"}, {units.SystemUS, "yd3", "289.42 per yd3"}, {units.SystemUS, "m3", "378.54 per m3"}, {units.SystemUS, "acre", "1.433 per gal"},
		{units.SystemMetric, "", "378.54 per m3"}, {units.SystemMetric, "yd3", "378.54 per m3"}, {units.SystemMetric, "L", "0.379 per L"}} {
		require.Equal(t, c.want, units.Style{System: c.system}.Text(units.Shown{Quantity: price, Unit: c.unit}), "%+v", c)
	}
}

// Figures of a style at the ends of what it takes, and of numbers at which the form changes.
func TestFiguresOfStyles(t *testing.T) {
	for digits, want := range map[int]string{0: "1.235", 1: "1.2", 2: "1.2", 3: "1.23", 4: "1.235", 15: "1.23456789012345", 16: "1.23456789012345", 40: "1.23456789012345"} {
		require.Equal(t, want, units.Style{Digits: digits}.Text(1.23456789012345), "%d digits", digits)
	}
	for round, want := range map[int][2]string{0: {"$12,085.67", "12,086 gal"}, -1: {"$12,085.67", "12,086 gal"}, 1: {"$10,000", "10,000 gal"}, 2: {"$12,000", "12,000 gal"}, 5: {"$12,086", "12,086 gal"}, 7: {"$12,085.67", "12,086 gal"}, 15: {"$12,085.67", "12,086 gal"}, 99: {"$12,085.67", "12,086 gal"}} {
		s := units.Style{Round: round, Currency: "$"}
		require.Equal(t, want, [2]string{s.Text(units.Money(12085.67)), s.Text(12085.67 * units.Gallon)}, "rounded to %d", round)
	}
	for x, want := range map[float64]string{999.9: "999.9", 999.96: "1000", 1000: "1,000", -1000: "-1,000", -999: "-999", 1e14: "100,000,000,000,000", 1e15: "1e+15", 0.00012345: "0.0001234", math.Inf(-1): "-Inf"} {
		require.Equal(t, want, units.Style{}.Text(x), "%v", x)
	}
	for n, want := range map[int]string{9999: "9999", 10000: "10,000", -9999: "-9999", -10000: "-10,000"} {
		require.Equal(t, want, units.Style{}.Text(n))
	}
	for x, want := range map[units.Length]string{1e15: "1e+15 m", 999e12: "999,000,000,000,000 m", 1e-9: "0.000000001 m", 9e-10: "9e-10 m", 0: "0 m", 100: "100 m", 1200.4: "1,200 m", 12.5: "12.5 m", -1234567: "-1,234,567 m"} {
		require.Equal(t, want, units.Style{}.Text(units.Shown{Quantity: x, Unit: "m", Decimals: -1}), "%v", float64(x))
	}
	for digits, want := range map[int]string{0: "1,235 m", 1: "1,235 m", 5: "1,234.6 m", 7: "1,234.568 m", 15: "1,234.56789012345 m", 99: "1,234.56789012345 m"} {
		require.Equal(t, want, units.Style{Digits: digits}.Text(units.Shown{Quantity: 1234.56789012345 * units.Metre, Unit: "m", Decimals: -1}))
	}
	// Decimals beyond what a number holds are those that it does.
	require.Equal(t, "1.500000000000000 m", units.Style{}.Text(units.Shown{Quantity: 1.5 * units.Metre, Unit: "m", Decimals: 40}))
	require.Equal(t, "1.5 m", units.Style{}.Text(units.Shown{Quantity: 1.5 * units.Metre, Unit: "furlong", Decimals: 1}))
	require.Empty(t, units.Style{}.Text(units.Shown{Unit: "m"}))
	require.Equal(t, "a", units.Style{Signs: 77}.Text("a"))
	require.Equal(t, "1,234.5 m", units.Style{Signs: 77}.Text(units.As(1234.5*units.Metre, units.Metre, 1)))
	// The word of money stands apart from its amount, a sign does not.
	require.Equal(t, "CHF\u00a05.00 $5.00", units.Style{Currency: "CHF"}.Text(units.Money(5))+" "+units.Style{Currency: "$"}.Text(units.Money(5)))
}

// What a quantity is asked as, with its unit.
func TestHints(t *testing.T) {
	for _, c := range []struct {
		q    units.Quantity
		want string
	}{
		{nil, "a quantity"}, {units.Length(0), "a length with its unit, such as ft, in, yd, mi, m, cm"}, {units.Area(0), "an area with its unit, such as acre, ft2, yd2, ha, m2, mi2"},
		{units.Price[units.Volume](0), `text such as "12 per m3"`}, {units.Temperature(0), "a temperature with its unit, such as 68 F, 20 C, 293.15 K, of 0 K or more"},
		{units.Power(0), "a power with its unit, such as hp, W, kW"},
	} {
		require.Equal(t, c.want, units.Hint(c.q))
	}
	require.Nil(t, units.UnitsOf(nil))
	require.Equal(t, []string{"F", "C", "K"}, units.UnitsOf(units.Temperature(0)))
	require.Equal(t, []string{"per h", "per min", "per s", "per d"}, units.UnitsOf(units.Price[units.Duration](0)))
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

// pond tells what it is as its depth.
type pond struct{ depth units.Length }

func (p *pond) UnitsValue() any { return p.depth }

// lake is told as what is told as a pond.
type lake struct{ p *pond }

func (l lake) UnitsValue() any { return l.p }

// What stands behind a pointer is shown as itself, and one to nothing as nothing.
func TestValuesBehindPointers(t *testing.T) {
	day := time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		value any
		want  string
	}{
		{new(units.Words("%v", 3)), "3"}, {new(units.Count{N: 3, Of: "slopes"}), "3 slopes"}, {new(units.Share(0.5)), "50 %"}, {new(units.Money(5)), "5.00"},
		{new(units.As(units.Foot, units.Foot, 1)), "1.0 ft"}, {new(units.Span{Low: units.Foot, High: 2 * units.Foot}), "1 ft to 2 ft"}, {&day, "2026-06-01"}, {new(2.5), "2.5"}, {new(7), "7"},
		{new(3 * units.Foot), "3 ft"}, {(*units.Phrase)(nil), ""}, {(*int)(nil), ""}, {(*time.Time)(nil), ""}, {(*units.Length)(nil), ""}, {(*units.Range[units.Length])(nil), ""},
		{&pond{8 * units.Foot}, "8 ft"}, {(*pond)(nil), ""}, {units.Range[units.Length]{Low: units.Foot, High: 2 * units.Foot}, "1 ft to 2 ft"}, {day.Add(time.Hour), "2026-06-01T01:00:00Z"},
		{day.In(time.FixedZone("west", -7*3600)), "2026-05-31T17:00:00-07:00"}, {false, "false"}, {math.Copysign(0, -1), "0"},
	} {
		require.Equal(t, c.want, units.Style{}.Text(c.value), "%#v", c.value)
	}
	require.NotPanics(t, func() { _ = units.Style{}.Text(lake{&pond{units.Foot}}) })
	require.Equal(t, []string{"3 slopes", "50 %", "5.00", "1.0 ft", "1 ft to 2 ft"},
		[]string{units.Count{N: 3, Of: "slopes"}.String(), units.Share(0.5).String(), units.Money(5).String(), units.As(units.Foot, units.Foot, 1).String(), units.Span{Low: units.Foot, High: 2 * units.Foot}.String()})
}

// Spans within spans are read four deep, and whatever is no value is refused.
func TestValuesAreRead(t *testing.T) {
	nested := func(deep int) string {
		text := "1"
		for range deep {
			text = `{"span":[` + text + `,2]}`
		}
		return `{"text":"%v","args":[` + text + `]}`
	}
	var p units.Phrase
	for deep := range 5 {
		require.NoError(t, json.Unmarshal([]byte(nested(deep)), &p), "%d deep", deep)
		require.Equal(t, 1+deep, strings.Count(p.String(), " to ")+1, p.String())
		data, err := json.Marshal(p)
		require.NoError(t, err)
		require.JSONEq(t, nested(deep), string(data))
	}
	require.Error(t, json.Unmarshal([]byte(nested(5)), &p))
	for _, bad := range []string{`{}`, `{"span":[1]}`, `{"span":[1,2,3]}`, `{"span":[{},2]}`, `{"span":[1,{}]}`, `[1]`, `true`, `{"quantity":"length"}`, `{"quantity":"x","value":"3 m"}`, `{"quantity":"length","value":"3 kg"}`,
		`{"quantity":"length","value":"3"}`, `{"number":"x"}`, `{"word":3}`, `{"date":"x"}`} {
		require.Error(t, json.Unmarshal([]byte(`{"text":"%v","args":[`+bad+`]}`), &p), bad)
	}
	for _, c := range []struct {
		value any
		json  string
	}{
		{units.Foot, `{"quantity":"length","value":"0.3048 m"}`}, {units.As(units.Foot, units.Inch, 2), `{"quantity":"length","value":"0.3048 m","unit":"in","decimals":2}`},
		{units.PricePer(3, units.Gallon*0+1), `{"quantity":"price per m3","value":"3 per m3"}`}, {units.Length(math.Inf(1)), `{"quantity":"length","value":"+Inf m"}`},
		{math.Inf(-1), `{"number":"-Inf"}`}, {2.5, `2.5`}, {"x", `"x"`}, {nil, `null`}, {units.Word("x"), `{"word":"x"}`}, {units.Count{N: 3, Of: "y"}, `{"count":3,"of":"y"}`}, {units.Share(0.5), `{"share":0.5}`},
		{units.Money(5), `{"money":5}`}, {time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC), `{"date":"2026-06-01T00:00:00Z"}`}, {units.Words("%v", 1), `{"phrase":{"text":"%v","args":[{"count":1}]}}`},
		{units.Span{Low: 1.5, High: units.Foot}, `{"span":[1.5,{"quantity":"length","value":"0.3048 m"}]}`}, {units.Shown{}, `null`},
	} {
		data, err := json.Marshal(units.Phrase{Text: "%v", Args: []any{c.value}})
		require.NoError(t, err)
		require.JSONEq(t, `{"text":"%v","args":[`+c.json+`]}`, string(data))
		require.NoError(t, json.Unmarshal(data, &p))
		if c.value != (units.Shown{}) {
			require.Equal(t, []any{c.value}, p.Args)
		}
	}
	require.NoError(t, json.Unmarshal([]byte(`"as it stands %"`), &p))
	require.Equal(t, units.Phrase{Text: "as it stands %"}, p)
	var l units.Line
	require.NoError(t, json.Unmarshal([]byte(`{"item":"a"}`), &l))
	require.Equal(t, units.Line{Item: units.Words("a")}, l)
	require.Error(t, json.Unmarshal([]byte(`{"item":3}`), &l))
}

// Verbs of a template, one by one: with a precision, out of order, and what there is none for.
func TestVerbs(t *testing.T) {
	for _, c := range []struct {
		text string
		args []any
		want string
	}{
		{"%v %v", []any{1, 2}, "1 2"}, {"%[2]v %[1]v", []any{1, 2}, "2 1"}, {"%[2]v %v %v", []any{1, 2, 3}, "2 3 "}, {"%v %[1]v %v", []any{1, 2}, "1 1 2"}, {"%.1f %%", []any{2.25}, "2.2 %"},
		{"%[1].2f and %.1[1]f", []any{2.25}, "2.25 and 2.2"}, {"%.3e", []any{12345.0}, "1.234e+04"}, {"%.2g", []any{12345.0}, "1.2e+04"}, {"%v", []any{12345.0}, "12,345"}, {"%d", []any{3}, "3"}, {"%04d", []any{3}, "0003"},
		{"%d", []any{units.Count{N: 3, Of: "slopes"}}, "3 slopes"}, {"%q", []any{"x"}, `"x"`}, {"%s", []any{"x"}, "x"}, {"%q", []any{units.Word("x")}, `"x"`}, {"%v", []any{units.Word("x")}, "x"}, {"%.1f", []any{units.Share(0.1234)}, "12.3 %"},
		{"%.2g", []any{units.Share(0.1234)}, "12 %"}, {"%v", []any{units.Share(0.1234)}, "12.34 %"}, {"%.1f", []any{units.Foot}, "1 ft"}, {"a %", []any{1}, "a %"}, {"%v%", []any{1}, "1%"}, {"%[3]v", []any{1}, ""}, {"%[0]v", []any{1}, "1"},
		{"%[x]v", []any{1}, "1"}, {"%[]v", []any{1}, "1"}, {"%v%%%v", []any{1, 2}, "1%2"}, {"100 %", nil, "100 %"}, {"%v", []any{units.Words("in %v", 2)}, "in 2"},
	} {
		require.Equal(t, c.want, units.Phrase{Text: c.text, Args: c.args}.String(), c.text)
	}
	comma := units.Style{Signs: units.SignsComma}
	require.Equal(t, "2,25 1,2e+04 12,3 %", comma.Phrase(units.Words("%.2f %.2g %.1f", 2.25, 12345.0, units.Share(0.1234))))
	require.True(t, units.Phrase{}.IsZero())
	require.False(t, units.Phrase{Args: []any{1}}.IsZero() || units.Words("x").IsZero())
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
		{spaces, "-1\u2009234,5 m", -1234.5}, {spaces, "0,0625 km", 62.5}, {units.Style{Signs: units.SignsSpacePoint}, "1\u00a0234.5 m", 1234.5}, {units.Style{Signs: units.SignsPoint}, "1234.5 m", 1234.5},
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
	// A space between two numbers that are not groups of three is no sign of a group: the
	// second one is a factor.
	var a units.Area
	for text, want := range map[string]units.Area{"5 10.[sft_i]": 50 * units.SquareFoot, "1 234,5 10.m2": 12345, "5 43560.[sft_i]": 5 * units.Acre} {
		require.NoError(t, spaces.Read(text, &a), text)
		require.InDelta(t, want.SI(), a.SI(), 1e-9, text)
	}
	for _, text := range []string{"1 23 m", "1 2345 m", "1.234 m", "1 234.5 m"} {
		require.ErrorContains(t, spaces.Read(text, new(units.Length)), `got "`+text+`"`)
	}
	require.ErrorContains(t, units.Style{Signs: units.SignsPoint}.Read("1,5 m", new(units.Length)), "such as 1234.5")
	require.ErrorContains(t, spaces.Read("7 furlongs and 1,5 m", new(units.Length)), `got "7 furlongs and 1,5 m"`)
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
