package evidence

import (
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
		return [][]string{{"units", "Test", "q", value, "0.5", "m", "published", source}}
	}
	rule := cmp.FilterPath(number, cmp.Comparer(alike))
	if !cmp.Equal(rows("0.30000000000000004", "a"), rows("0.3", "a"), rule) || cmp.Equal(rows("0.3", "a 0.30000000000000004"), rows("0.3", "a 0.3"), rule) {
		t.Error("only value and tolerance are numbers")
	}
}
