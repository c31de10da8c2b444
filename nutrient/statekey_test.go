package nutrient

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// What of an answer a unit makes, and what of the SI unit one of it is: NIST SP 811 (2008),
// Appendix B.8, for lb, ft, acre, gal and ton; a trade bushel is a weight and no volume.
func TestUnitsOfTables(t *testing.T) {
	const pound, foot, acre, gallon = 0.45359237, 0.3048, 4046.8564224, 0.003785411784
	for unit, want := range map[string]units.Quantity{
		"%": units.MassFraction(0.01), "mg/kg": units.MassFraction(1e-6), "ppm": units.MassFraction(1e-6), "lb/ton": units.MassFraction(1.0 / 2000), "kg/t": units.MassFraction(1e-3),
		"ft": units.Length(foot), "in": units.Length(foot / 12), "h": units.Duration(3600), "d": units.Duration(86400),
		"lb/acre": units.MassPerArea(pound / acre), "kg/ha": units.MassPerArea(1e-4), "ton/acre": units.MassPerArea(2000 * pound / acre),
		"gal/acre": units.VolumePerArea(gallon / acre), "m3/ha": units.VolumePerArea(1e-4), "mg/L": units.Concentration(1e-3), "in/h": units.DepthRate(foot / 12 / 3600),
		"lb": units.Mass(pound), "gal": units.Volume(gallon), "acre": units.Area(acre),
	} {
		q, ok := quantityOf(3, unit)
		require.True(t, ok, unit)
		require.IsType(t, want, q, unit)
		require.InEpsilon(t, 3*want.SI(), q.SI(), 1e-9, unit)
		s := scaleOf(unit)
		require.InEpsilon(t, want.SI(), s.factor, 1e-9, unit)
		require.Equal(t, boundsOf(want).most, s.most, unit)
		x, err := s.typed("3 " + unit)
		require.NoError(t, err)
		require.InEpsilon(t, 3*want.SI(), x, 1e-9, unit)
	}
	for _, unit := range []string{"", "1", "index", "lb/bu", "kg/bu", "bu", "bu/acre", "x removal", "meq/100 g", "bales"} {
		_, ok := quantityOf(1, unit)
		require.False(t, ok, unit)
	}
	for _, unit := range []string{"1", "index", "x removal", "meq/100 g"} {
		s := scaleOf(unit)
		require.Nil(t, s.typed, unit)
		require.Equal(t, scale{factor: 1, most: 1e12}, s, unit)
	}
	for unit, want := range map[string]bool{"lb/bu": true, "kg/bale": true, "lb/ton": true, "kg/t": true, "lb/100 lb": true, "lb/acre": false, "kg/ha": false, "lb": false, "lb/": false, "/bu": false, "%": false, "gal/acre": false, "ft/bu": false, "x removal": false, "": false} {
		require.Equal(t, want, perYield(unit), unit)
	}
	// One of per for one of the yield, in the unit to: 10 kg/t of 1 t/ha are 10 kg/ha.
	for _, c := range []struct {
		per, unit, to string
		want          float64
		ok            bool
	}{
		{"kg/t", "t/ha", "kg/ha", 1, true}, {"lb/bu", "bu/acre", "lb/acre", 1, true}, {"lb/bu", "bu/acre", "kg/ha", 1.1208511, true}, {"lb/ton", "ton/acre", "lb/acre", 1, true},
		{"lb/ton", "t/ha", "kg/ha", 0.5, true}, {"%", "t/ha", "kg/ha", 10, true}, {"lb/bu", "t/ha", "kg/ha", 0, false}, {"kg/t", "bu/acre", "kg/ha", 0, false},
		{"kg/ha", "t/ha", "kg/ha", 0, false}, {"lb/bu", "bu/acre", "bales", 0, false}, {"kg/t", "t/ha", "bales", 0, false}, {"lb/bu", "bu", "lb/acre", 0, false}, {"lb/bu", "bu/head", "lb/acre", 0, false},
	} {
		got, ok := perUnit(c.per, c.unit, c.to)
		require.Equal(t, c.ok, ok, "%+v", c)
		require.InDelta(t, c.want, got, 1e-6, "%+v", c)
	}
}

// Numbers as people write them, of a quantity with and without its unit.
func TestNumbersOfKeys(t *testing.T) {
	hours := keyOf(Key{Name: "time", Unit: "h", Also: map[string]float64{"shift": 8}})
	count := keyOf(Key{Name: "index", Unit: "1", Also: map[string]float64{"dozen": 12}})
	cec := keyOf(Key{Name: "cec", Unit: "meq/100 g"})
	percent := keyOf(Key{Name: "dryMatter", Unit: "%"})
	grain := keyOf(Key{Name: "yield", Unit: "bu/acre"}) // trade bushels, no volume
	liquid := keyOf(Key{Name: "rate", Unit: "gal/acre"})
	year := &boundKey{Key: Key{Name: KeyYear}, scale: scale{factor: 1, most: maxYear}, whole: true}
	for _, c := range []struct {
		key        *boundKey
		text       string
		want       float64 // in the unit of the key
		said, bare bool    // whether it is one in a query, and in a table
	}{
		{hours, "12 h", 12, true, true}, {hours, "12h", 12, true, true}, {hours, " 12 h ", 12, true, true}, {hours, "2 d", 48, true, true}, {hours, "3 shift", 24, true, true}, {hours, "1e2 h", 100, true, true},
		{hours, "1,000 h", 1000, true, true}, {hours, "1,000.5 h", 1000.5, true, true}, {hours, "12", 12, false, true}, {hours, "0 h", 0, true, true}, {hours, "-0 h", 0, true, true}, {hours, "-0", 0, false, true},
		{hours, "-1 h", 0, false, false}, {hours, "--0 h", 0, true, true}, {hours, "1,00 h", 0, false, false}, {hours, "12,5 h", 0, false, false}, {hours, "12 ft", 0, false, false}, {hours, "12 hh", 0, false, false}, {hours, "h", 0, false, false},
		{hours, "", 0, false, false}, {hours, "1.2.3 h", 0, false, false}, {hours, "2777777 h", 2777777, true, true}, {hours, "2777778 h", 0, false, false}, {hours, "1e-16 h", 0, false, false},
		{count, "12", 12, true, true}, {count, "2 dozen", 24, true, true}, {count, "12 h", 0, false, false}, {count, "1e12", 1e12, true, true}, {count, "1.01e12", 0, false, false}, {count, "1e-12", 1e-12, true, true}, {count, "0.99e-12", 0, false, false},
		{cec, "10 meq/100 g", 10, true, true}, {cec, "10", 10, false, true}, {cec, "10 meq/kg", 0, false, false},
		{percent, "100 %", 100, true, true}, {percent, "100.1 %", 0, false, false}, {percent, "0.5 %", 0.5, true, true}, {percent, "20 lb/ton", 1, true, true},
		{grain, "150 bu/acre", 150, true, true}, {grain, "150 bu/ac", 150, true, true}, {grain, "1000 gal/acre", 0, false, false}, {grain, "10 m3/ha", 0, false, false}, {grain, "8 t/ha", 0, false, false},
		{liquid, "1000 gal/acre", 1000, true, true}, {liquid, "7 acre-in/acre", 190080, true, true}, {liquid, "150 bu/acre", 0, false, false},
		{year, "1", 1, true, true}, {year, "50", 50, true, true}, {year, "0", 0, false, false}, {year, "51", 0, false, false}, {year, "1.5", 0, false, false},
	} {
		for bare, ok := range map[bool]bool{false: c.said, true: c.bare} {
			x, got := c.key.number(c.text, bare)
			require.Equal(t, ok, got, "%q of %s, bare: %v", c.text, c.key.Name, bare)
			if ok {
				require.InDelta(t, c.want, x/c.key.factor, 1e-9, c.text)
			}
		}
		s, ok := c.key.spotOf(c.text)
		require.Equal(t, c.said, ok, c.text)
		require.True(t, s.given && !s.never)
	}
	animal := keyOf(Key{Name: "species", Values: []string{"cows", "hens"}})
	for text, want := range map[string]int{"cows": 0, "HENS": 1} {
		s, ok := animal.spotOf(text)
		require.True(t, ok)
		require.Equal(t, spot{given: true, choice: want}, s)
	}
	for _, text := range []string{"geese", "cows; hens", "never"} {
		_, ok := animal.spotOf(text)
		require.False(t, ok, text)
	}
	never := keyOf(Key{Name: "time", Unit: "h", Never: "not at all"})
	s, ok := never.spotOf("Not at all")
	require.True(t, ok)
	require.Equal(t, spot{given: true, never: true}, s)
}

// What is said of a value that is none: in which way it is wrong, and what would be right.
func TestRefusalsOfValues(t *testing.T) {
	for _, c := range []struct {
		key  *boundKey
		text string
		kind units.FaultKind
		want string
	}{
		{keyOf(Key{Name: "a", Unit: "h"}), "12", units.FaultUnit, "a number with its unit, such as 12 h"},
		{keyOf(Key{Name: "a", Unit: "h", Never: "never"}), "soon", units.FaultMalformed, "a number with its unit, such as 12 h, or never"},
		{keyOf(Key{Name: "a", Unit: "h", Also: map[string]float64{"shift": 8, "day": 24}}), "12 ft", units.FaultUnit, "a number with a unit such as h, day, shift"},
		{keyOf(Key{Name: "a", Unit: "h"}), "1,5 h", units.FaultMalformed, "a decimal point, not a comma, or thousands commas in groups of three"},
		{keyOf(Key{Name: "a", Unit: "h"}), "1,5e3 h", units.FaultMalformed, "a decimal point, not a comma, or thousands commas in groups of three"},
		{keyOf(Key{Name: "a", Unit: "h"}), "1.2.3 h", units.FaultMalformed, "a number with its unit, such as 12 h"},
		{keyOf(Key{Name: "a", Unit: "h"}), "-1 h", units.FaultRange, "0, or up to 2.77778e+06 h"},
		{keyOf(Key{Name: "a", Unit: "h"}), "3,000,000 h", units.FaultRange, "0, or up to 2.77778e+06 h"},
		{keyOf(Key{Name: "a", Unit: "h"}), "1e999 h", units.FaultRange, "0, or up to 2.77778e+06 h"},
		{keyOf(Key{Name: "a", Unit: "bu/acre"}), "1000 gal/acre", units.FaultUnit, "a number with a unit such as bu/acre"},
		{keyOf(Key{Name: "a", Unit: "%"}), "120 %", units.FaultRange, "0, or up to 100 %"},
		{keyOf(Key{Name: "a", Unit: "1"}), "-1", units.FaultRange, "0, or 1e-12 to 1,000,000,000,000"},
		{keyOf(Key{Name: "a", Unit: "1"}), "2 h", units.FaultUnit, "a number with a unit such as 1"},
		{keyOf(Key{Name: "a", Unit: "1"}), "many", units.FaultMalformed, "a number"},
		{keyOf(Key{Name: "a", Date: true}), "31 Jun", units.FaultMalformed, "a day, such as 2026-10-20"},
		{keyOf(Key{Name: "a", Values: []string{"x", "y"}}), "12 h", units.FaultMalformed, "one of x; y"},
		{&boundKey{Key: Key{Name: KeyYear}, scale: scale{factor: 1, most: maxYear}, whole: true}, "51", units.FaultMalformed, "the year after application, 1 to 50"},
	} {
		_, ok := c.key.spotOf(c.text)
		require.False(t, ok, c.text)
		want, kind := c.key.refusal(c.text)
		require.Equal(t, c.kind, kind, c.text)
		require.Equal(t, c.want, want.String(), c.text)
	}
}

// Values are shown in the unit of their key.
func TestValuesAreShown(t *testing.T) {
	for want, c := range map[string]struct {
		key *boundKey
		x   float64
	}{
		"12.5 h": {keyOf(Key{Unit: "h"}), 45000}, "6 %": {keyOf(Key{Unit: "%"}), 0.06}, "0.123457": {keyOf(Key{Unit: "1"}), 0.1234567}, "10 index": {keyOf(Key{Unit: "index"}), 10},
		"2 Jan": {keyOf(Key{Date: true}), 1}, "3": {&boundKey{whole: true, scale: scale{factor: 1}}, 3},
	} {
		require.Equal(t, want, c.key.show(c.x))
	}
}

// A day is midnight UTC of its date, wherever and whenever it was written down.
func TestMidnight(t *testing.T) {
	zone := time.FixedZone("east", 14*3600)
	for _, at := range []time.Time{time.Date(2026, 3, 1, 0, 0, 0, 0, zone), time.Date(2026, 3, 1, 23, 59, 59, 999, zone), time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)} {
		got := midnight(at)
		require.Equal(t, "2026-03-01T00:00:00Z", got.Format(time.RFC3339Nano))
		require.Equal(t, time.UTC, got.Location())
	}
}

// Cells as they are printed: numbers with thousands in groups, ranges, letters of footnotes,
// and what is none of these.
func TestCellsAreRead(t *testing.T) {
	for text, want := range map[string]figure{
		"5": {Range: units.Point(5.0)}, "0": {Range: units.Point(0.0)}, "0.25": {Range: units.Point(0.25)}, "1,234": {Range: units.Point(1234.0)}, "999,999": {Range: units.Point(999999.0)}, "12,345,678.5": {Range: units.Point(12345678.5)},
		"5a": {Range: units.Point(5.0), foot: "a"}, "30-50": {Range: units.Range[float64]{Low: 30, High: 50}}, "30 - 50": {Range: units.Range[float64]{Low: 30, High: 50}}, "30 to 50b": {Range: units.Range[float64]{Low: 30, High: 50}, foot: "b"}, "30-30": {Range: units.Point(30.0)}, "1,000-2,000": {Range: units.Range[float64]{Low: 1000, High: 2000}},
	} {
		got, ok := figureOf(text)
		require.True(t, ok, text)
		require.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "a", "5aa", "-5", "50-30", "12,34", "1,2345", "1234,567", ",123", "1,,234", "1,234,56", "1.2.3", "30-", "-50", "30-50-60", "1e3", "5 a", "1000000000001"} {
		_, ok := figureOf(text)
		require.False(t, ok, text)
	}
	for text, want := range map[string]string{"n/a": "the table says that it does not occur", "?": "the figure was not legible", "n/a: left out": "left out", "5": "", "n/a ": "", "??": ""} {
		require.Equal(t, want, lacking(text), text)
	}
	for text, want := range map[string]Cell{`5`: "5", `"5"`: "5", `" x "`: "x", `0.50`: "0.50", `""`: "", `-3`: "-3", `1e3`: "1e3"} {
		var c Cell
		require.NoError(t, c.UnmarshalJSON([]byte(text)), text)
		require.Equal(t, want, c, text)
	}
	for _, text := range []string{`null`, `true`, `[1]`, `{}`, ``, `"`} {
		var c Cell
		require.Error(t, c.UnmarshalJSON([]byte(text)), text)
	}
	for cell, want := range map[Cell]string{"5": `5`, "0.50": `0.50`, "05": `"05"`, "-3": `-3`, "5a": `"5a"`, "": `""`, "30-50": `"30-50"`, "1e3": `"1e3"`} {
		got, err := cell.MarshalJSON()
		require.NoError(t, err)
		require.Equal(t, want, string(got))
	}
}
