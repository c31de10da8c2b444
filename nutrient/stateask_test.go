package nutrient

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Between two printed points both ends of a range go along the straight line.
func TestRangesBetweenPoints(t *testing.T) {
	s, err := ParseState([]byte(`{"id": "points", "jurisdiction": "an invented place", "source": {"title": "a table", "publisher": "nobody", "edition": "2026"},
		"keys": [{"name": "dryMatter", "label": "Dry matter", "unit": "%", "between": "linear"}],
		"tables": [{"place": "table 1", "gives": "made", "unit": "kg/t", "by": ["dryMatter"], "rows": [["2 %", "1-3"], ["6 %", "5-11"]]}],
		"unchecked": "an invented table"}`))
	require.NoError(t, err)
	a, err := s.Answer("made", Query{"dryMatter": "3 %"})
	require.NoError(t, err)
	require.InDelta(t, 2, a.Figure.Low, 1e-12)
	require.InDelta(t, 5, a.Figure.High, 1e-12)
}

// A class beside a value that its own table puts in another one would pass over what
// the value forbids: 210 is no low.
func TestClassAgainstItsValue(t *testing.T) {
	s, err := ParseState([]byte(`{"id": "classes", "jurisdiction": "an invented place", "source": {"title": "a table", "publisher": "nobody", "edition": "2026"},
		"keys": [{"name": "soilP", "label": "Soil P", "unit": "ppm"}, {"name": "soilClass", "label": "Class", "values": ["low", "high"]}],
		"tables": [{"place": "table 1", "gives": "soilClass", "by": ["soilP"], "rows": [["below 100", "low"], ["from 100", "high"]]},
			{"place": "table 2", "gives": "allow", "as": "cap", "unit": "x removal", "by": ["soilClass", "soilP"], "rows": [["low", "", "n-based"], ["high", "to 200", 1], ["high", "over 200", "none"]]}],
		"unchecked": "an invented table"}`))
	require.NoError(t, err)
	_, _, err = s.Limit("allow", AsCap, Query{"soilP": "210 ppm", "soilClass": "low"})
	require.EqualError(t, err, "soilClass: low beside Soil P: 210 ppm; want high, the class of that by table 1, or only one of the two")
	for _, q := range []Query{{"soilP": "210 ppm"}, {"soilP": "210 ppm", "soilClass": "High"}} {
		r, ok, err := s.Limit("allow", AsCap, q)
		require.NoError(t, err)
		require.True(t, ok)
		require.Equal(t, "none", r.Word)
	}
	// The year has no classes, whatever a table gives under its name.
	own, err := ruled(cropKey, `{"place": "1", "gives": "year", "unit": "1", "by": ["crop"], "rows": [["corn; hay; oats", 1987]]}`)
	require.NoError(t, err)
	require.Equal(t, 1987.0, answerOf(t, own, "year", Query{"crop": "corn", "year": "2"}).Figure.Low)
	r, ok, err := s.Limit("allow", AsCap, Query{"soilClass": "low"})
	require.NoError(t, err)
	require.True(t, ok)
	require.Equal(t, "n-based", r.Word)
}
