package volume

import (
	"encoding/json"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/units/strict"
)

// again writes a result to JSON and reads it back strictly: nothing that is
// exported is lost, and no value without a name stops the writing.
func again[R any](t *testing.T) func(R, error) {
	return func(r R, err error) {
		t.Helper()
		require.NoError(t, err)
		data, err := json.Marshal(r)
		require.NoError(t, err)
		var back R
		require.NoError(t, strict.Decode(data, &back), string(data))
		require.Empty(t, cmp.Diff(r, back, cmpopts.IgnoreTypes(shown{}), cmpopts.EquateEmpty()))
	}
}

func TestResultsRoundTrip(t *testing.T) {
	b := formBasin(t)
	s := emptyingSpec(b)
	again[EmptyingResult](t)(Emptying(s))
	s.Until = s.Start
	again[EmptyingResult](t)(Emptying(s)) // not emptied: no date
	again[LayersResult](t)(Layers(LayersSpec{Basin: b, FromFloor: []LayerSpec{{Name: "sludge", Thickness: ft}}, FromTop: []LayerSpec{{Name: "freeboard", Thickness: ft}}}))
	again[PondResult](t)(Pond(PondSpec{Basin: b, WaterLevel: 4 * ft, Left: 1, LeftN: 0.1, Rinse: 10, TargetN: 0.01, MostRinse: 2,
		DepthRules: []DepthRule{{Name: "a pond", Depth: 3 * ft, Share: 0.2}}}))
	again[StageTable](t)(StageStorage(b, ft))
	again[[]MethodVolume](t)(CompareMethods(b, 0, ft))
	ground := LevelGrid{StepX: 10, StepY: 10, Levels: [][]units.Length{{1, 2}, {1.5, 2.2}}}
	again[PlaneResult](t)(FitPlane(FitPlaneSpec{Ground: ground, LeastGrade: 0.01, Level: PlaneLevelMean}))
	again[GradeResult](t)(Grade(GradeSpec{Ground: ground, Final: Plane{Level: 1.7}}))
	again[ProfileResult](t)(GroundProfile(GroundProfileSpec{Existing: ground, Final: Plane{Level: 1.7}, To: plane.Point{X: 10}, Stations: 3}))
	again[SectionsResult](t)(Sections(SectionsSpec{Method: MethodConic, Sections: []Section{{0, 1, 0}, {5, 2, 1}}}))
	again[OverbuildResult](t)(Overbuild(OverbuildSpec{Design: 1, Settlement: SettlementSpec{Rule: SettlementRulePlaced, Share: 0.05}}))
	again[LinerResult](t)(Liner(LinerSpec{Basin: b, Thickness: 0.3, Method: LinerMethodOffset}))
	again[DrainResult](t)(Drain(DrainSpec{Kind: DrainKindTrenches, Area: 100, Size: 0.5, Spacing: 5, Depth: 0.5}))
	again[[]SettlementRow](t)(SettlementTable(), nil)
	again[[]SoilRow](t)(SoilTable(), nil)
}
