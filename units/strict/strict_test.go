package strict_test

import (
	"errors"
	"math"
	"net/netip"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/units/strict"
)

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
	require.NoError(t, strict.Decode([]byte(`{"name":"a","depth":"8 ft","slopes":[1,2,3,4],"gates":["1 ft"],"note":null,"count":2,
		"dry":true,"oxides":"2.3/1.2","by":{"may":"3 gal"},"cost":"12 per 1000 gal","rate":{"low":"1 kg/m3","high":"2 kg/m3"}}`), &p))
	require.Equal(t, pond{Name: "a", Depth: 8 * units.Foot, Slopes: [4]float64{1, 2, 3, 4}, Gates: []units.Length{units.Foot}, Count: 2, Dry: true,
		Oxides: units.OxidesCoarse, By: map[string]units.Volume{"may": 3 * units.Gallon}, Cost: units.PricePer(12, 1000*units.Gallon),
		Rate: units.Range[units.Density]{Low: 1, High: 2}}, p)

	err := strict.Decode([]byte(`{"name":3,"depth":8,"slopes":[1,2],"gates":["1 ft","2",{}],"count":1.5,"dry":"yes","oxides":"x",
		"by":{"may":"3 ft"},"cost":"12","rate":{"low":null,"mid":1},"Name":"b","hidden":1,"dry":true}`), &p)
	var fields []string
	for _, f := range units.FieldErrors(err) {
		fields = append(fields, f.Field)
	}
	require.Equal(t, []string{"name", "depth", "slopes", "gates[1]", "gates[2]", "count", "dry", "oxides", "by.may", "cost", "rate.low", "rate.mid", "Name", "hidden", "dry"}, fields)

	for _, bad := range []string{"", "{", "[1", `{"a":}`, "nul"} {
		require.ErrorContains(t, strict.Decode([]byte(bad), &p), "not JSON", bad)
	}
	require.ErrorContains(t, strict.Decode([]byte(`{} {}`), &p), "more text after the value; want one JSON value in UTF-8 (line 1, column 4)")
	require.ErrorContains(t, strict.Decode([]byte(`{}`), p), "want a pointer")
	require.ErrorContains(t, strict.Check([]byte(`{}`), nil, nil), "want a pointer")
	require.NoError(t, strict.Check([]byte(`{}`), &p, nil))
	require.ErrorContains(t, strict.Decode([]byte(`{}`), (*pond)(nil)), "want a pointer")
	_ = p.hidden
}

// A hostile file does not take many times its own memory.
func TestDecodeListsSome(t *testing.T) {
	var list []struct {
		Depth units.Length `json:"depth"`
	}
	text := "[" + strings.Repeat(`{"depth":1,"b":2},`, 50_000) + `{"depth":3}]`
	found := units.FieldErrors(strict.Decode([]byte(text), &list))
	require.Len(t, found, 501)
	require.Equal(t, "more than 500 faults; want fewer; the rest was not looked at", found[500].Error())
}

// level reads any text but the bare number, as types of the domain packages do.
type level string

func (l *level) UnmarshalText(text []byte) error {
	if strings.ContainsAny(string(text[:1]), "0123456789") && !strings.Contains(string(text), " ") {
		return units.Fault(units.FaultUnit, "", string(text), "a number with its unit, such as 3 rods")
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
	err := strict.Decode([]byte(`{"depth": 3, "level": 12, "oxides": 1}`), &v)
	require.EqualError(t, err, "depth: got 3, want text: a length with its unit, such as ft, in, yd, mi, m, cm (line 1, column 11)\n"+
		"level: got 12, want a number with its unit, such as 3 rods (line 1, column 23)\n"+
		"oxides: got 1, want one of molar, 2.29/1.20, 2.3/1.2, 2.2910/1.2051 (line 1, column 37)")
	require.Empty(t, v.Level)
	require.EqualError(t, strict.Decode([]byte(`{"level": true}`), &v), "level: got true, want text (line 1, column 11)")
}

func TestDecodeTimes(t *testing.T) {
	var v struct {
		Day  time.Time  `json:"day"`
		At   *time.Time `json:"at"`
		When time.Time  `json:"when"`
		IP   netip.Addr `json:"ip"`
	}
	err := strict.Decode([]byte(`{"day":"2026-06-01","at":"2026-06-01T08:30:00+02:00","when":"June","ip":"x"}`), &v)
	require.Equal(t, time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC), v.Day)
	require.True(t, v.At.Equal(time.Date(2026, 6, 1, 6, 30, 0, 0, time.UTC)))
	list := units.FieldErrors(err)
	require.Len(t, list, 2)
	require.Equal(t, `when: got "June", want text: a date such as 2026-06-01, or a time such as 2026-06-01T08:30:00Z (line 1, column 61)`, list[0].Error())
	require.Equal(t, "ip", list[1].Field, "an error of another type keeps its place")
}

// What stands in the file, where, and only once: the answers that a user gets.
func TestCheck(t *testing.T) {
	type pond struct {
		Depth  units.Length `json:"depth"`
		Width  units.Length `json:"width"`
		Length units.Length `json:"length"`
		Share  float64      `json:"share"`
	}
	type farm struct {
		Ponds []pond          `json:"ponds"`
		By    map[string]pond `json:"by"`
	}
	var in farm
	check := func() error {
		var f units.Faults
		one := func(at units.Faults, p pond) {
			at.Positive("depth", p.Depth)
			at.Between("width", p.Width, units.Foot, 100*units.Foot)
			at.Positive("length", p.Length)
			at.PositiveFraction("share", p.Share)
		}
		for i, p := range in.Ponds {
			one(f.At("ponds", i), p)
		}
		for name, p := range in.By {
			one(f.Named("by", name), p)
		}
		return f.Err()
	}
	text := "\xef\xbb\xbf" + `{"$schema": "farm.json",
  "ponds": [
    {"depth": "31 ppm", "width": "-2 m", "share": 0.5, "lenght": "8 ft"}
  ],
  "by": {"north pond": {"depth": "2 m", "width": "30 ft", "length": "1e200 km", "share": 2}}
}`
	err := strict.Check([]byte(text), &in, check)
	require.EqualError(t, err, `ponds[0].depth: got "31 ppm", want a length with its unit, such as ft, in, yd, mi, m, cm ("ppm" is a mass fraction) (line 3, column 15)
ponds[0].lenght: an unknown key; want one of depth, length, share, width (line 3, column 66)
ponds[0].width: got -2 m, want 1 ft to 100 ft (line 3, column 34)
ponds[0].length: missing; want more than 0 (line 3, column 5)
by["north pond"].length: got 1e200 km, want more than 0 and at most 621,371,192,237 mi (line 5, column 69)
by["north pond"].share: got 2, want more than 0 and at most 1 (line 5, column 90)`)
	in = farm{}
	require.NoError(t, strict.Check([]byte(`{"ponds":[]}`), &in, check))
	broken := strict.Check([]byte(`{"ponds":[}`), &in, func() error { t.Fatal("nothing was read"); return nil })
	require.Len(t, units.FieldErrors(broken), 1)
}

// Text as people's machines write it is read, or refused by name.
func TestEncodings(t *testing.T) {
	var v struct {
		Name string `json:"name"`
	}
	for text, want := range map[string]string{
		"\xef\xbb\xbf{\"name\": \"Hüfte\"}": "",
		"\xff\xfe{\x00}\x00":                "text in UTF-16; want JSON in UTF-8",
		"\xfe\xff\x00{\x00}":                "text in UTF-16; want JSON in UTF-8",
		"{\x00}\x00":                        "text in UTF-16; want JSON in UTF-8",
		"{\"name\":\n \"H\xfcfte\"}":        "the byte 0xfc is not UTF-8, the text may be in Latin-1; want one JSON value in UTF-8 (line 2, column 4)",
		`{"name": "a\ud800b"}`:              "not JSON: half of a character",
		`{"name": "\ufffd"}`:                "",
		"{\n\"name\": tru}":                 "(line 2, column ",
		"{\n\"name\": \"a\",\n}":            "(line 3, column ",
		"{\n\"name\" \"a\"}":                "(line 2, column ",
	} {
		err := strict.Decode([]byte(text), &v)
		if want == "" {
			require.NoError(t, err, text)
			continue
		}
		require.ErrorContains(t, err, want, text)
		require.Len(t, units.FieldErrors(err), 1)
	}
	require.NotContains(t, v.Name, "b")
}

// What a check finds is listed as briefly as what reading finds, and both together.
func TestCheckListsNoMoreThanReading(t *testing.T) {
	var v struct {
		List []units.Length `json:"list"`
	}
	for _, unread := range []int{0, 10, 600} {
		data := []byte(`{"list": [` + strings.Repeat(`"x", `, unread) + strings.Repeat(`"1 m", `, 2000) + `"1 m"]}`)
		err := strict.Check(data, &v, func() error {
			var f units.Faults
			for i, l := range v.List {
				at := f.At("list", i)
				at.Between("", l, 2*units.Metre, 3*units.Metre)
			}
			return f.Err()
		})
		found := units.FieldErrors(err)
		require.Len(t, found, 501, unread)
		require.Equal(t, "list[499]", found[499].Field)
		require.Positive(t, found[499].Column)
		require.Equal(t, "more than 500 faults; want fewer; the rest was not looked at", found[500].Error())
	}
}

// Each kind of field with what does not fit it, and what does at its ends.
func TestKindsOfFields(t *testing.T) {
	type inner struct {
		X int `json:"x"`
	}
	type Base struct {
		Deep float64 `json:"deep"`
	}
	var v struct {
		Base
		Text    string         `json:"text"`
		Yes     bool           `json:"yes"`
		Float   float64        `json:"float"`
		Half    float32        `json:"half"`
		Whole   int64          `json:"whole"`
		Small   int8           `json:"small"`
		Three   [3]int         `json:"three"`
		List    []int          `json:"list"`
		By      map[string]int `json:"by"`
		In      inner          `json:"in"`
		To      *inner         `json:"to"`
		Depth   *units.Length  `json:"depth"`
		Level   level          `json:"level"`
		Day     time.Time      `json:"day"`
		Any     chan int       `json:"any"`
		Untold  int
		Hidden  int `json:"-"`
		private int
	}
	for text, want := range map[string]string{
		`{"text": 3}`: "text: got 3, want text", `{"text": null}`: "text: got null, want text", `{"yes": "true"}`: `yes: got "true", want true or false`, `{"float": "1"}`: `float: got "1", want a number`, `{"float": 1e309}`: "float: got 1e309, want a number", `{"half": 1e39}`: "half: got 1e39, want a number",
		`{"whole": 1.5}`: "whole: got 1.5, want a whole number", `{"whole": 9223372036854775808}`: "want a whole number", `{"small": 128}`: "small: got 128, want a whole number", `{"small": -129}`: "small: got -129", `{"three": [1,2]}`: "three: got 2 values, want 3", `{"three": [1,2,3,4]}`: "three: got 4 values, want 3",
		`{"three": {}}`: "three: got an object, want a list", `{"list": 3}`: "list: got 3, want a list", `{"list": [1,"2"]}`: `list[1]: got "2", want a whole number`, `{"by": [1]}`: "by: got a list, want an object", `{"by": {"a b": true}}`: `by["a b"]: got true, want a whole number`, `{"by": {"a": 1, "a": 2}}`: "by.a: given twice; want it once",
		`{"in": []}`: "in: got a list, want an object", `{"in": null}`: "in: got null, want an object", `{"in": {"x": {}}}`: "in.x: got an object, want a whole number", `{"to": 1}`: "to: got 1, want an object", `{"depth": false}`: "depth: got false, want text: a length with its unit", `{"level": 3.5}`: "level: got 3.5, want a number with its unit", `{"level": []}`: "level: got a list, want text",
		`{"day": 3}`: "day: got 3, want text: a date", `{"day": "2026-6-1"}`: `day: got "2026-6-1", want text: a date`, `{"any": 1}`: "any: got 1, want a field that can be read from JSON; chan int cannot", `{"Hidden": 1}`: "Hidden: an unknown key; want one of Untold, any, by, day, deep, depth", `{"private": 1}`: "private: an unknown key", `{"Base": {}}`: "Base: an unknown key",
		`{"in": {"x": 1, "x": 2}}`: "in.x: given twice; want it once", `{"text": "a", "$schema": "b"}`: "$schema: an unknown key", `{"$schema": 3}`: "$schema: an unknown key", `{"in": {"$schema": "b"}}`: "in.$schema: an unknown key", `3`: "got 3, want an object",
	} {
		err := strict.Decode([]byte(text), &v)
		require.ErrorContains(t, err, want, text)
		require.Len(t, units.FieldErrors(err), 1, text)
	}
	require.NoError(t, strict.Decode([]byte(`{"$schema": "x", "deep": 0.5, "text": "a", "yes": true, "float": -0.0, "half": 3e38, "whole": -9223372036854775808, "small": -128, "three": [1,2,3], "list": [], "by": {}, "in": {"x": 7}, "to": {"x": 8}, "depth": "1 ft", "level": "3 rods", "day": "2026-06-01T08:30:00.25Z", "Untold": 9}`), &v))
	require.Equal(t, []any{0.5, "a", true, 0.0, float32(3e38), int64(math.MinInt64), int8(-128), [3]int{1, 2, 3}, []int{}, map[string]int{}, inner{7}, inner{8}, units.Foot, level("3 rods"), 9},
		[]any{v.Deep, v.Text, v.Yes, v.Float, v.Half, v.Whole, v.Small, v.Three, v.List, v.By, v.In, *v.To, *v.Depth, v.Level, v.Untold})
	require.False(t, math.Signbit(v.Float))
	require.Equal(t, 250_000_000, v.Day.Nanosecond())
	require.NoError(t, strict.Decode([]byte(`{"list": null, "by": null, "to": null, "depth": null}`), &v))
	require.True(t, v.List == nil && v.By == nil && v.To == nil && v.Depth == nil)
	_ = v.private
}

// Values are nested 64 deep at most. Of 500 faults all are listed, of 501 that many.
func TestEndsOfReading(t *testing.T) {
	type list []list
	var v list
	for deep, ok := range map[int]bool{1: true, 64: true, 65: true, 66: false, 100_000: false} {
		err := strict.Decode([]byte(strings.Repeat("[", deep)+strings.Repeat("]", deep)), &v)
		if ok {
			require.NoError(t, err, deep)
		} else {
			require.ErrorContains(t, err, "nested too deep", deep)
		}
	}
	var numbers []int
	for n, want := range map[int]int{499: 499, 500: 500, 501: 501, 502: 501} {
		data := []byte("[" + strings.Repeat("true,", n-1) + "true]")
		found := units.FieldErrors(strict.Decode(data, &numbers))
		require.Len(t, found, want, n)
		require.Equal(t, n > 500, strings.Contains(found[len(found)-1].Error(), "more than 500 faults"), n)
		// What a check finds is listed as briefly.
		data = []byte("[" + strings.Repeat("1,", n-1) + "1]")
		found = units.FieldErrors(strict.Check(data, &numbers, func() error {
			var f units.Faults
			for i := range numbers {
				at := f.At("", i)
				at.NumberBetween("", 1, 2, 3)
			}
			return f.Err()
		}))
		require.Len(t, found, want, n)
		require.Equal(t, n > 500, strings.Contains(found[len(found)-1].Error(), "more than 500 faults"), n)
	}
}

// A fault of a check stands where its value does, or where the part around it does: beyond
// the end of a list, below a value, or at a key that is not there. What is no fault of a
// field is passed on as it is.
func TestPlacesOfFaults(t *testing.T) {
	text := "{\n \"a\": [\n  {\"x\": \"1 ft\"},\n  {\"x\": \"2 ft\", \"y\": 0}\n ],\n \"b c\": {\"d\": 3}\n}"
	var v placed
	for path, want := range map[string][2]int{
		"": {1, 1}, "a": {2, 7}, "a[0]": {3, 3}, "a[1]": {4, 3}, "a[1].x": {4, 9}, "a[1].y": {4, 22}, "a[2]": {2, 7}, "a[2].x": {2, 7}, "a[-1]": {2, 7}, "a[x]": {2, 7}, "a[0": {2, 7}, "a.x": {2, 7}, "a[0].z": {3, 3}, "a[0].x.y": {3, 9}, `["b c"]`: {6, 9}, `["b c"].d`: {6, 15}, `["b c"].e`: {6, 9}, "c": {1, 1}, "aa": {1, 1},
	} {
		err := strict.Check([]byte(text), &v, func() error { return units.Fault(units.FaultRange, path, 5, "less") })
		found := units.FieldErrors(err)
		require.Len(t, found, 1, path)
		require.Equal(t, want, [2]int{found[0].Line, found[0].Column}, path)
	}
	// A quantity is shown as it was written where it is the same, and a 0 that is not there is missing.
	for _, c := range []struct {
		fault *units.FieldError
		want  string
	}{
		{units.Fault(units.FaultRange, "a[1].x", 2*units.Foot, "less"), "a[1].x: got 2 ft, want less"}, {units.Fault(units.FaultRange, "a[1].x", 0.6096*units.Metre, "less"), "a[1].x: got 2 ft, want less"}, {units.Fault(units.FaultRange, "a[1].x", 3*units.Foot, "less"), "a[1].x: got 3 ft, want less"},
		{units.Fault(units.FaultRange, "a[1].z", 0*units.Foot, "more"), "a[1].z: missing; want more"}, {units.Fault(units.FaultRange, "a[1].z", units.Foot, "more"), "a[1].z: got 1 ft, want more"}, {units.Fault(units.FaultRange, "a[1].y", 0.0, "more"), "a[1].y: got 0, want more"}, {units.Fault(units.FaultCount, "a[1].z", units.Count{}, "more"), "a[1].z: got 0, want more"},
	} {
		err := strict.Check([]byte(text), &v, func() error { return c.fault })
		require.ErrorContains(t, err, c.want)
	}
	plain := errors.New("no fault of a field")
	require.ErrorIs(t, strict.Check([]byte(text), &v, func() error { return plain }), plain)
	both := strict.Check([]byte(text), &v, func() error { return errors.Join(plain, units.Fault(units.FaultRange, "a", 5, "less")) })
	require.ErrorIs(t, both, plain)
	require.ErrorContains(t, both, "a: got 5, want less (line 2, column 7)")
	require.ErrorContains(t, strict.Check([]byte(`{"a": 3}`), &v, func() error { return plain }), "a: got 3, want a list (line 1, column 7)")
	_, err := strict.Make([]byte(`{"a": 3}`), func(placed) (int, error) { return 7, nil })
	require.Error(t, err)
	n, err := strict.Make([]byte(`{}`), func(placed) (int, error) { return 7, plain })
	require.ErrorIs(t, err, plain)
	require.Zero(t, n)
}

// placed is what the places stand in.
type placed struct {
	A []struct {
		X units.Length `json:"x"`
		Y int          `json:"y"`
	} `json:"a"`
	B map[string]int `json:"b c"`
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
		if strict.Decode(data, &v) == nil {
			require.False(t, math.IsNaN(v.Depth.SI()) || math.IsInf(v.Depth.SI(), 0))
		}
	})
}

// The signs of a reader reach what reads its own JSON, and leave words and numbers of
// JSON alone.
func TestReaderSigns(t *testing.T) {
	german := strict.Reader{Style: units.Style{Signs: units.SignsPointComma}}
	var in struct {
		At     plane.Point                           `json:"at"`
		By     map[string]units.Range[units.Density] `json:"by"`
		Oxides units.Oxides                          `json:"oxides"`
		Day    time.Time                             `json:"day"`
		Share  float64                               `json:"share"`
		Cost   *units.Price[units.Volume]            `json:"cost"`
	}
	require.NoError(t, german.Decode([]byte(`{"at": {"x": "1.000,5 m", "y": "-0,25 m"}, "by": {"v1.5": {"low": "1,5 kg/m3", "high": "2 kg/m3"}},
		"oxides": "2.2910/1.2051", "day": "2026-06-01", "share": 0.5, "cost": "12,50 per 1.000 gal"}`), &in))
	require.Equal(t, plane.Point{X: 1000.5, Y: -0.25}, in.At)
	require.Equal(t, units.Range[units.Density]{Low: 1.5, High: 2}, in.By["v1.5"])
	require.Equal(t, units.OxidesWhole, in.Oxides)
	require.InDelta(t, 12.5, in.Cost.Of(1000*units.Gallon), 1e-9)
	err := german.Decode([]byte(`{"at": {"x": "1.5 m", "y": "1,5"}}`), &in)
	require.ErrorContains(t, err, "at.x: got \"1.5 m\"")
	require.ErrorContains(t, err, "at.y: got \"1,5\"")
}
