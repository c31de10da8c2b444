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
