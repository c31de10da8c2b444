package plan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/ledger"
	"example.org/earthbasin/units"
)

// What the works bring is in the account as what leaves the basin is, and what the plan
// has none of is told as more than there was, and not as a name that nobody knows.
func TestRecordsOfTheWorks(t *testing.T) {
	changes := map[string]any{"asOf": "2026-08-12", "done": map[string]any{"records": []any{
		map[string]any{"day": "2026-07-01", "field": "Home Forty", "material": "effluent", "amount": "300000 gal"},
		map[string]any{"day": "2026-07-20", "field": "Creek Bottom", "material": "dirty water", "amount": "20000 gal"}}}}
	stock := func() ledger.Left {
		for _, x := range read(t, changes).Account.Stocks {
			if x.Material == "dirty water" {
				return x
			}
		}
		require.Fail(t, "no dirty water")
		return ledger.Left{}
	}
	of := stock()
	put, _ := of.Put.Volume()
	require.InDelta(t, 20000, put.In(units.Gallon), 1e-6)
	require.Greater(t, of.Left.SI(), 0.0)
	require.Zero(t, of.Short.SI())

	changes["weather"] = nil // and so no rain in the pit
	of = stock()
	short, _ := of.Short.Volume()
	require.InDelta(t, 20000, short.In(units.Gallon), 1e-6)
	require.Zero(t, of.Left.SI())
}
