package geostat

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func TestThin(t *testing.T) {
	samples := rounded(3000)
	thin, err := Thin(samples, 10)
	require.NoError(t, err)
	require.Less(t, len(thin), 97)
	require.Greater(t, len(thin), 90)
	one, err := Thin(samples[:7], 1e6)
	require.NoError(t, err)
	var sum units.Length
	for _, s := range samples[:7] {
		sum += s.Value / 7
	}
	require.Len(t, one, 1)
	require.InDelta(t, float64(sum), float64(one[0].Value), 1e-15)
	_, err = Thin(nil, 0)
	require.Equal(t, []string{"samples", "side"}, fields(err))
}

// Cells count from the origin, by rows from the south-west, and a sample on a side belongs
// to the cell behind it.
func TestThinCells(t *testing.T) {
	thin, err := Thin([]Sample{sampleAt(3, 12, 1), sampleAt(-1, 2, 5), sampleAt(9, 8, 2), sampleAt(1, 4, 6), sampleAt(10, 3, 7), sampleAt(-10, 9, 3), sampleAt(5, 10, 2)}, 10)
	require.NoError(t, err)
	require.Equal(t, []Sample{sampleAt(-5.5, 5.5, 4), sampleAt(5, 6, 4), sampleAt(10, 3, 7), sampleAt(4, 11, 1.5)}, thin)
}
