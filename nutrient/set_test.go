package nutrient

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

const inventedSet = `{"id": "invented", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"},
	"keys": [{"name": "species", "label": "Animal", "values": ["cows", "hens"]}, {"name": "dryMatter", "label": "Dry matter"}],
	"rows": [
		{"pool": "organic", "year": 1, "basis": "original", "value": 0.3, "when": {"species": ["cows"], "dryMatter": {"below": "18 %"}}},
		{"pool": "organic", "year": 1, "basis": "original", "value": 0.2, "when": {"species": ["cows"], "dryMatter": {"from": "18 %"}}},
		{"pool": "organic", "year": 1, "basis": "original", "low": 0.4, "high": 0.6, "when": {"species": ["hens"]}},
		{"pool": "ammonium", "year": 1, "basis": "original", "value": 0.5}
	]}`

func TestPublishedSetsLoad(t *testing.T) {
	for _, id := range PublishedSetIDs() {
		s, err := PublishedSet(id)
		require.NoError(t, err, id)
		require.Equal(t, id, s.ID())
		require.NotEmpty(t, s.Source().Title)
		require.NotEmpty(t, s.Jurisdiction())
		for _, k := range s.Keys() {
			require.NotEmpty(t, k.Label)
		}
	}
	_, err := PublishedSet("atlantis")
	require.Equal(t, []string{"set"}, fields(err))
}

func TestLoaderListsEveryFault(t *testing.T) {
	for name, c := range map[string]struct {
		old, new string
		want     []string
	}{
		"gap below the class":   {`{"below": "18 %"}`, `{"below": "17 %"}`, []string{"rows", "rows"}},
		"gap at the end itself": {`{"from": "18 %"}`, `{"over": "18 %"}`, []string{"rows"}},
		"overlap at the end":    {`{"below": "18 %"}`, `{"to": "18 %"}`, []string{"rows[1]"}},
		"overlap of choices":    {`["hens"]`, `["hens", "cows"], "dryMatter": {"from": "0 %"}`, []string{"rows[2]", "rows[2]"}},
		"fraction outside":      {`"value": 0.3`, `"value": -0.3`, []string{"rows[0].value"}},
		"low above high":        {`"low": 0.4`, `"low": 0.7`, []string{"rows[2].low"}},
		"no source":             {`"source": {"title": "T", "edition": "1", "number": "1"}`, `"source": {}`, []string{"source.title", "source.edition", "source.publisher"}},
		"unknown choice":        {`["hens"]`, `["geese"]`, []string{"rows[2].when.species[0]"}},
		"choice not used":       {`"values": ["cows", "hens"]`, `"values": ["cows", "hens", "geese"]`, []string{"keys[0].values[2]", "rows", "rows", "rows"}},
		"key not declared":      {`{"pool": "ammonium", "year": 1, "basis": "original", "value": 0.5}`, `{"pool": "ammonium", "year": 1, "basis": "original", "value": 0.5, "when": {"method": ["x"]}}`, []string{"rows[3].when.method"}},
		"key not used":          {`"keys": [`, `"keys": [{"name": "weather", "label": "W", "values": ["wet"]}, `, []string{"keys[0]"}},
		"quantity with values":  {`"label": "Dry matter"`, `"label": "Dry matter", "values": ["wet"]`, []string{"keys[1].values"}},
		"shares above 1":        {`"value": 0.5}`, `"value": 0.5}, {"pool": "ammonium", "year": 2, "basis": "original", "value": 0.6}`, []string{"rows"}},
		"year left out":         {`"value": 0.5}`, `"value": 0.5}, {"pool": "ammonium", "year": 3, "basis": "original", "value": 0.1}`, []string{"rows"}},
		"same row twice":        {`"value": 0.5}`, `"value": 0.5}, {"pool": "ammonium", "year": 1, "basis": "original", "value": 0.4}`, []string{"rows[4]"}},
		"total beside organic":  {`"value": 0.5}`, `"value": 0.5}, {"pool": "totalN", "year": 1, "basis": "total", "value": 0.4}`, []string{"rows"}},
		"basis of another pool": {`"pool": "ammonium", "year": 1, "basis": "original"`, `"pool": "p", "year": 1, "basis": "total"`, []string{"rows[3].basis"}},
		"unknown base":          {`"id": "invented"`, `"id": "invented", "base": "nowhere"`, []string{"base"}},
		"end above the whole":   {`{"from": "18 %"}`, `{"from": "18 %", "to": "180 %"}`, []string{"rows[1].when.dryMatter"}},
		"two ends":              {`{"below": "18 %"}`, `{"below": "18 %", "to": "17 %"}`, []string{"rows[0].when.dryMatter"}},
		"several at once":       {`"value": 0.3`, `"value": "a lot", "colour": "red"`, []string{"rows[0].value", "rows[0].colour"}},
	} {
		text := strings.Replace(inventedSet, c.old, c.new, 1)
		require.NotEqual(t, inventedSet, text, name)
		_, err := ParseSet([]byte(text))
		require.Equal(t, c.want, fields(err), "%s: %v", name, err)
	}
	_, err := ParseSet([]byte(strings.NewReplacer(`"id": "invented"`, `"id": "In Vented"`, `"value": 0.2`, `"value": 2`, `"value": 0.5`, `"value": "a lot"`).Replace(inventedSet)))
	require.Equal(t, []string{"rows[3].value", "id", "rows[1].value"}, fields(err), "what does not read and what is not allowed: %v", err)
	_, err = ParseSet([]byte(`{`))
	require.Error(t, err)
	_, err = NewSet(SetSpec{})
	require.Equal(t, []string{"id", "jurisdiction", "source.title", "source.edition", "source.publisher", "rows"}, fields(err))
}

func TestTooManyClassesAreRefused(t *testing.T) {
	var spec SetSpec
	require.NoError(t, strict.Decode([]byte(inventedSet), &spec))
	spec.Keys, spec.Rows = nil, nil
	value := 0.01
	values := []string{}
	for i := range maxValues {
		values = append(values, fmt.Sprint("v", i))
	}
	row := Row{Pool: PoolOrganic, Year: 1, Basis: BasisOriginal, Value: &value}
	for _, name := range []KeyName{KeySpecies, KeyBedding, KeyMethod, KeyWeather, KeySeason, KeyCover} {
		spec.Keys = append(spec.Keys, Key{Name: name, Label: "x", Values: values})
	}
	row.When = Selector{Species: values, Bedding: values, Method: values, Weather: values, Season: values, Cover: values}
	spec.Rows = []Row{row}
	_, err := NewSet(spec)
	require.Contains(t, fields(err), "keys")
}

func TestMostSpecificRowAnswers(t *testing.T) {
	s, err := ParseSet([]byte(strings.Replace(inventedSet, `"value": 0.5}`, `"value": 0.5}, {"pool": "ammonium", "year": 1, "basis": "original", "value": 0.7, "when": {"species": ["hens"]}}`, 1)))
	require.NoError(t, err)
	f, err := s.Factor(PoolAmmonium, 1, Query{Species: "Hens"})
	require.NoError(t, err)
	require.Equal(t, units.Point(0.7), f.Fraction)
	f, err = s.Factor(PoolAmmonium, 1, Query{Species: "cows"})
	require.NoError(t, err)
	require.Equal(t, units.Point(0.5), f.Fraction)
	_, err = s.Factor(PoolAmmonium, 1, Query{})
	require.Equal(t, []string{"species"}, fields(err), "hens would have another answer")
	f, err = s.Factor(PoolOrganic, 1, Query{Species: "hens"})
	require.NoError(t, err, "dry matter decides for cows only")
	require.Equal(t, units.Range[float64]{Low: 0.4, High: 0.6}, f.Fraction)
}

func TestQueryFaultsNameTheKey(t *testing.T) {
	alberta := publishedSet(t, "alberta-2006")
	for name, c := range map[string]struct {
		pool Pool
		year int
		q    Query
		want []string
	}{
		"nothing said":        {PoolAmmonium, 1, Query{}, []string{"method"}},
		"surface":             {PoolAmmonium, 1, Query{Method: "surface"}, []string{"incorporation"}},
		"within a day":        {PoolAmmonium, 1, Query{Method: "surface", Incorporation: IncorporatedAfter(units.Day)}, []string{"weather"}},
		"never":               {PoolAmmonium, 1, Query{Method: "surface", Incorporation: NeverIncorporated()}, []string{"form"}},
		"never, liquid":       {PoolAmmonium, 1, Query{Method: "surface", Incorporation: NeverIncorporated(), Form: Liquid, Weather: "average"}, []string{"cover"}},
		"cover crop":          {PoolAmmonium, 1, Query{Method: "surface", Incorporation: NeverIncorporated(), Form: Liquid, Weather: "average", Cover: "cover crop"}, []string{"form"}},
		"a week":              {PoolAmmonium, 1, Query{Method: "surface", Incorporation: IncorporatedAfter(7 * units.Day), Weather: "average"}, []string{"method"}},
		"unknown values":      {PoolAmmonium, 1, Query{Method: "by hand", Weather: "snow"}, []string{"method", "weather"}},
		"negative time":       {PoolAmmonium, 1, Query{Incorporation: IncorporatedAfter(-1)}, []string{"incorporation"}},
		"year without row":    {PoolK, 2, Query{}, []string{"year"}},
		"pool without row":    {PoolTotalN, 1, Query{}, []string{"pool"}},
		"no such pool":        {99, 1, Query{}, []string{"pool"}},
		"compost not decided": {PoolOrganic, 3, Query{}, []string{"compost"}},
	} {
		_, err := alberta.Factor(c.pool, c.year, c.q)
		require.Equal(t, c.want, fields(err), "%s: %v", name, err)
	}
	_, err := publishedSet(t, "new-york-organic").Factor(PoolOrganic, 1, Query{Species: "cows", DryMatter: 2})
	require.Equal(t, []string{"dryMatter"}, fields(err))
	_, err = publishedSet(t, "nebraska-2021").Factor(PoolAmmonium, 1, Query{Method: "sprinkler", Irrigation: -1})
	require.Equal(t, []string{"irrigation"}, fields(err))
}

func TestPartialSetsRefuse(t *testing.T) {
	for id, q := range map[string]Query{
		"minnesota":           {Species: "poultry", Method: "injected with sweeps"},
		"new-york-organic":    {Species: "cows", DryMatter: 0.06},
		"epa-digested-sludge": {Method: "left on the surface"},
		"nebraska-2021":       {Species: "most manures", Method: "not by sprinkler"},
		"illinois-560":        {Method: "other"},
		"ontario-2013":        {Season: "other"},
	} {
		s := publishedSet(t, id)
		require.NotEmpty(t, s.Lacks(), id)
		_, err := Available(AvailableSpec{Set: s, Query: q, Years: 1, Analysis: analyze(t, AnalyzeSpec{Form: Liquid, TKN: perGallons(20), AmmoniumN: perGallons(10)})})
		require.ErrorContains(t, err, "no figure for", id)
	}
}

func TestBaseIsOverridden(t *testing.T) {
	ohio, epa := publishedSet(t, "ohio-digested-sludge"), publishedSet(t, "epa-digested-sludge")
	for year, want := range map[int][2]float64{1: {0.30, 0.20}, 2: {0.10, 0.10}, 10: {0.03, 0.03}} {
		o, err := ohio.Factor(PoolOrganic, year, Query{})
		require.NoError(t, err)
		e, err := epa.Factor(PoolOrganic, year, Query{})
		require.NoError(t, err)
		require.Equal(t, want, [2]float64{o.Fraction.Low, e.Fraction.Low}, "year %d", year)
	}
	o, err := ohio.Factor(PoolOrganic, 1, Query{})
	require.NoError(t, err)
	require.Contains(t, o.Source.Publisher, "Ohio")
	o, err = ohio.Factor(PoolOrganic, 2, Query{})
	require.NoError(t, err)
	require.Equal(t, epa.Source(), o.Source, "a row keeps the source of its own set")
	require.Equal(t, epa.Keys(), ohio.Keys())
}

func TestOwnSetOnABase(t *testing.T) {
	base, err := ParseSet([]byte(inventedSet))
	require.NoError(t, err)
	// The choices stand in another order, and hens get another figure.
	text := `{"id": "own", "jurisdiction": "Lemuria", "source": {"title": "U", "edition": "2", "number": "2"}, "base": "invented",
		"keys": [{"name": "species", "label": "Animal", "values": ["hens", "cows"]}],
		"rows": [{"pool": "organic", "year": 1, "basis": "original", "value": 0.55, "when": {"species": ["hens"]}}]}`
	s, err := ParseSet([]byte(text), nil, base)
	require.NoError(t, err)
	for species, want := range map[string]float64{"hens": 0.55, "cows": 0.3} {
		f, err := s.Factor(PoolOrganic, 1, Query{Species: species, DryMatter: 0.1})
		require.NoError(t, err)
		require.Equal(t, units.Point(want), f.Fraction, species)
	}
	require.Len(t, s.Keys(), 2, "dry matter comes from the base")
	_, err = ParseSet([]byte(strings.Replace(text, `{"species": ["hens"]}`, `{"dryMatter": {"from": "18 %"}}`, 1)), base)
	require.Contains(t, fields(err), "base.rows[2]", "a tie with a row of the base: %v", err)
}

func TestDryMatterEndsAtTheWhole(t *testing.T) {
	_, err := ParseSet([]byte(strings.Replace(inventedSet, `{"from": "18 %"}`, `{"from": "18 %", "to": "100 %"}`, 1)))
	require.NoError(t, err, "nothing is above 100 %%")
}

// A state names keys of its own, with choices or with numbers in a unit of its own:
// they are declared, proven and asked for like the others.
func TestKeysOfASetsOwn(t *testing.T) {
	const text = `{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"},
		"keys": [{"name": "soil", "label": "Soil", "values": ["sandy", "heavy"]}, {"name": "slope", "label": "Slope", "unit": "per mille"}],
		"rows": [
			{"pool": "totalN", "year": 1, "basis": "total", "value": 0.3, "when": {"own": {"soil": {"values": ["sandy"]}}}},
			{"pool": "totalN", "year": 1, "basis": "total", "value": 0.2, "when": {"own": {"soil": {"values": ["heavy"]}, "slope": {"to": 40}}}},
			{"pool": "totalN", "year": 1, "basis": "total", "value": 0.1, "when": {"own": {"soil": {"values": ["heavy"]}, "slope": {"over": 40}}}}]}`
	s, err := ParseSet([]byte(text))
	require.NoError(t, err)
	require.Equal(t, "own.slope", s.Keys()[1].Name.Path())
	require.Equal(t, "a number with the unit of the set, such as 12 per mille", s.Keys()[1].Hint())
	own := func(pairs ...string) Query {
		q := Query{Own: map[KeyName]string{}}
		for i := 0; i < len(pairs); i += 2 {
			q.Own[KeyName(pairs[i])] = pairs[i+1]
		}
		return q
	}
	for _, c := range []struct {
		q    Query
		want float64
	}{{own("soil", "sandy"), 0.3}, {own("soil", "Heavy", "slope", "40 per mille"), 0.2}, {own("soil", "heavy", "slope", "41per mille"), 0.1}, {own("soil", "heavy", "slope", "0 per mille"), 0.2}} {
		var q Query
		text, err := json.Marshal(c.q)
		require.NoError(t, err)
		require.NoError(t, strict.Decode(text, &q))
		f, err := s.Factor(PoolTotalN, 1, q)
		require.NoError(t, err)
		require.Equal(t, units.Point(c.want), f.Fraction)
	}
	for name, c := range map[string]struct {
		q    Query
		want []string
	}{
		"nothing":      {Query{}, []string{"own.soil"}},
		"no slope":     {own("soil", "heavy"), []string{"own.slope"}},
		"no unit":      {own("soil", "heavy", "slope", "4"), []string{"own.slope"}},
		"no choice":    {own("soil", "clay"), []string{"own.soil"}},
		"misspelt":     {own("soyl", "sandy", "soil", "sandy"), []string{"own.soyl"}},
		"field of own": {own("species", "beef", "soil", "sandy"), []string{"own.species"}},
	} {
		_, err := s.Factor(PoolTotalN, 1, c.q)
		require.Len(t, fields(err), len(c.want), "%s: %v", name, err)
		for _, field := range c.want {
			require.True(t, slices.Contains(fields(err), field) || name == "field of own", "%s: %v", name, err)
		}
	}
	for name, c := range map[string]struct{ old, new, want string }{
		"gap":              {`{"to": 40}`, `{"to": 39}`, "rows"},
		"tie":              {`{"over": 40}`, `{"from": 40}`, "rows[2]"},
		"not declared":     {`"when": {"own": {"soil": {"values": ["sandy"]}}}`, `"when": {"own": {"rain": {"values": ["sandy"]}}}`, "rows[0].when.own.rain"},
		"known key as own": {`"when": {"own": {"soil": {"values": ["sandy"]}}}`, `"when": {"own": {"species": {"values": ["sandy"]}}}`, "rows[0].when.species"},
		"number of choice": {`"slope": {"to": 40}`, `"slope": {"values": ["40"]}`, "rows[1].when.own.slope.values"},
		"choice of number": {`"own": {"soil": {"values": ["sandy"]}}`, `"own": {"soil": {"to": 4}}`, "rows[0].when.own.soil"},
		"unit and values":  {`"label": "Slope", `, `"label": "Slope", "values": ["x"], `, "keys[1].values"},
		"no name":          {`"name": "soil"`, `"name": "the soil"`, "keys[0].name"},
	} {
		_, err := ParseSet([]byte(strings.Replace(text, c.old, c.new, 1)))
		require.Contains(t, fields(err), c.want, "%s: %v", name, err)
	}
}

// Classes that end at 0 are cells like the others: ties, gaps and shares above 1
// are found there too.
func TestClassesThatEndAtZeroAreProven(t *testing.T) {
	const frame = `{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"}, "keys": [{"name": "%s", "label": "K"}], "rows": [%s]}`
	row := func(year int, value float64, when string) string {
		return fmt.Sprintf(`{"pool": "ammonium", "year": %d, "basis": "original", "value": %g, "when": %s}`, year, value, when)
	}
	over, from := `{"irrigation": {"over": "0 in"}}`, `{"dryMatter": {"from": "0 %"}}`
	at, never := `{"incorporation": {"to": "0 h"}}`, `{"incorporation": {"never": true}}`
	for name, c := range map[string]struct {
		key  string
		rows []string
		want []string
	}{
		"over 0, sound":          {"irrigation", []string{row(1, 0.5, over)}, nil},
		"over 0, tie":            {"irrigation", []string{row(1, 0.5, over), row(1, 0.4, over)}, []string{"rows[1]"}},
		"over 0, above 1":        {"irrigation", []string{row(1, 0.8, over), row(2, 0.3, over)}, []string{"rows"}},
		"from 0, tie":            {"dryMatter", []string{row(1, 0.5, from), row(1, 0.4, from)}, []string{"rows[1]"}},
		"from 0, above 1":        {"dryMatter", []string{row(1, 0.8, from), row(2, 0.3, from)}, []string{"rows"}},
		"to 0 and never, gap":    {"incorporation", []string{row(1, 0.5, at), row(1, 0.1, never)}, []string{"rows"}},
		"to 0, over 0 and never": {"incorporation", []string{row(1, 0.5, at), row(1, 0.3, `{"incorporation": {"over": "0 h"}}`), row(1, 0.1, never)}, nil},
		"no query is at 0":       {"irrigation", []string{row(1, 0.5, over), row(1, 0.4, `{"irrigation": {"to": "0 in"}}`)}, []string{"rows[1].when.irrigation"}},
		"end at the whole":       {"dryMatter", []string{row(1, 0.5, `{"dryMatter": {"below": "100 %"}}`)}, []string{"rows"}},
	} {
		_, err := ParseSet(fmt.Appendf(nil, frame, c.key, strings.Join(c.rows, ",")))
		require.Equal(t, c.want, fields(err), "%s: %v", name, err)
	}
}

// Published ranges are consistent when their low ends add up to 1 or less. High
// ends above 1 are a remark, and no result counts more than all.
func TestRangesAboveOneByTheirHighEnds(t *testing.T) {
	s := setOf(t, between(PoolOrganic, 1, BasisOriginal, 0.8, 1), between(PoolOrganic, 2, BasisOriginal, 0.1, 0.2), point(PoolAmmonium, 1, BasisOriginal, 1))
	require.Len(t, s.Remarks(), 1)
	require.Contains(t, s.Remarks()[0], "1.2")
	a := analyze(t, AnalyzeSpec{Form: Liquid, TotalN: perGallons(10), AmmoniumN: perGallons(0)})
	r, err := Available(AvailableSpec{Analysis: a, Set: s, Years: 3})
	require.NoError(t, err)
	require.InDeltaMapValues(t, map[string]float64{"1": 8, "1 high": 9, "2": 1, "2 high": 1}, map[string]float64{
		"1": inPounds(r.Years[0].N)[0], "1 high": inPounds(r.Years[0].N)[1], "2": inPounds(r.Years[1].N)[0], "2 high": inPounds(r.Years[1].N)[1]}, 1e-9)
	require.Contains(t, fmt.Sprint(r.Notes), "more than all")

	_, err = NewSet(SetSpec{ID: "x", Jurisdiction: "Atlantis", Source: Source{Title: "T", Edition: "1", Number: "1"}, Rows: []Row{
		between(PoolOrganic, 1, BasisOriginal, 0.8, 1), between(PoolOrganic, 2, BasisOriginal, 0.3, 0.4)}})
	require.Equal(t, []string{"rows"}, fields(err), "1.1 by the low ends")

	// Half of the total N is more than the organic N holds.
	s = setOf(t, point(PoolOrganic, 1, BasisTotal, 0.5), point(PoolOrganic, 2, BasisTotal, 0.25), point(PoolAmmonium, 1, BasisOriginal, 1))
	a = analyze(t, AnalyzeSpec{Form: Liquid, TotalN: perGallons(10), AmmoniumN: perGallons(4)})
	r, err = Available(AvailableSpec{Analysis: a, Set: s, Years: 2})
	require.NoError(t, err)
	require.InDelta(t, 4+5, inPounds(r.Years[0].N)[1], 1e-9)
	require.InDelta(t, 1, inPounds(r.Years[1].N)[1], 1e-9, "6 of organic N less 5")
}

func TestKeyFaults(t *testing.T) {
	for name, c := range map[string]struct {
		key  Key
		want []string
	}{
		"no name":         {Key{Label: "x"}, []string{"keys[2].name"}},
		"twice":           {Key{Name: KeySpecies, Label: "x", Values: []string{"cows"}}, []string{"keys[2].name"}},
		"no values":       {Key{Name: KeyCover, Label: "x"}, []string{"keys[2].values"}},
		"no label":        {Key{Name: KeyCover, Values: []string{"x"}}, []string{"keys[2].label"}},
		"value twice":     {Key{Name: KeyCover, Label: "x", Values: []string{"x", "X", ""}}, []string{"keys[2].values[1]", "keys[2].values[2]"}},
		"no such form":    {Key{Name: KeyForm, Label: "x", Values: []string{"gas"}}, []string{"keys[2].values[0]"}},
		"too many values": {Key{Name: KeyCover, Label: "x", Values: strings.Fields(strings.Repeat("x ", maxValues+1))[:maxValues+1]}, nil},
	} {
		var spec SetSpec
		require.NoError(t, strict.Decode([]byte(inventedSet), &spec))
		spec.Keys = append(spec.Keys, c.key)
		_, err := NewSet(spec)
		if c.want == nil {
			require.Contains(t, fields(err), "keys[2].values")
			continue
		}
		require.Equal(t, c.want, fields(err), "%s: %v", name, err)
	}
	bad := units.Oxides(99)
	_, err := NewSet(SetSpec{ID: "x", Jurisdiction: "x", Source: Source{Title: "x", Edition: "x", URL: "x"}, Oxides: &bad, Rows: []Row{{}}})
	require.Equal(t, []string{"oxides", "rows[0].pool", "rows[0].year", "rows[0].basis", "rows[0]"}, fields(err))
	require.ErrorContains(t, err, "rows[0].basis: missing; want one of original, remaining, total")
	_, err = NewSet(SetSpec{Rows: make([]Row, maxRows+1)})
	require.Contains(t, fields(err), "rows")
}

func TestKeysMakeAForm(t *testing.T) {
	s := publishedSet(t, "alberta-2006")
	form := map[string]string{}
	for _, k := range s.Keys() {
		if len(k.Values) > 0 {
			form[string(k.Name)] = k.Values[0]
		} else {
			form[string(k.Name)] = "never"
		}
	}
	ask := func() (q Query, err error) {
		text, err := json.Marshal(form)
		require.NoError(t, err)
		err = strict.Decode(text, &q)
		return q, err
	}
	q, err := ask()
	require.NoError(t, err)
	_, err = s.Factor(PoolAmmonium, 1, q)
	require.NoError(t, err)
	text, err := json.Marshal(q)
	require.NoError(t, err)
	var back Query
	require.NoError(t, json.Unmarshal(text, &back))
	require.Equal(t, q, back)
	form["incorporation"], form["colour"] = "soon", "red"
	_, err = ask()
	require.ElementsMatch(t, []string{"colour", "incorporation"}, fields(err))
}

func TestIncorporationText(t *testing.T) {
	var i Incorporation
	require.NoError(t, i.UnmarshalText([]byte(" Never ")))
	require.Equal(t, NeverIncorporated(), i)
	require.NoError(t, i.UnmarshalText([]byte("2 days")))
	require.Equal(t, IncorporatedAfter(2*units.Day), i)
	for _, bad := range []string{"", "-1 h", "12", "later"} {
		require.Error(t, i.UnmarshalText([]byte(bad)), bad)
	}
	_, err := Incorporation{}.MarshalText()
	require.Error(t, err)
	require.Equal(t, "nothing", Incorporation{}.String())
}

func BenchmarkParseSet(b *testing.B) {
	data, err := files.ReadFile("sets/alberta-2006.json")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := ParseSet(data); err != nil {
			b.Fatal(err)
		}
	}
}
