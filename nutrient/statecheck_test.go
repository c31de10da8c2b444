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
		"times of one":     {`"gives": "removalN", "times": 3, "parts": [{"ask": {"crop": "oats"}, "times": 1}, {"ask": {"crop": "straw"}, "times": 0.5}], "want": 20.7`, nil, ""},
		"times of part":    {`"gives": "removalN", "times": 1, "parts": [{"ask": {"crop": "oats"}, "times": 100}, {"ask": {"crop": "straw"}, "times": 2}], "want": 114`, nil, ""},
		"one given":        {`"parts": [{"given": 1}, {"gives": "restN"}], "want": 101`, nil, ""},
		"given times":      {`"times": 2, "parts": [{"given": 3}, {"gives": "restN", "times": 0.5}], "want": 106`, nil, ""}, // 3 x 2 + 100 x 1
		"within tolerance": {`"gives": "restN", "want": 100.5, "tolerance": 0.5`, nil, ""},
		"beyond tolerance": {`"gives": "restN", "want": 100.51, "tolerance": 0.5`, []string{"want"}, "printed 100.51, worked out 100"},
		"a range":          {`"gives": "soilN", "ask": {"soil": "rich"}, "want": "90-110"`, nil, ""},
		"low is off":       {`"gives": "soilN", "ask": {"soil": "rich"}, "want": "91-110"`, []string{"want"}, "printed 91-110, worked out 90 to 110 kg/ha"},
		"high is off":      {`"gives": "soilN", "ask": {"soil": "rich"}, "want": "90-111"`, []string{"want"}, "worked out 90 to 110"},
		"range times":      {`"gives": "soilN", "ask": {"soil": "rich"}, "times": 2, "want": "180-220"`, nil, ""},
		"sum of ranges":    {`"gives": "soilN", "parts": [{"ask": {"soil": "rich"}}, {"ask": {"soil": "poor"}}], "want": "130-150"`, nil, ""},
		"of ask and part":  {`"gives": "removalN", "ask": {"crop": "straw"}, "parts": [{"want": 12}, {"ask": {"crop": "oats"}, "want": 0.9}]`, nil, ""},
		"part's tolerance": {`"gives": "restN", "tolerance": 3, "parts": [{"want": 102.9}, {"want": 100.4, "tolerance": 0.5}], "want": 203`, nil, ""},
		"told once":        {`"gives": "removalN", "ask": {"crop": "oat"}, "parts": [{"want": 1}, {"want": 2}]`, []string{"parts[0].ask.crop", "parts[1].ask.crop"}, ""},
		"word for number":  {`"gives": "restN", "want": "many"`, []string{"want"}, "a number or a range"},
		"word":             {`"gives": "soil", "ask": {"crop": "oats"}, "want": "Poor"`, nil, ""},
		"other word":       {`"gives": "soil", "ask": {"crop": "oats"}, "want": "rich"`, []string{"want"}, "printed rich, worked out poor"},
		"no place":         {`"place": "", "gives": "restN", "want": 100`, []string{"place"}, ""},
		"no such source":   {`"source": "county", "gives": "restN", "want": 100`, []string{"source"}, ""},
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
		place := `{"place": "p. 1", `
		if strings.HasPrefix(c.check, `"place"`) {
			place = "{"
		}
		_, err := ParseState([]byte(file + place + c.check + `}]}`))
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

// Examples of shares, of limits and of bans.
func TestExamplesOfEveryKind(t *testing.T) {
	const file = `{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"}, "keys": [{"name": "soil", "label": "S", "values": ["poor", "rich"]}],
		"tables": [{"place": "1", "gives": "share", "unit": "%", "by": ["soil"], "rows": [["poor", 35], ["rich", 50]]}, {"place": "2", "gives": "most", "as": "cap", "unit": "kg/ha", "by": ["soil"], "rows": [["rich", 170], ["", 250]]},
			{"place": "3", "gives": "away", "as": "atLeast", "unit": "m", "by": ["soil"], "rows": [["rich", 10], ["poor", 30]]}, {"place": "4", "gives": "allow", "as": "ban", "by": ["soil"], "rows": [["rich", "no"]]}, {"place": "5", "gives": "only", "as": "cap", "unit": "m", "by": ["soil"], "rows": [["rich", 3]]}], "checks": [{"place": "p", `
	for check, want := range map[string]string{
		`"gives": "share", "ask": {"soil": "poor"}, "want": 35`: "", `"gives": "share", "ask": {"soil": "poor"}, "times": 18, "want": 6.3`: "", `"gives": "share", "ask": {"soil": "poor"}, "times": 18, "want": 630`: "checks[0].want", `"gives": "share", "ask": {"soil": "poor"}, "want": 0.35`: "checks[0].want",
		`"gives": "most", "as": "cap", "ask": {"soil": "rich"}, "want": 170`: "", `"gives": "most", "as": "cap", "ask": {"soil": "poor"}, "want": 250`: "", `"gives": "most", "as": "cap", "ask": {"soil": "poor"}, "times": 3, "want": 750`: "", `"gives": "away", "as": "atLeast", "ask": {"soil": "poor"}, "want": 30`: "", `"gives": "away", "as": "atLeast", "want": 30`: "checks[0].ask.soil",
		`"as": "ban", "ask": {"soil": "rich"}, "want": "no"`: "", `"as": "ban", "ask": {"soil": "poor"}, "want": "yes"`: "", `"as": "ban", "ask": {"soil": "poor"}, "want": "no"`: "checks[0].want", `"as": "ban", "ask": {"soil": "rich"}, "want": "yes"`: "checks[0].want",
		`"gives": "only", "as": "cap", "ask": {"soil": "rich"}, "want": 3`: "", `"gives": "only", "as": "cap", "ask": {"soil": "poor"}, "want": 3`: "checks[0]",
		`"parts": [{"gives": "share", "ask": {"soil": "poor"}, "times": 100}, {"gives": "share", "ask": {"soil": "rich"}, "times": 100, "less": true}, {"given": 20}], "want": 5`: "", `"parts": [{"gives": "share", "ask": {"soil": "poor"}}, {"gives": "share", "ask": {"soil": "rich"}}], "want": 85`: "",
	} {
		_, err := ParseState([]byte(file + check + `}]}`))
		require.Equal(t, want, strings.Join(fields(err), " "), "%s: %v", check, err)
	}
	// What an example asks wrongly is told once where the tables have faults of their own.
	_, err := ParseState([]byte(strings.Replace(file, `["rich", 50]`, `["rich", "many"]`, 1) + `"gives": "share", "ask": {"soil": "por"}, "parts": [{"want": 1}, {"want": 2}, {"ask": {"soil": "ric"}, "want": 3}]}]}`))
	require.Equal(t, []string{"tables[0].rows[1][1]", "checks[0].ask.soil", "checks[0].ask.soil"}, fields(err), "%v", err)
}
