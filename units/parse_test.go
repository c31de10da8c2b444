package units_test

import (
	"encoding"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

func TestParseLength(t *testing.T) {
	for _, c := range []struct {
		in   string
		want units.Length
	}{
		{"12.5 ft", 12.5 * units.Foot},
		{"12 ft 6 in", 12*units.Foot + 6*units.Inch},
		{"12ft6in", 12*units.Foot + 6*units.Inch},
		{`12' 6"`, 12*units.Foot + 6*units.Inch},
		{`12'6.5"`, 12*units.Foot + 6.5*units.Inch},
		{"-5 ft 3 in", -5*units.Foot - 3*units.Inch},
		{"1 mi 20 yd 2 ft", units.Mile + 20*units.Yard + 2*units.Foot},
		{"3 [ft_i]", 3 * units.Foot},
		{"3 ftUS", 3 * units.SurveyFoot},
		{"3 [ft_us]", 3 * units.SurveyFoot},
		{"1,234,567.5 mm", 1234567.5 * units.Millimetre},
		{"1.5e3 m", 1500},
		{".5 km", 500},
		{"+2 yards", 2 * units.Yard},
		{"3 in.", 3 * units.Inch},
		{"3 Inches", 3 * units.Inch},
		{"7 {depth}ft", 7 * units.Foot},
		{"0 m", 0},
	} {
		got, err := units.ParseLength(c.in)
		require.NoError(t, err, c.in)
		require.InEpsilon(t, 1+float64(c.want), 1+float64(got), 1e-15, c.in)
	}
}

func TestParseRefuses(t *testing.T) {
	length := func(s string) error { _, err := units.ParseLength(s); return err }
	conc := func(s string) error { _, err := units.ParseConcentration(s); return err }
	vol := func(s string) error { _, err := units.ParseVolume(s); return err }
	mass := func(s string) error { _, err := units.ParseMass(s); return err }
	for _, c := range []struct {
		parse func(string) error
		in    string
		want  string
	}{
		{length, "", "a number first"},
		{length, "12", "a length with its unit"},
		{length, "ft", "a number first"},
		{length, "5 ft -3 in", "a sign in front of the whole only"},
		{length, "5.5 ft 3 in", "a fraction in the last part only"},
		{length, "5 ft 14 in", "falling units"},
		{length, "6 in 5 ft", "falling units"},
		{length, "5 ft 3", "a unit name at the end"},
		{length, "1,2,3 ft", "thousands commas in groups of three"},
		{length, "1,5 ft", "a decimal point, not a comma"},
		{length, "1234,567 ft", "groups of three"},
		{length, "nan ft", "a number first"},
		{length, "inf m", "a number first"},
		{length, "1e999 m", "a number that float64 holds"},
		{length, "1e308 km", "a number that float64 holds"},
		{length, "0x1p-2 ft", `a known unit instead of "x"`},
		{length, "1_000 ft", "a unit name instead of"},
		{length, "5 ft2", "is an area"},
		{length, "5 gal", `"gal" is a volume`},
		{length, "5 M", "m for a metre, mi for a mile"},
		{conc, "5 lb/0 gal", "a whole number above 0"},
		{length, "5 ((((((((((ft))))))))))", "fewer brackets"},
		{length, "5 (ft", "a closing bracket"},
		{length, "5 [ft", "a closing ]"},
		{length, "5 [furlong]", "a known UCUM code"},
		{conc, "5 ppm", "mg/L for a liquid"},
		{conc, "5 mg/kg", "mg/kg is mass per mass"},
		{conc, "0.4 %", "% is mass per mass"},
		{conc, "5 [lb_av]/1000.[gal_us]", "none of the quantities"},
		{conc, "4 lb/ac", "is a mass per area"},
		{vol, "5 cwt", "a hundredweight is 100 lb or 112 lb"},
		{vol, "5 acre", `"acre" is an area`},
		{mass, "5 T", "T could be either"},
		{mass, "5 MT", "megatonne"},
		{mass, "5 Mg", "mg for a milligram"},
		{mass, "5 k[lb_av]", "a known unit instead of"},
	} {
		err := c.parse(c.in)
		require.ErrorContains(t, err, c.want, c.in)
		var fe *units.FieldError
		require.ErrorAs(t, err, &fe, c.in)
		require.Equal(t, fmt.Sprintf("%q", c.in), fe.GotText())
	}
}

// A trade spelling, its UCUM code and the constant agree for every type.
func TestSpellingsAgree(t *testing.T) {
	check := func(want units.Quantity, into interface {
		encoding.TextUnmarshaler
	}, value func() float64, spellings ...string) {
		t.Helper()
		for _, s := range spellings {
			require.NoError(t, into.UnmarshalText([]byte(s)), s)
			require.InEpsilon(t, want.SI(), value(), 1e-15, s)
		}
	}
	var a units.Area
	check(2*units.Acre, &a, func() float64 { return a.SI() }, "2 acres", "2 ac", "2 43560.[sft_i]", "87,120 ft2", "87120 sq ft", "87120 sq. ft.", "87120 square feet", "87120 ft²", "87120 ft^2", "9680 [syd_i]")
	check(units.AcreSurvey, &a, func() float64 { return a.SI() }, "1 [acr_us]", "1 acreUS")
	check(3*units.Hectare, &a, func() float64 { return a.SI() }, "3 ha", "3 har", "30,000 m2")
	var v units.Volume
	check(1.2*units.AcreFoot, &v, func() float64 { return v.SI() }, "1.2 acre-ft", "1.2 ac-ft", "1.2 af", "1.2 Acre-Feet", "1.2 43560.[cft_i]", "14.4 acre-in", "52272 cu ft", "1,936 cubic yards")
	check(128*units.FluidOunce, &v, func() float64 { return v.SI() }, "1 gal", "128 fl oz", "4 qt", "1 [gal_us]", "231 [cin_i]")
	check(units.ImperialGallon, &v, func() float64 { return v.SI() }, "1 impgal", "1 [gal_br]", "4.54609 L")
	var m units.Mass
	check(2*units.Ton, &m, func() float64 { return m.SI() }, "2 tons", "4,000 lbs", "4000 pounds", "2 [ston_av]", "64000 oz", "4000 [lb_av]")
	check(2*units.Tonne, &m, func() float64 { return m.SI() }, "2 t", "2 tonnes", "2000 kg", "2000000 g")
	var s units.Speed
	check(5*units.MilePerHour, &s, func() float64 { return s.SI() }, "5 mph", "440 ft/min", "5 [mi_i]/h", "5 miles per hour")
	var f units.Flow
	check(450*units.GallonPerMinute, &f, func() float64 { return f.SI() }, "450 gpm", "450 gal/min", "450 [gal_us]/min", "27,000 gph", "27 kgal/h")
	check(units.MillionGallonPerDay, &f, func() float64 { return f.SI() }, "1 mgd", "1000000 gal/d", "1 1000000.[gal_us]/d")
	check(units.AcreInchPerHour, &f, func() float64 { return f.SI() }, "1 acre-in/h", "1 ac-in/hr", "1 3630.[cft_i]/h")
	var d units.DepthRate
	check(units.InchPerHour, &d, func() float64 { return d.SI() }, "1 in/h", "1 in/hr", "25.4 mm/h", "24 in/d")
	var rho units.Density
	check(8.34*units.PoundPerGallon, &rho, func() float64 { return rho.SI() }, "8.34 lb/gal", "8.34 [lb_av]/[gal_us]", "8340 lb/1000 gal")
	var c units.Concentration
	check(31*units.PoundPer1000Gallon, &c, func() float64 { return c.SI() }, "31 lb/1000 gal", "31 lb per 1,000 gal", "31 lb/kgal", "31 lb/1000gal", "31 [lb_av]/(1000.[gal_us])", "31 lb{N}/1000 gal")
	check(units.PoundPerAcreInch, &c, func() float64 { return c.SI() }, "1 lb/acre-in", "12 lb/acre-ft", "1 [lb_av]/(3630.[cft_i])")
	var x units.MassFraction
	check(20*units.PoundPerTon, &x, func() float64 { return x.SI() }, "1 %", "20 lb/ton", "10000 mg/kg", "10,000 ppm", "10000 [ppm]", "10 g/kg", "10 kg/t", "20 [lb_av]/[ston_av]", "0.01 kg/kg")
	var r units.MassPerArea
	check(2*units.TonPerAcre, &r, func() float64 { return r.SI() }, "2 ton/acre", "2 tons/ac", "4000 lb/ac", "4000 [lb_av]/(43560.[sft_i])")
	check(units.KilogramPerHectare, &r, func() float64 { return r.SI() }, "1 kg/ha", "1 kg/har", "0.001 t/ha")
	check(units.PoundPer1000SquareFeet, &r, func() float64 { return r.SI() }, "1 lb/1000 ft2", "1 lb per 1,000 sq ft", "43.56 lb/acre")
	var q units.VolumePerArea
	check(8000*units.GallonPerAcre, &q, func() float64 { return q.SI() }, "8000 gal/acre", "8,000 gpa", "8 kgal/ac", "8000 [gal_us]/(43560.[sft_i])")
	check(units.Inch.Applied(), &q, func() float64 { return q.SI() }, "1 in", "1 acre-in/acre", "254 m3/ha")
	var p units.Price[units.Volume]
	check(units.PricePer(12, 1000*units.Gallon), &p, func() float64 { return p.SI() }, "12 per 1000 gal", "12/1,000 gal", "0.012 per gal", "0.012/gal")
	var w units.Duration
	check(90*units.Minute, &w, func() float64 { return w.SI() }, "90 min", "1.5 h", "1 h 30 min", "1h30m", "5400 s")
	var temp units.Temperature
	check(units.Celsius(20), &temp, func() float64 { return temp.SI() }, "68 F", "68 °F", "20 C", "20 degC", "20 Cel", "68 [degF]", "293.15 K")
	require.Error(t, temp.UnmarshalText([]byte("-500 F")))
	require.Error(t, temp.UnmarshalText([]byte("20")))
}

// Where a unit divides or has a zero of its own, a number that text can hold may come out
// as none.
func TestNoTextReadsAsInfinity(t *testing.T) {
	price, temp := units.Price[units.Volume](1), units.Temperature(1)
	for _, text := range []string{"1e308 per gal", "-1e308/gal"} {
		require.ErrorContains(t, price.UnmarshalText([]byte(text)), "float64 holds", text)
	}
	require.ErrorContains(t, temp.UnmarshalText([]byte("1e308 F")), "a temperature with its unit")
	for _, text := range []string{"12 per 0 gal", "12 per 1,00 gal", "12 per 1000", "12 gal", "per gal", "12 per ", "12 per gal x"} {
		require.NotEmpty(t, units.FieldErrors(price.UnmarshalText([]byte(text))), text)
	}
	for _, text := range []string{"-1e308 km", "1e308 km", "1e308 km 3 m", "-1e308 mi 1 ft"} {
		_, err := units.ParseLength(text)
		require.ErrorContains(t, err, "float64 holds", text)
		require.Equal(t, units.FaultRange, units.FieldErrors(err)[0].Kind)
	}
	require.Equal(t, units.Price[units.Volume](1), price)
	require.Equal(t, units.Temperature(1), temp)
	require.NoError(t, price.UnmarshalText([]byte("1e300 per gal")))
	require.NoError(t, temp.UnmarshalText([]byte("1.7976931348623157e308 K")), "the largest there is")
}

// A sum falls from part to part, down to but not at one of the unit before; each sign and
// fraction has its place.
func TestSumsOfUnits(t *testing.T) {
	for text, want := range map[string]float64{
		"5 ft 11.999 in": 5*12 + 11.999, "5 ft 0 in": 60, "0 ft 0 in": 0, "-0 ft 0 in": 0, "-0 ft 6 in": -6, "5 ft .5 in": 60.5, "1 mi 1759 yd 2 ft 11 in": 2*63360 - 1, "1 yd 35 in": 71, "+½ ft": 6, "-½ ft": -6, "1½ ft": 18, "1 ⅛ in": 1.125, "⅜ in": 0.375, "⅝ in": 0.625, "⅞ in": 0.875,
		"¼ in": 0.25, "¾ in": 0.75, "⅓ yd": 12, "⅔ yd": 24, "1e+3 in": 1000, "1E3 in": 1000, "1e-1 in": 0.1, "2\u2009in": 2, "5' 6\"": 66, "5 feet, 6 inches": 66, "1,000 ft 1 in": 12001,
	} {
		l, err := units.ParseLength(text)
		require.NoError(t, err, text)
		require.InDelta(t, want, l.In(units.Inch), 1e-9*max(1, math.Abs(want)), text)
		require.False(t, l == 0 && math.Signbit(float64(l)), text)
	}
	for text, want := range map[string]string{
		"5 ft 12 in": "falling units", "5 ft 13 in": "falling units", "1 yd 36 in": "falling units", "1 yd 3 ft": "falling units", "1 mi 1760 yd": "falling units", "1 km 1000 m": "falling units", "5 ft 1 yd": "falling units", "5 ft 0.5 in 0 in": "a fraction in the last part", "5 ft +3 in": "a sign in front", "5 ft 6 in 3": "a unit name at the end",
		"5 ft 6 kg": "is a mass", "5 ft 1,00 in": "thousands commas", "5e in": "a known unit", "1 in ½": "a unit name at the end", "5 ½ ½ in": "a unit name instead of",
	} {
		_, err := units.ParseLength(text)
		require.ErrorContains(t, err, want, text)
		require.NotEqual(t, units.FaultRange, units.FieldErrors(err)[0].Kind)
	}
	d, err := units.ParseDuration("1 h 59 min 59.5 s")
	require.NoError(t, err)
	require.InDelta(t, 7199.5, d.SI(), 1e-9)
	_, err = units.ParseDuration("1 h 60 min")
	require.ErrorContains(t, err, "falling units")
	// Text of 200 bytes is read, longer text is not, and is told in part.
	_, err = units.ParseLength(strings.Repeat(" ", 197) + "1 m")
	require.NoError(t, err)
	_, err = units.ParseLength(strings.Repeat(" ", 198) + "1 m")
	require.Error(t, err)
	for n, want := range map[int]string{200: `got "` + strings.Repeat("x", 200) + `", want`, 201: `got "` + strings.Repeat("x", 50) + `" and 151 bytes more, want`} {
		_, err = units.ParseLength(strings.Repeat("x", n))
		require.ErrorContains(t, err, want)
	}
}

// Text, JSON and the display form read back; the first two to the same bits.
// Text that is no quantity is refused in time and shown in part.
func TestLongTextIsRefused(t *testing.T) {
	for _, part := range []string{"sq ", "cu ", "{}", "(", "12 ft ", "1"} {
		text := "1 " + strings.Repeat(part, 1_000_000)
		var p units.Price[units.Volume]
		_, byLength := units.ParseLength(text)
		_, byTemperature := units.ParseTemperature(text)
		for _, err := range []error{byLength, byTemperature, p.UnmarshalText([]byte(text)), new(units.Oxides).UnmarshalText([]byte(text))} {
			require.NotEmpty(t, units.FieldErrors(err), part)
			require.Less(t, len(err.Error()), 500)
		}
	}
}

// Brackets go eight deep, any number of times; what stands behind one that closes nothing
// is not passed over.
func TestBracketsOfUnits(t *testing.T) {
	for text, want := range map[string]float64{
		"5 (m).m": 5, "5 m.(m)": 5, "2 ((((((((m2))))))))": 2, "7 (m).(m).(m)/(m)": 7, "3 m2" + strings.Repeat(".(m)/(m)", 9): 3, "4 (m3/(m))": 4, "4 m4/m2": -1,
		"6 (100 m).m": 600, "6 m.(100 m)": 600, "6 m/(1/m)": 6,
	} {
		a, err := units.ParseArea(text)
		if want < 0 {
			require.Error(t, err, text)
			continue
		}
		require.NoError(t, err, text)
		require.InDelta(t, want, a.SI(), 1e-12*want, text)
	}
	for text, want := range map[string]string{
		"5 lb/0 gal": "a whole number above 0", "5 lb/(0 gal)": "a whole number above 0", "5 lb/1,00 gal": "a whole number above 0", "5 lb/1.5 gal": "a unit that ends before \" gal\"", "5 kg/m^": "an exponent of 1 to 3", "5 kg/m^x": "an exponent of 1 to 3", "5 kg/m4": "an exponent of 1 to 3",
		"5 kg/m0": "an exponent of 1 to 3", "5 kg/": "a unit name at the end", "5 kg//m3": "a unit name instead of", "5 kg/[lb": "a closing ]", "5 [xx]": "a known UCUM code", "5 kg,m3": "a unit that ends before \",m3\"",
	} {
		_, err := units.ParseConcentration(text)
		require.ErrorContains(t, err, want, text)
	}
	for text, want := range map[string]units.Concentration{
		"5 lb/(1000 gal.)": 5 * units.PoundPer1000Gallon, "5 lb./1000 gal.": 5 * units.PoundPer1000Gallon, "5 kg.m-3": 5, "5 kg/m^3": 5, "5 kg1/m3": 5, "5 m-2.kg.m-1": 5, "5 m^-3.kg": 5, "5 [lb_av]/1000 [gal_us]": 5 * units.PoundPer1000Gallon, "5 LB/1,000 GAL": 5 * units.PoundPer1000Gallon, "5 kg/CUBIC METRE": 5, "5 kg / m1.m2": -1,
	} {
		c, err := units.ParseConcentration(text)
		if want < 0 {
			require.Error(t, err, text)
			continue
		}
		require.NoError(t, err, text)
		require.InEpsilon(t, want.SI(), c.SI(), 1e-12, text)
	}
	for _, text := range []string{"5 m)", "5 m)x", "5 (m))", "5 m) 6 in", "5 (m", "5 ((m)", "5 ()", "5 )m", "5 (((((((((m)))))))))"} {
		_, err := units.ParseLength(text)
		require.NotEmpty(t, units.FieldErrors(err), text)
	}
}

func TestFractionsAreNamed(t *testing.T) {
	for _, s := range []string{"8 1/2 ft", "8-1/2 ft", "1/2 in"} {
		_, err := units.ParseLength(s)
		require.ErrorContains(t, err, "a decimal instead of a fraction")
	}
}

func TestRoundTrips(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 2000 {
		x := rng.NormFloat64() * math.Pow(10, float64(rng.IntN(20)-10))
		type all struct {
			L  units.Length                   `json:"l"`
			A  units.Area                     `json:"a"`
			V  units.Volume                   `json:"v"`
			M  units.Mass                     `json:"m"`
			D  units.Duration                 `json:"d"`
			S  units.Speed                    `json:"s"`
			F  units.Flow                     `json:"f"`
			DR units.DepthRate                `json:"dr"`
			De units.Density                  `json:"de"`
			C  units.Concentration            `json:"c"`
			X  units.MassFraction             `json:"x"`
			MA units.MassPerArea              `json:"ma"`
			VA units.VolumePerArea            `json:"va"`
			P  units.Price[units.Area]        `json:"p"`
			T  units.Temperature              `json:"t"`
			W  units.Power                    `json:"w"`
			I  units.PowerPerVolume           `json:"i"`
			K  map[units.Length]units.Density `json:"k"`
		}
		in := all{units.Length(x), units.Area(x), units.Volume(x), units.Mass(x), units.Duration(x), units.Speed(x), units.Flow(x),
			units.DepthRate(x), units.Density(x), units.Concentration(x), units.MassFraction(x), units.MassPerArea(x), units.VolumePerArea(x),
			units.Price[units.Area](x), units.Temperature(math.Abs(x)), units.Power(x), units.PowerPerVolume(x), map[units.Length]units.Density{units.Length(x): 1}}
		text, err := json.Marshal(in)
		require.NoError(t, err)
		var out, read all
		require.NoError(t, json.Unmarshal(text, &out))
		require.Equal(t, in, out)
		require.NoError(t, strict.Decode(text, &read))
		require.Equal(t, in, read)

		shown, err := units.ParseVolume(units.Volume(x).Text(units.Gallon, 6))
		require.NoError(t, err)
		require.InDelta(t, units.Volume(x).In(units.Gallon), shown.In(units.Gallon), 1e-6+1e-14*math.Abs(x/units.Gallon.SI()))
	}
}

func TestNotFiniteIsNotWritten(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		_, err := json.Marshal(units.Length(x))
		require.ErrorContains(t, err, "a finite length")
	}
}

func TestBareJSONNumberIsRefused(t *testing.T) {
	var l units.Length
	require.Error(t, json.Unmarshal([]byte("12"), &l))
	require.Error(t, json.Unmarshal([]byte(`"12"`), &l))
}

func TestFlag(t *testing.T) {
	fs := flag.NewFlagSet("test", flag.ContinueOnError)
	fs.SetOutput(io.Discard)
	var depth units.Length
	fs.TextVar(&depth, "depth", 4*units.Foot, "depth of the `liquid`")
	require.NoError(t, fs.Parse([]string{"-depth", "8 ft 6 in"}))
	require.InDelta(t, 8.5, depth.In(units.Foot), 1e-14)
	require.Error(t, fs.Parse([]string{"-depth", "8.5"}))
}

func TestPrinting(t *testing.T) {
	l := 1234.5 * units.Foot
	for _, c := range []struct{ got, want string }{
		{fmt.Sprint(3.81 * units.Metre), "3.81 m"},
		{fmt.Sprintf("%v|%s|%d|%.1f|%8.2f", units.Foot, units.Foot, units.Foot, units.Foot, units.Foot), "0.3048 m|0.3048 m|0.3048 m|0.3 m|    0.30 m"},
		{fmt.Sprintf("%.2f", units.PricePer(2, units.SquareMetre)), "2.00 per m2"},
		{l.Text(units.Foot, 1), "1,234.5 ft"},
		{l.Text(units.Length(17), 1), "376.3 m"},
		{(-l).Text(units.Foot, 0), "-1,234 ft"},
		{(-0.001 * units.Foot).Text(units.Foot, 1), "0.0 ft"},
		{l.Trade(), "1,234 ft"},
		{(3 * units.Inch).Trade(), "3 in"},
		{(2 * units.Mile).Trade(), "2 mi"},
		{(0.05 * units.Acre).Trade(), "2,178 ft2"},
		{(3.25 * units.Acre).Trade(), "3.25 acre"},
		{(1e6 * units.Gallon).Trade(), "1,000,000 gal"},
		{(300 * units.Pound).Trade(), "300 lb"},
		{(50 * units.Ton).Trade(), "50 ton"},
		{(0.5 * units.Percent).Trade(), "10 lb/ton"},
		{(8 * units.Percent).Trade(), "8 %"},
		{(28 * units.MilligramPerKilogram).Trade(), "28 mg/kg"},
		{(140 * units.PoundPerAcre).Trade(), "140 lb/acre"},
		{(12 * units.TonPerAcre).Trade(), "12 ton/acre"},
		{units.Fahrenheit(60).Trade(), "60 F"},
		{units.Length(math.NaN()).Trade(), "NaN in"},
		{units.Length(math.Inf(-1)).Trade(), "-Inf mi"},
		{units.PricePer(12, 1000*units.Gallon).Trade(), "0.012 per gal"},
		{units.Length(0).Trade(), "0 ft"},
	} {
		require.Equal(t, c.want, c.got)
	}
}

func TestProducts(t *testing.T) {
	v := (2 * units.Acre).Times(3 * units.Foot)
	require.InEpsilon(t, 6.0, v.In(units.AcreFoot), 1e-15)
	require.InEpsilon(t, 36.0, v.Over(2*units.Acre).Depth().In(units.Inch)/1, 1e-15)
	require.InEpsilon(t, 2.0, v.OverRate((3 * units.Foot).Applied()).In(units.Acre), 1e-15)
	require.InEpsilon(t, 10.0, v.OverFlow(v.OverTime(10*units.Hour)).In(units.Hour), 1e-15)
	require.InEpsilon(t, 62.4, (62.4 * units.PoundPerCubicFoot).Times(units.CubicFoot).In(units.Pound), 1e-15)
	m := 500 * units.Pound
	require.InEpsilon(t, 5.0, m.OverRate(100*units.PoundPerAcre).In(units.Acre), 1e-15)
	require.InEpsilon(t, 100.0, m.Over(5*units.Acre).In(units.PoundPerAcre), 1e-15)
	require.InEpsilon(t, 50.0, m.Dissolved(10000*units.Gallon).In(units.PoundPer1000Gallon), 1e-15)
	require.InEpsilon(t, 5.0, m.OverMass(5*units.Ton).In(units.Percent), 1e-15)
	require.InEpsilon(t, 500.0, m.OverDensity(50*units.PoundPerCubicFoot).In(units.CubicFoot)*50, 1e-15)
	require.InEpsilon(t, 50.0, m.OverVolume(10*units.CubicFoot).In(units.PoundPerCubicFoot), 1e-15)
	c := (0.5 * units.Percent).At(8.34 * units.PoundPerGallon)
	require.InEpsilon(t, 41.7, c.In(units.PoundPer1000Gallon), 1e-14)
	require.InEpsilon(t, 0.5, c.OverDensity(8.34*units.PoundPerGallon).In(units.Percent), 1e-15)
	require.InEpsilon(t, 10000.0, (417 * units.PoundPerAcre).OverConcentration(c).In(units.GallonPerAcre), 1e-14)
	require.InEpsilon(t, 5.0, (50 * units.PoundPerAcre).OverFraction(10*units.PoundPerTon).In(units.TonPerAcre), 1e-15)
	require.InEpsilon(t, 50.0, (5 * units.TonPerAcre).Carrying(10*units.PoundPerTon).In(units.PoundPerAcre), 1e-15)
	require.InEpsilon(t, 1.0, (units.AcreInchPerHour).OverArea(units.Acre).In(units.InchPerHour), 1e-15)
	require.InEpsilon(t, 1.0, units.InchPerHour.TimesArea(units.Acre).In(units.AcreInchPerHour), 1e-15)
	require.InEpsilon(t, 2.0, units.InchPerHour.Times(2*units.Hour).In(units.Inch), 1e-15)
	require.InEpsilon(t, 88.0, units.Mile.OverTime(units.Hour).Times(units.Minute).In(units.Foot), 1e-15)
	require.InEpsilon(t, 30.0, (4 * units.Mile).OverSpeed(8*units.MilePerHour).In(units.Minute), 1e-15)
	require.InEpsilon(t, 200.0, (units.Acre).OverLength(200*units.Foot).Times(200*units.Foot).In(units.Acre)*200, 1e-15)
	require.InEpsilon(t, 3.0, (8 * units.Percent).Times(37.5*units.Ton).In(units.Ton), 1e-15)
	require.InEpsilon(t, 2700.0, (450 * units.GallonPerMinute).Times(6*units.Minute).In(units.Gallon), 1e-15)
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"12 ft 6 in", "31 lb/1000 gal", "[lb_av]/(1000.[gal_us])", "5 ft -3 in", "1,2,3 ft", "8,000 gal/ac", "3.5 [sft_i].m-2/h", "68 F", "12 per 1000 gal", "1e308 km", "5 sq. ft", "5 sq. ft.", "8 1/2 ft", "{", "5 cubic ", "9'", "1h30m", "-.5%", "0\xf2sq 0", "3 İSQ ft"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		roundTrip[units.Length](t, s)
		roundTrip[units.Area](t, s)
		roundTrip[units.Volume](t, s)
		roundTrip[units.Mass](t, s)
		roundTrip[units.Duration](t, s)
		roundTrip[units.Speed](t, s)
		roundTrip[units.Flow](t, s)
		roundTrip[units.DepthRate](t, s)
		roundTrip[units.Density](t, s)
		roundTrip[units.Concentration](t, s)
		roundTrip[units.MassFraction](t, s)
		roundTrip[units.MassPerArea](t, s)
		roundTrip[units.VolumePerArea](t, s)
		roundTrip[units.SeedsPerArea](t, s)
		roundTrip[units.SeedsPerMass](t, s)
		roundTrip[units.Temperature](t, s)
		roundTrip[units.Power](t, s)
		roundTrip[units.PowerPerVolume](t, s)
		roundTrip[units.Price[units.Volume]](t, s)
	})
}

type textual[Q any] interface {
	*Q
	encoding.TextUnmarshaler
}

// roundTrip checks that what parses is finite and is written and read back to
// the same bits, and that what does not leaves the target as it was.
func roundTrip[Q interface {
	~float64
	encoding.TextMarshaler
}, P textual[Q]](t *testing.T, s string) {
	t.Helper()
	q := Q(42)
	if err := P(&q).UnmarshalText([]byte(s)); err != nil {
		var fe *units.FieldError
		require.ErrorAs(t, err, &fe)
		require.Equal(t, Q(42), q)
		return
	}
	require.False(t, math.IsNaN(float64(q)) || math.IsInf(float64(q), 0), s)
	text, err := q.MarshalText()
	require.NoError(t, err)
	var again Q
	require.NoError(t, P(&again).UnmarshalText(text), string(text))
	require.Equal(t, math.Float64bits(float64(q)), math.Float64bits(float64(again)), s)
}

func BenchmarkParse(b *testing.B) {
	for _, s := range []string{"12.5 ft", "12 ft 6 in", "3.81 m"} {
		b.Run(s, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := units.ParseLength(s); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkAppendText(b *testing.B) {
	buf := make([]byte, 0, 64)
	b.ReportAllocs()
	for b.Loop() {
		var err error
		if buf, err = (12.5 * units.Foot).AppendText(buf[:0]); err != nil {
			b.Fatal(err)
		}
	}
}
