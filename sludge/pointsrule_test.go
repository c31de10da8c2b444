package sludge

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func TestPointsRule(t *testing.T) {
	r := PointsRule{SmallBelow: 1.33 * units.Acre, SmallPoints: 8, AreaPer: units.Acre / 6, Most: 24, Nearest: true}
	for acres, want := range map[float64]int{0.2: 8, 1.32: 8, 1.33: 8, 1.5: 9, 2: 12, 2.1: 13, 2.05: 12, 3.9: 23, 100: 24} {
		n, err := r.Points(units.Area(acres) * units.Acre)
		require.NoError(t, err)
		require.Equal(t, want, n, fmt.Sprint(acres))
	}
	_, err := PointsRule{SmallBelow: 1, Most: -1}.Points(0)
	require.Equal(t, []string{"area", "smallPoints", "areaPer", "most"}, fields(err))
	_, err = PointsRule{AreaPer: 1e-12}.Points(1)
	require.Equal(t, []string{"areaPer"}, fields(err))
}
