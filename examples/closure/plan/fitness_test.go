package plan_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Wheat stands on Home Forty until 20 July, and the effluent goes out on the first days of
// July: the plan says so before work begins, with the day from which the field is free.
func TestFieldIsNotFitWhenItsMaterialGoesOut(t *testing.T) {
	for _, o := range read(t, nil).Open {
		require.False(t, strings.HasPrefix(o.Key, "land.days."), o.Key)
	}
	r := read(t, map[string]any{"land.fields.0.crops.1.harvested": "2026-07-20"})
	off, _ := r.Calendar.Row("removal.pump-off")
	require.True(t, off.Likely.End.String() < "2026-07-20")
	placed := false
	for _, x := range r.Taken().Spread.Allocated.Placements {
		placed = placed || x.Field == "Home Forty" && x.Material == "effluent"
	}
	require.True(t, placed)
	for _, o := range r.Open {
		if o.Key == "land.days.Home Forty.effluent" {
			require.True(t, o.Stops)
			require.Contains(t, o.What.String(), "from "+off.Likely.Start.String()+" to "+off.Likely.End.String())
			require.Contains(t, o.What.String(), "but from 2026-07-2")
			return
		}
	}
	require.Fail(t, "no open point")
}
