package plan_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// What is pumped from the open pit and dug from floor and banks goes to the land beside
// liquid and sludge, as much as there is of it, and within the same limits: by hand, what
// all materials bring to a field is no more than its room.
func TestWorksGoToTheLandWithinItsLimits(t *testing.T) {
	r := read(t, nil)
	s := &r.Taken().Spread
	found := map[plan.WorksKind]*plan.MaterialResult{}
	for i := range s.Materials {
		found[s.Materials[i].Stream.Works] = &s.Materials[i]
	}
	water, soil := found[plan.DirtyWater], found[plan.SoakedSoil]
	require.NotNil(t, water)
	require.NotNil(t, soil)
	require.InEpsilon(t, float64(r.Pit.Total.Pumped), water.Stock.SI(), 1e-12)
	dug := r.Closing.Of(r.Closing.Chosen).Soaked.Volume
	require.InEpsilon(t, dug.In(units.CubicFoot)*105/2000, units.Mass(soil.Stock.SI()).In(units.Ton), 1e-9, "at 105 lb/ft3")
	require.InEpsilon(t, 3.4*units.Mass(soil.Stock.SI()).In(units.Ton), soil.Holds[plan.OfP2O5].In(units.Pound), 1e-6, "at 3.4 lb/ton")
	require.InEpsilon(t, r.Sampled.Effluent.Analysis.P2O5().SI()*water.Stock.SI(), water.Holds[plan.OfP2O5].SI(), 1e-6, "as strong as the liquid before")
	holds := map[string]units.Mass{}
	placed := map[string]float64{}
	for i, m := range s.Allocated.Materials {
		require.Zero(t, m.Left.SI(), m.Name)
		holds[m.Name] = s.Materials[i].Holds[plan.OfP2O5]
	}
	for _, x := range s.Allocated.Placements {
		m := s.Allocated.Materials[0]
		for _, y := range s.Allocated.Materials {
			if y.Name == x.Material {
				m = y
			}
		}
		placed[x.Field] += float64(holds[x.Material]) * x.Amount.SI() / m.Stock.SI()
		if x.Material == soil.Name {
			require.Equal(t, "Home Forty", x.Field, "where the closing takes it")
		}
	}
	for i := range r.Fields.Fields {
		f := &r.Fields.Fields[i]
		if p := f.Years[0].Phosphorus; p != nil && p.Limited {
			require.LessOrEqual(t, placed[f.Name], float64(p.Room)*float64(f.Area)*(1+1e-9), f.Name)
		}
	}
	asked := map[string]bool{}
	for _, o := range r.Open {
		asked[o.Key] = true
		require.False(t, strings.HasPrefix(o.Key, "closing.budget."), o.Key)
	}
	require.True(t, asked["machines.box spreader.works.soaked soil"], "a calibration with it")
	require.True(t, asked["materials.dirty water.reports"], "a sample of it")
	require.Empty(t, r.Beside)
	var keys []string
	for _, i := range r.Bill.Items {
		keys = append(keys, i.Key)
	}
	require.Subset(t, keys, []string{"works.spread.dirty water", "works.spread.soaked soil"})
}

// Where the scenario has no material for them, the plan says so with the room they need.
func TestWorksWithoutMaterial(t *testing.T) {
	r := read(t, map[string]any{"materials": part(t, "materials").([]any)[:3]})
	require.Len(t, r.Beside, 2)
	water, soil := r.Beside[0], r.Beside[1]
	p, _ := r.Sampled.Effluent.Analysis.P2O5().Concentration()
	require.InEpsilon(t, float64(p)*float64(r.Pit.Total.Pumped), float64(water.P2O5), 1e-9)
	require.InEpsilon(t, soil.Volume.In(units.CubicFoot)*12/43560, soil.Area.In(units.Acre), 1e-9, "an inch thick")
	asked := map[string]bool{}
	for _, o := range r.Open {
		asked[o.Key] = true
	}
	require.True(t, asked["closing.budget.soaked"])
	require.True(t, asked["closing.budget.dirtyWater"])
	for _, b := range r.Beside {
		require.Contains(t, b.Why().String(), "no material, rate or field in this plan")
	}
}

// A report on soil by weight and the same by volume are one.
func TestWorksByWeightOrByVolume(t *testing.T) {
	at := func(report map[string]any) *plan.MaterialResult {
		r := read(t, map[string]any{"materials.4.reports": []any{report}, "metals": nil})
		for i := range r.Taken().Spread.Materials {
			if m := &r.Taken().Spread.Materials[i]; m.Stream.Works == plan.SoakedSoil {
				return m
			}
		}
		return nil
	}
	// 100 lb/ft3 are 13.368 lb/gal (1 gal = 231 in3), so that 3 lb/ton are 20.05 lb/1000 gal.
	const per = 100.0 / (1728.0 / 231) / 2000 * 1000
	weight := at(map[string]any{"form": "solid", "density": "100 lb/ft3", "solids": "50 %", "tkn": "3 lb/ton", "ammoniumN": "1 lb/ton", "p2o5": "3 lb/ton", "k2o": "2 lb/ton"})
	text := func(x float64) string {
		return units.Concentration(x*float64(units.PoundPer1000Gallon)).Text(units.PoundPer1000Gallon, 9)
	}
	volume := at(map[string]any{"form": "liquid", "density": "100 lb/ft3", "solids": text(0.5 * 2000 * per), "tkn": text(3 * per), "ammoniumN": text(per), "p2o5": text(3 * per), "k2o": text(2 * per)})
	for _, of := range []string{plan.OfP2O5, plan.OfK2O, plan.OfN} {
		require.InEpsilon(t, float64(weight.Holds[of]), float64(volume.Holds[of]), 1e-7, of)
	}
	require.InEpsilon(t, weight.Stock.SI(), volume.Stock.SI(), 1e-9)
	require.Equal(t, nutrient.Solid, weight.Stock.Form())
}
