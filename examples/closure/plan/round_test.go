package plan_test

import (
	"cmp"
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/units"
)

// breaks is one fault in each part of a scenario: what is changed, to what (nil takes it
// out), and the path at which it has to be told where that is another.
var breaks = []struct {
	key   string
	value any
	at    string
}{
	{"date", "1492-10-12", ""},
	{"confidence", 95, ""},
	{"basin.rectangular.depth", nil, ""},
	{"basin.liquidDepth", "-2 ft", ""},
	{"sludge.survey.soundings.3.toFloor", "1 ft", ""},
	{"materials.0.reports.0.tkn", "1 lb/1000 gal", "materials[0].reports[0].ammoniumN"},
	{"machines.0.most", "0 gal/acre", ""},
	{"materials.1.set", "atlantis", ""},
	{"materials.1.load", "-6 gal", ""},
	{"removal.workDay", "30 h", ""},
	{"removal.pumpOff.hose.flow", nil, ""},
	{"removal.dig.fleet.trucks", 0, ""},
	{"removal.agitate.target", "-1 %", ""},
	{"weather.mostDays", 99999, ""},
	{"weather.months.4.rain", "-1 in", ""},
	{"land.fields.1.setback", "40 acre", ""},
	{"land.fields.2.crops.0.nitrogen.legume", "-4 lb/acre", ""},
	{"land.banking.0.years", 99, ""},
	{"metals.table", "atlantis", ""},
	{"machines.3.sheets.sheets.0.gross", "2 lb", ""},
	{"machines.2.loads.runs.1.width", nil, ""},
	{"machines.0.course.width", "-20 ft", ""},
	{"machines.1.gauges.gauges.2.depth", "-1 in", ""},
	{"closing.ground", nil, ""},
	{"closing.berm.sides.0.crestWidth", "-3 ft", ""},
	{"closing.pipes.0.plug.inside", "-10 in", ""},
	{"closing.soaked.thickness", "-6 in", ""},
	{"closing.soil.shrink", 1.5, ""},
	{"closing.crown.leastGrade", 3, ""},
	{"closing.settlement.share", 2, ""},
	{"closing.rates.dig", "-1 yd3/h", ""},
	{"closing.prices.place.likely", "-1 per yd3", ""},
	{"terms.crew.hours", "90 h", ""},
	{"evidence.figures.rill", "-4 in", ""},
	{"cover.mix.items.0.lot.purity", 1.2, ""},
	{"cover.rules", "atlantis", ""},
	{"cover.limeTest.ph", nil, ""},
	{"cover.lime.cce", 0, ""},
	{"cover.fertilizer.grades.0.price", "-1 per lb", ""},
	{"cover.mulch.cover", 85, ""},
	{"cover.windows.0.to", "30 February", ""},
	{"cover.seedDays", 1000000000, ""},
	{"cover.nurse.temporaryRate", nil, ""},
	{"cover.slope.grade", nil, ""},
	{"cover.soilLoss.k", nil, ""},
	{"money.others.0.cost", -1, ""},
	{"money.payment.scenarios.0.share", 75, ""},
	{"basin.floorElevation", "-9000 m", ""},
	{"materials.2.streams.0", "broth", ""},
	{"materials.2.machine", "wheelbarrow", ""},
	{"materials.2.leavePrice", "-1 per ton", ""},
	{"machines.1.speed.now", "0 mph", ""},
	{"money.doubt", 7, ""},
}

// pathOf is the path of a key as faults write it.
func pathOf(key string) string { return regexp.MustCompile(`\.(\d+)`).ReplaceAllString(key, "[$1]") }

// Broken all at once, every part tells its fault in the first round, and once.
func TestEverythingWrongInOneRound(t *testing.T) {
	changes := map[string]any{}
	for _, b := range breaks {
		changes[b.key] = b.value
	}
	_, err := plan.Read(t.Context(), edit(t, changes))
	got, want := faults(err), []string{}
	for _, b := range breaks {
		want = append(want, cmp.Or(b.at, pathOf(b.key)))
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
		_, err := plan.Read(t.Context(), edit(t, told(map[string]any{b.key: b.value})))
		require.Equal(t, []string{cmp.Or(b.at, pathOf(b.key))}, faults(err), "%s: %v", b.key, err)
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
	if testing.Short() {
		t.Skip("plans two hundred closures")
	}
	var doc any
	require.NoError(t, json.Unmarshal(plan.Demo(), &doc))
	for _, key := range leaves(doc) {
		text := edit(t, told(map[string]any{key: nil}))
		_, err := plan.Read(t.Context(), text)
		var changed any
		require.NoError(t, json.Unmarshal(text, &changed))
		for _, f := range units.FieldErrors(err) {
			keys := strings.Split(strings.NewReplacer(`["`, ".", `"]`, "", "[", ".", "]", "").Replace(f.Field), ".")
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
