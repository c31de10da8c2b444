package plan_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Rules of several jurisdictions stand on the first page with the reason, and without one
// the regulator is asked; rules of one are said in a word.
func TestMixtureOfRulesIsTold(t *testing.T) {
	r := read(t, nil)
	require.True(t, r.Jurisdictions.Mixed())
	said := r.WhoseRules().String()
	for _, x := range []string{"Nebraska", "nutrients of crops (", "available N (", "no crop table for silage"} {
		require.Contains(t, said, x)
	}
	asked := func(changes map[string]any) bool {
		for _, o := range read(t, changes).Open {
			if o.Key == "land.otherRules" {
				return true
			}
		}
		return false
	}
	require.False(t, asked(nil))
	require.True(t, asked(map[string]any{"land.otherRules": nil}))
	one := read(t, map[string]any{"land.in": "Illinois", "land.siteRule": nil, "land.banking": nil, "materials": []any{}})
	require.False(t, one.Jurisdictions.Mixed())
	require.True(t, strings.HasPrefix(one.WhoseRules().String(), "All of "))
}
