package units_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func TestEdits(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"clover", "clover", 0}, {"clover", "cloves", 1}, {"clover", "lover", 1}, {"clover", "cloverr", 1}, {"kitten", "sitting", 3}, {"über", "uber", 1}, {"a", "abcdefgh", 4}} {
		require.Equal(t, c.want, units.Edits(c.a, c.b, 3), "%s, %s", c.a, c.b)
		require.Equal(t, c.want, units.Edits(c.b, c.a, 3))
	}
}
