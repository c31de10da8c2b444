package earthwork

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/internal/cautions"
	"example.org/earthbasin/volume/internal/plantest"
)

func TestTrenchEndAreaError(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	for range 200 {
		x, h0, h1, s := plantest.Between(r, 1, 100), plantest.Between(r, 0, 5), plantest.Between(r, 0, 5), plantest.Between(r, 0, 3)
		spec := TrenchSpec{Points: []TrenchPoint{{0, units.Length(h0)}, {units.Length(x), units.Length(h1)}}, BottomWidth: units.Length(plantest.Between(r, 0, 3)), SideSlopes: [2]float64{0, 2 * s}, Method: volume.MethodEndArea, Soil: anySoil()}
		end, err := Trench(spec)
		require.NoError(t, err)
		spec.Method = volume.MethodPrismoidal
		exact, err := Trench(spec)
		require.NoError(t, err)
		require.InDelta(t, x*s*(h1-h0)*(h1-h0)/6, (end.Excavation - exact.Excavation).SI(), 1e-9*end.Excavation.SI()+1e-12)
	}
}

func TestTrenchBackfill(t *testing.T) {
	got, err := Trench(TrenchSpec{
		Points: []TrenchPoint{{0, 6}, {100, 6}}, BottomWidth: 3, Method: volume.MethodPrismoidal,
		PipeOutside: 1, Bedding: 0.5, Soil: anySoil(),
	})
	require.NoError(t, err)
	require.InDelta(t, 1800, got.Excavation.SI(), 1e-9)
	require.InDelta(t, 150, got.Bedding.SI(), 1e-9)
	require.InDelta(t, 25*math.Pi, got.Pipe.SI(), 1e-9)
	back := 1650 - 25*math.Pi
	require.InDelta(t, back, got.Backfill.SI(), 1e-9)
	// Loose: 1800 x 1.25 dug; each compacted 0.9 takes 1.25.
	require.InDelta(t, 1800*1.25-back/0.9*1.25, got.Surplus.SI(), 1e-9)
	require.Zero(t, got.Shortage)
	require.Contains(t, got.Cautions, cautions.CaveIn)
	_, err = Trench(TrenchSpec{Points: []TrenchPoint{{0, 1}, {10, 1}}, BottomWidth: 1, Method: volume.MethodPrismoidal, Bedding: 2, Soil: anySoil()})
	require.ErrorContains(t, err, "points[1].depth: got 3.281 ft, want at least pipe and bedding, 6.562 ft")
}

func TestPlug(t *testing.T) {
	got, err := Plug(PlugSpec{Inside: ft, PlugLength: 4 * ft, Plugs: 2, Waste: 0.1, Yield: 0.6 * units.CubicFoot})
	require.NoError(t, err)
	require.InDelta(t, 2*math.Pi, got.Neat.In(units.CubicFoot), 1e-9)
	require.InDelta(t, 2.2*math.Pi, got.Concrete.In(units.CubicFoot), 1e-9)
	require.Equal(t, 12, got.Bags) // 11.52
	// A whole number of bags is not rounded up by noise.
	got, err = Plug(PlugSpec{Inside: ft, PlugLength: ft, Plugs: 3, Yield: math.Pi / 4 * units.CubicFoot})
	require.NoError(t, err)
	require.Equal(t, 3, got.Bags)
	pipe, err := Pipe(PipeSpec{Inside: ft, Outside: 1.2 * ft, Length: 100 * ft})
	require.NoError(t, err)
	require.InDelta(t, 25*math.Pi, pipe.Bore.In(units.CubicFoot), 1e-9)
	require.InDelta(t, 36*math.Pi, pipe.Displaced.In(units.CubicFoot), 1e-9)
	_, err = Pipe(PipeSpec{Inside: 2, Outside: 1, Length: units.Length(math.Inf(1))})
	require.ErrorContains(t, err, "outside")
	require.ErrorContains(t, err, "length")
}

// A trench by hand, 1 m at the bottom, sides of 0.5:1 and 1.5:1: depth h has h + h^2 and a
// top of 1 + 2h. From 1 m over 3 m to 2 m deep: sections 2, 6 (at 2 m), 12, 8.75 (at
// 2.5 m) and 6 m2.
func TestTrenchByHand(t *testing.T) {
	spec := TrenchSpec{Points: []TrenchPoint{{100, 1}, {112, 3}, {118, 2}}, BottomWidth: 1, SideSlopes: [2]float64{0.5, 1.5}, Soil: SoilSpec{Swell: new(0.2), Shrink: new(0.1)}, PipeOutside: 0.4, Bedding: 0.1}
	for method, want := range map[volume.Method]float64{
		volume.MethodEndArea:    12*7 + 6*9,
		volume.MethodMidArea:    12*6 + 6*8.75,
		volume.MethodPrismoidal: 2*(2+4*6+12) + 12 + 4*8.75 + 6,
		volume.MethodConic:      4*(2+12+math.Sqrt(24)) + 2*(12+6+math.Sqrt(72)),
	} {
		spec.Method = method
		got, err := Trench(spec)
		require.NoError(t, err)
		bedding, pipe := 0.1*1.1*18, math.Pi/4*0.16*18
		back := want - bedding - pipe
		need, spoil := back/0.9*1.2, want*1.2
		for name, v := range map[string][2]float64{"excavation": {want, got.Excavation.SI()}, "length": {18, got.Length.SI()}, "deepest": {3, got.Deepest.SI()}, "top": {7, got.TopWidth.SI()}, "spoil": {spoil, got.Spoil.SI()},
			"pipe": {pipe, got.Pipe.SI()}, "bedding": {bedding, got.Bedding.SI()}, "backfill": {back, got.Backfill.SI()}, "surplus": {max(spoil-need, 0), got.Surplus.SI()}, "shortage": {max(need-spoil, 0), got.Shortage.SI()}} {
			require.InDelta(t, v[0], v[1], 1e-9, "%s, %v", name, method)
		}
		require.Positive(t, got.Shortage.SI())
	}
	// Pipe and bedding may reach just to the ground, and the pipe to both sides.
	spec.Method, spec.Points = volume.MethodEndArea, []TrenchPoint{{0, 1.1}, {9, 1.1}}
	spec.PipeOutside = 1
	_, err := Trench(spec)
	require.NoError(t, err)
	spec.Points = spec.Points[:1]
	_, err = Trench(spec)
	plantest.RequireFields(t, err, "points")
}

// A pipe of 1 ft on 4 ft, a waste of a tenth; nothing outside is nothing displaced; bags are
// counted only where one has a yield.
func TestPipeAndPlugAtTheirEnds(t *testing.T) {
	pipe, err := Pipe(PipeSpec{Inside: 2, Length: 10})
	require.NoError(t, err)
	require.InDelta(t, 10*math.Pi, pipe.Bore.SI(), 1e-9)
	require.Zero(t, pipe.Displaced)
	pipe, err = Pipe(PipeSpec{Inside: 2, Outside: 2, Length: 10, Cover: 3.9 * ft})
	require.NoError(t, err)
	require.Equal(t, pipe.Bore, pipe.Displaced)
	require.NotContains(t, pipe.Cautions, cautions.WayOut)
	plug, err := Plug(PlugSpec{Inside: 2, PlugLength: 1, Plugs: 1})
	require.NoError(t, err)
	require.InDelta(t, math.Pi, plug.Concrete.SI(), 1e-9)
	require.Zero(t, plug.Bags)
}
