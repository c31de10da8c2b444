package plan_test

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// Where the plan fills a field to its limit of P2O5, machines that are 10 % off, which the
// calibration accepts, put 10 % too much on: the plan says so, with the amount and the
// rate over 1.1 to aim at. Where the room is a tenth larger than what goes on it is silent.
func TestAcceptedToleranceAtALimit(t *testing.T) {
	r := read(t, nil)
	said := map[string]string{}
	for _, o := range r.Open {
		if strings.HasPrefix(o.Key, "machines.limits.") {
			said[o.Key] = o.What.String() + " " + o.Needs.String()
		}
	}
	a := r.Taken().Spread.Allocated
	full := 0
	for _, f := range a.Fields {
		for _, l := range f.Limits {
			if l.Kind != nutrient.LimitPhosphorus {
				continue
			}
			text, ok := said["machines.limits."+f.Name+"."+plan.OfP2O5]
			require.Equal(t, l.Applied*1.1 > l.Room, ok, f.Name)
			if ok {
				full++
				require.Contains(t, text, (l.Applied*1.1 - l.Room).Text(units.PoundPerAcre, 1)[:3])
			}
		}
	}
	require.Positive(t, full)
	for _, x := range a.Placements {
		if x.Field == "Home Forty" && x.Material == "slurry" {
			want, _ := x.Rate.VolumePerArea()
			require.Contains(t, said["machines.limits.Home Forty.P2O5"], nutrient.LiquidRate(want/1.1).String()+" of slurry")
		}
	}
	for _, x := range r.Machines.Settings {
		require.Positive(t, float64(x.On))
		require.LessOrEqual(t, float64(x.On), float64(r.Fields.Field(x.Field).Area)*(1+1e-9), "net of setbacks")
	}
}

// A tanker that was measured 6 % above the planned rate is accepted, nobody changes its
// setting, and the field that is full of P2O5 gets 6 % of its share too much: the plan says
// how much goes on. Two per cent below it gets less than the limit.
func TestAcceptedCalibrationAgainstTheLimit(t *testing.T) {
	base := read(t, nil)
	var rate units.VolumePerArea
	var slurry units.MassPerArea
	for _, x := range base.Taken().Spread.Allocated.Placements {
		if x.Field == "Home Forty" && x.Material == "slurry" {
			rate, _ = x.Rate.VolumePerArea()
			slurry = base.Taken().Brings(x, func(m *plan.MaterialResult) nutrient.Content { return m.Analysis.P2O5() })
		}
	}
	require.Positive(t, float64(rate))
	said := func(off float64) string {
		// 6,200 gal on a strip 15 ft wide is the rate at this length.
		feet := 6200 * float64(units.Gallon) / float64(rate) / (1 + off) / float64(15*units.Foot) / float64(units.Foot)
		run := map[string]any{"load": "6200 gal", "loads": 1, "width": "15 ft", "distance": strconv.FormatFloat(feet, 'g', -1, 64) + " ft"}
		r := read(t, map[string]any{"machines.2.loads.runs": []any{run, run, run}})
		for i := range r.Machines.Machines {
			if m := &r.Machines.Machines[i]; m.Name == "tank spreader" {
				require.InEpsilon(t, float64(rate)*(1+off), float64(m.Loads.Rate), 1e-9)
			}
		}
		for _, o := range r.Open {
			if o.Key == "machines.limits.Home Forty.P2O5" {
				return o.What.String()
			}
		}
		return ""
	}
	var room units.MassPerArea
	for _, l := range base.Taken().Spread.Allocated.Fields[0].Limits {
		if l.Kind == nutrient.LimitPhosphorus {
			room = l.Applied // which is the limit, but for a part of a load
			require.InEpsilon(t, float64(l.Room), float64(l.Applied), 0.01)
		}
	}
	require.Contains(t, said(0.06), "as they were measured they put on "+units.Words("%v", room+slurry*0.06).String()+", ")
	require.Contains(t, said(0.06), " too much")
	require.NotContains(t, said(-0.02), " too much")
	require.Contains(t, said(-0.02), "as they were measured they put on "+units.Words("%v", room-slurry*0.02).String())
}

// A rate above what a machine puts on in a pass is set by the pass: the soaked soil of the
// demo goes on in as many equal passes as the most of the spreader asks, each at the speed
// in use times what was measured over the rate of the pass.
func TestSettingOfSeveralPasses(t *testing.T) {
	r := read(t, nil)
	for _, x := range r.Machines.Settings {
		if x.Material != "soaked soil" {
			require.Equal(t, 1, x.Passes, x.Material)
			continue
		}
		whole, _ := x.Rate.MassPerArea()
		require.Greater(t, whole.In(units.TonPerAcre), 20.0, "the most of the spreader")
		require.Equal(t, 2, x.Passes)
		var measured units.MassPerArea
		for i := range r.Machines.Machines {
			if m := &r.Machines.Machines[i]; m.Name == x.Machine {
				measured = m.Sheets.Summary.Mean
			}
		}
		require.InEpsilon(t, 3.5*float64(measured/(whole/2)), x.Solid.Wanted.In(units.MilePerHour), 1e-9)
		require.False(t, x.Solid.Limited)
	}
	// In one pass the spreader goes as slowly as it can, and that is not enough.
	r = read(t, map[string]any{"materials.4.passes": nil, "machines.3.most": nil})
	asked := false
	for _, o := range r.Open {
		asked = asked || o.Key == "machines.box spreader.slow.Home Forty"
	}
	require.True(t, asked)
}
