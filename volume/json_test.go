package volume

import (
	"encoding/json"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"

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
		require.Empty(t, cmp.Diff(r, back, cmpopts.EquateEmpty()))
	}
}

func TestResultsRoundTrip(t *testing.T) {
	b := formBasin(t)
	s := emptyingSpec(b)
	again[EmptyingResult](t)(Emptying(s))
	s.Until = s.Start
	again[EmptyingResult](t)(Emptying(s)) // not emptied: no date
	again[LayersResult](t)(Layers(LayersSpec{Basin: b, FromFloor: []LayerSpec{{Name: "sludge", Thickness: ft}}, FromTop: []LayerSpec{{Name: "freeboard", Thickness: ft}}}))
	again[PondResult](t)(Pond(PondSpec{Basin: b, WaterLevel: 4 * ft, Left: 1, LeftN: 0.1, Rinse: 10, TargetN: 0.01, MaxRinses: 2,
		DepthRules: []DepthRule{{Name: "a pond", Depth: 3 * ft, Share: 0.2}}}))
	again[StageTable](t)(StageStorage(StageStorageSpec{Basin: b, Step: ft}))
	again[[]MethodVolume](t)(CompareMethods(CompareMethodsSpec{Basin: b, Low: 0, High: ft}))
	again[LinerResult](t)(Liner(LinerSpec{Basin: b, Thickness: 0.3, Method: LinerMethodOffset}))
}
