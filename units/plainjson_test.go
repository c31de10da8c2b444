package units_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

type base struct {
	Name string `json:"name"`
	Note string `json:"note,omitempty"`
}

// Level is embedded and no struct, and has its own name then.
type Level int

type plain struct {
	base2
	*far
	Level
	hidden
	Counts  map[string]int     `json:"counts"`
	Shares  map[string]float64 `json:"shares,omitempty"`
	Small   uint8              `json:"small"`
	Wide    uint32
	Half    float32   `json:"half"`
	Yes     bool      `json:"yes,omitempty"`
	Left    *int      `json:"left"`
	There   *int      `json:"there"`
	Any     any       `json:"any"`
	Grid    [2][]int  `json:"grid"`
	At      time.Time `json:"at"`
	Hidden  string    `json:"-"`
	Zero    base      `json:"zero,omitzero"`
	Inner   []base    `json:"inner"`
	private string
}

type far struct {
	Miles int `json:"miles"`
}

type hidden int // not exported and no struct: nobody sees it

type base2 struct {
	Title string `json:"title"`
	Gone  string `json:"gone,omitempty"`
}

// What holds no quantity is written as encoding/json writes it, in the same order.
func TestNumbersIsJSONWithoutQuantities(t *testing.T) {
	seven := 7
	for _, v := range []any{
		plain{},
		plain{base2: base2{Title: "t"}, far: &far{3}, Level: 4, hidden: 5, Counts: map[string]int{"b": 2, "a": 1, "c": -3}, Shares: map[string]float64{"y": 0.5, "x": 0.25}, Small: 9, Wide: 1 << 30, Half: 0.5, Yes: true,
			There: &seven, Any: []any{"x", 1.5, nil, map[string]any{"k": false}}, Grid: [2][]int{{1, 2}, {}}, At: time.Date(2026, 4, 1, 8, 30, 0, 5e8, time.UTC), Hidden: "h", Zero: base{Note: "n"}, Inner: []base{{Name: "i"}, {Note: "j"}}, private: "p"},
		[]int{}, []string{"a"}, map[string][]bool{"z": {true}, "a": nil}, 3.25, "text", true, &seven,
	} {
		want, err := json.Marshal(v)
		require.NoError(t, err)
		got, err := units.Numbers(v, units.SystemUS)
		require.NoError(t, err)
		require.Equal(t, string(want), string(got))
	}
	cells, err := units.Cells(map[string]any{"b": []int{4, 5}, "a": "x"}, units.SystemUS)
	require.NoError(t, err)
	require.Equal(t, []units.Cell{{Path: "a", Value: "x"}, {Path: "b[0]", Value: int64(4)}, {Path: "b[1]", Value: int64(5)}}, cells)

	// What goes round in a circle ends, and 64 levels are written.
	type ring struct {
		Next *ring `json:"next,omitempty"`
	}
	circle := &ring{}
	circle.Next = circle
	_, err = units.Numbers(circle, units.SystemUS)
	require.ErrorContains(t, err, "more than 64 levels")
	var deep any = 1
	for range 30 {
		deep = []any{deep}
	}
	_, err = units.Numbers(deep, units.SystemUS)
	require.NoError(t, err)
	_, err = units.Numbers(1, units.System(9))
	require.ErrorContains(t, err, "system")
}

// Numbers as people write them, and what is a slip of the pen in them.
func TestThousandsAndPoints(t *testing.T) {
	for text, want := range map[string]float64{"1,234 m": 1234, "12,345,678.5 m": 12345678.5, "1234.25 m": 1234.25, "-1,000 m": -1000, "+2 m": 2, "1e3 m": 1000, "2.5E-1 m": 0.25, "999 m": 999, ".5 m": 0.5, "1,234.567,8 m": -1} {
		got, err := units.ParseLength(text)
		if want == -1 {
			require.Error(t, err, text)
			continue
		}
		if err != nil && strings.HasPrefix(text, ".") {
			continue // a number begins with a digit
		}
		require.NoError(t, err, text)
		require.Equal(t, want, float64(got), text)
	}
	for _, text := range []string{"1,23 m", "1,2345 m", "1234,567 m", ",123 m", "12,34.5 m", "1,234,56 m", "1,,234 m", "1.5.2 m", "1 000 m", "- m", "e3 m", "0x10 m", "1_000 m", "inf m", "nan m"} {
		_, err := units.ParseLength(text)
		require.Error(t, err, text)
	}
}
