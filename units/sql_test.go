package units_test

import (
	"database/sql"
	"database/sql/driver"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"reflect"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// What goes into a database as text comes back to the same bits.
func TestSQL(t *testing.T) {
	for _, v := range []driver.Valuer{
		8.1 * units.Foot, 1.1 * units.Acre, 250001 * units.Gallon, 3.3 * units.Ton, units.Duration(5), 2.2 * units.MilePerHour, 450 * units.GallonPerMinute,
		units.InchPerHour, 62 * units.PoundPerCubicFoot, 31 * units.PoundPer1000Gallon, 5.5 * units.Percent, 153 * units.PoundPerAcre, 7501 * units.GallonPerAcre,
		40 * units.SeedPerSquareFoot, units.SeedsPerMass(7), units.Fahrenheit(68), units.PricePer(12, 1000*units.Gallon),
		units.Range[units.Volume]{Low: units.Gallon, High: 3 * units.Gallon}, units.Range[float64]{Low: 0.1, High: 0.3},
		units.OxidesCoarse, units.SystemMetric, units.SignsSpaceComma, units.FaultConflict,
	} {
		stored, err := v.Value()
		require.NoError(t, err)
		require.IsType(t, "", stored, "text, never a number")
		for _, src := range []any{stored, []byte(stored.(string))} {
			back := reflect.New(reflect.TypeOf(v))
			require.NoError(t, back.Interface().(sql.Scanner).Scan(src))
			require.Equal(t, v, back.Elem().Interface())
		}
		back := reflect.New(reflect.TypeOf(v)).Interface().(sql.Scanner)
		for _, src := range []any{int64(1), 1.5, true, nil, "", "x"} {
			require.NotEmpty(t, units.FieldErrors(back.Scan(src)), "%T from %v", v, src)
		}
	}
	_, err := units.Length(math.NaN()).Value()
	require.Error(t, err)
	_, err = units.Range[float64]{High: math.Inf(1)}.Value()
	require.Error(t, err)
	_, err = units.Oxides(9).Value()
	require.Error(t, err)
	var null sql.Null[units.Length]
	require.NoError(t, null.Scan(nil))
	require.False(t, null.Valid)
}

type sheet struct {
	Name   string                       `json:"name"`
	Volume units.Volume                 `json:"volume"`
	Wide   *units.Length                `json:"wide,omitempty"`
	Range  *units.Range[units.Mass]     `json:"range"`
	Rows   []row                        `json:"rows"`
	By     map[string]units.MassPerArea `json:"by"`
	Cost   units.Price[units.Volume]    `json:"cost"`
	Share  float64                      `json:"share"`
	Count  int                          `json:"count"`
	Day    time.Time                    `json:"day"`
	Oxides units.Oxides                 `json:"oxides"`
	Warm   units.Temperature            `json:"warm"`
	inner  int
}

type row struct {
	Area units.Area `json:"area"`
	Dry  bool       `json:"dry"`
}

func aSheet() sheet {
	return sheet{Name: "north", Volume: 1000 * units.Gallon, Range: &units.Range[units.Mass]{Low: units.Pound, High: units.Ton},
		Rows: []row{{units.Acre, true}}, By: map[string]units.MassPerArea{"corn silage": units.PoundPerAcre}, Cost: units.PricePer(12, 1000*units.Gallon),
		Share: 0.5, Count: 3, Day: time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC), Oxides: units.OxidesCoarse, Warm: units.Celsius(20), inner: 1}
}

func TestNumbers(t *testing.T) {
	data, err := units.Numbers(aSheet(), units.SystemUS)
	require.NoError(t, err)
	require.JSONEq(t, `{"name":"north","volume":{"value":1000,"unit":"gal"},"range":{"low":{"value":1,"unit":"lb"},"high":{"value":2000,"unit":"lb"}},
		"rows":[{"area":{"value":1,"unit":"acre"},"dry":true}],"by":{"corn silage":{"value":1,"unit":"lb/acre"}},"cost":{"value":0.012,"unit":"per gal"},
		"share":0.5,"count":3,"day":"2026-06-01T00:00:00Z","oxides":"2.3/1.2","warm":{"value":68,"unit":"F"}}`, string(data))
	cells, err := units.Cells(aSheet(), units.SystemMetric)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff([]units.Cell{
		{"name", "north", ""}, {"volume", 3.785411784, "m3"}, {"range.low", 0.45359237, "kg"}, {"range.high", 907.18474, "kg"},
		{"rows[0].area", 0.40468564224, "ha"}, {"rows[0].dry", true, ""}, {`by["corn silage"]`, 1.1208511561944561, "kg/ha"}, {"cost", 3.170064628297781, "per m3"},
		{"share", 0.5, ""}, {"count", int64(3), ""}, {"day", "2026-06-01T00:00:00Z", ""}, {"oxides", "2.3/1.2", ""}, {"warm", 20.0, "C"},
	}, cells, cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Abs(a) })))

	bad := aSheet()
	bad.Rows[0].Area, bad.Oxides, bad.Share = units.Area(math.NaN()), 99, math.Inf(1)
	for _, f := range []func() error{
		func() error { _, err := units.Numbers(bad, units.SystemUS); return err },
		func() error { _, err := units.Cells(bad, units.SystemUS); return err },
	} {
		var fields []string
		for _, e := range units.FieldErrors(f()) {
			fields = append(fields, e.Field)
		}
		require.Equal(t, []string{"rows[0].area", "share", "oxides"}, fields)
	}
	type ring struct{ Next *ring }
	r := &ring{}
	r.Next = r
	_, err = units.Numbers(r, units.SystemUS)
	require.ErrorContains(t, err, "levels")
	_, err = units.Numbers(func() {}, units.SystemUS)
	require.Error(t, err)
	data, err = units.Numbers(nil, units.SystemUS)
	require.NoError(t, err)
	require.Equal(t, "null", string(data))
}

// told is shown as what it tells of itself.
type told struct{ v any }

func (t told) UnitsValue() any { return t.v }

// raw writes its own JSON, or has none.
type raw string

func (r raw) MarshalJSON() ([]byte, error) {
	if r == "" {
		return nil, errors.New("nothing to write")
	}
	return []byte(r), nil
}

// What tells its own value, writes its own JSON or has no value at all is a figure, too.
func TestNumbersOfEveryKind(t *testing.T) {
	for _, c := range []struct {
		value any
		us    string
		cells []units.Cell
	}{
		{units.Range[float64]{Low: 1, High: 2}, `{"low":1,"high":2}`, []units.Cell{{Path: "low", Value: 1.0}, {Path: "high", Value: 2.0}}},
		{units.Range[units.Length]{Low: units.Foot, High: 2 * units.Foot}, `{"low":{"value":1,"unit":"ft"},"high":{"value":2,"unit":"ft"}}`, []units.Cell{{"low", 1.0, "ft"}, {"high", 2.0, "ft"}}},
		{told{2.5}, `2.5`, []units.Cell{{Value: 2.5}}}, {told{nil}, `null`, []units.Cell{{}}}, {told{units.Share(0.5)}, `"50 %"`, []units.Cell{{Value: "50 %"}}}, {told{units.Foot}, `{"value":1,"unit":"ft"}`, []units.Cell{{"", 1.0, "ft"}}},
		{raw(`{"a":1}`), `{"a":1}`, []units.Cell{{Value: `{"a":1}`}}}, {(*units.Length)(nil), `null`, []units.Cell{{}}}, {[]*units.Length{nil, new(units.Foot)}, `[null,{"value":1,"unit":"ft"}]`, []units.Cell{{Path: "[0]"}, {"[1]", 1.0, "ft"}}},
		{units.Celsius(20), `{"value":68,"unit":"F"}`, []units.Cell{{"", 68.0, "F"}}}, {math.Copysign(0, -1), `0`, []units.Cell{{Value: 0.0}}}, {-0 * units.Foot, `{"value":0,"unit":"ft"}`, []units.Cell{{"", 0.0, "ft"}}}, {uint8(7), `7`, []units.Cell{{Value: int64(7)}}},
		{map[string]any{"b": []any{}, "a c": map[int]bool{2: true, 1: false}}, `{"a c":{"1":false,"2":true},"b":[]}`, []units.Cell{{Path: `["a c"].1`, Value: false}, {Path: `["a c"].2`, Value: true}}},
		{struct {
			A *struct{ B int }
			C units.Money `json:"c,omitempty"`
			D float64     `json:"d,omitzero"`
		}{}, `{"A":null}`, []units.Cell{{Path: "A"}}},
		{12 * units.Horsepower, `{"value":12,"unit":"hp"}`, []units.Cell{{"", 12.0, "hp"}}}, {units.PricePer(2, units.Hour), `{"value":2,"unit":"per h"}`, []units.Cell{{"", 2.0, "per h"}}},
	} {
		data, err := units.Numbers(c.value, units.SystemUS)
		require.NoError(t, err)
		require.Equal(t, c.us, string(data))
		cells, err := units.Cells(c.value, units.SystemUS)
		require.NoError(t, err)
		require.Empty(t, cmp.Diff(c.cells, cells, cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Abs(a) })))
	}
	for _, bad := range []any{told{math.NaN()}, told{math.Inf(1)}, raw(""), units.Range[float64]{Low: math.NaN()}, float32(math.Inf(1)), make(chan int), []any{1, func() {}}, uint64(1), complex(1, 1)} {
		_, err := units.Numbers(bad, units.SystemUS)
		require.Error(t, err, "%T", bad)
	}
	x, unit := units.SystemMetric.Number(nil)
	require.True(t, math.IsNaN(x) && unit == "")
	for _, c := range []struct {
		q    units.Quantity
		want string
	}{{units.Celsius(20), "20 C"}, {units.PricePer(2, units.CubicMetre), "2 per m3"}, {units.PricePer(2, units.Hour), "2 per h"}, {3 * units.Hour, "3 h"}, {3 * units.Hectare, "3 ha"}, {3 * units.Percent, "3 %"}, {3 * units.Kilowatt, "3 kW"}} {
		x, unit := units.SystemMetric.Number(c.q)
		require.Equal(t, c.want, fmt.Sprintf("%.12g %s", x, unit))
	}
	// Nested values are written 64 deep.
	nested := func(deep int) any {
		var v any = 1
		for range deep {
			v = []any{v}
		}
		return v
	}
	for deep, ok := range map[int]bool{31: true, 32: true, 33: false} {
		_, err := units.Numbers(nested(deep), units.SystemUS)
		require.Equal(t, ok, err == nil, deep)
	}
	// A database gives text, of a string or of bytes, and to a pointer also nothing.
	value, err := units.SQLValue(nil)
	require.True(t, value == nil && err == nil)
	require.NotEmpty(t, units.FieldErrors(units.SQLScan("3 m", nil)))
	var r units.Range[float64]
	for text, ok := range map[string]bool{"1 to 2": true, "1 to x": false, "x to 2": false, "1 2": false, "1 to 2 m": false, "1to2": false} {
		err := r.Scan(text)
		require.Equal(t, ok, err == nil, text)
	}
	require.Equal(t, units.Range[float64]{Low: 1, High: 2}, r)
	bad := r.Scan("x to y")
	require.Equal(t, []string{"low", "high"}, []string{units.FieldErrors(bad)[0].Field, units.FieldErrors(bad)[1].Field})
}

func ExampleNumbers() {
	result := struct {
		Volume units.Volume `json:"volume"`
		Area   units.Area   `json:"area"`
	}{2286500 * units.Gallon, 1.2 * units.Acre}
	data, err := units.Numbers(result, units.SystemMetric)
	fmt.Println(string(data), err)
	cells, err := units.Cells(result, units.SystemUS)
	fmt.Println(cells, err)
	text, err := json.Marshal(result.Area)
	fmt.Println(string(text), err)
	// Output:
	// {"volume":{"value":8655.344044116,"unit":"m3"},"area":{"value":0.485622770688,"unit":"ha"}} <nil>
	// [{volume 2.2865e+06 gal} {area 1.2 acre}] <nil>
	// "4856.22770688 m2" <nil>
}
