package nutrient

import (
	"encoding"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// What reads writes text that reads back to the same, and what does not leaves
// its target as it was.
func FuzzTexts(f *testing.F) {
	for _, s := range []string{"12 per 1000 gal", "5/ton", "0 per m3", "1e300 per gal", "1e308 per floz", "per ton", "7 per 0 gal",
		"500,000 gal", "12 ton", "31 lb/1000 gal", "2.5 %", "9,000 gal/acre", "12 ton/acre", "never", " Never ", "6 h", "-1 h",
		"80 to 120 lb/acre", "80 lb/acre to 90 kg/ha", "9 to 3 lb/acre", " to ", "1e308 to 1e308 kg/m2"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		var p UnitPrice
		if p.UnmarshalText([]byte(s)) == nil && math.IsInf(p.SI(), 0) {
			_, err := p.MarshalText()
			require.Error(t, err)
		} else {
			textBack[UnitPrice](t, s)
		}
		textBack[Amount](t, s)
		textBack[Content](t, s)
		textBack[Rate](t, s)
		textBack[Span[units.MassPerArea]](t, s)
	})
}

func textBack[V encoding.TextMarshaler, P interface {
	*V
	encoding.TextUnmarshaler
}](t *testing.T, s string) {
	t.Helper()
	var v, zero, back V
	if P(&v).UnmarshalText([]byte(s)) != nil {
		require.Equal(t, zero, v, "%q", s)
		return
	}
	text, err := v.MarshalText()
	require.NoError(t, err, "%T of %q", v, s)
	require.NoError(t, P(&back).UnmarshalText(text), "%T: %s", v, text)
	require.Equal(t, v, back, "%T: %s", v, text)
}
