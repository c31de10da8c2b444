package units_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// Percent signs of plain text stay as they are beside text with arguments.
func TestPhraseAnd(t *testing.T) {
	for _, c := range []struct {
		phrase units.Phrase
		want   string
	}{
		{units.Words("5 % of it").And(", at least %v", 2*units.Foot), "5 % of it, at least 2 ft"},
		{units.Words("%v", 2*units.Foot).And(", 5 % of it"), "2 ft, 5 % of it"},
		{units.Words("%.1f %%", 5.0).And(" and %v", units.Share(0.1)), "5.0 % and 10 %"},
		{units.Words("100 %").And(" or less"), "100 % or less"},
		{units.Phrase{}.And("of %v", 3), "of 3"},
	} {
		require.Equal(t, c.want, c.phrase.String())
	}
	first := units.Words("%v", 1)
	second := first.And(" %v", 2)
	require.Equal(t, "1 3", first.And(" %v", 3).String())
	require.Equal(t, "1 2", second.String())
}
