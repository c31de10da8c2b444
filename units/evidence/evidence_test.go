package evidence

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The last figures of long numbers may differ from processor to processor, and
// nothing else may.
func TestAlike(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{`"mean": 12.345678901234567,`, `"mean": 12.345678901234569,`, true},
		{`"mean": 1234567890.12345`, `"mean": 1234567890.12346`, true},
		{"0.30000000000000004", "0.3", true},
		{"5.5511151231257827e-17 m", "5.5511151231257833e-17 m", true},
		{"12.34 m", "12.35 m", false},
		{"12.345678901234567 m", "12.345678901234567 ft", false},
		{"12.345678901234567", "12.345679901234567", false},
		{"12.345678901234567", "-12.345678901234567", false},
		{"1 2.345678901234567", "2 2.345678901234567", false},
	} {
		if alike(c.a, c.b) != c.want || alike(c.b, c.a) != c.want {
			t.Errorf("%s and %s: want %v", c.a, c.b, c.want)
		}
	}
	rows := func(value, source string) [][]string {
		return [][]string{{"units", "Test", "q", "0.3", value, "0.5", "", "m", "published", source}}
	}
	rule := cmp.FilterPath(number, cmp.Comparer(alike))
	if !cmp.Equal(rows("0.30000000000000004", "a"), rows("0.3", "a"), rule) || cmp.Equal(rows("0.3", "a 0.30000000000000004"), rows("0.3", "a 0.3"), rule) {
		t.Error("only value and tolerance are numbers")
	}
}

// A check holds within a tolerance above 0, a slip on both sides.
func TestFault(t *testing.T) {
	sound := Check{Quantity: "q", Got: 2.04, Want: 2, Tol: 0.05, Unit: "m", Source: "s", Kind: Published}
	slip := Check{Quantity: "q", Got: 2.04, Want: 2.4, Right: 2, Tol: 0.05, Unit: "m", Source: "s", Kind: Slip}
	for _, c := range []struct {
		check Check
		edit  func(*Check)
		want  bool
	}{
		{sound, func(*Check) {}, true}, {slip, func(*Check) {}, true},
		{sound, func(c *Check) { c.Got = 2.051 }, false}, {sound, func(c *Check) { c.Got = math.NaN() }, false},
		{sound, func(c *Check) { c.Tol = 0 }, false}, {sound, func(c *Check) { c.Tol = math.Inf(1) }, false}, {sound, func(c *Check) { c.Tol = math.NaN() }, false},
		{sound, func(c *Check) { c.Right = 2 }, false},
		{slip, func(c *Check) { c.Got = 2.36 }, false}, {slip, func(c *Check) { c.Got = 5 }, false}, {slip, func(c *Check) { c.Want = 2.05 }, false},
	} {
		x := c.check
		c.edit(&x)
		if fault := x.fault(); (fault == "") != c.want {
			t.Errorf("%+v: %q", x, fault)
		}
	}
	list := Rights([]Check{slip, sound}, map[string][2]float64{"q": {3, 0.5}, "other": {1, 1}})
	if len(list) != 3 || list[0].Right != 3 || list[0].Tol != 0.5 || list[1].Right != 0 || list[2].fault() == "" {
		t.Errorf("%+v", list)
	}
}

// What was got is told to a thousandth of the tolerance.
func TestRow(t *testing.T) {
	for _, c := range []struct {
		got, tol float64
		want     string
	}{{2.0123456, 0.05, "2.01235"}, {1e-17, 1e-12, "0"}, {-1e-17, 0.5, "0"}, {-0.25, 0.5, "-0.25"}, {12345.678, 500, "12345.7"}, {-3, 0.5, "-3"}, {100, 0.5, "100"}, {0.5, 0.5, "0.5"}} {
		if got := (Check{Got: c.got, Tol: c.tol, Kind: Published}).row("p", "t")[3]; got != c.want {
			t.Errorf("%v +- %v: %s, want %s", c.got, c.tol, got, c.want)
		}
	}
}
