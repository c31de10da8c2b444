package earthwork_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/earthwork"
	"example.org/earthbasin/volume/internal/plantest"
)

// The crown of the invented farm, 4.5 % over 9 ft of fill on banks of 2.5:1: when 8 % has
// settled, k = 1/1.08 and the grade over the banks is 0.045/1.08 - (1 - 1/1.08)/2.5 =
// 0.0120, below 2 %; the crown to build has (0.02 + 0.0741/2.5) 1.08 = 0.0536 (geometry).
func TestCrownForAfterSettlement(t *testing.T) {
	spec := earthwork.SettledCrownSpec{Crown: earthwork.CrownSpec{Shape: earthwork.CrownShapeHip, Length: 213.5 * ft, Width: 135 * ft, Grade: 0.045},
		FillDepth: 9 * ft, BankSlope: 2.5, MinGrade: 0.02, Settlement: earthwork.SettlementSpec{Rule: earthwork.SettlementRuleDesign, Share: 0.08}}
	now, err := earthwork.SettledCrown(spec)
	require.NoError(t, err)
	require.False(t, now.ShedsWater)
	require.InDelta(t, 0.0120, now.GradeOverBank, 5e-5)
	got, err := earthwork.CrownFor(spec)
	require.NoError(t, err)
	require.True(t, got.Steeper)
	require.True(t, got.Left.ShedsWater)
	require.InDelta(t, 0.0536, got.Build.Spec.Grade, 5e-5)
	// Identity of a hip: the volume is g W²(3L - W)/12.
	require.InEpsilon(t, 0.0536*135*135*(3*213.5-135)/12, got.Build.Volume.In(units.CubicFoot), 1e-3)
	require.InEpsilon(t, float64(got.Build.Volume)*(1-0.045/got.Build.Spec.Grade), float64(got.Extra), 1e-9)
	// At 5 % the crown stays as it is.
	spec.Settlement.Share = 0.05
	got, err = earthwork.CrownFor(spec)
	require.NoError(t, err)
	require.False(t, got.Steeper)
	require.Zero(t, got.Extra)
	require.Equal(t, 0.045, got.Build.Spec.Grade)
	// Peat that loses half of its height asks for more than a crown can have.
	spec.Settlement.Share, spec.Settlement.Rule, spec.BankSlope = 0.5, earthwork.SettlementRulePlaced, 1.5
	_, err = earthwork.CrownFor(spec)
	plantest.RequireFields(t, err, "settlement.share")
	spec.MinGrade, spec.Crown.Grade, spec.Settlement.Share = 0, 0, 0
	_, err = earthwork.CrownFor(spec)
	plantest.RequireFields(t, err, "minGrade")
}

func TestCrownForSheds(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		spec := earthwork.SettledCrownSpec{Crown: earthwork.CrownSpec{Shape: earthwork.CrownShapeHip, Length: 60, Width: 40, Grade: plantest.Between(r, 0, 0.1)}, FillDepth: units.Length(plantest.Between(r, 0, 4)),
			BankSlope: plantest.Between(r, 1.5, 4), MinGrade: plantest.Between(r, 0.005, 0.05), Settlement: earthwork.SettlementSpec{Rule: earthwork.SettlementRule(1 + r.IntN(2)), Share: plantest.Between(r, 0, 0.12)}}
		got, err := earthwork.CrownFor(spec)
		require.NoError(t, err)
		require.True(t, got.Left.ShedsWater)
		require.GreaterOrEqual(t, got.Build.Spec.Grade, spec.Crown.Grade)
		require.GreaterOrEqual(t, float64(got.Extra), -1e-9)
		if got.Steeper {
			require.InDelta(t, spec.MinGrade, min(got.Left.GradeOverBank, got.Left.GradeOverBase), 1e-12)
		}
	}
}

// A cone, and a berm around a circle, are what a polygon of many corners comes to.
func TestRoundCrownAndBerm(t *testing.T) {
	var outline plane.Polygon
	for i := range 360 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 360)
		outline = append(outline, plane.Point{X: units.Length(20 * c), Y: units.Length(20 * s)})
	}
	hip, err := earthwork.Crown(earthwork.CrownSpec{Shape: earthwork.CrownShapeHip, Outline: outline, Grade: 0.04})
	require.NoError(t, err)
	cone, err := earthwork.Crown(earthwork.CrownSpec{Shape: earthwork.CrownShapeCone, Length: 40, Width: 40, Grade: 0.04})
	require.NoError(t, err)
	require.InEpsilon(t, float64(hip.Volume), float64(cone.Volume), 3e-4)
	require.InEpsilon(t, float64(hip.Peak), float64(cone.Peak), 3e-4)
	_, err = earthwork.Crown(earthwork.CrownSpec{Shape: earthwork.CrownShapeCone, Length: 41, Width: 40, Grade: 0.04})
	plantest.RequireFields(t, err, "length")
	sides := []earthwork.BermSection{{Height: 1, CrestWidth: 3, InnerSlope: 2.5, OuterSlope: 3}}
	for line := earthwork.BermLineInnerToe; line <= earthwork.BermLineOuterToe; line++ {
		many, err := earthwork.Berm(earthwork.BermSpec{Line: line, Plan: outline, Sides: sides})
		require.NoError(t, err)
		ring, err := earthwork.Berm(earthwork.BermSpec{Line: line, Diameter: 40, Sides: sides})
		require.NoError(t, err)
		require.InEpsilon(t, float64(many.Volume), float64(ring.Volume), 3e-4)
		require.InEpsilon(t, float64(many.Footprint), float64(ring.Footprint), 3e-4)
	}
	_, err = earthwork.Berm(earthwork.BermSpec{Line: 1, Diameter: 40, Length: 4, Width: 4, Sides: sides})
	plantest.RequireFields(t, err, "diameter")
}

// A spec without a grade gets that which is needed, and all of the crown is extra; one of
// exactly the grade that is needed is not made steeper.
func TestCrownForWithoutAGrade(t *testing.T) {
	spec := earthwork.SettledCrownSpec{Crown: earthwork.CrownSpec{Shape: earthwork.CrownShapeHip, Length: 60, Width: 40}, FillDepth: 2, BankSlope: 2.5, MinGrade: 0.02,
		Settlement: earthwork.SettlementSpec{Rule: earthwork.SettlementRulePlaced, Share: 0.1}}
	got, err := earthwork.CrownFor(spec)
	require.NoError(t, err)
	needed := (0.02 + 0.1/2.5) / 0.9
	require.InDelta(t, needed, got.Build.Spec.Grade, 1e-12)
	require.False(t, got.Steeper)
	require.InDelta(t, needed*40*40*(3*60-40)/12, got.Extra.SI(), 1e-9)
	outline := spec
	outline.Crown = earthwork.CrownSpec{Shape: earthwork.CrownShapeHip, Outline: plane.Polygon{{}, {X: 60}, {X: 60, Y: 40}, {Y: 40}}}
	same, err := earthwork.CrownFor(outline)
	require.NoError(t, err)
	require.InDelta(t, got.Extra.SI(), same.Extra.SI(), 1e-6)
	spec.Crown.Grade = needed
	got, err = earthwork.CrownFor(spec)
	require.NoError(t, err)
	require.False(t, got.Steeper)
	require.InDelta(t, 0, got.Extra.SI(), 1e-9)
	require.Equal(t, spec, got.Spec)
}
