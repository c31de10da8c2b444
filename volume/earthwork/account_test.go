package earthwork_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/earthwork"
	"example.org/earthbasin/volume/internal/cautions"
	"example.org/earthbasin/volume/internal/plantest"
)

// What is dug and brought in of each soil is what is placed, spoil, lost, kept or left
// over, in each state; what the fills get is what is placed; a fill is short by what it
// did not get.
func TestAccountBalances(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	volume := func() units.Volume { return units.Volume(plantest.Between(r, 0, 1000)) }
	state := func() earthwork.State { return earthwork.State(1 + r.IntN(3)) }
	for range 500 {
		var spec earthwork.AccountSpec
		for i := range 1 + r.IntN(4) {
			s := earthwork.AccountSoil{Name: fmt.Sprint("soil ", i), Soil: earthwork.SoilSpec{Swell: new(plantest.Between(r, 0, 0.5)), Shrink: new(plantest.Between(r, -0.3, 0.3))},
				Loss: plantest.Between(r, 0, 0.3), BroughtIn: r.IntN(2) == 0}
			if r.IntN(3) == 0 {
				s.Reserve = volume()
			}
			for range r.IntN(3) {
				v := volume()
				s.Cuts = append(s.Cuts, earthwork.EarthPart{Volume: v, State: state(), Unsuitable: v * units.Volume(r.Float64()*r.Float64())})
			}
			spec.Soils = append(spec.Soils, s)
		}
		for i := range r.IntN(5) {
			fill := earthwork.AccountFill{Name: fmt.Sprint("fill ", i), Volume: volume(), State: state()}
			for _, k := range r.Perm(len(spec.Soils))[:1+r.IntN(len(spec.Soils))] {
				fill.Soils = append(fill.Soils, spec.Soils[k].Name)
			}
			spec.Fills = append(spec.Fills, fill)
		}
		got, err := earthwork.Account(spec)
		require.NoError(t, err)
		for i, row := range got.Rows {
			for _, in := range []func(earthwork.EarthVolume) units.Volume{
				func(v earthwork.EarthVolume) units.Volume { return v.Bank },
				func(v earthwork.EarthVolume) units.Volume { return v.Loose },
				func(v earthwork.EarthVolume) units.Volume { return v.Compacted },
			} {
				require.InDelta(t, float64(in(row.Cut)+in(row.Import)), float64(in(row.Placed)+in(row.Spoil)+in(row.Lost)+in(row.Reserve)+in(row.Waste)), 1e-9*(1+float64(in(row.Cut)+in(row.Import))))
			}
			require.Less(t, row.Off(), 1e-9)
			if !spec.Soils[i].BroughtIn {
				require.Zero(t, row.Import.Bank)
			}
			for _, v := range []units.Volume{row.Placed.Bank, row.Spoil.Bank, row.Lost.Bank, row.Reserve.Bank, row.Waste.Bank} {
				require.GreaterOrEqual(t, float64(v), -1e-9)
			}
		}
		short := map[string]units.Volume{}
		for _, s := range got.Short {
			short[s.Fill] = s.Volume
		}
		for _, fill := range spec.Fills {
			all, brought := got.Placed(fill.Name)
			require.InDelta(t, float64(fill.Volume), float64(all+short[fill.Name]), 1e-6)
			var in units.Volume
			for _, m := range got.Moves {
				if m.Fill == fill.Name && m.Import {
					in += m.Volume
				}
			}
			require.Equal(t, in, brought)
			require.LessOrEqual(t, float64(brought), float64(all))
		}
	}
}

// One soil and one fill is cut against fill: 900 m3 compacted of a soil that shrinks by
// a quarter are 1,200 m3 in its pit and 1,800 m3 on 18 trucks of 100 m3.
func TestAccountOfOneSoil(t *testing.T) {
	soil := earthwork.SoilSpec{Swell: new(0.5), Shrink: new(0.25)}
	got, err := earthwork.Account(earthwork.AccountSpec{
		Soils: []earthwork.AccountSoil{{Name: "borrow", Soil: soil, BroughtIn: true}},
		Fills: []earthwork.AccountFill{{"basin", 900, earthwork.StateCompacted, []string{"borrow"}}}, Truck: &earthwork.TruckSpec{Volume: 100}})
	require.NoError(t, err)
	row := got.Row("borrow")
	require.InDelta(t, 1200, row.Import.Bank.SI(), 1e-9)
	require.Equal(t, 18, row.ImportLoads)
	require.Subset(t, got.Cautions, []string{cautions.Services, cautions.Banks, cautions.Drowning, cautions.Regulator})
	require.Equal(t, earthwork.AccountRow{Name: "peat"}, got.Row("peat"))
}

// 1,000 m2 of topsoil stripped 0.2 m deep, of which a tenth is lost, go back 0.2 m deep.
func TestAccountOfTopsoil(t *testing.T) {
	for area, want := range map[units.Area]earthwork.AccountRow{
		1500: {Import: earthwork.EarthVolume{Bank: 120, Loose: 150}},
		500:  {Waste: earthwork.EarthVolume{Bank: 80, Loose: 100}},
	} {
		got, err := earthwork.Account(earthwork.AccountSpec{
			Soils: []earthwork.AccountSoil{{Name: "topsoil", Soil: earthwork.SoilSpec{Swell: new(0.25), Shrink: new(0.1)}, Loss: 0.1, BroughtIn: true,
				Cuts: []earthwork.EarthPart{{"strip", units.Area(1000).Times(0.2), earthwork.StateBank, 0}}}},
			Fills: []earthwork.AccountFill{{"cover", area.Times(0.2), earthwork.StateBank, []string{"topsoil"}}}})
		require.NoError(t, err)
		row := got.Row("topsoil")
		require.InDelta(t, 250, row.Cut.Loose.SI(), 1e-9)
		require.InDelta(t, want.Import.Bank.SI(), row.Import.Bank.SI(), 1e-9)
		require.InDelta(t, want.Import.Loose.SI(), row.Import.Loose.SI(), 1e-9)
		require.InDelta(t, want.Waste.Bank.SI(), row.Waste.Bank.SI(), 1e-9)
		require.InDelta(t, want.Waste.Loose.SI(), row.Waste.Loose.SI(), 1e-9)
	}
}

func TestAccountFaults(t *testing.T) {
	_, err := earthwork.Account(earthwork.AccountSpec{})
	plantest.RequireFields(t, err, "soils")
	soil := earthwork.SoilSpec{Swell: new(0.25)}
	_, err = earthwork.Account(earthwork.AccountSpec{
		Soils: []earthwork.AccountSoil{{Soil: soil, Loss: 2}, {Name: "a", Soil: earthwork.SoilSpec{Swell: new(0.1), Shrink: new(0.1)}}, {Name: "a", Soil: earthwork.SoilSpec{Swell: new(0.1), Shrink: new(0.1)}, Reserve: -1}},
		Fills: []earthwork.AccountFill{{Volume: units.Volume(math.NaN()), Soils: []string{"b", "a", "a"}}, {Name: "basin", State: 1}},
	})
	plantest.RequireFields(t, err, "soils[0].name", "soils[0].soil.shrink", "soils[0].loss", "soils[2].name", "soils[2].reserve",
		"fills[0].name", "fills[0].volume", "fills[0].state", "fills[0].soils[0]", "fills[0].soils[2]", "fills[1].soils")
	_, err = earthwork.Account(earthwork.AccountSpec{
		Soils: []earthwork.AccountSoil{{Name: "clay", Soil: earthwork.SoilSpec{Class: earthwork.SoilClassDenseClay}, Cuts: []earthwork.EarthPart{{"", -1, 0, 3}}}},
		Truck: &earthwork.TruckSpec{Volume: 1, Payload: 5},
	})
	plantest.RequireFields(t, err, "soils[0].soil.shrink", "soils[0].soil.looseDensity", "soils[0].cuts[0].volume", "soils[0].cuts[0].state", "soils[0].cuts[0].unsuitable")
	_, err = earthwork.Account(earthwork.AccountSpec{
		Soils: []earthwork.AccountSoil{{Name: "clay", Soil: earthwork.SoilSpec{Swell: new(0.25), Shrink: new(0.1)}, BroughtIn: true}},
		Fills: []earthwork.AccountFill{{"basin", 1e12, earthwork.StateBank, []string{"clay"}}}, Truck: &earthwork.TruckSpec{Volume: 1e-9},
	})
	require.ErrorContains(t, err, "at most 1e9 loads")
}
