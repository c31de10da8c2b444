package units_test

import (
	"errors"
	"fmt"
	"io"
	"math"
	"net/netip"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
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
	want := []*units.FieldError{
		{Field: "depth", Value: "-2 ft", Want: "more than 0"},
		{Field: "width", Value: "NaN in", Want: "more than 0"},
		{Field: "rain", Value: "+Inf mi", Want: "0 or more"},
		{Field: "x", Value: "-Inf mi", Want: "a finite number"},
		{Field: "speed", Value: "9 mph", Want: "1 mph to 6 mph"},
		{Field: "purity", Value: "1.2", Want: "0 to 1"},
		{Field: "efficiency", Value: "0", Want: "more than 0 and at most 1"},
		{Field: "efficiency", Value: "NaN", Want: "more than 0 and at most 1"},
		{Field: "confidence", Value: "0", Want: "more than 0 and less than 1, such as 0.95"},
		{Field: "confidence", Value: "1", Want: "more than 0 and less than 1, such as 0.95"},
		{Field: "slope", Value: "0", Want: "more than 0"},
		{Field: "grade", Value: "NaN", Want: "0 or more"},
		{Field: "ph", Value: "15", Want: "0 to 14"},
		{Field: "species", Value: "nothing", Want: "a name of the table"},
		{Field: "method", Value: `"toss"`, Want: "one of drill, broadcast"},
	}
	require.Empty(t, cmp.Diff(want, units.FieldErrors(f.Err())))
}

func TestFaultsNestPaths(t *testing.T) {
	var inner units.Faults
	inner.Positive("area", units.Area(0))
	inner.Sub("[3]", &units.FieldError{Value: "1", Want: "2"})
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

func TestPathWithin(t *testing.T) {
	for _, place := range []string{"fields[2].area", "fields[2]", "fields", ""} {
		require.True(t, units.PathWithin("fields[2].area", place), place)
	}
	for _, place := range []string{"field", "fields[2].are", "fields[2].area.x", "fields[1]", "area"} {
		require.False(t, units.PathWithin("fields[2].area", place), place)
	}
}

func TestDecode(t *testing.T) {
	type pond struct {
		Name   string                     `json:"name"`
		Depth  units.Length               `json:"depth"`
		Slopes [4]float64                 `json:"slopes"`
		Gates  []units.Length             `json:"gates"`
		Note   *string                    `json:"note"`
		Count  int                        `json:"count"`
		Dry    bool                       `json:"dry"`
		Oxides units.Oxides               `json:"oxides"`
		By     map[string]units.Volume    `json:"by"`
		Cost   units.Price[units.Volume]  `json:"cost"`
		Rate   units.Range[units.Density] `json:"rate"`
		hidden int
	}
	var p pond
	require.NoError(t, units.Decode([]byte(`{"name":"a","depth":"8 ft","slopes":[1,2,3,4],"gates":["1 ft"],"note":null,"count":2,
		"dry":true,"oxides":"2.3/1.2","by":{"may":"3 gal"},"cost":"12 per 1000 gal","rate":{"low":"1 kg/m3","high":"2 kg/m3"}}`), &p))
	require.Equal(t, pond{Name: "a", Depth: 8 * units.Foot, Slopes: [4]float64{1, 2, 3, 4}, Gates: []units.Length{units.Foot}, Count: 2, Dry: true,
		Oxides: units.OxidesCoarse, By: map[string]units.Volume{"may": 3 * units.Gallon}, Cost: units.PricePer(12, 1000*units.Gallon),
		Rate: units.Range[units.Density]{Low: 1, High: 2}}, p)

	err := units.Decode([]byte(`{"name":3,"depth":8,"slopes":[1,2],"gates":["1 ft","2",{}],"count":1.5,"dry":"yes","oxides":"x",
		"by":{"may":"3 ft"},"cost":"12","rate":{"low":null,"mid":1},"Name":"b","hidden":1,"dry":true}`), &p)
	var fields []string
	for _, f := range units.FieldErrors(err) {
		fields = append(fields, f.Field)
	}
	require.Equal(t, []string{"dry", "name", "depth", "slopes", "gates[1]", "gates[2]", "count", "dry", "oxides", "by.may", "cost", "rate.low", "rate.mid", "Name", "hidden"}, fields)

	for _, bad := range []string{"", "{", "[1", `{"a":}`, "nul"} {
		require.ErrorContains(t, units.Decode([]byte(bad), &p), "not JSON at byte", bad)
	}
	require.ErrorContains(t, units.Decode([]byte(`{} {}`), &p), "the end of the file")
	require.ErrorContains(t, units.Decode([]byte(`{}`), p), "want a pointer")
	require.ErrorContains(t, units.Decode([]byte(`{}`), (*pond)(nil)), "want a pointer")
	_ = p.hidden
}

// A hostile file does not take many times its own memory.
func TestDecodeListsSome(t *testing.T) {
	var list []struct {
		Depth units.Length `json:"depth"`
	}
	text := "[" + strings.Repeat(`{"depth":1,"b":2},`, 50_000) + `{"depth":3}]`
	found := units.FieldErrors(units.Decode([]byte(text), &list))
	require.Len(t, found, 501)
	require.Equal(t, "is with more than 500 faults, want fewer; the rest was not looked at", found[500].Error())
}

// level reads any text but the bare number, as types of the domain packages do.
type level string

func (l *level) UnmarshalText(text []byte) error {
	if strings.ContainsAny(string(text[:1]), "0123456789") && !strings.Contains(string(text), " ") {
		return &units.FieldError{Value: string(text), Want: "a number with its unit, such as 3 rods"}
	}
	*l = level(text)
	return nil
}

// A number without a unit is told which units fit, by the type that wants them.
func TestDecodeBareNumbers(t *testing.T) {
	var v struct {
		Depth  units.Length `json:"depth"`
		Level  level        `json:"level"`
		Oxides units.Oxides `json:"oxides"`
	}
	err := units.Decode([]byte(`{"depth": 3, "level": 12, "oxides": 1}`), &v)
	require.EqualError(t, err, "depth: is 3, want text: a length with its unit, such as ft, in, yd, mi, m, cm\n"+
		"level: is 12, want a number with its unit, such as 3 rods\noxides: is 1, want one of molar, 2.29/1.20, 2.3/1.2, 2.2910/1.2051")
	require.Empty(t, v.Level)
	require.EqualError(t, units.Decode([]byte(`{"level": true}`), &v), "level: is true, want text")
}

func TestDecodeTimes(t *testing.T) {
	var v struct {
		Day  time.Time  `json:"day"`
		At   *time.Time `json:"at"`
		When time.Time  `json:"when"`
		IP   netip.Addr `json:"ip"`
	}
	err := units.Decode([]byte(`{"day":"2026-06-01","at":"2026-06-01T08:30:00+02:00","when":"June","ip":"x"}`), &v)
	require.Equal(t, time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC), v.Day)
	require.True(t, v.At.Equal(time.Date(2026, 6, 1, 6, 30, 0, 0, time.UTC)))
	list := units.FieldErrors(err)
	require.Len(t, list, 2)
	require.Equal(t, &units.FieldError{Field: "when", Value: `"June"`, Want: "text: a date such as 2026-06-01, or a time such as 2026-06-01T08:30:00Z"}, list[0])
	require.Equal(t, "ip", list[1].Field, "an error of another type keeps its place")
}

func FuzzDecode(f *testing.F) {
	f.Add([]byte(`{"name":"a","depth":"8 ft","list":[{"x":1},null]}`))
	f.Add([]byte(`[[[[[[]]]]]]`))
	f.Add([]byte(`{"a":1,"a":2} x`))
	f.Fuzz(func(t *testing.T, data []byte) {
		var v struct {
			Name  string             `json:"name"`
			Depth units.Length       `json:"depth"`
			List  []map[string]int8  `json:"list"`
			Any   map[string]float64 `json:"any"`
		}
		if units.Decode(data, &v) == nil {
			require.False(t, math.IsNaN(v.Depth.SI()) || math.IsInf(v.Depth.SI(), 0))
		}
	})
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
