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

func TestPathWithin(t *testing.T) {
	for _, place := range []string{"fields[2].area", "fields[2]", "fields", ""} {
		require.True(t, units.PathWithin("fields[2].area", place), place)
	}
	for _, place := range []string{"field", "fields[2].are", "fields[2].area.x", "fields[1]", "area"} {
		require.False(t, units.PathWithin("fields[2].area", place), place)
	}
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
