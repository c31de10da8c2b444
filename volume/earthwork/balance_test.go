package earthwork

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/plantest"
)

func TestBalance(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	for range 300 {
		swell, shrink := plantest.Between(r, 0, 0.5), plantest.Between(r, 0, 0.3)
		spec := BalanceSpec{
			Cuts:  []EarthPart{{"berm", units.Volume(plantest.Between(r, 0, 1000)), StateBank, 0}, {"heap", units.Volume(plantest.Between(r, 0, 1000)), StateLoose, 0}},
			Fills: []EarthPart{{"basin", units.Volume(plantest.Between(r, 0, 2000)), StateCompacted, 0}},
			Soil:  SoilSpec{Swell: &swell, Shrink: &shrink}, Truck: TruckSpec{Volume: 7},
		}
		spec.Cuts[0].Unsuitable = spec.Cuts[0].Volume / 4
		got, err := Balance(spec)
		require.NoError(t, err)
		// All soil counted in place: what is cut and brought is placed, wasted or unfit.
		dug := (spec.Cuts[0].Volume + spec.Cuts[1].Volume/units.Volume(1+swell)).SI()
		require.InEpsilon(t, dug+got.Import.Bank.SI(), (got.Fill.Bank + got.Waste.Bank + got.Unsuitable.Bank).SI(), 1e-9)
		require.Zero(t, min(got.Import.Bank, got.Waste.Bank))
		require.InDelta(t, float64(got.ImportLoads+got.WasteLoads), float64(got.Import.Loose+got.Waste.Loose)/7, 1)
	}
	got, err := Balance(BalanceSpec{
		Fills: []EarthPart{{"basin", 900, StateCompacted, 0}}, Soil: anySoil(),
		Borrow: &SoilSpec{Swell: new(0.5), Shrink: new(0.25), LooseDensity: 1000},
		Truck:  TruckSpec{Volume: 100},
	})
	require.NoError(t, err)
	require.InDelta(t, 1200, got.Import.Bank.SI(), 1e-9)
	require.Equal(t, 18, got.ImportLoads)
	_, err = Balance(BalanceSpec{
		Cuts: []EarthPart{{"", -1, 0, 3}}, Fills: []EarthPart{{"", 1, StateBank, 1}},
		Soil: SoilSpec{Class: SoilClassDenseClay}, Truck: TruckSpec{Volume: 1, Payload: 5},
	})
	for _, want := range []string{"cuts[0].volume", "cuts[0].state", "cuts[0].unsuitable", "fills[0].unsuitable", "soil.shrink", "soil.looseDensity"} {
		require.ErrorContains(t, err, want)
	}
	_, err = Balance(BalanceSpec{Fills: []EarthPart{{"", 1e12, StateBank, 0}}, Soil: anySoil(), Truck: TruckSpec{Volume: 1e-9}})
	require.ErrorContains(t, err, "at most 1e9 loads")
}

func TestTopsoil(t *testing.T) {
	spec := TopsoilSpec{StripArea: 1000, StripDepth: 0.2, ReturnArea: 1500, ReturnDepth: 0.2, ReturnState: StateBank, Loss: 0.1, Soil: anySoil()}
	got, err := Topsoil(spec)
	require.NoError(t, err)
	require.InDelta(t, 200, got.Stripped.SI(), 1e-9)
	require.InDelta(t, 250, got.Stockpile.SI(), 1e-9)
	require.InDelta(t, 180, got.Usable.SI(), 1e-9)
	require.InDelta(t, 120*1.25, got.Shortage.SI(), 1e-9)
	require.Zero(t, got.Surplus)
	require.InDelta(t, 0.12, float64(got.Depth), 1e-12)
	spec.ReturnArea = 500
	got, err = Topsoil(spec)
	require.NoError(t, err)
	require.InDelta(t, 80*1.25, got.Surplus.SI(), 1e-9)
	require.InDelta(t, 0.2, float64(got.Depth), 1e-12)
}
