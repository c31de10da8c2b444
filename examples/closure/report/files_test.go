package report

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/units"
)

// The bill in the long form: each line has a number with its unit, and its low and high on
// both sides of it where they are known.
func TestCSVLines(t *testing.T) {
	p, err := plan.Read(t.Context(), plan.Demo())
	require.NoError(t, err)
	text, err := CSV(p, units.Style{})
	require.NoError(t, err)
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"key", "item", "figure", "best", "low", "high", "unit", "source"}, rows[0])
	intervals := map[string]bool{}
	for _, r := range rows[1:] {
		require.NotEmpty(t, r[6], "%v has a unit", r)
		best, err := strconv.ParseFloat(r[3], 64)
		require.NoError(t, err, r)
		require.Equal(t, r[4] == "", r[5] == "", r)
		if r[4] == "" {
			continue
		}
		intervals[r[0]+" "+r[2]] = true
		low, err := strconv.ParseFloat(r[4], 64)
		require.NoError(t, err, r)
		high, err := strconv.ParseFloat(r[5], 64)
		require.NoError(t, err, r)
		require.LessOrEqual(t, low, best, r)
		require.LessOrEqual(t, best, high, r)
	}
	for _, key := range []string{"removal.pump quantity", "removal.dig quantity", "spread.slurry quantity", "spread.slurry cost", "survey cost"} {
		require.True(t, intervals[key], key)
	}
}

func TestCellIsNoFormula(t *testing.T) {
	require.Equal(t, "'=SUM(A1)", cell("=SUM(A1)"))
	require.Equal(t, "'-3,717 gal", cell("-3,717 gal"))
	require.Equal(t, "soil brought in", cell("soil brought in"))
	require.Empty(t, cell(""))
}
