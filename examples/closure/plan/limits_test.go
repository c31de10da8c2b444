package plan_test

import (
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
