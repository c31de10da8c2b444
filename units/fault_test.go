package units_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func TestFaultsCollect(t *testing.T) {
	var f units.Faults
	require.NoError(t, f.Err())
	f.Positive("depth", -2*units.Foot)
	f.Positive("depth", units.Foot)
	f.Positive("width", units.Length(math.NaN()))
	f.NotNegative("rain", units.Length(math.Inf(1)))
	f.NotNegative("rain", units.Length(0))
	f.Finite("x", units.Length(math.Inf(-1)))
	f.Between("speed", 9*units.MilePerHour, units.MilePerHour, 6*units.MilePerHour)
	f.Fraction("purity", 1.2)
	f.Fraction("purity", 1)
	f.PositiveFraction("efficiency", 0)
	f.PositiveFraction("efficiency", math.NaN())
	f.PositiveFraction("efficiency", 1)
	f.Confidence("confidence", 0)
	f.Confidence("confidence", 1)
	f.Confidence("confidence", 0.95)
	f.PositiveNumber("slope", 0)
	f.NotNegativeNumber("grade", math.NaN())
	f.NumberBetween("ph", 15, 0, 14)
	f.Missing("species", "a name of the table")
	f.Add("method", "toss", "one of drill, broadcast")
	f.Sub("rest", nil)
	f.Count("slopes", 3, "slopes", "%v or %v", 1, 4)
	f.Say("length", "given twice", "it once")
	want := `depth: got -2 ft, want more than 0
width: got NaN in, want more than 0
rain: got +Inf mi, want 0 or more and at most 621,371,192,237 mi
x: got -Inf mi, want a number between -621,371,192,237 mi and 621,371,192,237 mi
speed: got 9 mph, want 1 mph to 6 mph
purity: got 1.2, want 0 to 1
efficiency: got 0, want more than 0 and at most 1
efficiency: got NaN, want more than 0 and at most 1
confidence: got 0, want 0.001 to 0.999999, such as 0.95
confidence: got 1, want 0.001 to 0.999999, such as 0.95
slope: got 0, want more than 0
grade: got NaN, want 0 or more
ph: got 15, want 0 to 14
species: missing; want a name of the table
method: got "toss", want one of drill, broadcast
slopes: got 3 slopes, want 1 or 4
length: given twice; want it once`
	require.EqualError(t, f.Err(), want)
	kinds := map[string]units.FaultKind{"depth": units.FaultRange, "species": units.FaultMissing, "method": units.FaultMalformed,
		"slopes": units.FaultCount, "length": units.FaultConflict}
	for _, e := range units.FieldErrors(f.Err()) {
		if kind, ok := kinds[e.Field]; ok {
			require.Equal(t, kind, e.Kind, e.Field)
		}
		data, err := json.Marshal(e)
		require.NoError(t, err)
		var back units.FieldError
		require.NoError(t, json.Unmarshal(data, &back), string(data))
		if v, ok := e.Got.(units.Quantity); !ok || !math.IsNaN(v.SI()) {
			require.Empty(t, cmp.Diff(e, &back, cmpopts.EquateNaNs()), "%s", data)
		}
		require.Equal(t, e.Error(), back.Error())
	}
}

// A survey of many wrong soundings has a text that can be read, and loses no fault.
func TestFaultsOfManyParts(t *testing.T) {
	var f units.Faults
	const n = 20_000
	for i := range n {
		at := f.At("soundings", i)
		at.Missing("depth", "the depth")
	}
	err := f.Err()
	require.Len(t, units.FieldErrors(err), n)
	lines := strings.Split(err.Error(), "\n")
	require.Len(t, lines, 501)
	require.Equal(t, "soundings[499].depth: missing; want the depth", lines[499])
	require.Equal(t, "and 19500 more", lines[500])
	require.Equal(t, "soundings[19999].depth", units.FieldErrors(err)[n-1].Field)
	for n, last := range map[int]string{499: "rows[498]: missing; want a row", 500: "rows[499]: missing; want a row", 501: "and 1 more"} {
		var f units.Faults
		for i := range n {
			at := f.At("rows", i)
			at.Missing("", "a row")
		}
		lines := strings.Split(f.Err().Error(), "\n")
		require.Equal(t, last, lines[len(lines)-1])
		require.Len(t, lines, n)
		require.Equal(t, n, f.Len())
	}
}

func TestFaultsNestPaths(t *testing.T) {
	var inner units.Faults
	inner.Positive("area", units.Area(0))
	inner.Sub("[3]", units.Fault(units.FaultRange, "", 1, "2"))
	inner.Sub("file", fmt.Errorf("opening: %w", io.ErrUnexpectedEOF))
	var outer units.Faults
	outer.Sub("fields[2]", fmt.Errorf("field north: %w", inner.Err()))
	list := units.FieldErrors(outer.Err())
	require.Len(t, list, 2)
	require.Equal(t, "fields[2].area", list[0].Field)
	require.Equal(t, "fields[2][3]", list[1].Field)
	require.ErrorIs(t, outer.Err(), io.ErrUnexpectedEOF)
	require.ErrorContains(t, outer.Err(), "fields[2]: file: opening: unexpected EOF")
	require.Nil(t, units.FieldErrors(errors.New("other")))
}

// Sound input costs no memory: not for the paths, nor for the values.
func TestSoundInputAllocatesNothing(t *testing.T) {
	depths := []units.Length{1.23, 4.56, 7.89}
	cost := units.PricePer(12, 1000*units.Gallon)
	var f units.Faults
	require.Zero(t, testing.AllocsPerRun(100, func() {
		for i, d := range depths {
			at := f.At("basins", i)
			at.Positive("depth", d)
			at.UpTo("depth", d, 100*units.Foot)
			for j := range depths {
				in := at.At("layers", j, i)
				in.NotNegative("depth", d)
				in.Between("depth", d, units.Inch, 100*units.Foot)
				in.Finite("depth", d)
				in.NotNegative("cost", cost)
				in.Fraction("share", 0.3)
				by := at.Named("by", "north pond")
				by.PositiveNumber("slope", 2.5)
				by.CountBetween("sides", 3, "sides", 1, 4)
			}
		}
	}))
	require.NoError(t, f.Err())
	b := f.At("basins", 1)
	l := b.At("layers", 2, 3)
	n := l.Named("by", "north pond")
	n.Positive("depth", units.Length(-1))
	n.Sub("x", units.Fault(units.FaultMissing, "[4].y", nil, "a number"))
	require.EqualError(t, f.Err(), `basins[1].layers[2][3].by["north pond"].depth: got -3.281 ft, want more than 0`+"\n"+
		`basins[1].layers[2][3].by["north pond"].x[4].y: missing; want a number`)
	require.Equal(t, 2, l.Len())
	deep := f.At("a", 1, 2, 3)
	deep.Missing("b", "a number")
	require.ErrorContains(t, f.Err(), "a[1][2][3].b: missing")
}

// Numbers that no job reaches are refused by the check for more than 0.
func TestBoundsOfNumbers(t *testing.T) {
	for _, x := range []float64{0, math.Copysign(0, -1), 5e-324, 1e-310, 1e-13, 1e16, 1e308, math.Inf(1), math.NaN(), -1} {
		var f units.Faults
		f.Positive("a", units.Length(x))
		f.PositiveNumber("b", x)
		f.PositiveFraction("c", x)
		f.UpTo("d", units.Length(x), units.Length(1e14))
		require.Equal(t, 4, f.Len(), "%v: %v", x, f.Err())
	}
	var f units.Faults
	f.NotNegative("a", units.Length(math.Copysign(0, -1)))
	f.NotNegativeNumber("b", math.Copysign(0, -1))
	f.Fraction("c", math.Copysign(0, -1))
	require.NoError(t, f.Err())
	l, err := units.ParseLength("-0 ft")
	require.NoError(t, err)
	require.False(t, math.Signbit(float64(l)))
}

// A value that could not be read is not reported again as missing.
func TestWithoutEchoes(t *testing.T) {
	fault := func(kind units.FaultKind, field string) error { return units.Fault(kind, field, 3, "2") }
	read := errors.Join(fault(units.FaultMalformed, "a.b"), fault(units.FaultKey, "c.d"), fault(units.FaultConflict, "e"))
	err := units.WithoutEchoes(read, errors.Join(fault(units.FaultMissing, "a"), fault(units.FaultMissing, "a.b[1]"), fault(units.FaultMissing, "ab"),
		fault(units.FaultMissing, "a.bc"), fault(units.FaultMissing, "c"), fault(units.FaultRange, "e"), fault(units.FaultConflict, ""), io.EOF))
	var left []string
	for _, f := range units.FieldErrors(err) {
		left = append(left, f.Field)
	}
	require.Equal(t, []string{"a.b", "c.d", "e", "ab", "a.bc", "c", "e", ""}, left)
	require.ErrorIs(t, err, io.EOF)
	require.Empty(t, units.FieldErrors(units.WithoutEchoes(nil, nil)))
	require.Len(t, units.FieldErrors(units.WithoutEchoes(fault(units.FaultMalformed, ""), fault(units.FaultMissing, "a"))), 1, "nothing was read")
	// What is said of a whole whose part was not read is a part's echo, but what is said of
	// all of the input is one only where that is missing something.
	require.Len(t, units.FieldErrors(units.WithoutEchoes(fault(units.FaultMalformed, "a.b"), errors.Join(fault(units.FaultRange, "a"), fault(units.FaultRange, ""), fault(units.FaultMissing, "")))), 2)
}

func TestFaultKinds(t *testing.T) {
	for kind, in := range map[units.FaultKind]error{
		units.FaultUnit:      new(units.Length).UnmarshalText([]byte("12")),
		units.FaultMalformed: new(units.Length).UnmarshalText([]byte("twelve")),
		units.FaultRange:     new(units.Length).UnmarshalText([]byte("1e308 km")),
		units.FaultName:      new(units.Oxides).UnmarshalText([]byte("x")),
	} {
		require.Equal(t, kind, units.FieldErrors(in)[0].Kind, in)
	}
	var f units.Faults
	f.Add("rule", units.Oxides(7), "another")
	f.Add("depth", nil, "a depth")
	f.Lacking("rate", "no figure in the set", "another set")
	f.Unknown("kind", "x", units.Names{"a", "b"})
	require.EqualError(t, f.Err(), "rule: got (7), want another\ndepth: missing; want a depth\nrate: no figure in the set; want another set\nkind: got \"x\", want one of a, b")
	var kinds []units.FaultKind
	for _, e := range units.FieldErrors(f.Err()) {
		kinds = append(kinds, e.Kind)
	}
	require.Equal(t, []units.FaultKind{units.FaultName, units.FaultMissing, units.FaultLacking, units.FaultName}, kinds)
}

// The zero value of an enumeration is missing where it has no name; 0 of anything else is a
// value like any other.
func TestZeroValuesInFaults(t *testing.T) {
	var f units.Faults
	f.Add("gear", units.Enum[gearWords](0), "low or high")
	f.Add("gear", units.Enum[gearWords](7), "low or high")
	f.Add("system", units.System(0), "metric")
	f.Add("days", 0, "1 to 366")
	f.Add("share", 0.0, "more than 0")
	require.EqualError(t, f.Err(), "gear: missing; want low or high\ngear: got (7), want low or high\nsystem: got US, want metric\ndays: got 0, want 1 to 366\nshare: got 0, want more than 0")
	var kinds []units.FaultKind
	for _, e := range units.FieldErrors(f.Err()) {
		kinds = append(kinds, e.Kind)
	}
	require.Equal(t, []units.FaultKind{units.FaultMissing, units.FaultName, units.FaultName, units.FaultCount, units.FaultRange}, kinds)
}

type gearWords struct{}

func (gearWords) Names() units.Names { return units.Names{"", "low", "high"} }

func TestPathWithin(t *testing.T) {
	for _, place := range []string{"fields[2].area", "fields[2]", "fields", ""} {
		require.True(t, units.PathWithin("fields[2].area", place), place)
	}
	for _, place := range []string{"field", "fields[2].are", "fields[2].area.x", "fields[1]", "area"} {
		require.False(t, units.PathWithin("fields[2].area", place), place)
	}
}

// Keys of letters, digits, _, $ and - stand in a path as they are, at the ends of each run,
// others in brackets and quotes.
func TestPathKeys(t *testing.T) {
	for _, key := range []string{"a", "z", "A", "Z", "0", "9", "_", "$", "-", "Mehlich-3_$x"} {
		require.Equal(t, key, units.PathKey(key))
	}
	for _, key := range []string{"", "`", "{", "@", "[", "/", ":", ".", " ", "ä", "a b", "Mehlich 3", `"`, "a\n"} {
		require.Equal(t, fmt.Sprintf("[%q]", key), units.PathKey(key))
	}
	for _, c := range [][3]string{{"", "", ""}, {"a", "", "a"}, {"", "b", "b"}, {"a", "b", "a.b"}, {"a", "[2]", "a[2]"}, {"a", "[2].b", "a[2].b"}, {"a[1]", "b", "a[1].b"}} {
		require.Equal(t, c[2], units.JoinPath(c[0], c[1]))
	}
	var f units.Faults
	at := f.Named("", "north pond")
	at.Missing("depth", "a number")
	two := f.At("", 3, 4)
	two.Missing("x", "a number")
	whole := f.At("")
	whole.Missing("y", "a number")
	require.EqualError(t, f.Err(), "[\"north pond\"].depth: missing; want a number\n[3][4].x: missing; want a number\ny: missing; want a number")
}

func TestWorkingTable(t *testing.T) {
	var w units.Working
	w.Add("Depth", 8*units.Foot, "")
	w.Add("Area held", 2*units.Acre, "length x width")
	w.Add("Loads", 12, "rounded up")
	require.Equal(t, "Depth      8 ft\nArea held  2 acre  length x width\nLoads      12      rounded up\n", w.String())
}

func TestRange(t *testing.T) {
	r := units.Range[units.Length]{Low: 2, High: 5}
	require.Equal(t, units.Length(3.5), r.Mid())
	require.Equal(t, units.Length(1.5), r.Half())
	require.True(t, r.Has(5) && r.Has(2) && !r.Has(5.1))
	require.True(t, units.Point(units.Foot).IsPoint())
}

func TestOxidesRefuseUnknown(t *testing.T) {
	require.Zero(t, units.Oxides(9).P2O5PerP())
	_, err := units.Oxides(-1).MarshalText()
	require.ErrorContains(t, err, "one of molar")
	require.Equal(t, "(9)", units.Oxides(9).String())
	var o units.Oxides
	require.NoError(t, o.UnmarshalText([]byte("2.2910/1.2051")))
	require.Equal(t, units.OxidesWhole, o)
}

func TestSeries(t *testing.T) {
	s := units.Series{{1, 2}, {3, 4}}
	require.Equal(t, 2, s.Len())
	x, y := s.XY(1)
	require.Equal(t, [2]float64{3, 4}, [2]float64{x, y})
}

// A part that is assigned to what it is a part of loses its path, and nothing hangs.
func TestPartOfItself(t *testing.T) {
	var f units.Faults
	at := f.At("rows", 2)
	at = at.At("depth")
	at.Missing("unit", "one")
	require.Equal(t, "depth.unit", units.FieldErrors(f.Err())[0].Field)
}

// A name is shown in tables and files of a line a row, and beside others.
func TestNamesAreTextOfOneLine(t *testing.T) {
	for name, want := range map[string]string{
		" \t": "name: missing; want one that no other field has", "a\nb": "text of one line", "\x00": "text of one line", "\xff": "text of one line",
		strings.Repeat("x", 201): "at most 200 bytes", strings.Repeat("x", 200): "", "Südfeld, 2. Teil": "",
	} {
		var f units.Faults
		require.Equal(t, want == "", f.Name("name", name, "field", map[string]bool{}), "%q", name)
		if want == "" {
			require.NoError(t, f.Err())
		} else {
			require.ErrorContains(t, f.Err(), want, "%q", name)
			require.Less(t, len(f.Err().Error()), 300)
		}
	}
}

// Each check takes the ends of what it allows, and nothing beyond them: of a pair the
// first is sound and the second, the next number that there is, is not. The words tell on
// which side it lies.
func TestChecksAtTheirEnds(t *testing.T) {
	above := func(x float64) float64 { return math.Nextafter(x, math.Inf(1)) }
	below := func(x float64) float64 { return math.Nextafter(x, math.Inf(-1)) }
	m, cm := units.Metre, units.Length(0.01)
	for _, c := range []struct {
		name          string
		check         func(f *units.Faults, x float64)
		sound, faulty float64
		want          string
	}{
		{"Positive", func(f *units.Faults, x float64) { f.Positive("a", units.Length(x)) }, 1e-12, below(1e-12), "want at least 0.000000001 mm"},
		{"Positive", func(f *units.Faults, x float64) { f.Positive("a", units.Length(x)) }, 1e15, above(1e15), "want more than 0 and at most 1,000,000,000,000 km"},
		{"Positive", func(f *units.Faults, x float64) { f.Positive("a", units.Length(x)) }, 1, 0, "want more than 0"},
		{"NotNegative", func(f *units.Faults, x float64) { f.NotNegative("a", units.Length(x)) }, 0, -5e-324, "want 0 or more"},
		{"NotNegative", func(f *units.Faults, x float64) { f.NotNegative("a", units.Length(x)) }, 1e15, above(1e15), "want 0 or more and at most 1,000,000,000,000 km"},
		{"Finite", func(f *units.Faults, x float64) { f.Finite("a", units.Length(x)) }, -1e15, below(-1e15), "want a number between -1,000,000,000,000 km and 1,000,000,000,000 km"},
		{"Finite", func(f *units.Faults, x float64) { f.Finite("a", units.Length(x)) }, 1e15, above(1e15), "want a number between"},
		{"Between", func(f *units.Faults, x float64) { f.Between("a", units.Length(x), cm, 2*m) }, 0.01, below(0.01), "want 10 mm to 2 m"},
		{"Between", func(f *units.Faults, x float64) { f.Between("a", units.Length(x), cm, 2*m) }, 2, above(2), "want 10 mm to 2 m"},
		{"UpTo", func(f *units.Faults, x float64) { f.UpTo("a", units.Length(x), 2*m) }, 1e-12, below(1e-12), "want more than 0 and at most 2 m; so near to 0 it is taken for a slip"},
		{"UpTo", func(f *units.Faults, x float64) { f.UpTo("a", units.Length(x), 2*m) }, 2, above(2), "want more than 0 and at most 2 m"},
		{"UpTo", func(f *units.Faults, x float64) { f.UpTo("a", units.Length(x), 2*m) }, 1, 0, "want more than 0 and at most 2 m"},
		{"PositiveNumber", func(f *units.Faults, x float64) { f.PositiveNumber("a", x) }, 1e-12, below(1e-12), "want 1e-12 to 1e+15"},
		{"PositiveNumber", func(f *units.Faults, x float64) { f.PositiveNumber("a", x) }, 1e15, above(1e15), "want 1e-12 to 1e+15"},
		{"PositiveNumber", func(f *units.Faults, x float64) { f.PositiveNumber("a", x) }, 1, 0, "want more than 0"},
		{"NotNegativeNumber", func(f *units.Faults, x float64) { f.NotNegativeNumber("a", x) }, 0, -5e-324, "want 0 or more"},
		{"NotNegativeNumber", func(f *units.Faults, x float64) { f.NotNegativeNumber("a", x) }, 1e15, above(1e15), "want 0 or more and at most 1e+15"},
		{"NumberBetween", func(f *units.Faults, x float64) { f.NumberBetween("a", x, -3, 4) }, -3, below(-3), "want -3 to 4"},
		{"NumberBetween", func(f *units.Faults, x float64) { f.NumberBetween("a", x, -3, 4) }, 4, above(4), "want -3 to 4"},
		{"Fraction", func(f *units.Faults, x float64) { f.Fraction("a", x) }, 0, -5e-324, "want 0 to 1"},
		{"Fraction", func(f *units.Faults, x float64) { f.Fraction("a", x) }, 1, above(1), "want 0 to 1"},
		{"PositiveFraction", func(f *units.Faults, x float64) { f.PositiveFraction("a", x) }, 1e-12, below(1e-12), "so near to 0 it is taken for a slip"},
		{"PositiveFraction", func(f *units.Faults, x float64) { f.PositiveFraction("a", x) }, 1, above(1), "want more than 0 and at most 1"},
		{"Confidence", func(f *units.Faults, x float64) { f.Confidence("a", x) }, 0.001, below(0.001), "want 0.001 to 0.999999, such as 0.95"},
		{"Confidence", func(f *units.Faults, x float64) { f.Confidence("a", x) }, 0.999999, above(0.999999), "want 0.001 to 0.999999, such as 0.95"},
		{"NumberUpTo", func(f *units.Faults, x float64) { f.NumberUpTo("a", x, 7) }, 1e-12, below(1e-12), "want more than 0 and at most 7; so near to 0 it is taken for a slip"},
		{"NumberUpTo", func(f *units.Faults, x float64) { f.NumberUpTo("a", x, 7) }, 7, above(7), "want more than 0 and at most 7"},
		{"NumberUpTo", func(f *units.Faults, x float64) { f.NumberUpTo("a", x, 7) }, 1, 0, "want more than 0 and at most 7"},
		{"ZeroOr", func(f *units.Faults, x float64) { f.ZeroOr("a", units.Length(x), cm, 2*m) }, 0.01, below(0.01), "want 0, or 10 mm to 2 m"},
		{"ZeroOr", func(f *units.Faults, x float64) { f.ZeroOr("a", units.Length(x), cm, 2*m) }, 2, above(2), "want 0, or 10 mm to 2 m"},
		{"ZeroOr", func(f *units.Faults, x float64) { f.ZeroOr("a", units.Length(x), cm, 2*m) }, 0, -1, "want 0, or 10 mm to 2 m"},
		{"ZeroTo", func(f *units.Faults, x float64) { f.ZeroTo("a", units.Length(x), 2*m) }, 1e-12, below(1e-12), "want 0 to 2 m; so near to 0 it is taken for a slip"},
		{"ZeroTo", func(f *units.Faults, x float64) { f.ZeroTo("a", units.Length(x), 2*m) }, 2, above(2), "want 0 to 2 m"},
		{"ZeroTo", func(f *units.Faults, x float64) { f.ZeroTo("a", units.Length(x), 2*m) }, 0, -1, "want 0 to 2 m"},
		{"NumberZeroOr", func(f *units.Faults, x float64) { f.NumberZeroOr("a", x, 2, 3) }, 2, below(2), "want 0, or 2 to 3"},
		{"NumberZeroOr", func(f *units.Faults, x float64) { f.NumberZeroOr("a", x, 2, 3) }, 3, above(3), "want 0, or 2 to 3"},
		{"NumberZeroTo", func(f *units.Faults, x float64) { f.NumberZeroTo("a", x, 3) }, 1e-12, below(1e-12), "want 0 to 3; so near to 0 it is taken for a slip"},
		{"NumberZeroTo", func(f *units.Faults, x float64) { f.NumberZeroTo("a", x, 3) }, 3, above(3), "want 0 to 3"},
		{"NumberZeroTo", func(f *units.Faults, x float64) { f.NumberZeroTo("a", x, 3) }, 0, -1, "want 0 to 3"},
		{"Money", func(f *units.Faults, x float64) { f.Money("a", x) }, 1e12, above(1e12), "want 0 to 1e+12"},
		{"Money", func(f *units.Faults, x float64) { f.Money("a", x) }, 0, -5e-324, "want 0 to 1e+12"},
		{"Price", func(f *units.Faults, x float64) { f.Price("a", units.Price[units.Length](x)) }, 1e-12, below(1e-12), "want 0 to 1,000,000,000.00 per m"},
		{"Price", func(f *units.Faults, x float64) { f.Price("a", units.Price[units.Length](x)) }, 1e9, above(1e9), "want 0 to 1,000,000,000.00 per m"},
		{"Price", func(f *units.Faults, x float64) { f.Price("a", units.Price[units.Length](x)) }, 0, -1, "want 0 to 1,000,000,000.00 per m"},
		{"CountBetween", func(f *units.Faults, x float64) { f.CountBetween("a", int(x), "rows", 2, 5) }, 2, 1, "got 1 rows, want 2 to 5"},
		{"CountBetween", func(f *units.Faults, x float64) { f.CountBetween("a", int(x), "rows", 2, 5) }, 5, 6, "got 6 rows, want 2 to 5"},
		{"CountBetween", func(f *units.Faults, x float64) { f.CountBetween("a", int(x), "rows", 0, 5) }, 0, 6, "got 6 rows, want at most 5"},
	} {
		var sound, faulty units.Faults
		c.check(&sound, c.sound)
		require.NoError(t, sound.Err(), "%s of %v", c.name, c.sound)
		c.check(&faulty, c.faulty)
		text := units.Style{System: units.SystemMetric}.Faults(faulty.Err())
		require.True(t, strings.HasSuffix(text, c.want) || strings.Contains(text, c.want) && strings.HasSuffix(c.want, "between"), "%s of %v: %s", c.name, c.faulty, text)
		for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
			if c.name == "CountBetween" {
				continue
			}
			var f units.Faults
			c.check(&f, x)
			require.Equal(t, 1, f.Len(), "%s of %v", c.name, x)
		}
	}
}

// A quantity that is not there, or stands behind a pointer, is checked like any other.
func TestChecksOfPointers(t *testing.T) {
	var f units.Faults
	f.Positive("none", nil)
	f.Positive("nil", (*units.Length)(nil))
	f.Positive("sound", new(2*units.Foot))
	f.Positive("low", new(-2*units.Foot))
	f.Between("between", new(9*units.Foot), new(units.Foot), new(3*units.Foot))
	require.EqualError(t, f.Err(), "none: got NaN in, want more than 0\nnil: got NaN in, want more than 0\nlow: got -2 ft, want more than 0\nbetween: got 9 ft, want 1 ft to 3 ft")
}

// A fault keeps what it says when it is told of another field, and its place in a file.
func TestFaultsMove(t *testing.T) {
	e := units.Fault(units.FaultRange, "depth", 3, "%v", 2)
	e.Line, e.Column, e.Written = 4, 7, "3.0"
	at := e.At("basins[1].depth")
	require.Equal(t, "basins[1].depth: got 3.0, want 2 (line 4, column 7)", at.Error())
	require.Equal(t, "depth: got 3.0, want 2 (line 4, column 7)", e.Error())
	require.Equal(t, "got 3.0, want 2", at.Message())
	require.Equal(t, []units.FaultText{{Field: "depth", Kind: units.FaultRange, Message: "got 3.0, want 2", Line: 4, Column: 7}}, units.Style{}.Messages([]*units.FieldError{e}))
	data, err := json.Marshal(e)
	require.NoError(t, err)
	require.JSONEq(t, `{"kind":"range","field":"depth","got":{"count":3},"want":{"text":"%v","args":[{"count":2}]},"written":"3.0","line":4,"column":7}`, string(data))
	var back units.FieldError
	require.NoError(t, json.Unmarshal(data, &back))
	require.Equal(t, *e, back)
	for _, c := range []struct {
		fault *units.FieldError
		want  string
	}{
		{units.Fault(units.FaultMissing, "", nil, ""), "missing"}, {units.Fault(units.FaultMissing, "a", nil, "b"), "a: missing; want b"},
		{units.Fault(units.FaultConflict, "a", units.Words("given %v", 2), ""), "a: given 2"}, {units.Fault(units.FaultRange, "a", 3, ""), "a: got 3"},
		{&units.FieldError{Written: "x", Want: units.Words("y")}, "got x, want y"}, {&units.FieldError{Written: "x", Line: 1}, "got x (line 1, column 0)"},
		{&units.FieldError{Got: "x", Line: 12345}, `got "x" (line 12,345, column 0)`},
	} {
		require.Equal(t, c.want, c.fault.Error())
	}
	require.Equal(t, `"x" 3.0 `, units.Fault(units.FaultName, "", "x", "").GotText()+" "+e.GotText()+" "+units.Fault(units.FaultMissing, "", nil, "").GotText())
	for _, bad := range []string{`{"kind":"x"}`, `{"kind":"range","got":{}}`, `3`, `{"got":{"quantity":"length","value":"3 ft3"}}`} {
		require.Error(t, json.Unmarshal([]byte(bad), &back), bad)
	}
}

// Names stand once in a list, and a number that is 0 or within bounds is told from
// one that is beyond them or so near to 0 that it is a slip.
func TestBounds(t *testing.T) {
	var f units.Faults
	taken := map[string]bool{}
	for i, name := range []string{"north", "", "south", "north"} {
		at := f.At("fields", i)
		require.Equal(t, i == 0 || i == 2, at.Name("name", name, "field", taken))
	}
	require.Len(t, taken, 2)
	negative := math.Copysign(0, -1)
	f.ZeroOr("a", units.Length(negative), units.Metre, units.MaxLength)
	f.ZeroOr("a", units.Metre/2, units.Metre, 2*units.Metre)
	f.ZeroTo("b", units.Length(negative), units.MaxLength)
	f.ZeroTo("b", units.Length(math.NaN()), 2*units.Metre)
	f.ZeroTo("b", units.Length(1e-310), 2*units.Metre)
	f.UpTo("c", units.Length(1e-310), 2*units.Metre)
	f.UpTo("c", units.Length(0), 2*units.Metre)
	f.NumberZeroOr("d", negative, 0.1, 1)
	f.NumberZeroOr("d", 0.05, 0.1, 1)
	f.NumberZeroTo("e", negative, 1)
	f.NumberZeroTo("e", 1e-310, 1)
	f.NumberZeroTo("e", math.Inf(1), 1)
	f.NumberUpTo("g", 0, 1)
	f.NumberUpTo("g", 1e-310, 1)
	f.Money("h", -1)
	f.Price("i", units.PricePer(0, units.Metre))
	f.Price("i", units.PricePer(-1, units.Metre))
	require.Equal(t, `fields[1].name: missing; want one that no other field has
fields[3].name: got "north", want one that no other field has
a: got 0.5 m, want 0, or 1 m to 2 m
b: got NaN mm, want 0 to 2 m
b: got 1e-307 mm, want 0 to 2 m; so near to 0 it is taken for a slip
c: got 1e-307 mm, want more than 0 and at most 2 m; so near to 0 it is taken for a slip
c: got 0 m, want more than 0 and at most 2 m
d: got 0.05, want 0, or 0.1 to 1
e: got 1e-310, want 0 to 1; so near to 0 it is taken for a slip
e: got +Inf, want 0 to 1
g: got 0, want more than 0 and at most 1
g: got 1e-310, want more than 0 and at most 1; so near to 0 it is taken for a slip
h: got -1, want 0 to 1e+12
i: got -1.000 per m, want 0 to 1,000,000,000.00 per m`, units.Style{System: units.SystemMetric}.Faults(f.Err()))
}
