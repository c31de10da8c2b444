package plan_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// Figures for bids are the rows of the bill over the quantity, by hand; the ends of a line
// that the scenario tells reach the low and the high of the whole.
func TestPerUnitFiguresAndRangesReachTheTotal(t *testing.T) {
	r := read(t, nil)
	emptying, cover := 0.0, 0.0
	for _, x := range r.Bill.Items {
		switch {
		case strings.HasPrefix(x.Key, "removal."), strings.HasPrefix(x.Key, "spread."):
			emptying += x.Cost.High
		case strings.HasPrefix(x.Key, "cover."):
			cover += x.Cost.High
		}
	}
	require.Len(t, r.Bill.PerUnit, 3)
	require.InEpsilon(t, emptying/float64(r.Contents.Held), r.Bill.PerUnit[0].High.(units.Price[units.Volume]).SI(), 1e-9)
	require.InEpsilon(t, emptying/float64(r.Contents.Sludge.Volume), r.Bill.PerUnit[1].High.(units.Shown).Quantity.SI(), 1e-9)
	require.InEpsilon(t, cover/float64(r.Cover.Area), r.Bill.PerUnit[2].High.(units.Price[units.Area]).SI(), 1e-9)
	other := read(t, map[string]any{"money.others.0.low": 100, "money.others.0.high": 1500, "money.contingency": 0})
	same := read(t, map[string]any{"money.contingency": 0})
	require.InDelta(t, same.Bill.Cost.Low-900*0.9+100, other.Bill.Cost.Low, 1e-6)
	require.InDelta(t, same.Bill.Cost.High-900*1.1+1500, other.Bill.Cost.High, 1e-6)
}
