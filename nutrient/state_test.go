package nutrient

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
)

// Each state that comes with the package is proven when it is read: its own examples
// too.
func TestPublishedStates(t *testing.T) {
	for _, id := range PublishedStateIDs() {
		s, err := PublishedState(id)
		if assert.NoError(t, err, id) {
			require.Equal(t, id, s.ID())
		}
	}
}

func answerOf(t *testing.T, s *State, gives string, q Query) Answer {
	t.Helper()
	r, err := s.Answer(gives, q)
	require.NoError(t, err)
	return r
}

func TestMinnesota(t *testing.T) {
	s, err := PublishedState("minnesota")
	require.NoError(t, err)
	beef := Query{"year": "1", "species": "beef", "method": "broadcast", "incorporation": "2 days"}
	require.Equal(t, 45.0, answerOf(t, s, "totalN", beef).Figure.Low)
	for name, c := range map[string]struct {
		change Query
		fields []string
	}{
		"missing":            {Query{"incorporation": ""}, []string{"incorporation"}},
		"no column":          {Query{"incorporation": "never"}, []string{"incorporation"}},
		"does not occur":     {Query{"species": "poultry", "method": "injected with sweeps"}, []string{"species"}},
		"not a unit of time": {Query{"incorporation": "2 ft"}, []string{"incorporation"}},
		"without unit":       {Query{"incorporation": "2"}, []string{"incorporation"}},
		"several":            {Query{"incorporation": "-1 h", "species": "goat", "colour": "brown", "year": "0"}, []string{"colour", "incorporation", "species", "year"}},
	} {
		q := maps.Clone(beef)
		maps.Copy(q, c.change)
		_, err := s.Answer("totalN", q)
		require.Equal(t, c.fields, fields(err), name)
	}
	near := Query{"soilP": "50 ppm", "extractant": "bray p1", "distance": "100 ft", "filterStrip": "no"}
	for loss, want := range map[string]string{"8 ton/acre": "none", "3 ton/acre": ""} {
		near["soilLoss"] = loss
		l, ok, err := s.Limit("allow", AsCap, near)
		require.NoError(t, err)
		require.True(t, ok)
		require.Equal(t, want, l.Word, loss)
	}
	_, _, err = s.Limit("allow", AsCap, Query{"soilP": "44 lb/acre", "extractant": "bray p1", "distance": "30 m"})
	require.Equal(t, []string{"filterStrip", "soilLoss"}, fields(err))
}

const inventedState = `{"id": "invented", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"},
	"keys": [{"name": "species", "label": "Animal", "values": ["cows", "hens"]}, {"name": "dryMatter", "label": "Dry matter", "unit": "%"}],
	"tables": [
		{"place": "1", "gives": "organic", "of": "original", "unit": "%", "when": {"year": 1}, "by": ["species", "dryMatter"], "rows": [
			["cows", "below 18 %", 30],
			["cows", "from 18 %", 20],
			["hens", "", "40-60"]]},
		{"place": "2", "gives": "ammonium", "of": "original", "unit": "%", "by": ["year"], "rows": [[1, 50]]}]}`

// Every fault is told, with its path, line and column.
func TestLoaderListsEveryFault(t *testing.T) {
	for name, c := range map[string]struct {
		old, new string
		want     []string
	}{
		"gap below the class":   {`"below 18 %"`, `"below 17 %"`, []string{"tables[0]", "tables[0]"}},
		"gap at the end itself": {`"from 18 %"`, `"over 18 %"`, []string{"tables[0]"}},
		"overlap at the end":    {`"below 18 %"`, `"to 18 %"`, []string{"tables[0].rows[1][2]"}},
		"overlap of choices":    {`["hens", "", "40-60"]`, `["cows; hens", "", "40-60"]`, []string{"tables[0].rows[2][2]", "tables[0].rows[2][2]"}},
		"share above all":       {`"below 18 %", 30`, `"below 18 %", 130`, []string{"tables[0].rows[0][2]"}},
		"negative":              {`"below 18 %", 30`, `"below 18 %", -30`, []string{"tables[0].rows[0][2]"}},
		"low above high":        {`"40-60"`, `"70-60"`, []string{"tables[0].rows[2][2]"}},
		"no source":             {`"source": {"title": "T", "edition": "1", "number": "1"}`, `"source": {}`, []string{"source.title", "source.edition", "source.publisher"}},
		"unknown choice":        {`["hens"`, `["geese"`, []string{"tables[0].rows[2][0]"}},
		"choice without a line": {`"values": ["cows", "hens"]`, `"values": ["cows", "hens", "geese"]`, []string{"tables[0]"}},
		"key not declared":      {`"by": ["year"]`, `"by": ["method"]`, []string{"tables[1].by[0]"}},
		"key not used":          {`"keys": [`, `"keys": [{"name": "weather", "label": "W", "values": ["wet"]}, `, []string{"keys[0]"}},
		"quantity with values":  {`"label": "Dry matter"`, `"label": "Dry matter", "values": ["wet"]`, []string{"keys[1]"}},
		"shares above 1":        {`[[1, 50]]`, `[[1, 50], [2, 60]]`, []string{"tables"}},
		"year left out":         {`[[1, 50]]`, `[[1, 50], [3, 10]]`, []string{"tables[1]"}},
		"no year":               {`"by": ["year"], "rows": [[1, 50]]`, `"rows": [[50]]`, []string{"tables[1].rows[0][0]"}},
		"same line twice":       {`[[1, 50]]`, `[[1, 50], [1, 40]]`, []string{"tables[1].rows[1][1]"}},
		"total beside organic":  {`"gives": "ammonium", "of": "original"`, `"gives": "totalN", "of": "total"`, []string{"tables"}},
		"basis of another pool": {`"gives": "ammonium", "of": "original"`, `"gives": "p", "of": "total"`, []string{"tables[1].of"}},
		"no basis":              {`"gives": "ammonium", "of": "original"`, `"gives": "ammonium"`, []string{"tables[1].of"}},
		"another unit":          {`"gives": "ammonium", "of": "original", "unit": "%"`, `"gives": "ammonium", "of": "original", "unit": "ft"`, []string{"tables[1].unit"}},
		"unknown base":          {`"id": "invented"`, `"id": "invented", "base": "nowhere"`, []string{"base"}},
		"end above the whole":   {`"from 18 %"`, `"from 18 % to 180 %"`, []string{"tables[0].rows[1][1]"}},
		"empty class":           {`"from 18 %"`, `"over 18 % to 18 %"`, []string{"tables[0].rows[1][1]"}},
		"a cell too many":       {`"from 18 %", 20`, `"from 18 %", 20, 30`, []string{"tables[0].rows[1]"}},
		"no place":              {`"place": "2", `, ``, []string{"tables[1].place"}},
		"no footnote":           {`[[1, 50]]`, `[[1, "50a"]]`, []string{"tables[1].rows[0][1]"}},
		"brackets unsaid":       {`[[1, 50]]`, `[[1, "50 [60]"]]`, []string{"tables[1].rows[0][1]"}},
		"several at once":       {`"place": "2"`, `"place": 2, "colour": "red"`, []string{"tables[1].place", "tables[1].colour"}},
		"example comes out":     {`"keys": [`, `"checks": [{"place": "p. 1", "gives": "organic", "ask": {"year": 1, "species": "cows", "dryMatter": "6 %"}, "times": 10, "want": 3.1, "tolerance": 0.05}], "keys": [`, []string{"checks[0].want"}},
		"example asks wrongly":  {`"keys": [`, `"checks": [{"place": "p. 1", "gives": "organic", "ask": {"year": 1, "species": "cats", "dryMatter": "6 %"}, "want": 3}], "keys": [`, []string{"checks[0].ask.species"}},
		"unread and unanswered": {`["hens", "", "40-60"]`, `["hens", "", "?"], ["cows", "5 %", "n/a"]`, []string{"tables[0].rows[3][2]"}},
	} {
		text := strings.Replace(inventedState, c.old, c.new, 1)
		require.NotEqual(t, inventedState, text, name)
		_, err := ParseState([]byte(text))
		require.Equal(t, c.want, fields(err), "%s: %v", name, err)
		for _, e := range units.FieldErrors(err) {
			require.Positive(t, e.Line, "%s: %v", name, e)
		}
	}
	_, err := ParseState([]byte(`{`))
	require.Error(t, err)
	_, err = NewState(StateSpec{})
	require.Equal(t, []string{"id", "jurisdiction", "source.title", "source.edition", "source.publisher", "tables"}, fields(err))
}

// The worked examples of the sources stand on the page of outside checks, too; the
// loader has worked them out when a state is read.
func TestStatesProveThemselves(t *testing.T) {
	var checks []evidence.Check
	for _, id := range PublishedStateIDs() {
		s := publishedState(t, id)
		for _, c := range s.Checks() {
			source := s.Source()
			if c.Source != "" {
				source = s.spec.Sources[c.Source]
			}
			add := func(what string, x workedCheck, printed Cell, tolerance float64) {
				got, unit := x.figure().Low, x.answer.Unit
				if x.answer.Word != "" { // a class that is a number
					class, ok := figureOf(x.answer.Word)
					require.True(t, ok, c.Place)
					got, unit = class.Low, "index"
				}
				if x.given {
					unit = "of the example"
				}
				want, ok := figureOf(string(printed))
				require.True(t, ok, c.Place)
				checks = append(checks, evidence.Check{Quantity: s.Jurisdiction() + ": " + what + ", " + c.Place, Got: got, Want: want.Low, Tol: max(tolerance, 1e-9*want.Low), Unit: unit, Source: source.String(), Kind: evidence.Published})
			}
			if c.Parts == nil {
				x, _, err := s.workOut(c.part())
				require.NoError(t, err)
				add(c.Gives, x, c.Want, c.Tolerance)
			}
			sum := workedCheck{times: 1}
			for i, p := range c.Parts {
				p = c.with(p)
				x, _, err := s.workOut(p)
				require.NoError(t, err)
				if c.Want != "" {
					sum.add(&units.Faults{}, x, p.Less)
				}
				if p.Want != "" {
					add(fmt.Sprintf("%s of part %d", p.Gives, i+1), x, p.Want, p.Tolerance)
				}
			}
			if c.Parts != nil && c.Want != "" {
				add("the sum", sum, c.Want, c.Tolerance)
			}
		}
	}
	// Closed periods, day by day with both ends, in a year of 365 days.
	closed := func(id string, q Query) (days float64) {
		s := publishedState(t, id)
		for day := time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC); day.Year() == 2027; day = day.AddDate(0, 0, 1) {
			q["day"] = day.Format(time.DateOnly)
			bans, err := s.Bans(q)
			require.NoError(t, err)
			if len(bans) > 0 {
				days++
			}
		}
		return days
	}
	const vermont = "Vermont: days of the closed period, printed 106"
	checks = append(checks,
		evidence.Check{Quantity: "Manitoba: days of the closed period, printed about 150", Got: closed("manitoba", Query{"flooded": "no"}), Want: 150, Tol: 5, Unit: "d", Source: publishedState(t, "manitoba").spec.Sources["seasons"].String(), Kind: evidence.Published},
		evidence.Check{Quantity: vermont, Got: closed("vermont", Query{"flooded": "no", "ground": "open"}), Want: 106, Tol: 0.5, Unit: "d", Source: publishedState(t, "vermont").Source().String(), Kind: evidence.Slip})
	uk := publishedState(t, "united-kingdom")
	slurry := answerOf(t, uk, "totalN", Query{"year": "1", "material": "cattle slurry", "method": "surface", "dryMatter": "6 %", "season": "spring"})
	checks = append(checks, evidence.Check{Quantity: "United Kingdom: N of 30 m3 of cattle slurry in spring, printed 23", Got: 78 * slurry.Figure.Low / 100, Want: 23, Tol: 0.5, Unit: "kg/ha", Source: uk.Source().String() + ", Example 3.1, p. 9; Example 2.2 and Table 2.9 have 27", Kind: evidence.Slip})
	evidence.Run(t, "nutrient", evidence.Rights(checks, map[string][2]float64{
		"United Kingdom: N of 30 m3 of cattle slurry in spring, printed 23": {27.3, evidence.Exact},
		vermont: {108, evidence.Exact}, // 15 December to 1 April
	}))
}

// Chains: soil test to class to amount, with the yield over its standard and the straw.
func TestUnitedKingdomChains(t *testing.T) {
	uk := publishedState(t, "united-kingdom")
	q := Query{"crop": "winter wheat", "straw": "removed", "yield": "8 t/ha", "soilP": "12 mg/L", "soilK": "150 mg/L"}
	require.Equal(t, 85.0, answerOf(t, uk, "p2o5", q).Figure.Low)
	require.Equal(t, 85.0, answerOf(t, uk, "k2o", q).Figure.Low)
	q["yield"] = "10 t/ha" // 2 t/ha more, at 7.0 and 10.5 kg/t
	require.InDelta(t, 85+14, answerOf(t, uk, "p2o5", q).Figure.Low, 1e-9)
	r := answerOf(t, uk, "k2o", q)
	require.InDelta(t, 85+21, r.Figure.Low, 1e-9)
	var places []string
	for _, s := range r.Steps {
		places = append(places, s.Place)
	}
	require.Equal(t, []string{"Table 4.11, p. 17", "Tables 4.13 and 4.14, p. 22", "Table 4.12, p. 18"}, places, "each printed figure on the way")
	q["soilP"] = "9.5 mg/L" // half up
	require.Equal(t, "1", answerOf(t, uk, "pIndex", Query{"soilP": "9.5 mg/L"}).Word)
	require.Equal(t, "0", answerOf(t, uk, "pIndex", Query{"soilP": "9.4 mg/L"}).Word)
	q["soilP"] = "30 mg/L"
	require.Zero(t, answerOf(t, uk, "p2o5", q).Figure.High, "an index that asks for none asks for none at any yield")
	_, err := uk.Answer("p2o5", Query{"crop": "winter wheat", "straw": "removed", "yield": "8 t/ha"})
	require.Equal(t, []string{"soilP"}, fields(err))

	wheat := Query{"crop": "winter wheat", "yield": "9 t/ha", "soil": "medium", "snsBy": "the crop before", "previousCrop": "oilseed rape", "rain": "600 to 700 mm"}
	require.Equal(t, 190+20.0, answerOf(t, uk, "n", wheat).Figure.Low)
	wheat["yield"] = "20 t/ha"
	require.Equal(t, 190+100.0, answerOf(t, uk, "n", wheat).Figure.Low, "no more than 13 t/ha count")

	// Between 2 and 6 % of dry matter a line; outside none.
	slurry := Query{"year": "1", "material": "cattle slurry", "method": "surface", "dryMatter": "4 %", "season": "spring"}
	require.InDelta(t, 40, answerOf(t, uk, "totalN", slurry).Figure.Low, 1e-9)
	slurry["dryMatter"] = "12 %"
	_, err = uk.Answer("totalN", slurry)
	require.Equal(t, []string{"dryMatter"}, fields(err))
	// Brackets.
	for crop, want := range map[string]float64{"grass or winter oilseed rape": 35, "other": 30} {
		require.Equal(t, want, answerOf(t, uk, "totalN", Query{"year": "1", "material": "cattle slurry", "method": "surface", "dryMatter": "2 %", "season": "autumn", "soil": "deep clay", "nextCrop": crop}).Figure.Low)
	}
}

func TestEnglandStandsOnTheUnitedKingdom(t *testing.T) {
	england := publishedState(t, "england")
	require.Equal(t, 35.0, answerOf(t, england, "totalN", Query{"year": "1", "material": "cattle slurry", "method": "surface", "dryMatter": "6 %", "season": "spring"}).Figure.Low)
	for day, want := range map[string]int{"31 Aug": 0, "1 Sep": 1, "31 Dec": 1, "1 Jan": 0, "2026-10-15": 1} {
		bans, err := england.Bans(Query{"what": "slurry", "readilyAvailable": "60 %", "land": "grass", "soil": "shallow", "day": day, "ground": "fit"})
		require.NoError(t, err)
		require.Len(t, bans, want, day)
	}
	most, ok, err := england.Limit("materialApplied", AsCap, Query{"what": "slurry", "readilyAvailable": "60 %", "land": "grass", "soil": "medium", "day": "10 Feb"})
	require.NoError(t, err)
	require.True(t, ok)
	require.Equal(t, 30.0, most.Figure.Low)
	nMax := answerOf(t, england, "nMax", Query{"averageCrop": "autumn or early winter wheat", "strawManure": "yes", "shallowSoil": "yes", "milling": "no", "cuts": "no", "yield": "7 t/ha"})
	require.Equal(t, 220+80+20.0, nMax.Figure.Low, "a yield below the standard takes nothing off")
	rape := answerOf(t, england, "nMax", Query{"averageCrop": "winter oilseed rape", "strawManure": "no", "yield": "4.5 t/ha"})
	require.Equal(t, 250+2*30.0, rape.Figure.Low, "30 kg/ha for each half t")
}

// What multiplies has to have a line within its own conditions, and low goes with low.
func TestTablesThatMultiply(t *testing.T) {
	const text = `{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"},
		"keys": [{"name": "method", "label": "M", "values": ["a", "b"]}],
		"tables": [
			{"place": "1", "gives": "totalN", "of": "total", "unit": "%", "by": ["year"], "rows": [[1, "30-40"], [2, 10]]},
			{"place": "2", "gives": "totalN", "unit": "%", "as": "times", "when": {"year": 1}, "by": ["method"], "rows": [["a", "90-95"], ["b", "70-80"]]}]}`
	s, err := ParseState([]byte(text))
	require.NoError(t, err)
	require.Equal(t, units.Range[float64]{Low: 21, High: 32}, answerOf(t, s, "totalN", Query{"year": "1", "method": "b"}).Figure)
	require.Equal(t, 10.0, answerOf(t, s, "totalN", Query{"year": "2"}).Figure.Low)
	require.Equal(t, units.Range[float64]{Low: 0.21, High: 0.32}, shareOf(t, s, PoolTotalN, 1, Query{"method": "b"}))
	_, err = s.Answer("totalN", Query{"year": "1"})
	require.Equal(t, []string{"method"}, fields(err))
	_, err = ParseState([]byte(strings.Replace(text, `, ["b", "70-80"]`, ``, 1)))
	require.Equal(t, []string{"tables[1]"}, fields(err), "never times 1")
}

func TestStateAsks(t *testing.T) {
	uk := publishedState(t, "united-kingdom")
	require.Equal(t, []string{"crop", "straw", "yield", "soilP", "pIndex"}, uk.Asks("p2o5"))
	require.Equal(t, []string{"soilP"}, uk.Asks("pIndex"))
	require.Empty(t, uk.Asks("p2o5", AsCap))
	require.True(t, uk.Has("p2o5", AsValue) && !uk.Has("p2o5", AsCap) && uk.Has("p2o5"))
	require.Equal(t, "Soil", uk.Translate("Soil"))
}

// The schema of the queries names each key with its choices.
func TestStateSchema(t *testing.T) {
	var schema struct {
		Properties map[string]struct {
			Title string   `json:"title"`
			Enum  []string `json:"enum"`
		} `json:"properties"`
	}
	require.NoError(t, json.Unmarshal(publishedState(t, "minnesota").Schema(), &schema))
	require.Equal(t, "Animal", schema.Properties["species"].Title)
	require.Equal(t, []string{"beef", "dairy", "swine", "poultry"}, schema.Properties["species"].Enum)
	require.Contains(t, schema.Properties, "year")
	own, err := ruled(`{"name": "crop", "label": "Crop", "hint": "of the year", "values": ["corn"]}, {"name": "soil", "label": "Soil", "values": ["clay"]}, {"name": "time", "label": "Time", "unit": "h"}, {"name": "rate", "label": "Rate", "hint": "as weighed", "unit": "1"}`,
		`{"place": "1", "gives": "lime", "as": "plus", "unit": "t", "by": ["crop", "soil", "time", "rate"], "rows": [["corn", "clay", "to 5", "to 6", 1]]}`)
	require.NoError(t, err)
	require.JSONEq(t, `{"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "Atlantis", "type": "object", "additionalProperties": false, "properties": {
		"crop": {"type": "string", "title": "Crop", "description": "of the year", "enum": ["corn"]}, "soil": {"type": "string", "title": "Soil", "enum": ["clay"]}, "time": {"type": "string", "title": "Time", "description": "a number with its unit, such as 12 h"},
		"rate": {"type": "string", "title": "Rate", "description": "as weighed"}, "year": {"type": "string", "title": "year", "description": "the year after application, 1 to 50"}}}`, string(own.Schema()))
}

func BenchmarkParseState(b *testing.B) {
	data, err := files.ReadFile("states/united-kingdom.json")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := ParseState(data); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkAnswer(b *testing.B) {
	uk, err := PublishedState("united-kingdom")
	if err != nil {
		b.Fatal(err)
	}
	q := Query{"crop": "winter wheat", "straw": "removed", "yield": "8 t/ha", "soilP": "12 mg/L"}
	for b.Loop() {
		if _, err := uk.Answer("p2o5", q); err != nil {
			b.Fatal(err)
		}
	}
}

// Each file holds examples of its source, or says why there are none; a file of somebody
// else's without either is told so and works.
func TestEveryStateIsCheckedOrSaysWhyNot(t *testing.T) {
	for _, id := range PublishedStateIDs() {
		s := publishedState(t, id)
		require.NotEqual(t, len(s.Checks()) == 0, s.Unchecked() == "", id)
	}
	s, err := ParseState([]byte(inventedState))
	require.NoError(t, err)
	require.Contains(t, strings.Join(s.Remarks(), " "), "no worked example")
	_, err = ParseState([]byte(strings.Replace(inventedState, `"keys": [`, `"unchecked": "none printed", "checks": [{"place": "p. 1", "gives": "ammonium", "ask": {"year": 1}, "want": 50}], "keys": [`, 1)))
	require.Equal(t, []string{"unchecked"}, fields(err))
}

// Sources are named as the publication names itself, with the address of who put it out
// or none.
func TestSourcesOfStates(t *testing.T) {
	for _, id := range PublishedStateIDs() {
		s := publishedState(t, id)
		list := []Source{s.Source()}
		for _, more := range s.spec.Sources {
			list = append(list, more)
		}
		for _, source := range list {
			require.NotEqual(t, source.Number, source.Title, id)
			at, err := url.Parse(source.URL)
			require.NoError(t, err)
			for _, copied := range []string{"law.cornell.edu", "justia.com", "elaws.us", "casetext.com", "slideplayer.com", "countrypartnerscoop.com"} {
				require.NotContains(t, at.Host, copied, id)
			}
		}
	}
}

// What is lost is printed as such; what is left counts, low of the high loss.
func TestLossesStandAsPrinted(t *testing.T) {
	r := answerOf(t, publishedState(t, "illinois"), "totalN", Query{"year": "1", "method": "surface, dried before incorporation"})
	require.Equal(t, Cell("25-50"), r.Steps[0].Cell)
	require.Equal(t, units.Range[float64]{Low: 50, High: 75}, r.Figure)
	require.Equal(t, "%", r.Unit)
	require.Contains(t, r.String(), "printed 25-50 % lost")
	lossy := strings.Replace(inventedState, `"gives": "ammonium", "of": "original", "unit": "%"`, `"gives": "ammonium", "of": "original", "unit": "fraction lost"`, 1)
	_, err := ParseState([]byte(lossy))
	require.Equal(t, []string{"tables[1].rows[0][1]"}, fields(err), "50 is more than all")
	s, err := ParseState([]byte(strings.Replace(lossy, `[[1, 50]]`, `[[1, "0.1-0.4"]]`, 1)))
	require.NoError(t, err)
	share := shareOf(t, s, PoolAmmonium, 1, Query{})
	require.InDelta(t, 0.6, share.Low, 1e-12)
	require.InDelta(t, 0.9, share.High, 1e-12)
}

// An equation is a table of its printed coefficients.
func TestEquations(t *testing.T) {
	s := publishedState(t, "nebraska")
	corn := Query{"crop": "corn", "yield": "200 bu/acre", "soilNitrate": "3 ppm", "organicMatter": "2 %", "otherCredits": "0 lb/acre", "priceFactor": "1", "timingFactor": "1"}
	n := func(change Query) float64 {
		q := maps.Clone(corn)
		maps.Copy(q, change)
		return answerOf(t, s, "n", q).Figure.Low
	}
	require.InDelta(t, 35+240-24-56, n(nil), 1e-9)
	require.InDelta(t, 35+240-24-84, n(Query{"organicMatter": "4 %"}), 1e-9, "no more than 3 % count")
	require.InDelta(t, 35+240-24-14, n(Query{"organicMatter": "0.1 %"}), 1e-9, "no less than 0.5 % count")
	require.InDelta(t, 195*0.9, n(Query{"priceFactor": "0.9"}), 1e-9, "factors multiply the sum")
	require.Zero(t, n(Query{"otherCredits": "900 lb/acre"}), "no less than nothing")
	r := answerOf(t, s, "n", corn)
	require.Equal(t, []string{"Expected yield, about 105 % of the mean of five years 200 bu/acre", "Organic matter of the soil 2 %"}, r.Steps[3].Per)
	require.Contains(t, r.String(), "printed -0.14 lb/acre x Expected yield")
	_, err := s.Answer("n", Query{"crop": "corn"})
	require.Equal(t, []string{"organicMatter", "otherCredits", "soilNitrate", "yield"}, slices.Sorted(slices.Values(fields(err))))
	const text = `{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"},
		"keys": [{"name": "yield", "label": "Y", "unit": "t/ha"}, {"name": "land", "label": "L", "values": ["a"]}],
		"tables": [{"place": "1", "gives": "n", "as": "plus", "unit": "kg/ha", "by": ["per"], "within": {"yield": "to 9"}, "rows": [["", -20], ["yield", 25]]}]}`
	for name, c := range map[string]struct {
		old, new string
		want     []string
	}{
		"no key":        {`["yield", 25]`, `["yields", 25]`, []string{"tables[0].rows[1][0]"}},
		"no quantity":   {`["yield", 25]`, `["yield x land", 25]`, []string{"tables[0].rows[1][0]"}},
		"of a ban":      {`"as": "plus"`, `"as": "ban"`, []string{"tables[0].by[0]"}},
		"a share":       {`"gives": "n", "as": "plus", "unit": "kg/ha"`, `"gives": "organic", "as": "plus", "unit": "%"`, []string{"tables[0].rows[1][1]"}},
		"ends of none":  {`"within": {"yield": "to 9"}`, `"within": {"land": "a"}`, []string{"tables[0].within"}},
		"below nothing": {`"as": "plus", `, ``, []string{"tables[0].rows[0][1]"}},
	} {
		changed := strings.Replace(text, c.old, c.new, 1)
		require.NotEqual(t, text, changed, name)
		_, err := ParseState([]byte(changed))
		require.Subset(t, append(c.want, "keys[1]", "tables[0].rows[1][1]", "tables[0]"), fields(err), "%s: %v", name, err)
		require.Contains(t, fields(err), c.want[0], "%s: %v", name, err)
	}
}

// A slip of the pen is told with the word that was meant.
func TestLoaderSuggests(t *testing.T) {
	for old, c := range map[string][2]string{
		`["hens"`:               {`["hen"`, `got "hen", want hens, or one of`},
		`"by": ["year"]`:        {`"by": ["yeer"]`, "want year, or a key of the file"},
		`"when": {"year": 1}`:   {`"when": {"yeear": 1}`, "want year, or a key of the file"},
		`"place": "2", `:        {`"place": "2", "source": "countz", `, "want county, or a word of sources"},
		`["cows", "below 18 %"`: {`["cow", "below 18 %"`, "want cows, or one of"},
	} {
		text := strings.Replace(inventedState, old, c[0], 1)
		require.NotEqual(t, inventedState, text)
		text = strings.Replace(text, `"keys": [`, `"sources": {"county": {"title": "C", "edition": "1", "number": "2"}}, "keys": [`, 1)
		_, err := ParseState([]byte(text))
		require.ErrorContains(t, err, c[1])
	}
}

// What is said of a slip names the way out in the words of the file.
func TestLoaderShowsTheWayOut(t *testing.T) {
	const head = `{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"},
		"keys": [{"name": "soilP", "label": "Soil P", "unit": "ppm"}, {"name": "time", "label": "Time", "unit": "h", "never": "never"}], `
	for name, c := range map[string]struct{ rest, want string }{
		"gap":       {`"tables": [{"place": "1", "gives": "lime", "unit": "t", "by": ["soilP", "time"], "rows": [["below 25", "", 1], ["25-49", "", 2], ["50-99", "", 3], ["from 100", "to 12", 4], ["from 100", "over 12 or never", 5]]}]}`, "from 25 ppm below 50 ppm, or round in the table"},
		"first gap": {`"tables": [{"place": "1", "gives": "lime", "unit": "t", "by": ["soilP", "time"], "rows": [["0-24", "from 0 or never", 1], ["from 25", "from 0 or never", 2]]}]}`, "classes that meet, such as below 25 ppm, or round in the table"},
		"within":    {`"tables": [{"place": "1", "gives": "lime", "unit": "t", "by": ["time", "soilP"], "rows": [["within 12 h", "", 1]]}]}`, "such as to 12, below 18, over 12 to 96, from 25 below 50, from 60, over 48 or never, 31-60 or 6, in h"},
		"times":     {`"tables": [{"place": "1", "gives": "lime", "unit": "%", "by": ["soilP"], "rows": [["to 5", 35], ["over 5", 30]]}, {"place": "2", "gives": "salt", "unit": "%", "by": ["time"], "rows": [["from 0 or never", "2-4"]]}], "checks": [{"place": "p", "gives": "lime", "ask": {"soilP": "1 ppm"}, "times": 1, "want": 35}]}`, "printed 35, worked out 0.35, which is 1 x 35 %"},
		"a range":   {`"tables": [{"place": "1", "gives": "lime", "unit": "%", "by": ["soilP"], "rows": [["to 5", 35], ["over 5", 30]]}, {"place": "2", "gives": "salt", "unit": "%", "by": ["time"], "rows": [["from 0 or never", "2-4"]]}], "checks": [{"place": "p", "gives": "salt", "ask": {"time": "1 h"}, "want": 35}]}`, "printed 35, worked out 2 to 4 %"},
	} {
		_, err := ParseState([]byte(head + c.rest))
		require.ErrorContains(t, err, c.want, name)
	}
	_, err := ParseState([]byte(head + `"tables": [{"place": "1", "gives": "lime", "unit": "t", "by": ["soilP", "time"], "rows": [["below 25 ppm", "", 1], ["from 25 ppm below 50 ppm", "", 2], ["from 50", "to 12", 4], ["from 50", "over 12 or never", 5]]}]}`))
	require.NoError(t, err)
}

// A suggestion is an argument of one template, so that another language has its own words
// and order.
func TestSuggestionsAreTranslated(t *testing.T) {
	style := units.Style{Translate: func(text string) string {
		own := map[string]string{"%v, or %v": "%v oder %v", "one of %v, or several with a semicolon and a space between": "eines von %v", "got %v, want %v": "statt %v: %v"}
		return cmp.Or(own[text], text)
	}}
	_, err := ParseState([]byte(strings.Replace(inventedState, `["hens"`, `["hen"`, 1)))
	require.Len(t, units.FieldErrors(err), 1)
	require.Equal(t, `statt "hen": hens oder eines von cows; hens`, style.Message(units.FieldErrors(err)[0]))
}

// A fault in one table hides none of the others: a gap elsewhere and a slip in an example
// are told in the same round, in the order of the file.
func TestFaultsOfOneRound(t *testing.T) {
	_, err := ParseState([]byte(`{"id": "x", "jurisdiction": "Atlantis", "source": {"title": "T", "edition": "1", "number": "1"},
		"checks": [{"place": "p", "gives": "lime", "ask": {"soil": "clai"}, "want": 2}, {"place": "q", "gives": "lime", "parts": [{"ask": {"soil": "clay"}}, {"ask": {"depth": "6"}}], "want": 3}],
		"keys": [{"name": "soil", "label": "S", "values": ["clay", "sand"]}, {"name": "depth", "label": "D", "unit": "in"}],
		"tables": [
			{"place": "1", "gives": "lime", "unit": "ton/acre", "by": ["soil"], "rows": [["clay", 2]]},
			{"place": "2", "gives": "salt", "unit": "%", "by": ["depth"], "rows": [["to 6", "much"], ["over 6", 2]]},
			{"place": "3", "gives": "chalk", "unit": "%", "by": ["depth"], "rows": [["to 6", 1], ["over 8", 2]]}],
		"lacks": [{"gives": ["sand"], "why": ""}]}`))
	require.Equal(t, []string{"checks[0].ask.soil", "checks[1].ask.depth", "tables[0]", "tables[1].rows[0][1]", "tables[2]", "tables[2]", "lacks[0].why"}, fields(err), "%v", err)
}
