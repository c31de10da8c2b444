package plan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
)

func row(t *testing.T, r *plan.Results, key string) stage.Item {
	t.Helper()
	for _, x := range r.Bill.Items {
		if x.Key == key {
			require.NotNil(t, x.Cost, key)
			return x
		}
	}
	require.Fail(t, "no row", key)
	return stage.Item{}
}

// A price with a low and a high of its own has them in its row, and the doubt of all prices
// stays with what else the row costs: by hand from volumes, hours and prices of the demo.
func TestPriceWithItsOwnRange(t *testing.T) {
	sure := map[string]any{"sludge": map[string]any{"volume": map[string]any{"volume": "414000 gal", "source": "a survey of the example"}}}
	with := func(ranges ...any) *plan.Results {
		changes := map[string]any{"money.ranges": ranges, "money.doubt": 0.1}
		for k, v := range sure {
			changes[k] = v
		}
		return read(t, changes)
	}
	of := func(path, low, high string) any { return map[string]any{"path": path, "low": low, "high": high} }
	base := with()
	r := with(of("materials[1].spread", "9.5 per 1000 gal", "15 per 1000 gal"), of("removal.agitate.pump.cost.perHour", "150 per h", "240 per h"),
		of("cover.lime.price", "30 per ton", "60 per ton"), map[string]any{"path": "money.labSample", "low": 50, "high": 90}, map[string]any{"path": "money.survey"})

	// Slurry: 11 a 1000 gal for spreading, 5.5 a 1000 gal and mile for hauling.
	gallons, hauled := 0.0, 0.0
	for _, x := range base.Taken().Spread.Allocated.Placements {
		if v, ok := x.Amount.Volume(); ok && x.Material == "slurry" {
			gallons += v.In(units.Gallon) / 1000
			miles := map[string]float64{"Home Forty": 0.4, "Creek Bottom": 0.8, "Long Hill": 2.1, "West Bench": 3.4, "School Section": 5.2}[x.Field]
			hauled += v.In(units.Gallon) / 1000 * miles * 5.5
		}
	}
	got := row(t, r, "spread.slurry").Cost
	require.InEpsilon(t, 11*gallons+hauled, got.Likely, 1e-9)
	require.InEpsilon(t, 9.5*gallons+0.9*hauled, got.Low, 1e-9)
	require.InEpsilon(t, 15*gallons+1.1*hauled, got.High, 1e-9)

	// The pump at 180 an hour with three trucks at 120 and the agitator at 140.
	var hours float64
	for _, x := range base.Taken().Removal.Stages {
		if x.Kind == removal.StagePump {
			hours = x.Hours.In(units.Hour)
		}
	}
	got = row(t, r, "removal.pump").Cost
	rest := row(t, base, "removal.pump").Cost.Likely - 180*hours
	require.InEpsilon(t, 150*hours+0.9*rest, got.Low, 1e-9)
	require.InEpsilon(t, 240*hours+1.1*rest, got.High, 1e-9)

	// Lime at 38 a ton, eleven samples or so at 65, and a survey that is as sure as its price.
	lime := row(t, base, "cover.lime").Cost.Likely
	require.InEpsilon(t, lime*30/38, row(t, r, "cover.lime").Cost.Low, 1e-9)
	require.InEpsilon(t, lime*60/38, row(t, r, "cover.lime").Cost.High, 1e-9)
	samples := row(t, base, "laboratory").Cost.Likely / 65
	require.InEpsilon(t, 50*samples, row(t, r, "laboratory").Cost.Low, 1e-9)
	require.InEpsilon(t, 90*samples, row(t, r, "laboratory").Cost.High, 1e-9)

	// The total follows, and so does what drives it.
	require.Equal(t, base.Bill.Cost.Likely, r.Bill.Cost.Likely)
	sum := 0.0
	for _, x := range r.Bill.Items {
		sum += x.Cost.High
	}
	require.InEpsilon(t, sum, r.Bill.Cost.High, 1e-12)
	require.Greater(t, r.Bill.Cost.High, base.Bill.Cost.High)
	require.Equal(t, "closing.fill.import", r.Bill.Drivers[0].Key)
	wide := with(of("materials[1].spread", "1 per 1000 gal", "400 per 1000 gal"))
	require.Equal(t, "spread.slurry", wide.Bill.Drivers[0].Key)
	require.InEpsilon(t, (399*gallons+0.2*hauled)/(wide.Bill.Cost.High-wide.Bill.Cost.Low), wide.Bill.Drivers[0].Share, 1e-9)
}

func TestPriceRangesRefused(t *testing.T) {
	_, err := plan.Read(t.Context(), edit(t, told(map[string]any{"money.ranges": []any{
		map[string]any{"path": "land.prices[0].price"},
		map[string]any{"path": "materials[1].spread", "low": "12 per 1000 gal", "high": "9 per 1000 gal"},
		map[string]any{"path": "materials[1].spread"},
		map[string]any{"path": "materials[9].spread"},
		map[string]any{"path": "materials[0].haulPerMile", "low": "1 per ton"},
		map[string]any{"path": "cover.nurse.price", "low": "0 per lb"},
	}})))
	for _, want := range []string{"money.ranges[0].path", "money.ranges[1].low", "money.ranges[1].high", "money.ranges[2].path", "money.ranges[3].path", "money.ranges[4].low", "money.ranges[5].low"} {
		require.ErrorContains(t, err, want)
	}
}
