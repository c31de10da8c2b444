package nutrient

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// An example ends in a sum, prints several figures, or both; each is worked out.
func TestExamplesOfSeveralFigures(t *testing.T) {
	const file = `{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"},
		"keys": [{"name": "crop", "label": "C", "values": ["oats", "straw"]}, {"name": "soil", "label": "S", "values": ["poor", "rich"]}],
		"tables": [
			{"place": "1", "by": ["crop", "unit"], "cols": [{"gives": "removalN"}, {"gives": "removalP2O5"}], "rows": [["oats", "lb/bu", 0.9, 0.3], ["straw", "lb/ton", 12, 5]]},
			{"place": "2", "gives": "soilN", "unit": "kg/ha", "by": ["soil"], "rows": [["poor", 40], ["rich", "90-110"]]},
			{"place": "3", "gives": "restN", "unit": "lb/acre", "rows": [[100]]},
			{"place": "4", "gives": "depth", "unit": "ft", "rows": [[2]]},
			{"place": "5", "gives": "soil", "by": ["crop"], "rows": [["oats", "poor"], ["straw", "rich"]]}],
		"checks": [`
	for name, c := range map[string]struct {
		check string
		want  []string
		told  string
	}{
		"sum":              {`"gives": "removalN", "parts": [{"ask": {"crop": "oats"}, "times": 100, "want": 90}, {"ask": {"crop": "straw"}, "times": 2}], "want": 114`, nil, ""},
		"sum is off":       {`"gives": "removalN", "parts": [{"ask": {"crop": "oats"}, "times": 100, "want": 90}, {"ask": {"crop": "straw"}, "times": 2}], "want": 115`, []string{"want"}, "printed 115, worked out 114"},
		"part is off":      {`"gives": "removalN", "parts": [{"ask": {"crop": "oats"}, "times": 100, "want": 80}, {"ask": {"crop": "straw"}, "times": 2}], "want": 114`, []string{"parts[0].want"}, "printed 80, worked out 90, which is 100 x 0.9 lb/bu"},
		"several":          {`"ask": {"crop": "oats"}, "times": 100, "parts": [{"gives": "removalN", "want": 90}, {"gives": "removalP2O5", "want": 30}]`, nil, ""},
		"times of both":    {`"gives": "removalN", "times": 3, "parts": [{"ask": {"crop": "oats"}, "times": 100}, {"ask": {"crop": "straw"}}], "want": 306`, nil, ""},
		"less a range":     {`"parts": [{"given": 150}, {"gives": "soilN", "ask": {"soil": "rich"}, "less": true}], "want": "40-60"`, nil, ""},
		"unlike units":     {`"parts": [{"gives": "soilN", "ask": {"soil": "poor"}}, {"gives": "restN"}], "want": 152.08, "tolerance": 0.01`, nil, ""}, // 100 lb/acre are 112.085 kg/ha
		"no sum of units":  {`"parts": [{"gives": "restN"}, {"gives": "depth"}], "want": 102`, []string{"parts[1]"}, "a figure in ft beside one in lb/acre"},
		"no sum of words":  {`"parts": [{"gives": "soil", "ask": {"crop": "oats"}}, {"gives": "restN"}], "want": 102`, []string{"parts[0]"}, "a word"},
		"words side by":    {`"gives": "soil", "parts": [{"ask": {"crop": "oats"}, "want": "poor"}, {"ask": {"crop": "straw"}, "want": "poor"}]`, []string{"parts[1].want"}, "printed poor, worked out rich"},
		"nothing printed":  {`"parts": [{"gives": "restN"}, {"given": 2}]`, []string{"want"}, "missing"},
		"nothing asked":    {`"parts": [{"want": 2}], "want": 2`, []string{"parts[0].gives"}, "missing"},
		"given and asked":  {`"parts": [{"given": 2, "gives": "restN"}], "want": 2`, []string{"parts[0].given"}, "one of them"},
		"no parts":         {`"parts": [], "want": 2`, []string{"parts"}, "0 parts"},
		"no want":          {`"gives": "restN"`, []string{"want"}, "missing"},
		"asks wrongly":     {`"gives": "removalN", "parts": [{"ask": {"crop": "oat"}}], "want": 2`, []string{"parts[0].ask.crop"}, "oats"},
		"out of bounds":    {`"gives": "restN", "times": -1, "want": 2, "tolerance": 1e300`, []string{"times", "tolerance"}, ""},
		"part past bounds": {`"parts": [{"given": 1e300}, {"gives": "restN", "times": 1e-300}], "want": 2`, []string{"parts[0].given", "parts[1].times"}, ""},
	} {
		_, err := ParseState([]byte(file + `{"place": "p. 1", ` + c.check + `}]}`))
		var got []string
		for _, e := range units.FieldErrors(err) {
			got = append(got, strings.TrimPrefix(e.Field, "checks[0]."))
			require.Positive(t, e.Line, name)
		}
		require.ElementsMatch(t, c.want, got, "%s: %v", name, err)
		if c.told != "" {
			require.ErrorContains(t, err, c.told, name)
		}
	}
}

// What a program reads of a state, or keeps of what it made one from, is its own copy.
func TestChecksAreCopies(t *testing.T) {
	uk := publishedState(t, "united-kingdom")
	list := uk.Checks()
	list[0].Ask["material"], list[0].Parts[0].Gives = "tea", "tea"
	list[1].Parts[1].Ask["material"] = "tea"
	require.NotContains(t, uk.Checks()[0].Ask, "tea")
	require.Equal(t, "contentN", uk.Checks()[0].Parts[0].Gives)
	require.Equal(t, Cell("cattle slurry"), uk.Checks()[1].Parts[1].Ask["material"])
}
