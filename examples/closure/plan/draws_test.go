package plan_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// paths are figures of every part that a study draws.
var paths = []string{plan.SludgeVolume, "materials[1].reports[0].p2o5", "materials[1].reports[1].p2o5", "materials[0].reports[0].tkn", "removal.agitate.residual",
	"land.fields[0].crops[0].yield.perAcre", "closing.prices.import.likely", "materials[0].reports[0].elements.Cu", "weather.months[6].rain", "cover.mulch.rate"}

func prepared(tb testing.TB) *plan.Prepared {
	var s plan.Scenario
	require.NoError(tb, strict.Decode(plan.Demo(), &s))
	p, err := plan.Prepare(tb.Context(), s)
	require.NoError(tb, err)
	return p
}

// A draw with the figures of the scenario is the plan of the scenario; a draw with others
// is the plan of a file that has them; and draws leave no trace in each other or in the
// scenario.
func TestDrawIsThePlan(t *testing.T) {
	p := prepared(t)
	d, err := p.With(paths)
	require.NoError(t, err)
	same := make([]float64, len(paths))
	for i := range paths {
		same[i] = d.Value(i)
	}
	draw := d.Worker(t.Context())
	first, err := draw(same)
	require.NoError(t, err)
	base := p.Plan().Results
	require.InEpsilon(t, base.Bill.Cost.Likely, first.Cost, 1e-9)
	require.InEpsilon(t, base.Bill.Worth, first.Worth, 1e-9)
	require.InEpsilon(t, float64(base.Taken().Days), first.Days, 1e-9)
	require.True(t, first.Placed)

	other := append([]float64(nil), same...)
	var err2 error
	other[1], err2 = d.Read(1, "60 lb/1000 gal")
	require.NoError(t, err2)
	other[6], err2 = d.Read(6, "9.5 per yd3")
	require.NoError(t, err2)
	got, err := draw(other)
	require.NoError(t, err)
	file, err := plan.Read(t.Context(), edit(t, map[string]any{"materials.1.reports.0.p2o5": "60 lb/1000 gal", "closing.prices.import": map[string]any{"likely": "9.5 per yd3"}}))
	require.NoError(t, err)
	require.InEpsilon(t, file.Results.Bill.Cost.Likely, got.Cost, 1e-9)
	require.InEpsilon(t, file.Results.Bill.Worth, got.Worth, 1e-9)

	again, err := draw(same)
	require.NoError(t, err)
	require.Equal(t, first, again)
	beside, err := d.Worker(t.Context())(same)
	require.NoError(t, err)
	require.Equal(t, first, beside)
}

func TestDrawsRefused(t *testing.T) {
	p := prepared(t)
	_, err := p.With([]string{"removal.agitate.residual", "land.fields[99].area", "materials[0].colour", "title", "removal.agitate.residual"})
	require.Equal(t, []string{"land.fields[99].area", "materials[0].colour", "title", "removal.agitate.residual"}, faults(err))
	d, err := p.With([]string{"removal.agitate.residual"})
	require.NoError(t, err)
	for _, x := range []float64{math.NaN(), math.Inf(1), -0.5, 1e300, 2} {
		_, err = d.Worker(t.Context())([]float64{x})
		require.NotEmpty(t, units.FieldErrors(err), x)
		require.Equal(t, "removal.agitate.residual", units.FieldErrors(err)[0].Field)
	}
	_, err = d.Worker(t.Context())(nil)
	require.ErrorContains(t, err, "values")
}

// Draws at random are plans with numbers, or faults of a path.
func TestDrawsAtRandom(t *testing.T) {
	d, err := prepared(t).With(paths)
	require.NoError(t, err)
	r := rand.New(rand.NewPCG(1, 1))
	draw := d.Worker(t.Context())
	values := make([]float64, len(paths))
	good := 0
	for range 50 {
		for i := range values {
			values[i] = d.Value(i) * (0.7 + 0.6*r.Float64())
		}
		o, err := draw(values)
		if err != nil {
			require.NotEmpty(t, units.FieldErrors(err), err)
			continue
		}
		good++
		require.False(t, math.IsNaN(o.Net+o.Cost+o.Worth+o.Days+o.Loads+float64(o.Area+units.Area(o.Import)+units.Area(o.Left))))
		require.Greater(t, o.Cost, 0.0)
		require.Equal(t, o.Left == 0, o.Placed)
	}
	require.Greater(t, good, 30)
}
