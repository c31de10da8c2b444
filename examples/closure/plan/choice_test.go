package plan_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/sludge/removal"
)

// The choice of the route at the low and the high of the sludge volume is that of a plan
// whose sludge is told to be so much; where the two differ the plan shows the flip.
func TestChoiceAtTheEndsOfTheSludge(t *testing.T) {
	at := func(fixed float64, sludge map[string]any) *plan.Results {
		sludge["source"] = "a survey of the example"
		return read(t, map[string]any{"sludge": map[string]any{"volume": sludge}, "removal.dig.solids": map[string]any{"low": "5 %", "high": "60 %"}, "removal.agitate.fixed": fixed,
			"materials.2.ways": nil})
	}
	const low, high = "330000 gal", "480000 gal"
	lead := func(r *plan.Results) float64 { // of digging over agitation
		var net [2]float64
		for _, x := range r.Routes.Routes {
			require.Empty(t, x.Out, x.Route)
			if x.Route == removal.RouteAgitatePump {
				net[0] = x.Cost.Net
			} else {
				net[1] = x.Cost.Net
			}
		}
		return net[1] - net[0]
	}
	const fixed = 20_000.0
	a, b := lead(at(fixed, map[string]any{"volume": low})), lead(at(fixed, map[string]any{"volume": high}))
	require.Greater(t, math.Abs(a-b), 100.0, "the routes do not cost the same more for each gallon")
	flips := 0
	for _, x := range []float64{fixed + (a+b)/2, fixed + min(a, b) - 3000, fixed + max(a, b) + 3000} {
		if x < 0 {
			continue
		}
		r := at(x, map[string]any{"volume": "400000 gal", "interval": map[string]any{"low": low, "high": high}})
		l, h := at(x, map[string]any{"volume": low}), at(x, map[string]any{"volume": high})
		require.Equal(t, l.Routes.Cheapest, r.Routes.AtLow, fmt.Sprint(x))
		require.Equal(t, h.Routes.Cheapest, r.Routes.AtHigh, fmt.Sprint(x))
		why := r.Routes.Why().String()
		if r.Routes.AtLow == r.Routes.AtHigh {
			require.Contains(t, why, "the choice holds at the low and the high")
		} else {
			flips++
			require.Contains(t, why, "the choice flips at the")
		}
	}
	require.Equal(t, 1, flips)
}
