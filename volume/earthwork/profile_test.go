package earthwork

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

func TestBasinProfile(t *testing.T) {
	spec := BasinProfileSpec{
		Ground: 100 * ft, FloorWidth: 100 * ft, Depth: 8 * ft, CrownGrade: 0.03,
		Left:       ProfileSide{3, BermSection{4 * ft, 10 * ft, 3, 3}, 20 * ft},
		Right:      ProfileSide{2, BermSection{2 * ft, 8 * ft, 2, 3}, 20 * ft},
		Settlement: SettlementSpec{SettlementRuleDesign, 0.1},
	}
	got, err := BasinProfile(spec)
	require.NoError(t, err)
	sqft := units.SquareFoot
	width := 100 + 5*8.0
	require.InDelta(t, 88+26, got.Cut.In(sqft), 1e-9)
	require.InDelta(t, 8*(100+width)/2+0.03*width*width/4, got.Fill.In(sqft), 1e-9)
	require.InDelta(t, 1.1*got.Fill.In(sqft), got.Built.In(sqft), 1e-9)
	for i, p := range got.Points {
		if i > 0 {
			require.GreaterOrEqual(t, p.Station, got.Points[i-1].Station)
		}
		require.GreaterOrEqual(t, p.Built, p.Final)
	}
	require.InDelta(t, 20+34+width+18+20, got.Points[len(got.Points)-1].Station.In(ft), 1e-9)

	spec.GradeBuilt = true
	built, err := BasinProfile(spec)
	require.NoError(t, err)
	require.InDelta(t, got.Fill.In(sqft), built.Built.In(sqft), 1e-9, "what remained before is built now")
	require.InDelta(t, got.Fill.In(sqft)/1.1, built.Fill.In(sqft), 1e-6)
	_, err = BasinProfile(BasinProfileSpec{Left: ProfileSide{BankSlope: math.NaN()}})
	for _, want := range []string{"depth", "left.bankSlope", "settlement.rule"} {
		require.ErrorContains(t, err, want)
	}
}

func TestGroundProfile(t *testing.T) {
	got, err := GroundProfile(GroundProfileSpec{
		Existing: Plane{Level: 1}, Final: Plane{East: 0.1}, From: plane.Point{}, To: plane.Point{X: 20}, Stations: 8,
	})
	require.NoError(t, err)
	require.Len(t, got.Points, 8)
	require.InDelta(t, 5, got.Cut.SI(), 1e-12) // the levels cross between stations
	require.InDelta(t, 5, got.Fill.SI(), 1e-12)
	_, err = GroundProfile(GroundProfileSpec{})
	for _, want := range []string{"existing", "final", "to", "stations"} {
		require.ErrorContains(t, err, want)
	}
}

// The ridge of a crown over banks of 2:1 and 6:1 lies on the flatter bank: the floor of
// 10 ft ends 16 + 10 of 74 ft from the crest, the ridge stands at 37, 11/6 ft above it.
func TestRidgeOverTheBank(t *testing.T) {
	side := func(slope float64) ProfileSide { return ProfileSide{BankSlope: slope, Beyond: 20 * ft} }
	got, err := BasinProfile(BasinProfileSpec{Ground: 100 * ft, FloorWidth: 10 * ft, Depth: 8 * ft, CrownGrade: 0.03, Left: side(2), Right: side(6),
		Settlement: SettlementSpec{SettlementRuleDesign, 0.1}})
	require.NoError(t, err)
	top := slices.MaxFunc(got.Points, func(a, b ProfilePoint) int { return cmp.Compare(a.Final, b.Final) })
	require.InDelta(t, 20+37, top.Station.In(ft), 1e-9)
	require.InDelta(t, 100+0.03*37, top.Final.In(ft), 1e-9)
	require.InDelta(t, 92+11./6, top.Existing.In(ft), 1e-9)
}
