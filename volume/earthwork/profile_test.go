package earthwork

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/cautions"
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

// The two lines of a section built as the grade shall remain and as it is built, point by
// point: k = 1.1; where the ground is above the final line it is cut to it.
func TestBasinProfileByHand(t *testing.T) {
	spec := BasinProfileSpec{
		Ground: 100 * ft, FloorWidth: 100 * ft, Depth: 8 * ft, CrownGrade: 0.03,
		Left:       ProfileSide{3, BermSection{4 * ft, 10 * ft, 3, 2}, 20 * ft},
		Right:      ProfileSide{2, BermSection{2 * ft, 8 * ft, 2, 3}, 10 * ft},
		Settlement: SettlementSpec{SettlementRuleDesign, 0.1},
	}
	// From 50 to 190 ft the basin is open, its ridge is at 120.
	stations := []float64{0, 20, 28, 38, 50, 74, 120, 174, 190, 194, 202, 208, 218}
	existing := []float64{100, 100, 104, 104, 100, 92, 92, 92, 100, 102, 102, 100, 100}
	crown := []float64{100, 100, 100, 100, 100, 100.72, 102.1, 100.48, 100, 100, 100, 100, 100}
	for _, built := range []bool{false, true} {
		spec.GradeBuilt = built
		got, err := BasinProfile(spec)
		require.NoError(t, err)
		require.Len(t, got.Points, len(stations))
		var area [3]float64
		for i, p := range got.Points {
			final, top := crown[i], crown[i]
			if fill := crown[i] - existing[i]; fill > 0 && built {
				final = existing[i] + fill/1.1
			} else if fill > 0 {
				top = existing[i] + fill*1.1
			}
			for k, v := range [][2]float64{{stations[i], p.Station.In(ft)}, {existing[i], p.Existing.In(ft)}, {final, p.Final.In(ft)}, {top, p.Built.In(ft)}} {
				require.InDelta(t, v[0], v[1], 1e-9, "number %d of the point at %v", k, stations[i])
			}
			if i > 0 {
				last := got.Points[i-1]
				step := (p.Station - last.Station).In(ft) / 2
				area[0] += step * max(0, (p.Existing-p.Final+last.Existing-last.Final).In(ft))
				area[1] += step * max(0, (p.Final-p.Existing+last.Final-last.Existing).In(ft))
				area[2] += step * max(0, (p.Built-p.Existing+last.Built-last.Existing).In(ft))
			}
		}
		for k, a := range []units.Area{got.Cut, got.Fill, got.Built} {
			require.InDelta(t, area[k], a.In(units.SquareFoot), 1e-9)
		}
	}
	// A side without berm has none, whatever its crest would be.
	spec.Left.Berm.Height = 0
	got, err := BasinProfile(spec)
	require.NoError(t, err)
	require.InDelta(t, 20, got.Points[1].Station.In(ft), 1e-9)
	require.InDelta(t, 92, got.Points[2].Existing.In(ft), 1e-9)
}

// Three surfaces along a slant line of 50 m: the built one rises above the ground from
// 10 m on, the final one from 20 m.
func TestGroundProfileOfThreeSurfaces(t *testing.T) {
	got, err := GroundProfile(GroundProfileSpec{
		Existing: Plane{Level: 3}, Final: Plane{Level: 1, East: 0.1 * 5 / 3}, Built: Plane{Level: 2, North: 0.1 * 5 / 4}, From: plane.Point{X: 0, Y: 0}, To: plane.Point{X: 30, Y: 40}, Stations: 7,
	})
	require.NoError(t, err)
	for i, p := range got.Points {
		s := 50 * float64(i) / 6
		for k, v := range [][2]float64{{s, p.Station.SI()}, {3, p.Existing.SI()}, {1 + 0.1*s, p.Final.SI()}, {2 + 0.1*s, p.Built.SI()}} {
			require.InDelta(t, v[0], v[1], 1e-9, "number %d of point %d", k, i)
		}
	}
	require.InDelta(t, 0.1*20*20/2, got.Cut.SI(), 1e-9)
	require.InDelta(t, 0.1*30*30/2, got.Fill.SI(), 1e-9)
	require.InDelta(t, 0.1*40*40/2, got.Built.SI(), 1e-9)
}

// A berm without a crest, at the end of the section, and banks that meet in a point have
// one point each: level ground, the outer toe, the top, the inner toe, the bottom.
func TestBasinProfileHasEachPointOnce(t *testing.T) {
	side := ProfileSide{BankSlope: 2, Berm: BermSection{Height: 1, InnerSlope: 2, OuterSlope: 3}}
	got, err := BasinProfile(BasinProfileSpec{Depth: 4, Left: side, Right: side, CrownGrade: 0.05, Settlement: SettlementSpec{SettlementRulePlaced, 0.1}})
	require.NoError(t, err)
	var stations []float64
	for _, p := range got.Points {
		stations = append(stations, p.Station.SI())
	}
	require.InDeltaSlice(t, []float64{0, 3, 5, 13, 21, 23, 26}, stations, 1e-9)
	require.InDelta(t, 0.4, got.Points[3].Final.SI(), 1e-9)
	require.InDelta(t, -4+4.4/0.9, got.Points[3].Built.SI(), 1e-9)
}

// Berms are cut down by as much as they are high, whatever the width of their crests.
func TestBasinProfileCautions(t *testing.T) {
	for _, c := range []struct {
		left, right BermSection
		deep        bool
	}{
		{BermSection{3 * ft, 12 * ft, 3, 3}, BermSection{2 * ft, 30 * ft, 3, 3}, false},
		{BermSection{6 * ft, 2 * ft, 3, 3}, BermSection{2 * ft, 3 * ft, 3, 3}, true},
		{BermSection{2 * ft, 3 * ft, 3, 3}, BermSection{6 * ft, 2 * ft, 3, 3}, true},
	} {
		r, err := BasinProfile(BasinProfileSpec{Ground: 100 * ft, FloorWidth: 90 * ft, Depth: 8 * ft, CrownGrade: 0.03,
			Left: ProfileSide{3, c.left, 9 * ft}, Right: ProfileSide{3, c.right, 9 * ft}, Settlement: SettlementSpec{SettlementRuleDesign, 0.1}})
		require.NoError(t, err)
		require.Equal(t, c.deep, slices.Contains(r.Cautions, cautions.CaveIn))
	}
}
