package earthwork_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/earthwork"
	"example.org/earthbasin/volume/internal/cautions"
	"example.org/earthbasin/volume/internal/plantest"
)

// The pit holds what it shall give, and takes the least ground of all rectangles.
func TestBorrow(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		spec := earthwork.BorrowSpec{Volume: units.Volume(plantest.Between(r, 100, 1e5)), State: earthwork.StateBank, Depth: units.Length(plantest.Between(r, 0.5, 4)), Slope: plantest.Between(r, 0, 4), Topsoil: 0.2, Loss: 0.1, Soil: earthwork.SoilSpec{Swell: new(0.2)}}
		got, err := earthwork.Borrow(spec)
		if err != nil {
			plantest.RequireFields(t, err, "depth")
			continue
		}
		s, d, z := float64(got.Floor), float64(spec.Depth), spec.Slope
		require.InEpsilon(t, float64(spec.Volume), s*s*d+2*s*z*d*d+4.0/3*z*z*d*d*d, 1e-9)
		require.InEpsilon(t, float64(got.Area)*0.2*0.9, float64(got.Returned), 1e-12)
	}
	// 100 m3 in a pit with upright sides, 4 m deep: 5 m by 5 m.
	got, err := earthwork.Borrow(earthwork.BorrowSpec{Volume: 100, State: earthwork.StateBank, Depth: 4, Soil: earthwork.SoilSpec{Swell: new(0.2)}})
	require.NoError(t, err)
	require.InDelta(t, 5, float64(got.Side), 1e-12)
	// Sides of 3:1 meet at the depth d where 12 d³ = V: 2.027 m for 100 m3.
	_, err = earthwork.Borrow(earthwork.BorrowSpec{Volume: 100, State: earthwork.StateBank, Depth: 4, Slope: 3, Soil: earthwork.SoilSpec{Swell: new(0.2)}})
	require.ErrorContains(t, err, units.Length(math.Cbrt(100.0/12)).Trade())
	_, err = earthwork.Borrow(earthwork.BorrowSpec{})
	plantest.RequireFields(t, err, "volume", "state", "depth", "soil.swell")
}

// A fill at the share p of a density has 1 - p of its height to lose until it has it, and
// what is placed is what is dug at the densities (conservation of mass).
func TestCompaction(t *testing.T) {
	spec := earthwork.CompactionSpec{Volume: 9000 * yd3, Depth: 9 * ft, Lift: 8 * units.Inch, Passes: 6, Test: earthwork.ProctorTestStandard, Percent: 0.92,
		MaxDensity: 1700, BankDensity: 1450, TestEvery: 500 * yd3, Roller: &earthwork.RollerSpec{Width: 2, Speed: 4 * units.KilometrePerHour, Efficiency: 0.75}}
	got, err := earthwork.Compaction(spec)
	require.NoError(t, err)
	require.Equal(t, 14, got.Lifts) // 9 ft / 8 in = 13.5
	require.Equal(t, 18, got.Tests) // 9000 / 500, more than one for each lift
	require.InDelta(t, 0.92*1700, float64(got.DryDensity), 1e-9)
	require.InDelta(t, 0.08, got.Settlement.Share, 1e-12)
	left, err := earthwork.Overbuild(earthwork.OverbuildSpec{Design: 0.92, Settlement: got.Settlement})
	require.NoError(t, err)
	require.InDelta(t, 1, float64(left.Built), 1e-12)
	soil, err := earthwork.NewSoil(earthwork.SoilSpec{BankDensity: 1450, CompactedDensity: 0.92 * 1700})
	require.NoError(t, err)
	compacted, err := soil.Convert(1, earthwork.StateBank, earthwork.StateCompacted)
	require.NoError(t, err)
	require.InDelta(t, float64(compacted), 1-*got.Shrink, 1e-12)
	// 2 m at 4,000 m/h, 0.2032 m thick, three quarters of the time, in six passes: 203.2 m3/h.
	require.InDelta(t, 203.2, got.Rolled.In(units.CubicMetrePerHour), 1e-9)
	require.InDelta(t, (9000*yd3).SI()/203.2, got.Hours.In(units.Hour), 1e-9)
	spec.TestEvery = 5000 * yd3
	got, err = earthwork.Compaction(spec)
	require.NoError(t, err)
	require.Equal(t, 14, got.Tests, "one for each lift at least")
	spec.TestEvery = 1
	got, err = earthwork.Compaction(spec)
	require.NoError(t, err)
	require.Equal(t, int(math.Ceil((9000 * yd3).SI())), got.Tests, "of each cubic metre, the least")
	_, err = earthwork.Compaction(earthwork.CompactionSpec{Roller: &earthwork.RollerSpec{}, MaxDensity: 1})
	plantest.RequireFields(t, err, "volume", "lift", "passes", "test", "percent", "maxDensity", "roller.width", "roller.speed", "roller.efficiency")
}

func TestBridging(t *testing.T) {
	spec := earthwork.BridgingSpec{Area: 1000, Thickness: 0.6, Sinks: 0.15, Fabric: true, Overlap: 0.1, Soil: earthwork.SoilSpec{Swell: new(0.25), Shrink: new(0.1)}}
	got, err := earthwork.Bridging(spec)
	require.NoError(t, err)
	require.InDelta(t, 750, float64(got.Volume.Compacted), 1e-9)
	require.InDelta(t, 750/0.9, float64(got.Volume.Bank), 1e-9)
	require.InDelta(t, 750/0.9*1.25, float64(got.Volume.Loose), 1e-9)
	require.InDelta(t, 600, float64(got.Above), 1e-9)
	require.InDelta(t, 1100, float64(got.Fabric), 1e-9)
	spec.Fabric, spec.Overlap = false, 0
	got, err = earthwork.Bridging(spec)
	require.NoError(t, err)
	require.Zero(t, got.Fabric)
	spec.Overlap, spec.Thickness = 0.1, 0
	_, err = earthwork.Bridging(spec)
	plantest.RequireFields(t, err, "thickness", "overlap")
}

// A measure that is squared stands in brackets: 10 in^2 is an area.
func TestSquaredDiameterStandsInBrackets(t *testing.T) {
	r, err := earthwork.Plug(earthwork.PlugSpec{Inside: 10 * units.Inch, PlugLength: 5 * units.Foot, Plugs: 2})
	require.NoError(t, err)
	require.Contains(t, r.String(), "pi/4 (10 in)^2")
	pipe, err := earthwork.Pipe(earthwork.PipeSpec{Inside: 10 * units.Inch, Outside: 12 * units.Inch, Length: 100 * units.Foot})
	require.NoError(t, err)
	require.NotContains(t, pipe.String(), " in^2")
}

// A pit by hand, 3 m deep at 2:1 on a floor of 10 m: 300 + 360 + 144 m3, 22 m by 22 m at
// the ground, below 0.25 m of topsoil of which a fifth is lost.
func TestBorrowByHand(t *testing.T) {
	spec := earthwork.BorrowSpec{Volume: 804 * 0.9, State: earthwork.StateCompacted, Depth: 3, Slope: 2, Topsoil: 0.25, Loss: 0.2, Soil: earthwork.SoilSpec{Shrink: new(0.1)}}
	got, err := earthwork.Borrow(spec)
	require.NoError(t, err)
	for name, v := range map[string][2]float64{"bank": {804, got.Bank.SI()}, "floor": {10, got.Floor.SI()}, "side": {22, got.Side.SI()}, "area": {484, got.Area.SI()},
		"stripped": {121, got.Stripped.SI()}, "returned": {96.8, got.Returned.SI()}, "cover": {0.2, got.Cover.SI()}} {
		require.InDelta(t, v[0], v[1], 1e-9, name)
	}
	// Sides that just meet leave no floor.
	spec.Volume = 144 * 0.9
	got, err = earthwork.Borrow(spec)
	require.NoError(t, err)
	require.InDelta(t, 0, got.Floor.SI(), 1e-5)
	require.InDelta(t, 12, got.Side.SI(), 1e-5)
	// What is dug is the pit and the topsoil over it: 20 ft together ask for an engineer.
	spec.Volume, spec.Depth, spec.Topsoil = 1e5, 19.5*ft, 0.5*ft
	got, err = earthwork.Borrow(spec)
	require.NoError(t, err)
	require.Contains(t, got.Cautions, cautions.Design)
	spec.Topsoil = 0.4 * ft
	got, err = earthwork.Borrow(spec)
	require.NoError(t, err)
	require.NotContains(t, got.Cautions, cautions.Design)
}

// A fill as deep as one lift is one lift; one denser than the test settles by nothing; and
// shrink takes both densities.
func TestCompactionAtItsEnds(t *testing.T) {
	spec := earthwork.CompactionSpec{Volume: 100, Depth: 0.2, Lift: 0.2, Passes: 1, Test: earthwork.ProctorTestModified, Percent: 1.05, MaxDensity: 2000}
	got, err := earthwork.Compaction(spec)
	require.NoError(t, err)
	require.Equal(t, 1, got.Lifts)
	require.Zero(t, got.Settlement.Share)
	require.Equal(t, earthwork.SettlementRulePlaced, got.Settlement.Rule)
	require.Nil(t, got.Shrink)
	require.Zero(t, got.Tests)
	require.Zero(t, got.Hours)
	spec.MaxDensity, spec.BankDensity = 0, 1500
	got, err = earthwork.Compaction(spec)
	require.NoError(t, err)
	require.Nil(t, got.Shrink)
	require.Zero(t, got.DryDensity)
	spec.Depth = 0.199
	_, err = earthwork.Compaction(spec)
	plantest.RequireFields(t, err, "depth")
}
