package earthwork

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// The demands stand as printed, and each names its Proctor test and is one that
// Compaction takes.
func TestCompactionRulesAreAsPrinted(t *testing.T) {
	var got []string
	for _, r := range CompactionRules() {
		require.NotEmpty(t, r.Source)
		got = append(got, fmt.Sprintf("%s: lifts %.0f in, %.0f %% of %s, water %+.0f to %+.0f %%, clods %.0f in, tests per %.0f and %.0f yd3", r.Use, r.Lift.In(units.Inch), 100*r.Percent, r.Test,
			100*r.Moisture.Low, 100*r.Moisture.High, r.Clods.In(units.Inch), r.DensityEvery.In(units.CubicYard), r.MoistureEvery.In(units.CubicYard)))
		_, err := Compaction(CompactionSpec{Volume: 1000 * units.CubicYard, Depth: 6 * units.Foot, Lift: 6 * units.Inch, Passes: 4, Test: r.Test, Percent: r.Percent, TestEvery: r.DensityEvery})
		require.NoError(t, err)
	}
	require.Equal(t, []string{
		"liner: lifts 9 in, 95 % of standard Proctor, water -1 to +3 %, clods 3 in, tests per 5000 and 500 yd3",
		"slope: lifts 12 in, 90 % of standard Proctor, water -2 to +2 %, clods 0 in, tests per 0 and 0 yd3",
		"clay plug: lifts 0 in, 90 % of modified Proctor, water +3 to +6 %, clods 1 in, tests per 250 and 0 yd3",
	}, got)
}
