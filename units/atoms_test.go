package units

import (
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// What each unit word is in SI units, as numbers: NIST SP 811 appendix B.8 and Handbook
// 44 appendix C, UCUM 2.2 (2024), and their products.
var wordsInSI = map[string]float64{
	"[in_i]": 0.0254, "[ft_i]": 0.3048, "[yd_i]": 0.9144, "[mi_i]": 1609.344, "[ft_us]": 0.3048006096012192,
	"[sin_i]": 0.00064516, "[sft_i]": 0.09290304, "[syd_i]": 0.83612736, "[acr_us]": 4046.872609874252,
	"[cin_i]": 1.6387064e-05, "[cft_i]": 0.028316846592, "[cyd_i]": 0.764554857984,
	"[gal_us]": 0.003785411784, "[qt_us]": 0.000946352946, "[bu_us]": 0.03523907016688, "[foz_us]": 2.95735295625e-05, "[gal_br]": 0.00454609,
	"[lb_av]": 0.45359237, "[oz_av]": 0.028349523125, "[ston_av]": 907.18474, "[HP]": 745.6998715822702, "[ppm]": 1e-6, "[ppth]": 1e-3,

	"m": 1, "mm": 0.001, "cm": 0.01, "km": 1000, "har": 10000, "ar": 100, "L": 0.001, "l": 0.001, "mL": 1e-6, "ml": 1e-6, "kL": 1, "dL": 0.0001,
	"kg": 1, "g": 0.001, "mg": 1e-6, "ug": 1e-9, "t": 1000, "W": 1, "kW": 1000, "s": 1, "min": 60, "h": 3600, "d": 86400, "%": 0.01,
	"ftUS": 0.3048006096012192, "acreUS": 4046.872609874252,

	"ft": 0.3048, "foot": 0.3048, "feet": 0.3048, "in": 0.0254, "inch": 0.0254, "inches": 0.0254, "yd": 0.9144, "yard": 0.9144, "rod": 5.0292, "chain": 20.1168,
	"mi": 1609.344, "mile": 1609.344, "metre": 1, "meter": 1,
	"acre": 4046.8564224, "ac": 4046.8564224, "sqft": 0.09290304, "sqyd": 0.83612736, "ha": 10000, "hectare": 10000,
	"cf": 0.028316846592, "cuft": 0.028316846592, "cy": 0.764554857984, "cuyd": 0.764554857984, "pt": 0.000473176473, "pint": 0.000473176473,
	"milliongal": 3785.411784, "gal": 0.003785411784, "gallon": 0.003785411784, "kgal": 3.785411784,
	"acre-in": 102.79015312896, "ac-in": 102.79015312896, "acin": 102.79015312896, "acre-inch": 102.79015312896, "acre-inches": 102.79015312896,
	"acre-ft": 1233.48183754752, "ac-ft": 1233.48183754752, "af": 1233.48183754752, "acre-foot": 1233.48183754752, "acre-feet": 1233.48183754752,
	"bu": 0.03523907016688, "bushel": 0.03523907016688, "qt": 0.000946352946, "quart": 0.000946352946, "floz": 2.95735295625e-05, "impgal": 0.00454609,
	"litre": 0.001, "liter": 0.001,
	"lb": 0.45359237, "pound": 0.45359237, "longton": 1016.0469088, "grain": 6.479891e-05, "ton": 907.18474, "oz": 0.028349523125, "ounce": 0.028349523125,
	"kilogram": 1, "gram": 0.001, "tonne": 1000, "sec": 1, "second": 1, "minute": 60, "hr": 3600, "hour": 3600, "day": 86400,
	"mph": 0.44704, "gpm": 6.30901964e-05, "gph": 1.0515032733333334e-06, "gpd": 4.3812636388888886e-08, "cfs": 0.028316846592, "mgd": 0.04381263638888889,
	"hp": 745.6998715822702, "horsepower": 745.6998715822702, "watt": 1, "kilowatt": 1000, "gpa": 9.353956228956229e-07, "seed": 1, "ppm": 1e-6, "percent": 0.01, "pct": 0.01,
}

// Every word has the factor of the source, and no word is left out here.
func TestEveryWord(t *testing.T) {
	seen := map[string]bool{}
	for _, list := range []map[string]atom{ucum, exactCase, anyCase} {
		for word, a := range list {
			want, ok := wordsInSI[word]
			require.True(t, ok, word)
			require.InEpsilon(t, want, a.factor, 1e-15, word)
			seen[word] = true
		}
	}
	require.ElementsMatch(t, slices.Collect(maps.Keys(wordsInSI)), slices.Collect(maps.Keys(seen)))
}

// The factor by which each display name shows is the one by which its words are read.
func TestEveryDisplayName(t *testing.T) {
	for _, k := range kinds {
		for _, u := range k.units {
			e := evaluator{s: normalise(u.name)}
			f, d := e.expression(false)
			require.Empty(t, e.want, u.name)
			require.Equal(t, k.dim, d, "%s: %s", k.name, u.name)
			require.InEpsilon(t, f, u.factor, 1e-15, "%s: %s", k.name, u.name)
		}
	}
}

// A unit of another kind is told by the words of the kind, of both where two share one
// dimension.
func TestUnitOfAnotherKind(t *testing.T) {
	for unit, kind := range map[string]string{
		"lb/acre": "a mass per area", "acre": "an area", "gal": "a volume", "gal/min": "a flow", "s": "a duration", "hp": "a power",
		"lb/ft3": "a density or concentration", "%": "a mass fraction", "lb": "a mass", "ft/s": "a speed or depth rate",
	} {
		_, err := ParseLength("5 " + unit)
		require.ErrorContains(t, err, `("`+unit+`" is `+kind+`)`)
	}
}
