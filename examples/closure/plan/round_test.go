package plan_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/units"
)

// breaks is one fault in each part of a scenario: what is changed, to what (nil takes
// it out), and the path at which it has to be told.
var breaks = []struct {
	key   string
	value any
	path  string
}{
	{"date", nil, "date"},
	{"start", "1492-10-12", "start"},
	{"confidence", 95, "confidence"},
	{"basin.depth", nil, "basin.depth"},
	{"liquidDepth", nil, "liquidDepth"},
	{"survey.soundings.3.toFloor", "1 ft", "survey.soundings[3].toFloor"},
	{"materials.effluent.reports.0.tkn", "1 lb/1000 gal", "materials.effluent.reports[0].ammoniumN"},
	{"materials.effluent.mostPerPass", "0 gal/acre", "materials.effluent.mostPerPass"},
	{"materials.sludge.set", "atlantis", "materials.sludge.set"},
	{"materials.sludge.load", "-6 gal", "materials.sludge.load"},
	{"removal.workDay", "30 h", "removal.workDay"},
	{"removal.pumpOff.hose.flow", nil, "removal.pumpOff.hose.flow"},
	{"removal.dig.fleet.trucks", 0, "removal.dig.fleet.trucks"},
	{"removal.agitate.target", "-1 %", "removal.agitate.target"},
	{"emptying.mostDays", nil, "emptying.mostDays"},
	{"emptying.months.4.rain", "-1 in", "emptying.months[4].rain"},
	{"land.cropTable", "atlantis", "land.cropTable"},
	{"land.siteRule", nil, "land.siteRule"},
	{"land.metalTable", "atlantis", "land.metalTable"},
	{"land.banking.years", 99, "land.banking.years"},
	{"land.soil.intake", nil, "land.soil.intake"},
	{"land.prices.0.price", "-1 per lb", "land.prices[0].price"},
	{"land.fields.1.setback", "40 acre", "land.fields[1].setback"},
	{"land.fields.2.nitrogen.legume", "-4 lb/acre", "land.fields[2].nitrogen.legume"},
	{"calibration.sheets.sheets.0.gross", "2 lb", "calibration.sheets.sheets[0].gross"},
	{"calibration.loads.runs.1.width", nil, "calibration.loads.runs[1].width"},
	{"calibration.hose.width", "-20 ft", "calibration.hose.width"},
	{"calibration.gauges.gauges.2.depth", "-1 in", "calibration.gauges.gauges[2].depth"},
	{"works.berm.sides.0.height", "-3 ft", "works.berm.sides[0].height"},
	{"works.plugs.0.plug.inside", "-10 in", "works.plugs[0].plug.inside"},
	{"works.linerDepth", "-6 in", "works.linerDepth"},
	{"works.drain.depth", nil, "works.drain.depth"},
	{"works.soil.shrink", 1.5, "works.soil.shrink"},
	{"works.truck.volume", nil, "works.truck.volume"},
	{"works.crown.grade", nil, "works.crown.grade"},
	{"works.settlement.share", 2, "works.settlement.share"},
	{"works.topsoil.returnDepth", nil, "works.topsoil.returnDepth"},
	{"works.earthRate", nil, "works.earthRate"},
	{"works.leastGrade", 3, "works.leastGrade"},
	{"cover.mix.items.0.lot.purity", 1.2, "cover.mix.items[0].lot.purity"},
	{"cover.rules", "atlantis", "cover.rules"},
	{"cover.limeTest.ph", nil, "cover.limeTest.ph"},
	{"cover.lime.cce", 0, "cover.lime.cce"},
	{"cover.fertilizer.grades.0.price", "-1 per lb", "cover.fertilizer.grades[0].price"},
	{"cover.mulch.cover", 85, "cover.mulch.cover"},
	{"cover.windows.0.to", "30 February", "cover.windows[0].to"},
	{"cover.seedDays", 1000000000, "cover.seedDays"},
	{"cover.nurse.temporaryRate", nil, "cover.nurse.temporaryRate"},
	{"cover.slope.grade", nil, "cover.slope.grade"},
	{"cover.soilLoss.k", nil, "cover.soilLoss.k"},
	{"money.import", nil, "money.import"},
	{"money.others.0.cost", -1, "money.others[0].cost"},
	{"money.payment.scenarios.0.share", 75, "money.payment.scenarios[0].share"},
}

// Broken all at once, every part tells its fault in the first round, and once.
func TestEverythingWrongInOneRound(t *testing.T) {
	changes := map[string]any{}
	for _, b := range breaks {
		changes[b.key] = b.value
	}
	_, err := plan.Read(t.Context(), edit(t, changes))
	var got, want []string
	for _, f := range units.FieldErrors(err) {
		got = append(got, f.Field)
	}
	for _, b := range breaks {
		want = append(want, b.path)
	}
	slices.Sort(got)
	slices.Sort(want)
	require.Equal(t, want, got, err)
}

// Broken one by one, each is told at its place and nowhere else, a key that is missing
// as missing, and a quantity as it was written: what is right is not accused for what is
// wrong beside it.
func TestEachFaultAlone(t *testing.T) {
	for _, b := range breaks {
		_, err := plan.Read(t.Context(), edit(t, map[string]any{b.key: b.value}))
		var got []string
		for _, f := range units.FieldErrors(err) {
			got = append(got, f.Field)
		}
		require.Equal(t, []string{b.path}, got, "%s: %v", b.key, err)
		f := units.FieldErrors(err)[0]
		text, _ := b.value.(string)
		_, quantity := f.Got.(units.Quantity)
		switch {
		case b.value == nil:
			require.Equal(t, units.FaultMissing, f.Kind, err)
			require.Empty(t, f.GotText(), err)
		case quantity && strings.HasPrefix(text, "-"), quantity && b.key == "land.fields.1.setback":
			require.Equal(t, text, f.GotText(), "in the unit of the file")
		}
	}
}

// Whatever key is left out, each fault stands at a path of the file, or at one that is
// missing from a part of the file.
func TestPathsStandInTheFile(t *testing.T) {
	var doc any
	require.NoError(t, json.Unmarshal(plan.Demo(), &doc))
	for _, key := range leaves(doc) {
		text := edit(t, map[string]any{key: nil})
		_, err := plan.Read(t.Context(), text)
		var changed any
		require.NoError(t, json.Unmarshal(text, &changed))
		for _, f := range units.FieldErrors(err) {
			keys := strings.Split(strings.NewReplacer("[", ".", "]", "").Replace(f.Field), ".")
			require.NotEmpty(t, f.Field, "%s: %v", key, err)
			_, there := at(changed, keys)
			part, whole := at(changed, keys[:len(keys)-1])
			_, object := part.(map[string]any)
			require.True(t, there || whole && object, "%s: no %q in the file: %v", key, f.Field, err)
		}
	}
}

// leaves lists the keys of values that are no objects or lists, of a list the first
// one only.
func leaves(node any) []string {
	var list []string
	add := func(key string, sub any) {
		below := leaves(sub)
		if below == nil {
			list = append(list, key)
		}
		for _, k := range below {
			list = append(list, key+"."+k)
		}
	}
	switch node := node.(type) {
	case map[string]any:
		for key, sub := range node {
			add(key, sub)
		}
	case []any:
		if len(node) > 0 {
			if _, object := node[0].(map[string]any); object {
				add("0", node[0])
			}
		}
	}
	slices.Sort(list)
	return list
}

// at returns the value at a path.
func at(node any, keys []string) (any, bool) {
	for _, key := range keys {
		switch n := node.(type) {
		case map[string]any:
			sub, ok := n[key]
			if !ok {
				return nil, false
			}
			node = sub
		case []any:
			var k int
			if json.Unmarshal([]byte(key), &k) != nil || k < 0 || k >= len(n) {
				return nil, false
			}
			node = n[k]
		default:
			return nil, false
		}
	}
	return node, true
}
