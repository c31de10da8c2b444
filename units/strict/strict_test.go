package strict_test

import (
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
