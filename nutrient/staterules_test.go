package nutrient

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// ruled makes a state of some keys and tables in the form of a file.
func ruled(keys, tables string) (*State, error) {
	return ParseState([]byte(`{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"}, "unchecked": "invented", "keys": [` + keys + `], "tables": [` + tables + `]}`))
}

const (
	cropKey  = `{"name": "crop", "label": "Crop", "values": ["corn", "hay", "oats"]}`
	soilKey  = `{"name": "soil", "label": "Soil", "values": ["clay", "loam", "sand"]}`
	yieldKey = `{"name": "yield", "label": "Yield", "unit": "t/ha"}`
	testKey  = `{"name": "test", "label": "Test", "unit": "mg/kg"}`
	byKey    = `{"name": "by", "label": "By", "values": ["olsen", "bray"]}`
	dayKey   = `{"name": "day", "label": "Day", "date": true}`
)

// answers holds what a state gives to questions: a figure, a word or the fields of the
// faults.
func answers(t *testing.T, s *State, gives string, as As, of map[string]string) {
	t.Helper()
	for question, want := range of {
		q := Query{}
		for part := range strings.SplitSeq(question, ", ") {
			if name, value, ok := strings.Cut(part, ": "); ok {
				q[name] = value
			}
		}
		var r Answer
		var err error
		ok := true
		switch as {
		case AsCap, AsAtLeast:
			r, ok, err = s.Limit(gives, as, q)
		case AsBan:
			r.Steps, err = s.Bans(q)
			ok = len(r.Steps) > 0
		default:
			r, err = s.Answer(gives, q)
		}
		got := fmt.Sprintf("%.6g-%.6g", r.Figure.Low, r.Figure.High)
		switch {
		case err != nil:
			got = strings.Join(fields(err), " ")
		case !ok:
			got = "none"
		case as == AsBan:
			got = "banned"
		case r.Word != "":
			got = r.Word
		case r.Figure.Low == r.Figure.High:
			got = fmt.Sprintf("%.6g", r.Figure.Low)
		}
		require.Equal(t, want, got, "%s of %s: %v", gives, question, err)
	}
}

// A figure that stands in all columns of a line, whatever is chosen, does not ask for the
// choice; one that does not, or in columns that are not all choices, does.
func TestFiguresThatSpanColumns(t *testing.T) {
	table := func(cols, rows string) string {
		return `{"place": "1", "gives": "lime", "unit": "t", "by": ["crop"], "cols": [` + cols + `], "rows": [` + rows + `]}`
	}
	s, err := ruled(cropKey+", "+soilKey, table(`{"soil": "clay"}, {"soil": "loam; sand"}`, `["corn", 2, 2], ["hay", 2, 3], ["oats", "1-4", "1-4"]`))
	require.NoError(t, err)
	answers(t, s, "lime", AsValue, map[string]string{"crop: corn": "2", "crop: corn, soil: sand": "2", "crop: hay": "soil", "crop: hay, soil: clay": "2", "crop: hay, soil: sand": "3", "crop: oats": "1-4"})
	s, err = ruled(cropKey+", "+soilKey, table(`{"soil": "clay"}, {"soil": "loam"}, {"soil": "sand"}`, `["corn", 2, 2, 2], ["hay", 2, 3, 2], ["oats", 5, 5, 4]`))
	require.NoError(t, err)
	answers(t, s, "lime", AsValue, map[string]string{"crop: corn": "2", "crop: hay": "soil", "crop: oats": "soil", "crop: hay, soil: loam": "3", "crop: oats, soil: loam": "5"})
	// Columns that give different things, of different units, or differ by two keys.
	s, err = ruled(cropKey+", "+soilKey, table(`{"soil": "clay; loam; sand"}, {"gives": "salt"}`, `["corn", 2, 2], ["hay", 3, 3], ["oats", 4, 4]`))
	require.NoError(t, err)
	answers(t, s, "salt", AsValue, map[string]string{"crop: corn": "2"})
	answers(t, s, "lime", AsValue, map[string]string{"crop: corn": "soil", "crop: corn, soil: loam": "2"})
	s, err = ruled(cropKey+", "+soilKey, `{"place": "1", "gives": "lime", "as": "plus", "cols": [{"soil": "clay", "unit": "t"}, {"soil": "loam; sand", "unit": "kg"}], "by": ["crop"], "rows": [["corn", 2, 2], ["hay; oats", 3, 4]]}`)
	require.NoError(t, err)
	answers(t, s, "lime", AsValue, map[string]string{"crop: corn": "soil", "crop: corn, soil: clay": "2"})
	s, err = ruled(cropKey+", "+soilKey+", "+byKey, `{"place": "1", "gives": "lime", "unit": "t", "cols": [{"soil": "clay", "by": "olsen"}, {"soil": "loam; sand", "by": "bray"}, {"soil": "clay", "by": "bray"}, {"soil": "loam; sand", "by": "olsen"}], "by": ["crop"], "rows": [["corn; hay; oats", 2, 2, 2, 2]]}`)
	require.NoError(t, err)
	answers(t, s, "lime", AsValue, map[string]string{"crop: corn": "soil by", "crop: corn, soil: clay, by: olsen": "2"})
	s, err = ruled(cropKey+", "+soilKey+", "+byKey, `{"place": "1", "gives": "lime", "unit": "t", "when": {"by": "olsen"}, "cols": [{"soil": "clay"}, {"soil": "loam; sand"}], "by": ["crop"], "rows": [["corn; hay; oats", 2, 2]]}, {"place": "2", "gives": "lime", "unit": "t", "when": {"by": "bray"}, "rows": [[5]]}, {"place": "3", "gives": "salt", "as": "plus", "unit": "t", "by": ["soil"], "rows": [["clay", 1]]}`)
	require.NoError(t, err)
	answers(t, s, "lime", AsValue, map[string]string{"crop: corn, by: olsen": "2", "by: bray": "5", "crop: corn": "by", "by: olsen": "crop"})
}

// Figures in brackets hold under the choices that the table names, and the others outside
// of them.
func TestFiguresInBrackets(t *testing.T) {
	s, err := ruled(cropKey+", "+soilKey+", "+byKey, `{"place": "1", "gives": "lime", "unit": "t", "brackets": {"soil": "clay; loam", "by": "bray"}, "by": ["crop"], "rows": [["corn", "5 [10]"], ["hay", "6[11-12]"], ["oats", 7]]}`)
	require.NoError(t, err)
	answers(t, s, "lime", AsValue, map[string]string{
		"crop: corn, soil: clay, by: bray": "10", "crop: corn, soil: loam, by: bray": "10", "crop: corn, soil: sand, by: bray": "5", "crop: corn, soil: clay, by: olsen": "5", "crop: corn, soil: sand, by: olsen": "5",
		"crop: hay, soil: loam, by: bray": "11-12", "crop: hay, soil: loam, by: olsen": "6", "crop: oats": "7", "crop: corn": "by", "crop: corn, soil: sand": "by", "crop: corn, by: olsen": "5", "crop: corn, by: bray": "soil",
	})
	for _, c := range []struct{ tables, want string }{
		{`{"place": "1", "gives": "lime", "unit": "t", "brackets": {"soil": "clay"}, "by": ["soil"], "rows": [["clay", "5 [10]"], ["loam; sand", 6]]}`, ""},
		{`{"place": "1", "gives": "lime", "unit": "t", "brackets": {"soil": "clay"}, "by": ["soil"], "rows": [["clay; loam", "5 [10]"], ["sand", "6 [1]"]]}`, ""},
		{`{"place": "1", "gives": "lime", "unit": "t", "by": ["soil"], "rows": [["clay; loam", "5 [10]"], ["sand", 6]]}`, "tables[0].rows[0][1]"},
		{`{"place": "1", "gives": "lime", "unit": "t", "brackets": {"test": "to 5"}, "by": ["soil"], "rows": [["clay; loam; sand", "5 [10]"], ["", 6]]}`, "tables[0].brackets"},
		{`{"place": "1", "gives": "lime", "unit": "t", "when": {"test": "to 5"}, "by": ["test"], "rows": [["to 3", 5]]}`, "tables[0].rows[0][1]"},
	} {
		s, err := ruled(soilKey+", "+testKey, c.tables+`, {"place": "2", "gives": "salt", "as": "plus", "unit": "t", "by": ["test"], "rows": [["from 0", 5]]}`)
		if c.want != "" {
			require.Equal(t, c.want, fields(err)[0], "%s: %v", c.tables, err)
			continue
		}
		require.NoError(t, err, c.tables)
		answers(t, s, "lime", AsValue, map[string]string{"soil: clay": "10", "soil: sand": "6"})
	}
}

// A head that counts with a choice of another key stands for a test by one extractant.
func TestHeadsBesideAChoice(t *testing.T) {
	s, err := ruled(byKey+", "+testKey+", "+cropKey+`, {"name": "class", "label": "Class", "values": ["low", "high"]}`, `{"place": "1", "gives": "class", "by": ["test (olsen)", "test (bray)"], "rows": [["below 10", "below 20", "low"], ["from 10", "from 20", "high"]]}, {"place": "2", "gives": "lime", "unit": "t", "by": ["test (olsen)", "test (bray)", "crop"], "rows": [["below 5", "", "corn", 1], ["from 5", "below 9", "corn", 2], ["", "from 9", "corn", 3], ["", "", "hay; oats", 4]]}`)
	require.NoError(t, err)
	answers(t, s, "class", AsValue, map[string]string{"by: olsen, test: 9 mg/kg": "low", "by: olsen, test: 10 mg/kg": "high", "by: bray, test: 19 mg/kg": "low", "by: bray, test: 20 mg/kg": "high", "test: 5 mg/kg": "by", "by: olsen": "test"})
	answers(t, s, "lime", AsValue, map[string]string{"by: olsen, test: 4 mg/kg, crop: corn": "1", "by: olsen, test: 5 mg/kg, crop: corn": "2", "by: bray, test: 8 mg/kg, crop: corn": "2", "by: bray, test: 9 mg/kg, crop: corn": "3", "crop: hay": "4"})
	_, err = ruled(byKey+", "+testKey, `{"place": "1", "gives": "lime", "unit": "t", "by": ["test (morgan)"], "rows": [["below 10", 1]]}`)
	require.Equal(t, []string{"tables[0].by[0]"}, fields(err))
	require.ErrorContains(t, err, "in brackets, a choice of another key")
}

// What is added, multiplied, capped and banned, in each way that a table may say it.
func TestWaysThatTablesCount(t *testing.T) {
	s, err := ruled(strings.Join([]string{cropKey, soilKey, yieldKey, dayKey}, ", "), strings.Join([]string{
		`{"place": "1", "gives": "n", "unit": "kg/ha", "by": ["crop", "standard"], "plus": {"per": "yield", "over": "standard", "rate": 20, "each": "0.5 t/ha", "to": 12}, "rows": [["corn", 8, "100-120"], ["hay", "6 t/ha", 0], ["oats", 5, 60]]}`,
		`{"place": "2", "gives": "n", "as": "times", "unit": "%", "when": {"crop": "corn"}, "by": ["soil"], "rows": [["clay; loam", 90], ["sand", "100-110"]]}`,
		`{"place": "3", "gives": "n", "as": "times", "unit": "fraction", "by": ["soil"], "rows": [["clay", 0.5], ["loam; sand", 1]]}`,
		`{"place": "4", "gives": "n", "as": "plus", "unit": "kg/ha", "by": ["soil"], "rows": [["sand", 30], ["loam", "-10"]]}`,
		`{"place": "5", "gives": "least", "as": "atLeast", "unit": "ft", "by": ["soil"], "rows": [["", 10], ["sand", 30], ["loam", 5]]}`,
		`{"place": "6", "gives": "most", "as": "cap", "unit": "kg/ha", "by": ["crop"], "rows": [["", 100], ["hay", 40], ["oats", 400]]}`,
		`{"place": "7", "gives": "most", "as": "cap", "unit": "lb/acre", "by": ["soil"], "rows": [["sand", 50]]}`,
		`{"place": "8", "gives": "allow", "as": "ban", "by": ["soil", "crop"], "rows": [["sand", "corn", "15 Oct to 31 Jan"], ["clay", "", "no"], ["loam", "", "yes"]]}`,
		`{"place": "9", "gives": "straw", "unit": "kg/ha", "plus": {"per": "yield", "over": 8, "rate": 2, "onlyUp": true}, "rows": [[10]]}`, `{"title": "chaff", "place": "10", "gives": "chaff", "unit": "kg/ha", "plus": {"per": "yield", "over": 8, "rate": 2}, "rows": [[1]]}`,
	}, ", "))
	require.NoError(t, err)
	answers(t, s, "n", AsValue, map[string]string{
		// 20 kg/ha for each half tonne over 8: 100 + 80, x 0.9 x 0.5; at 13 no more than 12 count
		"crop: corn, yield: 10 t/ha, soil: clay": "81-90", "crop: corn, yield: 13 t/ha, soil: clay": "117-126", "crop: corn, yield: 12 t/ha, soil: clay": "117-126", "crop: corn, yield: 6 t/ha, soil: clay": "9-18",
		"crop: corn, yield: 8 t/ha, soil: loam": "80-98", "crop: corn, yield: 8 t/ha, soil: sand": "130-162", "crop: corn, yield: 0 t/ha, soil: clay": "0", "crop: hay, yield: 9 t/ha, soil: clay": "0", "crop: hay, soil: clay": "0",
		"crop: oats, yield: 5 t/ha, soil: clay": "30", "crop: oats, yield: 6 t/ha, soil: sand": "130", "crop: oats, soil: clay": "yield", "crop: corn, yield: 8 t/ha": "soil",
	})
	answers(t, s, "least", AsAtLeast, map[string]string{"soil: sand": "30", "soil: loam": "10", "soil: clay": "10", "": "soil"})
	answers(t, s, "most", AsCap, map[string]string{"crop: corn, soil: sand": "50", "crop: hay, soil: sand": "40", "crop: oats, soil: clay": "100", "crop: hay, soil: clay": "40", "soil: clay": "crop", "crop: hay": "40", "crop: corn": "soil"})
	answers(t, s, "allow", AsBan, map[string]string{"soil: sand, crop: corn, day: 15 Oct": "banned", "soil: sand, crop: corn, day: 1 Feb": "none", "soil: sand, crop: hay, day: 1 Jan": "none", "soil: clay": "banned", "soil: loam": "none", "soil: sand, crop: corn": "day"})
	answers(t, s, "straw", AsValue, map[string]string{"yield: 7 t/ha": "10", "yield: 8 t/ha": "10", "yield: 9 t/ha": "12"})
	answers(t, s, "chaff", AsValue, map[string]string{"yield: 7.75 t/ha": "0.5", "yield: 7 t/ha": "0", "yield: 9 t/ha": "3", "": "yield"})
	bans, err := s.Bans(Query{"crop": "corn", "day": "1 Jan"})
	require.Equal(t, []string{"soil"}, fields(err))
	require.Empty(t, bans)
	require.Equal(t, [2]string{"chaff", "straw"}, [2]string{s.Title("chaff"), s.Title("straw")})
	require.Equal(t, []string{"crop", "soil", "yield"}, s.Asks("n"))
	require.Equal(t, []string{"crop", "yield"}, s.Asks("n", AsValue))
	require.Equal(t, []string{"soil"}, s.Asks("n", AsPlus))
	require.Equal(t, []string{"crop", "soil", "day"}, s.Asks("allow"))
	require.Equal(t, []string{"kg/ha", "lb/acre"}, s.UnitsOf("most"))
	require.Equal(t, []string{"allow", "chaff", "least", "most", "n", "straw"}, s.Gives())
	for name, c := range map[string]struct{ table, want string }{
		"per":  {`"plus": {"per": "crop", "over": 8, "rate": 20}`, "tables[0].plus.per"},
		"over": {`"plus": {"per": "yield", "over": "8 ft", "rate": 20}`, "tables[0].plus.over"},
		"each": {`"plus": {"per": "yield", "over": 8, "rate": 20, "each": 0}`, "tables[0].plus.each"},
		"to":   {`"plus": {"per": "yield", "over": 8, "rate": 20, "to": "x"}`, "tables[0].plus.to"},
		"rate": {`"plus": {"per": "yield", "over": 8, "rate": "20 kg"}`, "tables[0].plus.rate"},
	} {
		_, err := ruled(cropKey+", "+yieldKey, `{"place": "1", "gives": "n", "unit": "kg/ha", "by": ["crop"], `+c.table+`, "rows": [["corn; hay; oats", 5]]}`)
		require.Equal(t, []string{c.want}, fields(err), "%s: %v", name, err)
	}
}

// A rate of plus that another table gives: low of the rate with low of the figure where the
// yield is over the standard, and the other way round below it.
func TestPlusByWhatAnotherTableGives(t *testing.T) {
	s, err := ruled(cropKey+", "+yieldKey, `{"place": "1", "gives": "p2o5", "unit": "kg/ha", "plus": {"per": "yield", "over": 8, "rate": "removalP2O5"}, "rows": [["80-90"]]}, {"place": "2", "gives": "removalP2O5", "by": ["crop", "unit"], "rows": [["corn", "kg/t", "6-7"], ["hay", "lb/ton", 20], ["oats", "lb/bu", 3]]}`)
	require.NoError(t, err)
	answers(t, s, "p2o5", AsValue, map[string]string{"crop: corn, yield: 10 t/ha": "92-104", "crop: corn, yield: 6 t/ha": "66-78", "crop: hay, yield: 9 t/ha": "90-100", "crop: oats, yield: 9 t/ha": "yield", "yield: 9 t/ha": "crop", "crop: corn, yield: 8 t/ha": "80-90"})
}

// Which keys are missing: those for which all lines that may still answer ask, else those
// of the first.
func TestKeysThatAreMissing(t *testing.T) {
	s, err := ruled(strings.Join([]string{cropKey, soilKey, byKey}, ", "), `{"place": "1", "gives": "lime", "unit": "t", "by": ["crop", "soil", "by"], "rows": [["corn", "", "olsen", 1], ["corn", "", "bray", 2], ["hay", "clay", "", 3], ["hay", "loam; sand", "", 4], ["oats", "", "", 5]]}`)
	require.NoError(t, err)
	answers(t, s, "lime", AsValue, map[string]string{"": "crop", "soil: clay": "crop", "crop: corn": "by", "crop: hay": "soil", "crop: oats": "5", "by: olsen": "crop", "by: olsen, soil: sand": "crop", "crop: corn, by: bray": "2", "crop: hay, soil: sand": "4"})
	s, err = ruled(strings.Join([]string{soilKey, byKey, cropKey}, ", "), `{"place": "1", "gives": "lime", "unit": "t", "by": ["crop", "soil", "by"], "rows": [["corn", "clay", "", 1], ["corn", "loam; sand", "olsen", 2], ["corn", "loam; sand", "bray", 3], ["hay; oats", "", "", 4]]}`)
	require.NoError(t, err)
	answers(t, s, "lime", AsValue, map[string]string{"": "crop", "crop: corn": "soil", "crop: corn, soil: sand": "by", "crop: corn, soil: clay": "1", "crop: hay": "4"})
}

// Classes of classes are worked out in the order of the keys, and each printed figure on the
// way is told once.
func TestClassesOfClasses(t *testing.T) {
	s, err := ruled(`{"name": "risk", "label": "Risk", "values": ["low", "high"]}, {"name": "slope", "label": "Slope", "values": ["flat", "steep"]}, {"name": "grade", "label": "Grade", "unit": "%"}, `+soilKey,
		`{"title": "distance", "place": "1", "gives": "setback", "unit": "ft", "by": ["risk", "slope"], "rows": [["low", "flat", 50], ["low", "steep", 100], ["high", "", 300]]}, {"title": "risk", "place": "2", "gives": "risk", "by": ["slope", "soil"], "rows": [["flat", "", "low"], ["steep", "clay", "high"], ["steep", "loam; sand", "low"]]}, {"title": "slope", "place": "3", "gives": "slope", "by": ["grade"], "rows": [["below 5", "flat"], ["from 5", "steep"]]}`)
	require.NoError(t, err)
	answers(t, s, "setback", AsValue, map[string]string{"grade: 4 %": "50", "grade: 5 %, soil: sand": "100", "grade: 5 %, soil: clay": "300", "slope: steep, soil: clay": "300", "risk: high": "300", "risk: low": "grade", "grade: 5 %": "soil", "risk: low, slope: steep": "100", "slope: flat": "50"})
	r, err := s.Answer("setback", Query{"grade": "7 %", "soil": "clay"})
	require.NoError(t, err)
	var titles []string
	for _, step := range r.Steps {
		titles = append(titles, step.Title+": "+strings.Join(step.Line, ", "))
	}
	require.Equal(t, []string{"slope: Grade: 7 %", "risk: Slope: steep, Soil: clay", "distance: Risk: high"}, titles)
	apart, err := ruled(`{"name": "b", "label": "B", "values": ["x", "y"]}, {"name": "a", "label": "A", "values": ["x", "y"]}, `+yieldKey+", "+testKey, `{"title": "both", "place": "1", "gives": "lime", "unit": "t", "by": ["a", "b"], "rows": [["x", "x; y", 1], ["y", "x", 2], ["y", "y", 3]]}, {"title": "a", "place": "2", "gives": "a", "by": ["yield"], "rows": [["to 5", "x"], ["over 5", "y"]]}, {"title": "b", "place": "3", "gives": "b", "by": ["test"], "rows": [["to 5", "x"], ["over 5", "y"]]}`)
	require.NoError(t, err)
	titles = nil
	for _, step := range answerOf(t, apart, "lime", Query{"yield": "6 t/ha", "test": "6 mg/kg"}).Steps {
		titles = append(titles, step.Title)
	}
	require.Equal(t, []string{"b", "a", "both"}, titles, "in the order of the keys")
	answers(t, s, "setback", AsValue, map[string]string{"grade: 7 %, slope: flat": "slope", "slope: steep, soil: clay, risk: low": "risk"}) // a class against what decides it
}

// A word in lacks excuses the lines of its own tables alone: why no cap is printed does
// not tell why there is no figure.
func TestLacksSpeakOfTheirTables(t *testing.T) {
	const value = `{"place": "1", "gives": "n", "unit": "kg/ha", "by": ["crop"], "rows": [["corn", 100], ["hay; oats", 50]]}`
	for name, c := range map[string]struct{ table, rows string }{
		"value": {`{"place": "1", "gives": "n", "unit": "kg/ha", "by": ["crop"], "rows": [["corn", 100], ["hay", 50]]}`, ""},
		"times": {value + `, {"place": "2", "gives": "n", "as": "times", "unit": "fraction", "by": ["crop"], "rows": [["corn", 1], ["hay", 0.5]]}`, ""},
		"cap":   {value + `, {"place": "2", "gives": "n", "as": "cap", "unit": "kg/ha", "by": ["crop"], "rows": [["corn", 90]]}`, ""},
	} {
		for _, as := range []string{"", "times", "cap", "ban"} {
			said := ""
			if as != "" {
				said = `"as": "` + as + `", `
			}
			s, err := ruled(cropKey, c.table+`], "lacks": [{"gives": ["n"], `+said+`"when": {"crop": "oats"}, "why": "left open"}`)
			if sound := name == "cap" || as == "" || as == name; !sound {
				require.ErrorContains(t, err, "no line", "%s, lacks of %q", name, as)
				continue
			}
			require.NoError(t, err, "%s, lacks of %q", name, as)
			if name == "cap" {
				continue
			}
			_, err = s.Answer("n", Query{"crop": "oats"})
			require.ErrorContains(t, err, "left open", "%s, lacks of %q", name, as)
		}
	}
}

// A state keeps nothing of the spec from which it was made, and hands out copies.
func TestStatesKeepTheirOwn(t *testing.T) {
	const text = `{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"}, "sources": {"other": {"title": "O", "edition": "2", "number": "2"}}, "words": {"Soil": "Boden"}, "oxides": "2.29/1.20",
		"keys": [{"name": "crop", "label": "Crop", "values": ["corn", "hay"]}, {"name": "yield", "label": "Yield", "unit": "t/ha", "also": {"sack/ha": 0.05}}, {"name": "soil", "label": "Soil", "values": ["clay", "sand"]}],
		"tables": [{"place": "1", "source": "other", "gives": "n", "unit": "kg/ha", "when": {"crop": "corn"}, "by": ["soil"], "round": {"yield": 1}, "brackets": {"soil": "clay"}, "notes": ["a note"], "footnotes": {"a": "a foot"}, "plus": {"per": "yield", "over": 8, "rate": 5}, "rows": [["clay", "100 [110]"], ["sand", "90a"]]},
			{"place": "2", "gives": "n", "as": "plus", "unit": "kg/ha", "by": ["per"], "within": {"yield": "to 9"}, "cols": [{"soil": "sand"}], "rows": [["yield", 2]]}],
		"lacks": [{"gives": ["n"], "when": {"crop": "hay"}, "why": "left out"}],
		"checks": [{"place": "p", "gives": "n", "ask": {"crop": "corn", "soil": "clay", "yield": "8 t/ha"}, "parts": [{"ask": {"yield": "9 t/ha"}, "want": 115}, {"want": 110}], "want": 225}]}`
	var spec StateSpec
	require.NoError(t, json.Unmarshal([]byte(text), &spec))
	s, err := NewState(spec)
	require.NoError(t, err)
	before := string(must(json.Marshal(s)))
	scramble(reflect.ValueOf(&spec))
	keys, lacks, checks := s.Keys(), s.Lacks(), s.Checks()
	require.Len(t, keys, 3)
	for _, copied := range []any{&keys, &lacks, &checks} {
		scramble(reflect.ValueOf(copied))
	}
	remarks := append(s.Remarks(), "x")
	require.Len(t, remarks, 1)
	require.Equal(t, before, string(must(json.Marshal(s))))
	answers(t, s, "n", AsValue, map[string]string{"crop: corn, soil: clay, yield: 9 t/ha": "115", "crop: corn, soil: sand, yield: 12 t/ha": "128", "crop: hay, soil: sand, yield: 8 t/ha": "crop"})
	oxides, ok := s.Oxides()
	require.True(t, ok)
	require.Equal(t, units.OxidesRounded, oxides)
	require.Equal(t, "Boden", s.Translate("Soil"))
	require.Equal(t, "left out", s.Why("n", AsValue, Query{"crop": "hay"}))
	require.Empty(t, s.Why("n", AsValue, Query{"crop": "corn"}))
	_, ok = publishedState(t, "us-sludge").Oxides()
	require.False(t, ok)
}

// scramble alters what can be reached of a value through pointers, lists and maps.
func scramble(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			scramble(v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Field(i).CanSet() {
				scramble(v.Field(i))
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			scramble(v.Index(i))
		}
	case reflect.Map:
		for _, k := range v.MapKeys() {
			x := reflect.New(v.Type().Elem()).Elem()
			x.Set(v.MapIndex(k))
			scramble(x)
			v.SetMapIndex(k, x)
		}
	case reflect.String:
		v.SetString("scrambled")
	case reflect.Float64:
		v.SetFloat(12345)
	case reflect.Int:
		v.SetInt(77)
	}
}

// What one table alone leaves open or says twice, at the ends of its classes.
func TestProofAtTheEnds(t *testing.T) {
	choices := func(n int) string {
		var list []string
		for i := range n {
			list = append(list, fmt.Sprintf(`"c%d"`, i))
		}
		return fmt.Sprintf(`{"name": "many", "label": "M", "values": [%s]}`, strings.Join(list, ", "))
	}
	by := func(key, rows string) string {
		return fmt.Sprintf(`{"place": "1", "gives": "lime", "unit": "t", "by": [%q], "rows": [%s]}`, key, rows)
	}
	const share, count, never = `{"name": "a", "label": "A", "unit": "%"}`, `{"name": "a", "label": "A", "unit": "1"}`, `{"name": "a", "label": "A", "unit": "h", "never": "never"}`
	pool := func(gives, of, rows string) string {
		return fmt.Sprintf(`{"place": "1", "gives": %q, "of": %q, "unit": "%%", "by": ["year", "a"], "rows": [%s]}`, gives, of, rows)
	}
	for _, c := range []struct{ key, table, want string }{
		{share, by("a", `["to 100 %", 1]`), ""}, {share, by("a", `["below 100 %", 1]`), "no line for lime, a 100 %"}, {share, by("a", `["from 0 %", 1]`), ""}, {share, by("a", `["over 0 %", 1]`), "no line for lime, a 0 %"},
		{share, by("a", `["0 %", 1], ["from 6 %", 2]`), "a below 6 %"}, {share, by("a", `["to 6 %", 1], ["from 6.5 %", 2]`), "a between 6 % and 6.5 %"}, {share, by("a", `["to 6 %", 1]`), "a over 6 %"},
		{share, by("a", `["6 %", 1]`), ""}, {share, by("a", `["0 %", 1], ["6 %", 2]`), ""}, {share, by("a", `["0 %", 1], ["0 %", 2]`), "a second answer"}, {share, by("a", `["6 %", 1], ["0.06 kg/kg", 2]`), "a second answer"}, {share, by("a", `["6 %", 1], ["to 6 %", 2], ["over 6 %", 3]`), "a second answer"},
		{count, by("a", `["below 0.5", 1], ["from 0.5", 2]`), ""}, {count, by("a", `["below 0.5", 1], ["over 0.5", 2]`), "a 0.5;"}, {count, by("a", `["to 0.5", 1], ["from 0.5", 2]`), "a second answer"}, {count, by("a", `["below 0.5", 1], ["from 0.6", 2]`), "a between 0.5 and 0.6"},
		{never, by("a", `["from 0", 1]`), "a never"}, {never, by("a", `["from 0 or never", 1]`), ""}, {never, by("a", `["never", 1], ["12 h", 2]`), ""}, {never, by("a", `["never", 1], ["over 12", 2], ["to 12 or never", 3]`), "a second answer"},
		{dayKey, by("day", `["2 Jan to 31 Dec", 1]`), "day 1 Jan"}, {dayKey, by("day", `["1 Jan to 31 Dec", 1]`), ""}, {dayKey, by("day", `["1 Jan to 28 Feb", 1], ["1 Mar to 31 Dec", 2]`), "day 29 Feb"}, {dayKey, by("day", `["1 Dec to 1 Mar", 1], ["1 Mar to 30 Nov", 2]`), "a second answer"},
		{`{"name": "b", "label": "B", "values": ["x"]}`, by("year", `["1", 1], ["2-3", 2]`) + `, {"place": "2", "gives": "salt", "unit": "t", "by": ["b"], "rows": [["x", 1]]}`, ""}, {`{"name": "b", "label": "B", "values": ["x"]}`, by("year", `["2", 1]`) + `, {"place": "2", "gives": "salt", "unit": "t", "by": ["b"], "rows": [["x", 1]]}`, "no line for lime, year 1"},
		{`{"name": "b", "label": "B", "values": ["x"]}`, by("year", `["1", 1]`) + `, {"place": "2", "gives": "salt", "unit": "t", "by": ["b"], "rows": [["x", 1]]}`, ""}, {`{"name": "b", "label": "B", "values": ["x"]}`, by("year", `["1", 1], ["3", 2]`) + `, {"place": "2", "gives": "salt", "unit": "t", "by": ["b"], "rows": [["x", 1]]}`, "no line for lime, year 2"},
		{choices(21), by("many", `["c0", 1]`), "many c20"}, {choices(22), by("many", `["c0", 1]`), "1 more without a line for lime"}, {choices(30), by("many", `["c0", 1]`), "9 more without a line for lime"},
		// Shares over the years, of what was applied and of the total apart.
		{share, pool("organic", "original", `["1", "to 5", 60], ["1", "over 5", 30], ["2", "", 40]`), ""}, {share, pool("organic", "original", `["1", "to 5", 61], ["1", "over 5", 30], ["2", "", 40]`), "add up to 1.01 over the years: a 0 %"},
		{share, pool("organic", "total", `["1", "to 5", 61], ["1", "over 5", 30], ["2", "", 40]`), "add up to 1.01"}, {share, pool("ammonium", "original", `["1", "to 5", "?"], ["1", "over 5", 90], ["2", "", 10]`), ""}, {share, pool("ammonium", "original", `["1", "to 5", 90]`), "no line for ammonium, a over 5 %, year 1"},
		{share, `{"place": "1", "gives": "organic", "of": "original", "unit": "%", "by": ["year"], "rows": [["1", 70]]}, {"place": "2", "gives": "organic", "of": "total", "unit": "%", "when": {"year": 2}, "by": ["a"], "rows": [["to 5", 60], ["over 5", 50]]}`, ""},
	} {
		_, err := ruled(c.key, c.table)
		if c.want == "" {
			require.NoError(t, err, c.table)
		} else {
			require.ErrorContains(t, err, c.want, c.table)
		}
		if strings.Contains(c.want, "c20") {
			require.NotContains(t, err.Error(), "more without")
		}
	}
	// The way out is shown only where the lower class ends just where the gap begins, with its end.
	for table, want := range map[string]string{
		`["to 25", 1], ["from 30", 2]`: "below 30", `["0-25", 1], ["from 30", 2]`: "below 30", `["below 25", 1], ["from 30", 2]`: "", `["below 10", 1], ["from 10 to 25", 2], ["from 30", 3]`: "from 10 below 30", `["to 10", 1], ["over 10 to 25", 2], ["from 30", 3]`: "",
		`["from 30", 1]`: "", `["5", 1], ["from 30", 2]`: "",
	} {
		_, err := ruled(count, by("a", table))
		require.ErrorContains(t, err, "no line for lime", table)
		if want == "" {
			require.NotContains(t, err.Error(), "classes that meet", table)
		} else {
			require.ErrorContains(t, err, "classes that meet, such as "+want+", or round", table)
		}
	}
	// High ends above all are told once for the same lines, and counted to no more than all.
	s, err := ruled(share+", "+soilKey, pool("organic", "original", `["1", "to 5", "50-80"], ["1", "over 5", "40-50"], ["2", "", "20-30"]`)+`, {"place": "2", "gives": "salt", "unit": "t", "by": ["soil"], "rows": [["clay; loam; sand", 1]]}`)
	require.NoError(t, err)
	require.Equal(t, []string{"the high values of organic add up to 1.1 over the years, of which no more than 1 is counted: a 0 %"}, s.Remarks())
	s, err = ruled(soilKey, `{"place": "1", "gives": "organic", "of": "original", "unit": "%", "by": ["year"], "rows": [["1", "50-80"], ["2", 30]]}, {"place": "2", "gives": "salt", "unit": "t", "by": ["soil"], "rows": [["clay; loam; sand", 1]]}`)
	require.NoError(t, err)
	require.Equal(t, []string{"the high values of organic add up to 1.1 over the years, of which no more than 1 is counted: any query"}, s.Remarks())
}

// In which units a table may give what it gives.
func TestUnitsOfWhatTablesGive(t *testing.T) {
	for gives, c := range map[string]struct{ good, bad []string }{
		"n": {[]string{"lb/acre", "kg/ha", "lb/bu", "kg/t"}, []string{"", "%", "ft", "gal/acre"}}, "p2o5": {[]string{"lb/acre"}, []string{"t"}}, "k2o": {[]string{"kg/t"}, []string{"1"}}, "removalN": {[]string{"lb/bu"}, []string{"in"}}, "removalP2O5": {[]string{"lb/ton"}, []string{"in"}}, "removalK2O": {[]string{"kg/ha"}, []string{"in"}}, "creditN": {[]string{"lb/ton"}, []string{"in"}},
		"totalNApplied": {[]string{"lb/acre"}, []string{"lb/bu", "", "gal/acre"}}, "metalCumulative": {[]string{"kg/ha"}, []string{"kg/t"}}, "metalAnnual": {[]string{"kg/ha"}, []string{"kg/t"}},
		"materialApplied": {[]string{"ton/acre", "gal/acre", "m3/ha"}, []string{"lb/bu", "ft", ""}}, "metalCeiling": {[]string{"mg/kg", "%"}, []string{"kg/ha", "mg/L"}}, "metalLow": {[]string{"mg/kg"}, []string{"kg/ha"}}, "setback": {[]string{"ft", "m"}, []string{"ft2", "%", ""}}, "anything": {[]string{"1", "bales", "ft"}, []string{""}},
		"organic": {[]string{"%", "fraction", "% lost", "fraction lost"}, []string{"lb/acre", "", "lost"}},
	} {
		of, row, year := "", `[0.5], [0.5]`, ""
		if gives == "organic" {
			of, year = `"of": "original", `, `"by": ["year"], `
			row = `["1", 0.4], ["2", 0.5]`
		} else {
			year, row = `"by": ["crop"], `, `["corn", 0.4], ["hay; oats", 0.5]`
		}
		for ok, list := range map[bool][]string{true: c.good, false: c.bad} {
			for _, unit := range list {
				text := fmt.Sprintf(`{"place": "1", "gives": %q, %s"unit": %q, %s"rows": [%s]}, {"place": "2", "gives": "salt", "unit": "t", "by": ["crop"], "rows": [["corn; hay; oats", 1]]}`, gives, of, unit, year, row)
				_, err := ruled(cropKey, text)
				if ok {
					require.NotContains(t, strings.Join(fields(err), " "), "unit", "%s in %s: %v", gives, unit, err)
				} else {
					require.Equal(t, []string{"tables[0].unit"}, fields(err), "%s in %s: %v", gives, unit, err)
				}
			}
		}
	}
	for pool, good := range map[string][]string{"totalN": {"remaining", "total"}, "ammonium": {"original", "remaining", "total"}, "organic": {"original", "remaining", "total"}, "p": {"original", "remaining"}, "k": {"original", "remaining"}} {
		for _, of := range []string{"", "original", "remaining", "total"} {
			text := fmt.Sprintf(`{"place": "1", "gives": %q, "unit": "%%", "by": ["year"], "rows": [["1", 40], ["2", 50]]}, {"place": "2", "gives": "salt", "unit": "t", "by": ["crop"], "rows": [["corn; hay; oats", 1]]}`, pool)
			if of != "" {
				text = strings.Replace(text, `"unit"`, fmt.Sprintf(`"of": %q, "unit"`, of), 1)
			}
			_, err := ruled(cropKey, text)
			if strings.Contains(strings.Join(good, " "), of) && of != "" {
				require.NoError(t, err, "%s of %s", pool, of)
			} else {
				require.Equal(t, []string{"tables[0].of"}, fields(err), "%s of %s: %v", pool, of, err)
			}
		}
	}
	// A factor may be more than all, a share or a loss may not.
	for unit, want := range map[string]string{"%": "", "fraction": "", "% lost": "tables[1].rows[0][0]", "fraction lost": "tables[1].rows[0][0]", "t": "tables[1].unit", "": "tables[1].unit"} {
		_, err := ruled(cropKey, fmt.Sprintf(`{"place": "1", "gives": "lime", "unit": "t", "by": ["crop"], "rows": [["corn; hay; oats", 1]]}, {"place": "2", "gives": "lime", "as": "times", "unit": %q, "rows": [[120]]}`, unit))
		require.Equal(t, want, strings.Join(fields(err), " "), "%s: %v", unit, err)
	}
}

// Between two points that are printed a straight line, of a quantity that may also never
// come; at the points what is printed.
func TestLinesBetweenPoints(t *testing.T) {
	s, err := ruled(`{"name": "wait", "label": "Wait", "unit": "h", "never": "never", "between": "linear"}, `+cropKey, `{"place": "1", "gives": "kept", "unit": "m", "by": ["crop", "wait"], "rows": [["corn; hay", 2, "90-100"], ["corn; hay", 6, "50-80"], ["corn; hay", 10, "40-44"], ["corn; hay", "never", "10-20"], ["oats", "from 0 or never", 5]]}`)
	require.NoError(t, err)
	answers(t, s, "kept", AsValue, map[string]string{"crop: corn, wait: 2 h": "90-100", "crop: corn, wait: 3 h": "80-95", "crop: corn, wait: 4 h": "70-90", "crop: hay, wait: 6 h": "50-80", "crop: corn, wait: 9 h": "42.5-53", "crop: corn, wait: 10 h": "40-44", "crop: corn, wait: never": "10-20",
		"crop: corn, wait: 1.9 h": "wait", "crop: corn, wait: 10.1 h": "wait", "crop: corn": "wait", "crop: oats": "wait", "crop: oats, wait: 50 h": "5"})
	s, err = ruled(`{"name": "wait", "label": "Wait", "unit": "h"}, `+cropKey, `{"place": "1", "gives": "kept", "unit": "m", "by": ["crop", "wait"], "rows": [["corn", 2, 90], ["corn", 6, "?"], ["hay; oats", "", 5]]}`)
	require.NoError(t, err)
	answers(t, s, "kept", AsValue, map[string]string{"crop: corn, wait: 2 h": "90", "crop: corn, wait: 3 h": "kept", "crop: corn, wait: 6 h": "wait"})
	_, err = s.Answer("kept", Query{"crop": "corn", "wait": "6 h"})
	require.ErrorContains(t, err, "not legible")
}

// Of limits that are alike the first is named; one that is not known is asked for where it
// could be stricter, as any is that grows with something.
func TestLimitsThatAreNotKnown(t *testing.T) {
	s, err := ruled(cropKey+", "+soilKey+", "+yieldKey, strings.Join([]string{
		`{"title": "first", "place": "1", "gives": "most", "as": "cap", "unit": "kg/ha", "rows": [[100]]}`, `{"title": "second", "place": "2", "gives": "most", "as": "cap", "unit": "kg/ha", "rows": [[100]]}`,
		`{"title": "soil", "place": "3", "gives": "most", "as": "cap", "unit": "kg/ha", "by": ["soil"], "rows": [["clay", 120], ["loam", 100], ["sand", 99]]}`,
		`{"title": "far", "place": "4", "gives": "away", "as": "atLeast", "unit": "m", "rows": [[30]]}`, `{"title": "as far", "place": "5", "gives": "away", "as": "atLeast", "unit": "m", "rows": [[30]]}`, `{"place": "6", "gives": "away", "as": "atLeast", "unit": "m", "by": ["soil"], "rows": [["clay", 31], ["loam", 30], ["sand", 5]]}`,
		`{"place": "7", "gives": "grown", "as": "cap", "unit": "kg/ha", "by": ["per"], "rows": [["", 10], ["yield", 50]]}`,
		`{"place": "8", "gives": "taken", "as": "cap", "unit": "kg/ha", "by": ["crop", "per"], "rows": [["", "", 10], ["corn", "removalN", 50]]}`, `{"place": "9", "gives": "removalN", "unit": "kg/ha", "by": ["crop"], "rows": [["corn", 0.1], ["hay; oats", 3]]}`,
		`{"place": "10", "gives": "added", "as": "cap", "unit": "kg/ha", "by": ["crop"], "plus": {"per": "yield", "over": 8, "rate": 20}, "rows": [["corn", 50]]}`, `{"place": "11", "gives": "added", "as": "cap", "unit": "kg/ha", "rows": [[10]]}`,
		`{"place": "12", "gives": "unread", "as": "cap", "unit": "kg/ha", "by": ["crop"], "rows": [["", 10], ["hay", "?"]]}`,
	}, ", "))
	require.NoError(t, err)
	answers(t, s, "most", AsCap, map[string]string{"soil: clay": "100", "soil: loam": "100", "soil: sand": "99", "": "soil"})
	answers(t, s, "away", AsAtLeast, map[string]string{"soil: clay": "31", "soil: loam": "30", "soil: sand": "30", "": "soil"})
	answers(t, s, "grown", AsCap, map[string]string{"": "yield", "yield: 0.1 t/ha": "5", "yield: 1 t/ha": "10"})
	answers(t, s, "taken", AsCap, map[string]string{"": "crop", "crop: corn": "5", "crop: hay": "10"})
	answers(t, s, "added", AsCap, map[string]string{"": "crop", "crop: hay": "10", "crop: corn": "yield", "crop: corn, yield: 9 t/ha": "10", "crop: corn, yield: 5.6 t/ha": "2"})
	answers(t, s, "unread", AsCap, map[string]string{"": "crop", "crop: corn": "10", "crop: hay": "crop"})
	for as, want := range map[As]string{AsCap: "first", AsAtLeast: "far"} {
		r, ok, err := s.Limit(map[As]string{AsCap: "most", AsAtLeast: "away"}[as], as, Query{"soil": "loam"})
		require.NoError(t, err)
		require.True(t, ok)
		require.Equal(t, want, r.Steps[0].Title)
	}
}

// What a line asks for is told in the order of the keys, each once, whether it stands in
// when, cols or by; multiples of the removal are held to 20, and a table tells no more than
// some twenty faults.
func TestLinesOfTables(t *testing.T) {
	s, err := ruled(dayKey+", "+cropKey+", "+soilKey, `{"place": "1", "gives": "lime", "unit": "t", "when": {"soil": "clay; loam"}, "cols": [{"crop": "corn"}, {"crop": "hay; oats"}], "by": ["soil"], "rows": [["clay", 1, 2], ["loam; sand", 3, 4]]}, {"place": "2", "gives": "lime", "unit": "t", "when": {"soil": "sand"}, "rows": [["5a"]], "footnotes": {"a": "a foot"}}, {"place": "3", "gives": "allow", "as": "ban", "by": ["soil", "crop"], "rows": [["sand", "corn", "1 Dec to 1 Mar"]]}`)
	require.NoError(t, err)
	answers(t, s, "lime", AsValue, map[string]string{"crop: corn, soil: clay": "1", "crop: hay, soil: clay": "2", "crop: corn, soil: loam": "3", "crop: oats, soil: loam": "4", "soil: sand": "5"})
	r := answerOf(t, s, "lime", Query{"crop": "corn", "soil": "loam"})
	require.Equal(t, []string{"Crop: corn", "Soil: loam"}, r.Steps[0].Line)
	require.Equal(t, []string{"a foot"}, answerOf(t, s, "lime", Query{"soil": "sand"}).Steps[0].Notes)
	bans, err := s.Bans(Query{"crop": "corn", "soil": "sand", "day": "1 Jan"})
	require.NoError(t, err)
	require.Equal(t, []string{"Day: 1 Jan", "Crop: corn", "Soil: sand"}, bans[0].Line)
	for cell, want := range map[string]string{"20": "", "0": "", "0.5": "", "n-based": "", "None": "", "20.1": "tables[0].rows[0][1]", "much": "tables[0].rows[0][1]"} {
		_, err := ruled(cropKey, fmt.Sprintf(`{"place": "1", "gives": "allow", "as": "cap", "unit": "x removal", "by": ["crop"], "rows": [["corn", %q]]}`, cell))
		require.Equal(t, want, strings.Join(fields(err), " "), "%s: %v", cell, err)
	}
	for cell, want := range map[string]string{"no": "", "Yes": "tables[0].rows[0][1]", "sometimes": "tables[0].rows[0][1]", "1 May": "tables[0].rows[0][1]", "1 May to soon": "tables[0].rows[0][1]", "1 May to 31 May": ""} {
		for _, keys := range []string{cropKey + ", " + dayKey, dayKey + ", " + cropKey, cropKey} {
			_, err := ruled(keys, fmt.Sprintf(`{"place": "1", "gives": "allow", "as": "ban", "by": ["crop"], "rows": [["corn", %q], ["hay", "no"]]}`, cell)+strings.Repeat(`, {"place": "2", "gives": "allow", "as": "ban", "by": ["day"], "rows": [["1 Jan to 2 Jan", "no"]]}`, strings.Count(keys, "date")))
			refused := want
			if keys == cropKey && strings.Contains(cell, "May") {
				refused = "tables[0].rows[0][1]" // no key takes a day
			}
			require.Equal(t, refused, strings.Join(fields(err), " "), "%s: %v", cell, err)
		}
	}
	for _, keys := range []string{soilKey + ", " + testKey, testKey + ", " + soilKey} { // a class is no number
		_, err := ruled(keys, `{"place": "1", "gives": "soil", "by": ["test"], "rows": [["to 5", "clay"], ["over 5", "loam"]]}, {"place": "2", "gives": "lime", "unit": "t", "by": ["per"], "rows": [["soil", 2]]}`)
		require.Equal(t, []string{"tables[1].rows[0][0]"}, fields(err), "%v", err)
	}
	rows := strings.Repeat(`["corn", "many"], `, 39) + `["hay", "many"]`
	_, err = ruled(cropKey, `{"place": "1", "gives": "lime", "unit": "t", "by": ["crop"], "rows": [`+rows+`]}`)
	require.Len(t, fields(err), 21)
	// Cells are counted over all tables.
	wide := func(rows, cols int) StateSpec {
		table := Table{Place: "1", Gives: "lime", As: AsPlus, Unit: "t", By: []string{"year"}}
		for range cols {
			table.Cols = append(table.Cols, map[string]Cell{"gives": "lime"})
		}
		for range rows {
			row := []Cell{"1"}
			for range cols {
				row = append(row, "2")
			}
			table.Rows = append(table.Rows, row)
		}
		return StateSpec{ID: "x", Jurisdiction: "Atlantis", Source: Source{Title: "T", Edition: "1", Number: "1"}, Unchecked: "invented", Tables: []Table{table, {Place: "2", Gives: "salt", As: AsPlus, Unit: "t", Rows: [][]Cell{{"1"}}}}}
	}
	_, err = NewState(wide(2857, 7)) // 19999 and 1
	require.NoError(t, err)
	_, err = NewState(wide(100, 200)) // 20000 and 1
	require.Equal(t, []string{"tables"}, fields(err))
	require.ErrorContains(t, err, "20,001 cells")
	for tables, want := range map[int][]string{500: nil, 501: {"tables"}} {
		spec := wide(1, 1)
		spec.Tables = slices.Repeat(spec.Tables[1:], tables)
		_, err := NewState(spec)
		require.Equal(t, want, fields(err))
	}
}

// What forbids whatever is not known is told beside what is missing, and what is known to
// forbid nothing is not.
func TestBansBesideWhatIsMissing(t *testing.T) {
	s, err := ruled(soilKey+", "+cropKey, `{"title": "all corn", "place": "1", "gives": "allow", "as": "ban", "by": ["crop"], "rows": [["corn", "no"], ["hay", "yes"]]}, {"title": "corn on sand", "place": "2", "gives": "allow", "as": "ban", "by": ["crop", "soil"], "rows": [["corn", "sand", "no"], ["oats", "clay", "yes"]]}`)
	require.NoError(t, err)
	for q, want := range map[string][2]string{"corn": {"all corn", "soil"}, "hay": {"", ""}, "oats": {"", ""}, "corn sand": {"all corn, corn on sand", ""}, "corn clay": {"all corn", ""}} {
		crop, soil, _ := strings.Cut(q, " ")
		bans, err := s.Bans(Query{"crop": crop, "soil": soil})
		var titles []string
		for _, b := range bans {
			titles = append(titles, b.Title)
			require.Equal(t, "no", b.Word)
		}
		require.Equal(t, want, [2]string{strings.Join(titles, ", "), strings.Join(fields(err), " ")}, q)
	}
	_, err = s.Bans(Query{"crop": "tea"})
	require.Equal(t, []string{"crop"}, fields(err))
}

// What other tables give multiplies as an amount in the unit of the figure, as a fraction
// where it is a percentage, and as a bare number; a word does not.
func TestFiguresThatMultiply(t *testing.T) {
	s, err := ruled(yieldKey+", "+soilKey, strings.Join([]string{
		`{"place": "1", "gives": "share", "unit": "%", "by": ["soil"], "rows": [["clay", "40-50"], ["loam; sand", 25]]}`, `{"place": "2", "gives": "count", "unit": "1", "rows": [["3-4"]]}`, `{"place": "3", "gives": "load", "unit": "lb/acre", "rows": [[100]]}`, `{"place": "4", "gives": "removalN", "unit": "kg/t", "rows": [["6-7"]]}`,
		`{"place": "5", "gives": "n", "unit": "kg/ha", "by": ["per"], "rows": [["share x count", 10]]}`, `{"place": "6", "gives": "p2o5", "unit": "kg/ha", "by": ["per"], "rows": [["load", 2]]}`, `{"place": "7", "gives": "k2o", "unit": "kg/ha", "by": ["per"], "rows": [["removalN x share", "1-2"]]}`, `{"place": "8", "gives": "soilly", "unit": "t", "by": ["per"], "rows": [["removalN", 1]]}`,
		`{"place": "9", "gives": "grown", "unit": "kg/ha", "by": ["per"], "within": {"yield": "from 2 to 9"}, "rows": [["yield", "3-4"]]}`, `{"place": "10", "gives": "squared", "unit": "1", "by": ["per"], "rows": [["yield x yield", 2]]}`,
	}, ", "))
	require.NoError(t, err)
	answers(t, s, "n", AsValue, map[string]string{"soil: clay": "12-20", "soil: sand": "7.5-10", "": "soil"})
	answers(t, s, "p2o5", AsValue, map[string]string{"": "224.17"})
	answers(t, s, "k2o", AsValue, map[string]string{"soil: sand, yield: 8 t/ha": "12-28", "soil: clay, yield: 8 t/ha": "19.2-56", "soil: clay": "yield"})
	answers(t, s, "soilly", AsValue, map[string]string{"yield: 8 t/ha": "removalN"})
	answers(t, s, "grown", AsValue, map[string]string{"yield: 1 t/ha": "6-8", "yield: 2 t/ha": "6-8", "yield: 5 t/ha": "15-20", "yield: 9 t/ha": "27-36", "yield: 20 t/ha": "27-36", "": "yield"})
	answers(t, s, "squared", AsValue, map[string]string{"yield: 3 t/ha": "18"})
	require.Equal(t, []string{"yield", "soil"}, s.Asks("k2o"))
	require.Equal(t, []string{"yield", "soil"}, s.Asks("n"), "a yield may turn what the others give into an amount")
	step := answerOf(t, s, "k2o", Query{"soil": "clay", "yield": "8 t/ha"}).Steps
	require.Equal(t, []string{"removalN (value) 6-7 kg/t x 8 t/ha", "share (value) 40-50 %"}, step[len(step)-1].Per)
	// Shown in the unit of the table, where that is one, and else as bare numbers with it.
	for want, c := range map[string]struct {
		x          units.Range[float64]
		unit, word string
	}{"5 lb/acre": {units.Point(5.0), "lb/acre", ""}, "5 lb/acre to 7 lb/acre": {units.Range[float64]{Low: 5, High: 7}, "lb/acre", ""}, "5 lb/bu": {units.Point(5.0), "lb/bu", ""}, "5 to 7 lb/bu": {units.Range[float64]{Low: 5, High: 7}, "lb/bu", ""}, "none": {units.Point(5.0), "lb/acre", "none"}} {
		require.Equal(t, want, units.Words("%v", shownFigure(c.x, c.unit, c.word)).String())
	}
}
