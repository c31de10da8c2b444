package closing_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/closing"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/earthwork"
)

const (
	ft  = units.Foot
	yd3 = units.CubicYard
)

// Prices of an invented job.
func perYard(likely float64) *closing.VolumePrice {
	return stage.Between(units.PricePer(0.8*likely, yd3), units.PricePer(likely, yd3), units.PricePer(1.5*likely, yd3))
}

// whole is a closing with nothing left out, of the rectangular lagoon of the invented
// farm in examples/closure.
func whole(t testing.TB) closing.Spec {
	basin, err := volume.NewRectangular(volume.RectangularSpec{Length: 230 * ft, Width: 150 * ft, At: volume.ReferenceTop, Depth: 12 * ft, Slopes: []float64{3, 2.5, 2.5, 2.5}})
	require.NoError(t, err)
	amount := func(x units.Money) *closing.Amount { return stage.Between(0.9*x, x, 1.3*x) }
	return closing.Spec{
		Basin: basin, Ground: 9 * ft, Chosen: closing.AlternativeFill, HighestLevel: 10.5 * ft,
		Berm:       &earthwork.BermSpec{Sides: []earthwork.BermSection{{Height: 3 * ft, CrestWidth: 10 * ft, InnerSlope: 2.5, OuterSlope: 3}}},
		Soil:       &earthwork.SoilSpec{Swell: new(0.25), Shrink: new(0.1)},
		Truck:      &earthwork.TruckSpec{Volume: 14 * yd3},
		Crown:      &closing.Crown{Grade: 0.045, LeastGrade: 0.02},
		Compaction: &closing.Compaction{Lift: 8 * units.Inch, Passes: 6, Test: earthwork.ProctorTestStandard, Percent: 0.95, TestEvery: 500 * yd3},
		Topsoil:    &closing.Topsoil{Strip: 8 * units.Inch, Return: 6 * units.Inch, Loss: 0.05, Soil: earthwork.SoilSpec{Swell: new(0.25), Shrink: new(0.05)}},
		Soaked:     &closing.Soaked{Thickness: 6 * units.Inch, Destination: "Home Forty", Samples: 4},
		Liner:      &closing.Liner{Way: closing.LinerWayTill, Till: ft},
		Pipes: []closing.Pipe{{Name: "inlet from the barn", Way: closing.PipeWayPlug, UnderBerm: new(false),
			Plug: &earthwork.PlugSpec{Inside: 10 * units.Inch, PlugLength: 5 * ft, Plugs: 2, Waste: 0.1, Yield: 0.6 * units.CubicFoot}},
			{Name: "recycle suction", Way: closing.PipeWayPull, UnderBerm: new(true), Dig: &earthwork.TrenchSpec{Points: []earthwork.TrenchPoint{{Depth: 4 * ft}, {Station: 60 * ft, Depth: 6 * ft}},
				BottomWidth: 3 * ft, SideSlopes: [2]float64{1, 1}, Method: volume.MethodPrismoidal, PipeOutside: 6 * units.Inch}}},
		SoftFloor: &earthwork.BridgingSpec{Thickness: 2 * ft, Sinks: 6 * units.Inch, Fabric: true, Overlap: 0.15},
		Breach:    &closing.Breach{BottomWidth: 10 * ft, SideSlope: 3, Outlet: new(-ft), Run: 200 * ft, LeastGrade: 0.01},
		Pond: &closing.Pond{Samples: 2, PondSpec: volume.PondSpec{WaterLevel: 9 * ft, DepthRules: []volume.DepthRule{{Name: "depth of the pond standard", Depth: 6 * ft, Share: 0.25}},
			Left: 5000 * units.Gallon, LeftN: 0.3 * units.GramPerLitre, Rinse: 100_000 * units.Gallon, CleanN: units.MilligramPerLitre, ReleaseN: 10 * units.Pound, TargetN: 30 * units.MilligramPerLitre, MaxRinses: 3}},
		Rates: closing.Rates{Dig: (900 * yd3).OverTime(10 * units.Hour), Place: (700 * yd3).OverTime(10 * units.Hour), Topsoil: (800 * yd3).OverTime(10 * units.Hour),
			Trench: (60 * yd3).OverTime(units.Hour), Plug: 3 * units.Hour, Till: units.Acre / 4, Water: 600 * units.GallonPerMinute},
		Prices: closing.Prices{Dig: perYard(3.6), Place: perYard(1.1), Import: perYard(7.5), Borrow: perYard(4), Haul: perYard(6), Topsoil: perYard(3), TopsoilBuy: perYard(14), Pervious: perYard(18),
			Till: stage.Exactly(units.PricePer(90, units.Acre)), Fabric: stage.Exactly(units.PricePer(1.1, units.SquareYard)), Grade: stage.Exactly(units.PricePer(600, units.Acre)),
			Concrete: perYard(185), Plug: amount(160), Trench: perYard(9), DirtyWater: stage.Exactly(units.PricePer(14, 1000*units.Gallon)), CleanWater: stage.Exactly(units.PricePer(2, 1000*units.Gallon)),
			DensityTest: amount(45), Sample: amount(140), Mobilization: amount(2400), Permits: amount(850), Engineer: amount(2700), Erosion: amount(2340), Contingency: stage.Between(0.05, 0.1, 0.15)},
		Answers: map[string]bool{"breach.allowed": true, "pond.allowed": true, "pond.spillway": true},
		LabDays: closing.Days{Least: 5, Likely: 10}, TicketLife: 14, EarthDoubt: stage.Between(0.95, 1, 1.1),
	}
}

func plan(t testing.TB, spec closing.Spec) closing.Result {
	r, err := closing.Plan(spec)
	require.NoError(t, err)
	return r
}
