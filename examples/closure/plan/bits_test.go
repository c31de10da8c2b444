package plan

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units/strict"
)

// doubtful is the figures of the demo that its doubt draws, with paths of their own.
func doubtful(s *Scenario) (list []string) {
	for m, of := range map[int][]string{0: {"tkn", "k2o"}, 1: {"solids", "tkn", "p2o5"}} {
		for i := range s.Materials[m].Reports {
			for _, x := range of {
				list = append(list, "materials["+string(rune('0'+m))+"].reports["+string(rune('0'+i))+"]."+x)
			}
		}
	}
	slices.Sort(list)
	return append(list, SludgeVolume, "removal.agitate.residual", "removal.agitate.agitation", "removal.pumpOff.hose.flow", "removal.dig.fleet.trucks",
		"materials[1].spread", "materials[1].haulPerMile", "land.prices[0].price", "land.prices[1].price", "closing.soil.shrink", "closing.prices.import.likely")
}

// A draw is the plan of the scenario with the drawn figures, bit for bit: on every route
// where nothing hangs on the calendar, whose days a draw keeps, and with the demo as it is
// for figures that move no day.
func TestDrawIsThePlanToTheBit(t *testing.T) {
	var demo Scenario
	require.NoError(t, strict.Decode(Demo(), &demo))
	demo.Sludge = &Sludge{Volume: &StatedVolume{Volume: 1500, Source: "a sonar survey"}}
	sameToTheBit(t, demo, []string{"materials[0].reports[1].k2o", "materials[1].reports[0].p2o5", "materials[1].reports[2].p2o5", "materials[1].spread", "materials[1].haulPerMile",
		"materials[3].spread", "land.prices[0].price", "land.prices[1].price", "closing.prices.import.likely", "cover.mulch.rate"})
	demo.Start = stage.Date{}
	for _, route := range []removal.Route{0, removal.RouteAgitatePump, removal.RouteDrawOffDig} {
		removed := *demo.Removal
		removed.Route = route
		demo.Removal = &removed
		sameToTheBit(t, demo, append(doubtful(&demo), "basin.liquidDepth"))
	}
}

func sameToTheBit(t *testing.T, s Scenario, paths []string) {
	t.Helper()
	p, err := Prepare(t.Context(), s)
	require.NoError(t, err)
	d, err := p.With(paths)
	require.NoError(t, err)
	draw := d.Worker(t.Context())
	r := rand.New(rand.NewPCG(1, 1))
	values := make([]float64, len(paths))
	for range 20 {
		found := newFinder(s)
		for i, path := range paths {
			values[i] = d.Value(i) * (0.95 + 0.1*r.Float64())
			if path == SludgeVolume {
				path = "sludge.volume.volume"
			}
			at, err := found.find(path)
			require.NoError(t, err)
			at.set(values[i])
		}
		got, err := draw(values)
		require.NoError(t, err)
		whole, err := New(t.Context(), *found.s)
		require.NoError(t, err)
		var want Outcome
		want.count(whole.Results.Taken(), &whole.Results.Bill, outcome(whole.Results.Closing))
		require.Equal(t, want, got)
	}
}
