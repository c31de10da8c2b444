package nutrient

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// keyOf is a key made ready as a file declares it.
func keyOf(k Key) *boundKey {
	unit := k.Unit
	if unit == "" {
		unit = "1"
	}
	return &boundKey{Key: k, scale: scaleOf(unit)}
}

// What the heads of quantities take and leave, at their ends and a thousandth beside them;
// "never" stands for the word of the key.
func TestHeadsOfQuantities(t *testing.T) {
	hours := keyOf(Key{Name: "time", Unit: "h", Never: "never"})
	percent := keyOf(Key{Name: "dryMatter", Unit: "%"})
	count := keyOf(Key{Name: "index", Unit: "1"})
	ppm := keyOf(Key{Name: "soilP", Unit: "ppm", Also: map[string]float64{"lb/acre": 0.5}})
	year := &boundKey{Key: Key{Name: KeyYear}, scale: scale{factor: 1, most: maxYear}, whole: true}
	for _, c := range []struct {
		key      *boundKey
		text     string
		round    float64
		in, out  []string
		point    bool
		low, end float64 // in the unit of the key
	}{
		{key: hours, text: "to 12", in: []string{"0 h", "12 h", "0.5 d"}, out: []string{"12.001 h", "never"}, end: 12},
		{key: hours, text: "below 12", in: []string{"0 h", "11.999 h"}, out: []string{"12 h", "12.001 h", "never"}, end: 12},
		{key: hours, text: "over 12", in: []string{"12.001 h", "9000 d"}, out: []string{"12 h", "0 h", "never"}, low: 12, end: math.Inf(1)},
		{key: hours, text: "from 12", in: []string{"12 h", "9000 d"}, out: []string{"11.999 h", "0 h", "never"}, low: 12, end: math.Inf(1)},
		{key: hours, text: "over 12 to 96", in: []string{"12.001 h", "96 h"}, out: []string{"12 h", "96.001 h", "never"}, low: 12, end: 96},
		{key: hours, text: "over 12 below 96", in: []string{"12.001 h", "95.999 h"}, out: []string{"12 h", "96 h"}, low: 12, end: 96},
		{key: hours, text: "from 12 to 96", in: []string{"12 h", "96 h"}, out: []string{"11.999 h", "96.001 h"}, low: 12, end: 96},
		{key: hours, text: "from 12 below 96", in: []string{"12 h", "95.999 h"}, out: []string{"11.999 h", "96 h"}, low: 12, end: 96},
		{key: hours, text: "from 12 to below 96", in: []string{"12 h", "95.999 h"}, out: []string{"11.999 h", "96 h"}, low: 12, end: 96},
		{key: hours, text: "from 12 h below 4 d", in: []string{"12 h", "95.999 h"}, out: []string{"11.999 h", "96 h"}, low: 12, end: 96},
		{key: hours, text: "31-60", in: []string{"31 h", "60 h"}, out: []string{"30.999 h", "60.001 h"}, low: 31, end: 60},
		{key: hours, text: "1-2 d", in: []string{"24 h", "48 h"}, out: []string{"23.999 h", "48.001 h"}, low: 24, end: 48},
		{key: hours, text: "12", in: []string{"12 h"}, out: []string{"11.999 h", "12.001 h", "0 h", "never"}, point: true, low: 12, end: 12},
		{key: hours, text: "never", in: []string{"never", "Never"}, out: []string{"0 h", "12 h"}},
		{key: hours, text: "over 48 or never", in: []string{"never", "48.001 h"}, out: []string{"48 h"}, low: 48, end: math.Inf(1)},
		{key: hours, text: "12 or never", in: []string{"never", "12 h"}, out: []string{"11.999 h"}, point: true, low: 12, end: 12},
		{key: percent, text: "below 0.5", in: []string{"0 %", "0.499 %"}, out: []string{"0.5 %", "50 %"}, end: 0.5},
		{key: percent, text: "from 100 %", in: []string{"100 %"}, out: []string{"99.999 %"}, low: 100, end: math.Inf(1)},
		{key: percent, text: "2 %", in: []string{"2 %", "20 kg/t"}, out: []string{"1.999 %"}, point: true, low: 2, end: 2},
		{key: ppm, text: "to 30", in: []string{"30 ppm", "60 lb/acre"}, out: []string{"60.002 lb/acre", "30.001 ppm"}, end: 30},
		{key: count, text: "over 0", in: []string{"0.001"}, out: []string{"0"}, end: math.Inf(1)},
		{key: year, text: "2", in: []string{"2"}, out: []string{"1", "3"}, low: 2, end: 2},
		{key: year, text: "2-4", in: []string{"2", "4"}, out: []string{"1", "5"}, low: 2, end: 4},
		// A value is rounded, half up, before it is looked for.
		{key: ppm, text: "31-60", round: 1, in: []string{"30.5 ppm", "60.499 ppm"}, out: []string{"30.499 ppm", "60.5 ppm"}, low: 30.5, end: 60.5},
		{key: ppm, text: "to 60", round: 1, in: []string{"0 ppm", "60.499 ppm"}, out: []string{"60.5 ppm"}, end: 60.5},
		{key: ppm, text: "below 60", round: 1, in: []string{"0 ppm", "59.499 ppm"}, out: []string{"59.5 ppm"}, end: 59.5},
		{key: ppm, text: "from 60", round: 1, in: []string{"59.5 ppm"}, out: []string{"59.499 ppm"}, low: 59.5, end: math.Inf(1)},
		{key: ppm, text: "over 60", round: 1, in: []string{"60.5 ppm"}, out: []string{"60.499 ppm"}, low: 60.5, end: math.Inf(1)},
		{key: ppm, text: "over 0", round: 1, in: []string{"0.5 ppm"}, out: []string{"0.499 ppm"}, low: 0.5, end: math.Inf(1)},
		{key: ppm, text: "from 0 to 5", round: 1, in: []string{"0 ppm", "5.499 ppm"}, out: []string{"5.5 ppm"}, end: 5.5},
		{key: ppm, text: "from 1 to 5", round: 4, in: []string{"0 ppm", "6.999 ppm"}, out: []string{"7 ppm"}, end: 7},
		{key: percent, text: "10", round: 0.1, in: []string{"9.95 %", "10.049 %"}, out: []string{"9.949 %", "10.05 %"}, point: true, low: 9.95, end: 10.05},
	} {
		d, want := c.key.demandOf(3, c.text, c.round)
		require.True(t, want.IsZero(), "%s: %s", c.text, want)
		require.Equal(t, 3, d.key)
		require.Equal(t, c.point, d.point, c.text)
		require.InDelta(t, c.low, d.in.low/c.key.factor, 1e-9, c.text)
		require.True(t, c.end == d.in.high/c.key.factor || math.Abs(c.end-d.in.high/c.key.factor) < 1e-9, c.text)
		for holds, list := range map[bool][]string{true: c.in, false: c.out} {
			for _, text := range list {
				s, ok := c.key.spotOf(text)
				require.True(t, ok, text)
				require.Equal(t, holds, d.holds(s), "%s in %s, rounded to %v", text, c.text, c.round)
			}
		}
	}
	for _, c := range []struct {
		key   *boundKey
		texts []string
		round float64
	}{
		{key: hours, texts: []string{"", "about 12", "to", "12-", "-12", "within 12", "over 12 to 12", "from 12 below 12", "over 12 to 11", "12 ft", "from x to 5", "from 5 to x", "or never", " or never", "to 12 or"}},
		{key: percent, texts: []string{"", " or ", "12 or ", "over 100.1", "from 101", "to 101", "never", "12 or never", "120"}},
		{key: ppm, texts: []string{"over 5 below 6"}, round: 1}, // no whole number between
		{key: year, texts: []string{"0", "51", "1.5", "first"}},
	} {
		for _, text := range c.texts {
			_, want := c.key.demandOf(0, text, c.round)
			require.False(t, want.IsZero(), "%q of %s", text, c.key.Name)
		}
	}
}

// Numbers that differ in the last bits alone are the same, near and far.
func TestSameNumbers(t *testing.T) {
	for _, c := range []struct {
		a, b float64
		want bool
	}{{0.1 + 0.2, 0.3, true}, {3, 0.1 * 30, true}, {1, 1 + 1e-9, false}, {1, 1 + 2e-12, false}, {1, 1 + 0.5e-12, true}, {1e9, 1e9 + 1e-4, true}, {1e9, 1e9 + 1e-2, false}, {0, 0, true}, {0, 1e-300, false}, {math.Inf(1), math.Inf(1), true}, {5, math.Inf(1), false}} {
		require.Equal(t, c.want, same(c.a, c.b), "%v %v", c.a, c.b)
		require.Equal(t, c.want, same(c.b, c.a))
	}
	for x, want := range map[float64][4]bool{1: {true, true, true, true}, 0.1 + 0.2: {true, false, true, false}, 2: {true, true, false, false}, 0.29: {}, 2.01: {}} {
		for i, in := range []interval{{low: 0.3, high: 2}, {low: 0.3, high: 2, lowOpen: true}, {low: 0.3, high: 2, highOpen: true}, {low: 0.3, high: 2, lowOpen: true, highOpen: true}} {
			require.Equal(t, want[i], in.has(x), "%v in %+v", x, in)
		}
	}
}

// Heads of choices and of days.
func TestHeadsOfChoicesAndDays(t *testing.T) {
	animal := keyOf(Key{Name: "species", Values: []string{"cows", "hens", "cows, dry", "pigs"}})
	for text, want := range map[string][]int{"cows": {0}, "Hens": {1}, "pigs; cows": {0, 3}, "cows, dry; hens": {1, 2}, "pigs; hens; cows; cows, dry": {0, 1, 2, 3}} {
		d, wanted := animal.demandOf(2, text, 0)
		require.True(t, wanted.IsZero(), text)
		require.Equal(t, demand{key: 2, choices: want}, d, text)
		for i := range animal.Values {
			holds := false
			for _, x := range want {
				holds = holds || x == i
			}
			require.Equal(t, holds, d.holds(spot{given: true, choice: i}), text)
		}
	}
	for text, want := range map[string]string{"": "one of cows; hens; cows, dry; pigs, or several with a semicolon and a space between", "cows; cows": "one of cows", "cow": "cows, or one of", "cows;hens": "one of cows", "hens; pig": "pigs, or one of"} {
		_, wanted := animal.demandOf(0, text, 0)
		require.True(t, strings.HasPrefix(wanted.String(), want), "%q: %s", text, wanted)
	}
	day := keyOf(Key{Name: "day", Date: true})
	d, wanted := day.demandOf(1, "15 Oct to 31 Jan", 0)
	require.True(t, wanted.IsZero())
	require.Equal(t, demand{key: 1, window: window{named: true, from: 288, to: 30}}, d)
	for text, want := range map[string]bool{"14 Oct": false, "15 Oct": true, "31 Dec": true, "1 Jan": true, "31 Jan": true, "1 Feb": false, "2027-10-15": true} {
		s, ok := day.spotOf(text)
		require.True(t, ok)
		require.Equal(t, want, d.holds(s), text)
	}
	one, _ := day.demandOf(1, "5 May to 5 May", 0)
	for text, want := range map[string]bool{"4 May": false, "5 May": true, "6 May": false} {
		s, _ := day.spotOf(text)
		require.Equal(t, want, one.holds(s), text)
	}
	_, wanted = day.demandOf(1, "15 Oct", 0)
	require.Equal(t, "a period, such as 15 Oct to 31 Jan", wanted.String())
}

// The word that was meant is the one with the fewest slips, as far as those are one or two
// and one more for each six letters.
func TestWordsThatWereMeant(t *testing.T) {
	list := []string{"cattle", "kettle", "poultry manure", "hens"}
	want := units.Words("a word")
	for word, meant := range map[string]string{
		"hen": "hens", "han": "", "HENS!": "hens", "catle": "cattle", "cettle": "cattle", "ketle": "kettle", "cxxtle": "cattle", "cxxxle": "",
		"pltr manure": "", "poultr manur": "poultry manure", "pultr manur": "", "poltr manur": "", "hens": "", "": "",
	} {
		got := orNear(word, list, want)
		if meant == "" {
			require.Equal(t, "a word", got.String(), word)
		} else {
			require.Equal(t, meant+", or a word", got.String(), word)
		}
	}
	long := strings.Repeat("x", longestWord)
	require.Equal(t, long+"y, or a word", orNear(long, []string{long + "y"}, want).String())
	require.Equal(t, "a word", orNear(long+"x", []string{long}, want).String(), "too long for a slip")
}
