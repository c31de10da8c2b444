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

// A site by hand. Berm, bank: 1,000 and 240/1.2 dug, of which 100 and 48/1.2 are roots, a
// tenth of the 1,060 lost and 54 kept leave 900. The basin takes 630/0.9 = 700 of it, the
// crown the last 200 as 240 loose, so that 360 loose are bought, 360/1.5 = 240 in the pit.
// Of the topsoil 20 are lost and the 80 that are left are less than the 500 to keep.
func TestAccountByHand(t *testing.T) {
	soil := func(swell, shrink float64) earthwork.SoilSpec {
		return earthwork.SoilSpec{Swell: new(swell), Shrink: new(shrink)}
	}
	got, err := earthwork.Account(earthwork.AccountSpec{
		Soils: []earthwork.AccountSoil{
			{Name: "berm", Soil: soil(0.2, 0.1), Cuts: []earthwork.EarthPart{{"north", 1000, earthwork.StateBank, 100}, {"heap", 240, earthwork.StateLoose, 48}}, Loss: 0.1, Reserve: 54},
			{Name: "borrow", Soil: soil(0.5, 0.25), BroughtIn: true},
			{Name: "gravel", Soil: soil(0.1, 0.05), BroughtIn: true},
			{Name: "topsoil", Soil: soil(0.4, 0.2), Cuts: []earthwork.EarthPart{{"strip", 100, earthwork.StateBank, 0}}, Loss: 0.2, Reserve: 500},
			{Name: "peat", Soil: soil(0.4, 0.5), Cuts: []earthwork.EarthPart{{"floor", 300, earthwork.StateBank, 0}}},
		},
		Fills: []earthwork.AccountFill{
			{"basin", 630, earthwork.StateCompacted, []string{"berm"}},
			{"crown", 600, earthwork.StateLoose, []string{"berm", "borrow", "gravel"}},
			{"cover", 50, earthwork.StateBank, []string{"topsoil"}},
			{"none", 0, earthwork.StateBank, []string{"topsoil"}},
		}, Truck: &earthwork.TruckSpec{Volume: 100}})
	require.NoError(t, err)
	type sums struct {
		cut, in, placed, spoil, lost, kept, left float64
		inLoads, spoilLoads, leftLoads           int
	}
	for i, want := range []sums{
		{cut: 1200, placed: 900, spoil: 140, lost: 106, kept: 54, spoilLoads: 2}, // 168 loose
		{in: 240, placed: 240, inLoads: 4},                                       // 360 loose
		{},
		{cut: 100, lost: 20, kept: 80},
		{cut: 300, left: 300, leftLoads: 5}, // 420 loose
	} {
		row := got.Rows[i]
		require.Equal(t, got.Spec.Soils[i].Name, row.Name)
		for name, v := range map[string][2]float64{"cut": {want.cut, row.Cut.Bank.SI()}, "import": {want.in, row.Import.Bank.SI()}, "placed": {want.placed, row.Placed.Bank.SI()}, "spoil": {want.spoil, row.Spoil.Bank.SI()},
			"lost": {want.lost, row.Lost.Bank.SI()}, "reserve": {want.kept, row.Reserve.Bank.SI()}, "waste": {want.left, row.Waste.Bank.SI()}} {
			require.InDelta(t, v[0], v[1], 1e-9, "%s of %s", name, row.Name)
		}
		require.Equal(t, []int{want.inLoads, want.spoilLoads, want.leftLoads}, []int{row.ImportLoads, row.SpoilLoads, row.WasteLoads}, row.Name)
	}
	require.InDelta(t, 140*1.2, got.Rows[0].Spoil.Loose.SI(), 1e-9)
	require.InDelta(t, 140*0.9, got.Rows[0].Spoil.Compacted.SI(), 1e-9)
	for i, want := range []earthwork.AccountMove{{"basin", "berm", false, 630}, {"crown", "berm", false, 240}, {"crown", "borrow", true, 360}} {
		require.InDelta(t, want.Volume.SI(), got.Moves[i].Volume.SI(), 1e-9)
		want.Volume = got.Moves[i].Volume
		require.Equal(t, want, got.Moves[i])
	}
	require.Len(t, got.Moves, 3)
	require.Equal(t, []earthwork.AccountShort{{"cover", 50}}, got.Short)
	all, brought := got.Placed("crown")
	require.InDelta(t, 600, all.SI(), 1e-9)
	require.InDelta(t, 360, brought.SI(), 1e-9)
}

// A row that does not balance says by how much of what came in: here half of it, and
// where more goes out than came in as well.
func TestAccountRowOff(t *testing.T) {
	bank := func(v units.Volume) earthwork.EarthVolume { return earthwork.EarthVolume{Bank: v} }
	row := earthwork.AccountRow{Cut: bank(160), Import: bank(40), Placed: bank(20), Spoil: bank(30), Lost: bank(10), Reserve: bank(15), Waste: bank(25)}
	require.InDelta(t, 0.5, row.Off(), 1e-12)
	row.Waste = bank(225)
	require.InDelta(t, 0.5, row.Off(), 1e-12)
	require.Zero(t, earthwork.AccountRow{}.Off())
}
