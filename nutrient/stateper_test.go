package nutrient

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// capped is an invented state whose caps are by what leaves with the crop, by an equation,
// and by figures, and whose hay removes N by an equation.
const capped = `{"id": "capped", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"},
	"keys": [{"name": "crop", "label": "Crop", "values": ["corn", "hay", "beets"]}, {"name": "pClass", "label": "Class of P", "values": ["low", "medium", "high"]},
		{"name": "protein", "label": "Protein", "unit": "%"}, {"name": "slope", "label": "Slope", "unit": "%"}],
	"tables": [
		{"title": "Removal", "place": "1", "by": ["crop", "unit"], "cols": [{"gives": "removalP2O5"}, {"gives": "removalK2O"}], "rows": [["corn", "lb/bu", 0.4, 0.3], ["hay", "lb/ton", 12, "40-50"], ["beets", "lb/ton", "n/a: not worked out", 9]]},
		{"title": "N in corn", "place": "2", "gives": "removalN", "unit": "lb/bu", "when": {"crop": "corn"}, "rows": [[0.9]]},
		{"title": "N in hay", "place": "2", "gives": "removalN", "unit": "lb/ton", "when": {"crop": "hay"}, "by": ["per"], "rows": [["protein", 3]]},
		{"title": "P by class", "place": "3", "gives": "p2o5", "as": "cap", "unit": "lb/acre", "by": ["pClass", "per"], "rows": [["low", "", 150], ["medium", "removalP2O5", 2], ["high", "removalP2O5", 1]]},
		{"title": "P at all", "place": "3", "gives": "p2o5", "as": "cap", "unit": "kg/ha", "rows": [[120]]},
		{"title": "K by removal", "place": "4", "gives": "k2o", "as": "cap", "unit": "lb/acre", "by": ["per"], "rows": [["removalK2O", 1]]},
		{"title": "Ceiling of N", "place": "5", "gives": "ceiling", "as": "plus", "unit": "kg/ha", "by": ["per"], "rows": [["", 200], ["slope", -8]]},
		{"title": "N by the ceiling", "place": "5", "gives": "n", "as": "cap", "unit": "lb/acre", "by": ["per"], "rows": [["ceiling", 0.5]]}],
	"lacks": [{"gives": ["removalN"], "when": {"crop": "beets"}, "why": "not printed"}],
	"checks": [{"place": "p. 9", "gives": "p2o5", "as": "cap", "ask": {"crop": "corn", "pClass": "medium", "yield": "125 bu/acre"}, "want": 100}]}`

func limitOf(t *testing.T, s *State, gives string, q Query) Answer {
	t.Helper()
	r, ok, err := s.Limit(gives, AsCap, q)
	require.NoError(t, err)
	require.True(t, ok)
	return r
}

// A cap may be a multiple of what leaves with the crop at its yield, or what an equation
// gives; of all that fit the least holds, in whatever unit they are printed.
func TestCapsByRemovalAndByEquation(t *testing.T) {
	s, err := ParseState([]byte(capped))
	require.NoError(t, err)
	r := limitOf(t, s, "p2o5", Query{"crop": "corn", "pClass": "high", "yield": "150 bu/acre"})
	require.InDelta(t, 60, r.Figure.Low, 1e-9)
	require.Equal(t, "lb/acre", r.Unit)
	require.Contains(t, r.String(), "printed 1 lb/acre x Removal 0.4 lb/bu x 150 bu/acre")
	require.Equal(t, []string{"removalP2O5", "p2o5"}, []string{r.Steps[0].Gives, r.Steps[1].Gives})
	r = limitOf(t, s, "p2o5", Query{"crop": "corn", "pClass": "medium", "yield": "150 bu/acre"})
	require.Equal(t, "P at all", r.Steps[len(r.Steps)-1].Title, "120 kg/ha are less than 2 x 60 lb/acre")
	require.Equal(t, "kg/ha", r.Unit)
	r = limitOf(t, s, "p2o5", Query{"crop": "hay", "pClass": "high", "yield": "10 t/ha"}) // 4.46 ton/acre
	require.InDelta(t, 12*10*0.446090, r.Figure.Low, 1e-3)
	r = limitOf(t, s, "k2o", Query{"crop": "hay", "yield": "4 ton/acre"})
	require.InDelta(t, 160, r.Figure.Low, 1e-9)
	require.InDelta(t, 200, r.Figure.High, 1e-9)
	r = limitOf(t, s, "n", Query{"slope": "5 %"}) // half of 160 kg/ha
	require.InDelta(t, 80*0.892179, r.Figure.Low, 1e-4)
	require.Equal(t, []string{"crop", "pClass"}, s.Asks("p2o5"), "the yield is no key of the file")

	for name, c := range map[string]struct {
		gives string
		q     Query
		want  string
		kind  units.FaultKind
	}{
		"no yield":       {"p2o5", Query{"crop": "corn", "pClass": "high"}, "yield", units.FaultMissing},
		"another yield":  {"p2o5", Query{"crop": "corn", "pClass": "high", "yield": "4 ton/acre"}, "yield.unit", units.FaultMalformed},
		"comma decimals": {"p2o5", Query{"crop": "corn", "pClass": "high", "yield": "8,5 bu/acre"}, "yield", units.FaultMalformed},
		"1e308":          {"p2o5", Query{"crop": "corn", "pClass": "high", "yield": strings.Repeat("9", 300) + " bu/acre"}, "yield", units.FaultMalformed},
		"no crop":        {"p2o5", Query{"pClass": "high", "yield": "150 bu/acre"}, "crop", units.FaultMissing},
		"no class":       {"p2o5", Query{"crop": "corn", "yield": "150 bu/acre"}, "pClass", units.FaultMissing},
		"not printed":    {"p2o5", Query{"crop": "beets", "pClass": "high", "yield": "30 ton/acre"}, "crop", units.FaultLacking},
	} {
		_, _, err := s.Limit(c.gives, AsCap, c.q)
		require.Equal(t, []string{c.want}, fields(err), "%s: %v", name, err)
		require.Equal(t, c.kind, units.FieldErrors(err)[0].Kind, "%s: %v", name, err)
	}
	r, err = s.Answer("removalN", Query{"crop": "hay", "protein": "8 %"})
	require.NoError(t, err)
	require.InDelta(t, 24, r.Figure.Low, 1e-9)
	n, err := s.Crop("hay", Yield{PerAcre: 4, Unit: YieldTon}, Query{"protein": "8 %"})
	require.NoError(t, err)
	require.InDelta(t, 96, n.N.Low.In(units.PoundPerAcre), 1e-9)
}

// Removal by an equation in the yield, a rate of plus that is an equation, and a cap that
// grows with the yield: the yield of Crop reaches the tables.
func TestRemovalByEquation(t *testing.T) {
	s, err := ParseState([]byte(`{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"}, "unchecked": "invented",
		"keys": [{"name": "crop", "label": "C", "values": ["wheat"]}, {"name": "yield", "label": "Y", "unit": "t/ha"}, {"name": "protein", "label": "P", "unit": "%"}],
		"tables": [
			{"place": "1", "gives": "removalP2O5", "as": "plus", "unit": "kg/ha", "by": ["crop", "per"], "rows": [["wheat", "", 4], ["wheat", "yield", 7]]},
			{"place": "2", "gives": "removalN", "unit": "kg/t", "by": ["crop", "per"], "rows": [["wheat", "protein", 1.75]]},
			{"place": "3", "gives": "p2o5", "as": "cap", "unit": "kg/ha", "by": ["per"], "rows": [["removalP2O5", 1.5]]},
			{"place": "4", "gives": "n", "unit": "kg/ha", "by": ["crop"], "plus": {"per": "yield", "over": 8, "rate": "removalN"}, "rows": [["wheat", 180]]},
			{"place": "5", "gives": "totalNApplied", "as": "cap", "unit": "kg/ha", "by": ["crop"], "plus": {"per": "yield", "over": "8 t/ha", "rate": 20, "onlyUp": true}, "rows": [["wheat", 220]]}]}`))
	require.NoError(t, err)
	n, err := s.Crop("wheat", Yield{PerHectare: 10, Unit: YieldTonne}, Query{"protein": "12 %"})
	require.NoError(t, err)
	require.InDelta(t, 74, n.P2O5.Low.In(units.KilogramPerHectare), 1e-9)
	require.InDelta(t, 210, n.N.Low.In(units.KilogramPerHectare), 1e-9)
	q := Query{"crop": "wheat", "yield": "10 t/ha", "protein": "12 %"}
	require.InDelta(t, 111, limitOf(t, s, "p2o5", q).Figure.Low, 1e-9)
	require.InDelta(t, 180+2*21, answerOf(t, s, "n", q).Figure.Low, 1e-9)
	require.InDelta(t, 260, limitOf(t, s, "totalNApplied", q).Figure.Low, 1e-9)
	_, _, err = s.Limit("totalNApplied", AsCap, Query{"crop": "wheat"})
	require.Equal(t, []string{"yield"}, fields(err))
}

// A figure that needs itself has no answer; the loader says so.
func TestFiguresThatHangOnThemselves(t *testing.T) {
	for name, c := range map[string]struct{ old, new, want string }{
		"itself":      {`["protein", 3]`, `["removalN", 3]`, "removalN, which hangs on itself: removalN, removalN"},
		"by another":  {`["slope", -8]`, `["spare", -8]`, "hangs on itself: ceiling, spare, ceiling"},
		"not given":   {`["removalK2O", 1]`, `["removalX", 1]`, "a key with a unit or what a table gives"},
		"a class":     {`["removalK2O", 1]`, `["pClass", 1]`, "a key with a unit or what a table gives"},
		"of no value": {`["removalK2O", 1]`, `["p2o5", 1]`, ""},
	} {
		text := strings.Replace(capped, c.old, c.new, 1)
		require.NotEqual(t, capped, text)
		text = strings.Replace(text, `"tables": [`, `"tables": [{"place": "0", "gives": "spare", "as": "plus", "unit": "kg/ha", "by": ["per"], "rows": [["ceiling", 1]]},`, 1)
		s, err := ParseState([]byte(text))
		if c.want != "" {
			require.ErrorContains(t, err, c.want, name)
			continue
		}
		require.NoError(t, err)
		_, _, err = s.Limit("k2o", AsCap, Query{"crop": "hay", "yield": "4 ton/acre"})
		require.Equal(t, []string{"p2o5"}, fields(err), name) // a cap is no figure
	}
}

// A sum to which no line adds is no answer, but for credits, and a yield in another unit
// than that of the key serves the tables that count in it.
func TestSumsOfNothing(t *testing.T) {
	s, err := ParseState([]byte(`{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"}, "unchecked": "invented",
		"keys": [{"name": "crop", "label": "C", "values": ["corn", "hay"]}, {"name": "yield", "label": "Y", "unit": "bu/acre"}, {"name": "before", "label": "B", "values": ["clover", "other"]}],
		"lacks": [{"gives": ["n"], "when": {"crop": "hay"}, "why": "hay stands elsewhere"}],
		"tables": [
			{"place": "1", "gives": "n", "as": "plus", "unit": "lb/acre", "by": ["crop", "per"], "rows": [["corn", "", 20], ["corn", "yield", 1]]},
			{"place": "2", "gives": "creditN", "as": "plus", "unit": "lb/acre", "by": ["before"], "rows": [["clover", 40]]},
			{"place": "3", "gives": "removalP2O5", "by": ["crop", "unit"], "rows": [["corn", "lb/bu", 0.4], ["hay", "lb/ton", 12]]},
			{"place": "4", "gives": "p2o5", "as": "cap", "unit": "lb/acre", "by": ["per"], "rows": [["removalP2O5", 1]]}]}`))
	require.NoError(t, err)
	require.InDelta(t, 170, answerOf(t, s, "n", Query{"crop": "corn", "yield": "150 bu/acre"}).Figure.Low, 1e-9)
	_, err = s.Answer("n", Query{"crop": "hay"})
	require.ErrorContains(t, err, "hay stands elsewhere")
	require.Zero(t, answerOf(t, s, "creditN", Query{"before": "other"}).Figure.High)
	require.InDelta(t, 48, limitOf(t, s, "p2o5", Query{"crop": "hay", "yield": "4 ton/acre"}).Figure.Low, 1e-9)
	_, err = s.Answer("n", Query{"crop": "corn", "yield": "4 ton/acre"})
	require.Equal(t, []string{"yield"}, fields(err))
	_, err = s.Answer("n", Query{"crop": "corn", "yield": "many"})
	require.Equal(t, []string{"yield"}, fields(err))
}
