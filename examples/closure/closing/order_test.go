package closing_test

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/closing"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/earthwork"
)

// Whatever parts are missing, nothing but what goes on outside of the basin begins before
// what comes out of it is out, and nothing is covered or flooded before the inspection.
func TestWorkInTheBasinWaitsForItToBeEmpty(t *testing.T) {
	outside := []string{"closing.locate", "closing.erosion", "closing.strip"}
	r := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		spec := whole(t)
		spec.Borrow, spec.Pit = &closing.Borrow{Depth: 8 * ft, Slope: 3}, pit(t, spec.Basin, 3*units.Inch)
		if r.IntN(2) == 0 {
			spec.Liner = &closing.Liner{Way: closing.LinerWayPierce, Ways: &earthwork.DrainSpec{Kind: earthwork.DrainKindHoles, Size: 3 * ft, Spacing: 25 * ft, Depth: 3 * ft}}
		}
		v := reflect.ValueOf(&spec).Elem()
		for i := range v.NumField() {
			if !slices.Contains([]string{"Basin", "Ground", "Chosen"}, v.Type().Field(i).Name) && r.IntN(4) == 0 {
				v.Field(i).SetZero()
			}
		}
		spec.After = []stage.Need{{Key: "removal.dig"}}
		for _, o := range plan(t, spec).Outcomes {
			needs := map[string][]stage.Need{}
			for _, k := range o.Tasks {
				needs[k.Key] = k.Needs
			}
			var after func(key, first string) bool
			after = func(key, first string) bool {
				return key == first || slices.ContainsFunc(needs[key], func(n stage.Need) bool { return after(n.Key, first) })
			}
			for _, k := range o.Tasks {
				if slices.Contains(outside, k.Key) {
					continue
				}
				require.True(t, after(k.Key, "removal.dig"), "%v: %s begins before the basin is empty", o.Alternative, k.Key)
				require.True(t, k.Key == "closing.pipes" || after(k.Key, "closing.inspect"), "%v: %s begins before the inspection", o.Alternative, k.Key)
			}
		}
	}
}

// What a missing rate or price is of stands in its open point, each in other words.
func TestOpenPricesNameTheirWork(t *testing.T) {
	said := map[string]string{}
	for _, liner := range []*closing.Liner{whole(t).Liner, {Way: closing.LinerWayPierce, Ways: &earthwork.DrainSpec{Kind: earthwork.DrainKindHoles, Size: 3 * ft, Spacing: 25 * ft, Depth: 3 * ft}}} {
		spec := whole(t)
		spec.Prices, spec.Rates, spec.Liner, spec.Pit = closing.Prices{}, closing.Rates{}, liner, pit(t, spec.Basin, 3*units.Inch)
		for _, borrow := range []*closing.Borrow{nil, {Depth: 8 * ft, Slope: 3}} {
			spec.Borrow = borrow
			for _, o := range plan(t, spec).Outcomes {
				for _, x := range o.Open {
					if !strings.HasPrefix(x.Key, "closing.prices.") && !strings.HasPrefix(x.Key, "closing.rates.") {
						continue
					}
					what := x.What.String()
					require.NotContains(t, what, "this work")
					require.Greater(t, len(what), len("hours of "), x.Key)
					if key, twice := said[what]; twice {
						require.Equal(t, key, x.Key, what)
					}
					said[what] = x.Key
				}
			}
		}
	}
	require.Greater(t, len(said), 20)
}

// A bid is held against money for each yd3, or each m3: 1 yd3 is 0.764555 m3 (NIST SP 811,
// 2008, table B.8).
func TestBidsArePerYard(t *testing.T) {
	o := plan(t, whole(t)).Of(closing.AlternativeFill)
	for _, f := range o.PerUnit {
		if f.Key == "closing.perArea" {
			continue
		}
		require.Contains(t, units.Style{}.Text(f.Likely), "per yd3", f.Key)
		require.Contains(t, units.Style{System: units.SystemMetric}.Text(f.Likely), "per m3", f.Key)
	}
	p := units.Shown{Quantity: units.PricePer(7.64555, yd3), Unit: "yd3"}
	require.Equal(t, "7.646 per yd3", p.String())
	require.Equal(t, "10.00 per m3", units.Style{System: units.SystemMetric}.Text(p))
}

// What goes to the land beside the nutrient plan is told with its volume and its place,
// until the spec says that it is in a field's budget.
func TestNutrientsOutsideTheBudget(t *testing.T) {
	spec := whole(t)
	spec.Pit = pit(t, spec.Basin, 3*units.Inch)
	spec.Pond.Left, spec.Pond.LeftN = 20_000*units.Gallon, 3*units.GramPerLitre // has to be rinsed
	keys := map[string]string{"closing.budget.soaked": "closing.soaked.haul", "closing.budget.dirtyWater": "closing.dirtyWater", "closing.budget.rinseWater": "closing.pond.rinse"}
	told := map[string]string{}
	for _, o := range plan(t, spec).Outcomes {
		for _, x := range o.Open {
			if row, ok := keys[x.Key]; ok {
				told[x.Key] = x.What.String()
				require.Equal(t, stage.Planner, x.Who)
				require.Contains(t, o.Item(row).What.How.String(), "in no field's budget", row)
			}
		}
	}
	require.Len(t, told, len(keys))
	require.Contains(t, told["closing.budget.soaked"], "yd3 in place go to Home Forty")
	require.Contains(t, told["closing.budget.dirtyWater"], "gal from the open pit")
	spec.Budgeted = closing.Budgeted{Soil: true, Water: true}
	for _, o := range plan(t, spec).Outcomes {
		for key, row := range keys {
			require.NotContains(t, open(o), key)
			require.NotContains(t, o.Item(row).What.How.String(), "budget")
		}
	}
}

// Every task that digs or moves earth carries its dangers in its own row.
func TestEarthMovingCarriesItsCautions(t *testing.T) {
	for _, a := range alternatives {
		spec := whole(t)
		spec.Chosen = a
		for _, task := range plan(t, spec).Of(a).Tasks {
			if task.Kind == stage.EarthMoving || task.Kind == stage.DigLiner || task.Kind == stage.PipeWork {
				require.NotEmpty(t, task.Cautions, "%v: %s", a, task.Key)
			}
		}
	}
}
