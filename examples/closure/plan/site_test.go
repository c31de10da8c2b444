package plan_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/report"
	"example.org/earthbasin/units"
)

// box is a boundary, in feet.
func box(x0, y0, x1, y1 float64) []any {
	corner := func(x, y float64) map[string]string {
		return map[string]string{"x": fmt.Sprintf("%g ft", x), "y": fmt.Sprintf("%g ft", y)}
	}
	return []any{corner(x0, y0), corner(x1, y0), corner(x1, y1), corner(x0, y1)}
}

// cores is soundings of one thickness, in feet.
func cores(places ...[2]float64) []any {
	var list []any
	for i, at := range places {
		list = append(list, map[string]any{"at": map[string]string{"x": fmt.Sprintf("%g ft", at[0]), "y": fmt.Sprintf("%g ft", at[1])},
			"thickness": fmt.Sprintf("%g ft", 2+0.1*float64(i%3))})
	}
	return list
}

// What a scenario says of the site is held against the basin.
func TestSiteAgainstBasin(t *testing.T) {
	refused(t, map[string]wrong{
		"survey larger than the basin": {map[string]any{"sludge.survey.boundary": box(-100, -50, 300, 135)}, "sludge.survey.boundary"},
		"survey longer than the basin": {map[string]any{"sludge.survey.boundary": box(-50, 20, 280, 30), "sludge.survey.outside": "drop", "sludge.survey.soundings": cores([2]float64{10, 25}, [2]float64{90, 22}, [2]float64{125, 26}, [2]float64{160, 28})}, "sludge.survey.boundary"},
	})
}

// Where nobody measured is said on the first page.
func TestDoubts(t *testing.T) {
	half := box(26, 21, 117, 129)
	for name, c := range map[string]struct {
		changes map[string]any
		says    string
	}{
		"as it is":        {nil, ""},
		"in one row":      {map[string]any{"sludge.survey.soundings": cores([2]float64{50, 75}, [2]float64{117, 75}, [2]float64{150, 75}, [2]float64{185, 75})}, "the soundings reach over 0 % of the basin"},
		"slanting":        {map[string]any{"sludge.survey.soundings": cores([2]float64{50, 45}, [2]float64{117, 75}, [2]float64{151, 90}, [2]float64{184, 105})}, "the soundings reach over"},
		"one half":        {map[string]any{"sludge.survey.boundary": half, "sludge.survey.outside": "drop"}, "what lies under the rest is not in the volume"},
		"half the places": {map[string]any{"sludge.survey.soundings": cores([2]float64{40, 40}, [2]float64{40, 110}, [2]float64{110, 40}, [2]float64{110, 110})}, "the soundings reach over"},
		"two by two":      {map[string]any{"sludge.survey.soundings": cores([2]float64{61, 40}, [2]float64{61, 110}, [2]float64{170, 40}, [2]float64{170, 110})}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			p, err := plan.Read(t.Context(), edit(t, c.changes))
			require.NoError(t, err)
			text, err := report.New(p, report.Options{Parts: []string{"summary"}}).Text()
			require.NoError(t, err)
			first := strings.Join(strings.Fields(string(text)), " ")
			if c.says == "" {
				require.NotContains(t, first, "reach over")
				return
			}
			require.Contains(t, first, c.says)
		})
	}
}

// Whatever number of a scenario is out of all bounds, it is refused or planned with
// numbers, and comes back.
func TestNumbersOutOfBounds(t *testing.T) {
	if testing.Short() {
		t.Skip("plans a few hundred closures")
	}
	var doc any
	require.NoError(t, json.Unmarshal(plan.Demo(), &doc))
	for _, key := range leaves(doc) {
		value, _ := at(doc, strings.Split(key, "."))
		text, quantity := value.(string)
		if _, number := value.(float64); !number && !quantity {
			continue
		}
		for _, n := range []string{"1e9"} {
			var wrong any = json.Number(n)
			if quantity {
				amount, unit, ok := strings.Cut(text, " ")
				if !ok || strings.Trim(amount, "0123456789.") != "" {
					continue
				}
				wrong = n + " " + unit
			}
			p, err := plan.Read(t.Context(), edit(t, map[string]any{key: wrong}))
			if err != nil {
				require.NotEmpty(t, units.FieldErrors(err), "%s = %v: %v", key, wrong, err)
				continue
			}
			_, err = report.New(p, report.Options{}).JSON()
			require.NoError(t, err, "%s = %v", key, wrong)
		}
	}
}
