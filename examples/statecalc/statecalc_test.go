package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

func site(t *testing.T) *httptest.Server {
	state, err := nutrient.ParseState(wexmoor)
	require.NoError(t, err)
	s := httptest.NewServer(newHandler(state))
	t.Cleanup(s.Close)
	return s
}

func good() url.Values {
	return url.Values{
		"reports[0].form":           {"liquid"},
		"reports[0].tkn":            {"20"},
		"reports[0].tkn:unit":       {"lb/1000 gal"},
		"reports[0].ammoniumN":      {"12 lb/1000 gal"},
		"reports[0].ammoniumN:unit": {"mg/L"}, // the unit in the field goes before that of the list
		"reports[0].p2o5":           {"10 lb/1000 gal"},
		"reports[0].k2o":            {"15 lb/1000 gal"},
		"query.species":             {"dairy"},
		"query.method":              {"broadcast"},
		"query.incorporation":       {"6"},
		"query.incorporation:unit":  {"h"},
		"query.season":              {"spring"},
		"query.crop":                {"corn"},
		"query.previousCrop":        {"another"},
		"query.soilP":               {"40 ppm"},
		"query.slope":               {"3 %"},
		"query.day":                 {"2026-05-02"},
		"query.ground":              {"open"},
		"query.feature":             {"well"},
		"yield":                     {"150 bu/acre"},
		"needN":                     {"124 lb/acre"},
		"allowP2O5":                 {"200 lb/acre"},
		"stock":                     {"500,000 gal"},
		"go":                        {"1"},
	}
}

func get(t *testing.T, s *httptest.Server, values url.Values, accept string) (int, string, http.Header) {
	t.Helper()
	req, err := http.NewRequest("GET", s.URL+"/?"+values.Encode(), nil)
	require.NoError(t, err)
	if accept != "" {
		req.Header.Set("Accept", accept)
	}
	res, err := s.Client().Do(req)
	require.NoError(t, err)
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	require.NoError(t, err)
	return res.StatusCode, string(body), res.Header
}

// 12 x 0.8 + 8 x 0.35 = 12.4 lb N per 1000 gal, so 124 lb/acre is 10,000 gal/acre,
// within 20,000 gal/acre for P2O5, and 500,000 gal need 50 acres.
func TestAnswer(t *testing.T) {
	s := site(t)
	status, page, head := get(t, s, good(), "")
	require.Equal(t, http.StatusOK, status)
	require.Contains(t, page, "10,000 gal/acre")
	require.Contains(t, page, "<strong>50 acre</strong>")
	require.Contains(t, head.Get("Content-Type"), "text/html")
	require.Equal(t, "Accept", head.Get("Vary"))
	require.NotContains(t, page, "<script")

	status, text, head := get(t, s, good(), "application/json")
	require.Equal(t, http.StatusOK, status)
	require.Equal(t, "application/json", head.Get("Content-Type"))
	var a struct {
		Rate struct {
			Rate nutrient.Rate `json:"rate"`
		} `json:"rate"`
		Area units.Area `json:"area"`
	}
	require.NoError(t, json.Unmarshal([]byte(text), &a))
	rate, ok := a.Rate.Rate.VolumePerArea()
	require.True(t, ok)
	require.InDelta(t, 10000, rate.In(units.GallonPerAcre), 1e-6)
	require.InDelta(t, 50, a.Area.In(units.Acre), 1e-9)
}

// A range in the set goes into the rate by its high end: 12 x 0.4 + 2.8 = 7.6.
func TestRangeUsesTheSafeEnd(t *testing.T) {
	v := good()
	v.Set("query.incorporation", "never")
	v.Set("needN", "76 lb/acre")
	_, page, _ := get(t, site(t), v, "")
	require.Contains(t, page, "10,000 gal/acre")
	require.Contains(t, page, "The rate uses the high end")
}

// By hand, of the tables: corn gets 150 x 0.9 = 135 lb N; 40 ppm are medium, and at a
// slope of 3 % two removals of 150 x 0.35 = 52.5 lb P2O5 are 105, which 10,500 gal/acre
// bring: less than 135/12.4. At it N lacks 135 - 130.2 = 4.8 lb, P2O5 is 52.5 too much
// and K2O 157.5 - 37.5 = 120; 500,000 gal need 47.62 acres.
func TestByTheTablesOfTheState(t *testing.T) {
	v := good()
	v.Del("needN")
	v.Del("allowP2O5")
	status, text, _ := get(t, site(t), v, "application/json")
	require.Equal(t, http.StatusOK, status, text)
	var a Answer
	require.NoError(t, json.Unmarshal([]byte(text), &a))
	rate, _ := a.Rate.Rate.VolumePerArea()
	require.InDelta(t, 10500, rate.In(units.GallonPerAcre), 1e-6)
	require.Equal(t, "Basis of the rate for phosphorus", a.Rate.Binding().Name)
	lb := func(x units.Range[units.MassPerArea]) float64 { return x.Low.In(units.PoundPerAcre) }
	require.InDelta(t, 4.8, lb(a.Balance[0].Short), 1e-6)
	require.InDelta(t, 52.5, lb(a.Balance[1].Surplus), 1e-6)
	require.InDelta(t, 120, lb(a.Balance[2].Surplus), 1e-6)
	require.InDelta(t, 47.619, a.Area.In(units.Acre), 1e-3)
	require.Empty(t, a.Bans)
	require.Empty(t, a.Open)
	var places []string
	for _, p := range a.Printed {
		for _, s := range p.Steps {
			places = append(places, s.Place)
		}
	}
	for _, place := range []string{"Table 6, p. 9", "Table 7, p. 10", "Table 8, p. 12", "Table 11, p. 15"} {
		require.Contains(t, places, place)
	}
	require.Contains(t, fmt.Sprint(a.Shares), "Table 3, p. 5")

	// What forbids, what was left open, and what earlier years leave.
	v.Set("query.day", "2026-12-24")
	v.Set("query.ground", "frozen, flooded or with snow")
	v.Del("query.feature")
	v.Set("query.previousCrop", "clover")
	v.Set("earlier[0]", "5,000 gal/acre")
	_, page, _ := get(t, site(t), v, "")
	for _, want := range []string{"Nothing may be spread on that day", "rule 4", "rule 5", "how far to stay away: What lies nearest", "less N left by the crop before", "50 lb/acre",
		"less N from manure of earlier years", "4.8 lb/acre"} { // 5 x 8 x 0.12
		require.Contains(t, page, want)
	}
	require.Contains(t, page, "<li>Closed period: 1 Dec to 15 Mar; How it is applied: broadcast; Day of application: 24 Dec (rule 4, Manure in Wexmoor (invented for this example))</li>")
	v.Set("units", "metric")
	_, page, _ = get(t, site(t), v, "")
	require.Contains(t, page, "m3/ha")
	require.NotContains(t, page, "gal/acre</strong>")
}

// Reports of several samples count by their mean, and a fault stands at its sample.
func TestSeveralSamples(t *testing.T) {
	v := good()
	for name, text := range map[string]string{"form": "liquid", "tkn": "22 lb/1000 gal", "ammoniumN": "12 lb/1000 gal", "p2o5": "12 lb/1000 gal", "k2o": "15 lb/1000 gal"} {
		v.Set("reports[1]."+name, text)
	}
	status, page, _ := get(t, site(t), v, "")
	require.Equal(t, http.StatusOK, status)
	require.Contains(t, page, "Laboratory report 2")
	require.Contains(t, page, "The samples")
	v.Set("reports[1].ammoniumN", "30 lb/1000 gal")
	_, page, _ = get(t, site(t), v, "")
	require.Contains(t, page, `<a href="#reports-1.ammoniumN">`)
	_, page, _ = get(t, site(t), url.Values{"samples": {"3"}}, "")
	require.Contains(t, page, "Laboratory report 3")
	require.NotContains(t, page, "another look")
}

// A field that was left empty is not a field that takes nothing.
func TestNoRoom(t *testing.T) {
	v := good()
	v.Set("allowP2O5", "0 lb/acre")
	status, page, _ := get(t, site(t), v, "")
	require.Equal(t, http.StatusOK, status)
	require.Contains(t, page, "<strong>Spread nothing on this field</strong>: phosphorus leaves no room (P2O5 by permit).")
	v = good()
	v.Del("allowP2O5")
	v.Del("query.soilP")
	status, page, _ = get(t, site(t), v, "")
	require.Equal(t, http.StatusUnprocessableEntity, status)
	require.Equal(t, 1, strings.Count(page, `<a href="#query.soilP">`), "once, though several tables ask")
}

// The form and its words are those of the file.
func TestWordsOfTheFile(t *testing.T) {
	state, err := nutrient.ParseState([]byte(`{"id": "marschland", "jurisdiction": "Marschland", "source": {"title": "Merkblatt", "edition": "2026", "number": "1"},
		"words": {"Laboratory report": "Laborbericht", "Answer": "Antwort", "Spread at most": "Höchstens", "Work it out": "Rechnen", "en": "de"},
		"keys": [{"name": "verfahren", "label": "Ausbringung", "values": ["breit", "eingearbeitet"]}],
		"tables": [{"place": "Tafel 1", "gives": "totalN", "of": "total", "unit": "%", "when": {"year": 1}, "by": ["verfahren"], "rows": [["breit", 40], ["eingearbeitet", 60]]}]}`))
	require.NoError(t, err)
	s := httptest.NewServer(newHandler(state))
	defer s.Close()
	_, page, _ := get(t, s, url.Values{"reports[0].form": {"liquid"}, "reports[0].totalN": {"4 g/L"}, "query.verfahren": {"breit"}, "needN": {"80 kg/ha"}, "stock": {"100 m3"}, "units": {"metric"}}, "")
	for _, want := range []string{"Laborbericht", "Antwort", "Höchstens <strong>50 m3/ha</strong>", "Ausbringung", "Rechnen", `lang="de"`, "2 ha"} {
		require.Contains(t, page, want)
	}
}

func TestFaultsStandAtTheirFields(t *testing.T) {
	v := good()
	v.Set("reports[0].tkn", "20 furlongs")      // no such unit
	v.Set("reports[0].ammoniumN", "12 lb/acre") // wrong dimension
	v.Set("query.method", "catapult")           // not in the file
	v.Set("needN", "-5 lb/acre")                // negative
	v.Set("colour", "brown")                    // unknown
	v.Set("allowP2O5", `"><script>alert(1)`)    // hostile
	v.Del("stock")                              // missing
	status, page, _ := get(t, site(t), v, "")
	require.Equal(t, http.StatusUnprocessableEntity, status)
	for _, want := range []string{
		`<a href="#reports-0.tkn">Total Kjeldahl N</a>`, `<a href="#reports-0.ammoniumN">`, `<a href="#allowP2O5">`, `<a href="#stock">`, `<a href="#query.method">`, `<li>colour: an unknown key`,
		`id="reports-0.tkn" name="reports[0].tkn" value="20 furlongs" autocomplete="off" class="number" aria-invalid="true" aria-describedby="reports-0.tkn-fault0 "`,
	} {
		require.Contains(t, page, want)
	}
	require.NotContains(t, page, "<script>")

	_, text, _ := get(t, site(t), v, "application/json")
	var body struct {
		Faults []units.FieldError `json:"faults"`
	}
	require.NoError(t, json.Unmarshal([]byte(text), &body))
	var fields []string
	for _, f := range body.Faults {
		fields = append(fields, f.Field)
	}
	require.ElementsMatch(t, []string{"reports[0].tkn", "reports[0].ammoniumN", "allowP2O5", "colour", "needN", "stock", "query.method"}, fields)
	var order []string
	for _, id := range []string{"reports-0.tkn", "reports-0.ammoniumN", "query.method", "needN", "allowP2O5", "stock"} {
		order = append(order, fmt.Sprint(strings.Index(page, `<li><a href="#`+id)+10000))
	}
	require.True(t, slices.IsSorted(order), "in the order of the form: %v", order)

	// And so are the faults of what parses.
	v = good()
	v.Set("query.method", "catapult")
	v.Set("reports[0].ammoniumN", "25 lb/1000 gal")
	v.Set("needN", "-5 lb/acre")
	v.Del("stock")
	_, page, _ = get(t, site(t), v, "")
	for _, want := range []string{`<a href="#reports-0.ammoniumN">`, `<a href="#needN">`, `<a href="#stock">`} {
		require.Contains(t, page, want)
	}
	v = good()
	v.Set("query.method", "catapult")
	_, page, _ = get(t, site(t), v, "")
	require.Contains(t, page, `<a href="#query.method">`)
}

func TestEveryFieldHasItsLabel(t *testing.T) {
	_, page, _ := get(t, site(t), nil, "")
	require.Equal(t, 1, strings.Count(page, "Fill in what the report has"), "a hint once")
	for _, tag := range []string{"<input id=", "<select id="} {
		for _, part := range strings.Split(page, tag)[1:] {
			id, _, _ := strings.Cut(part[1:], `"`)
			require.Contains(t, page, `<label for="`+id+`">`)
		}
	}
	require.Equal(t, strings.Count(page, `class="unit"`), strings.Count(page, `aria-label="unit of`))
	require.Contains(t, page, `<html lang="en">`)
}

func TestPost(t *testing.T) {
	s := site(t)
	post := func(kind, body string) (int, string) {
		req, err := http.NewRequest("POST", s.URL+"/", strings.NewReader(body))
		require.NoError(t, err)
		req.Header.Set("Content-Type", kind)
		req.Header.Set("Accept", "application/json")
		res, err := s.Client().Do(req)
		require.NoError(t, err)
		defer res.Body.Close()
		text, err := io.ReadAll(res.Body)
		require.NoError(t, err)
		return res.StatusCode, string(text)
	}
	status, text := post("application/json", `{"reports":[{"form":"liquid","tkn":"20 lb/1000 gal","ammoniumN":"12 lb/1000 gal","p2o5":"10 lb/1000 gal"}],"yield":"150 bu/acre",
		"query":{"species":"dairy","method":"injected","season":"fall","crop":"corn","previousCrop":"another"},"needN":"100 lb/acre","allowP2O5":"50 lb/acre","stock":"1000 gal"}`)
	require.Equal(t, http.StatusOK, status, text)
	require.Contains(t, text, `"kind": "phosphorus"`)
	status, text = post("application/json", `{"reports":`)
	require.Equal(t, http.StatusUnprocessableEntity, status)
	require.Contains(t, text, "not JSON")
	status, _ = post("application/json", `"`+strings.Repeat("x", maxBody)+`"`)
	require.Equal(t, http.StatusRequestEntityTooLarge, status)
	status, _ = post("text/plain", "hello")
	require.Equal(t, http.StatusUnsupportedMediaType, status)
}

func TestAccept(t *testing.T) {
	for accept, want := range map[string]bool{
		"":                                    false,
		"application/json":                    true,
		"text/html,application/json;q=0.9":    false,
		"text/html;q=0.5, application/json":   true,
		"*/*":                                 false,
		"application/*":                       true,
		"application/json;q=0":                false,
		"text/html;q=0, */*;q=0.1":            true,
		"nonsense/;;":                         false,
		"text/html,application/xhtml+xml,*/*": false,
	} {
		r := httptest.NewRequest("GET", "/", nil)
		r.Header.Set("Accept", accept)
		require.Equal(t, want, wantsJSON(r), accept)
	}
}

func TestOtherPaths(t *testing.T) {
	s := site(t)
	for path, want := range map[string]int{"/page.css": 200, "/other": 404} {
		res, err := s.Client().Get(s.URL + path)
		require.NoError(t, err)
		res.Body.Close()
		require.Equal(t, want, res.StatusCode, path)
	}
}

func TestRunRefuses(t *testing.T) {
	bad := filepath.Join(t.TempDir(), "bad.json")
	require.NoError(t, os.WriteFile(bad, []byte(`{"id":"x","tables":[]}`), 0o600))
	var errs strings.Builder
	require.Equal(t, 2, run(context.Background(), []string{"-state", bad}, io.Discard, &errs))
	require.Contains(t, errs.String(), "jurisdiction")
	require.NoError(t, os.WriteFile(bad, []byte("{"), 0o600))
	errs.Reset()
	require.Equal(t, 2, run(context.Background(), []string{"-state", bad}, io.Discard, &errs))
	require.Contains(t, errs.String(), "not JSON")
	require.Equal(t, 1, run(context.Background(), []string{"-state", bad + "x"}, io.Discard, io.Discard))
	require.Equal(t, 2, run(context.Background(), []string{"-port", "1"}, io.Discard, io.Discard))
	require.Equal(t, 2, run(context.Background(), []string{"-addr", "localhost:0", bad}, io.Discard, io.Discard))
	require.Equal(t, 1, run(context.Background(), []string{"-addr", "256.0.0.1:x"}, io.Discard, io.Discard))
	require.NoError(t, os.WriteFile(bad, []byte(strings.Replace(stranger, `"unchecked": "invented",`, "", 1)), 0o600))
	errs.Reset()
	require.Equal(t, 1, run(context.Background(), []string{"-state", bad, "-addr", "256.0.0.1:x"}, io.Discard, &errs))
	require.Contains(t, errs.String(), "no worked example of the source in checks, and unchecked does not say why")
}

// Each state that comes with the library can be served as a file of its own, the one
// that stands on another too.
func TestPublishedStatesAreServed(t *testing.T) {
	for _, id := range nutrient.PublishedStateIDs() {
		data, err := os.ReadFile("../../nutrient/states/" + id + ".json")
		require.NoError(t, err)
		state, err := nutrient.ParseState(data)
		require.NoError(t, err, id)
		s := httptest.NewServer(newHandler(state))
		res, err := s.Client().Get(s.URL)
		require.NoError(t, err)
		res.Body.Close()
		require.Equal(t, http.StatusOK, res.StatusCode, id)
		s.Close()
	}
}

// stranger is a file as a newcomer writes it: a need per bushel, a class of the soil test
// with a rule on phosphorus that counts the removal, and no removal of K2O.
const stranger = `{"id": "tarn", "jurisdiction": "Tarn", "source": {"title": "Sheet", "edition": "2026", "number": "1"}, "unchecked": "invented",
	"keys": [{"name": "crop", "label": "Crop", "values": ["corn"]}, {"name": "soilP", "label": "Soil P", "unit": "ppm"}, {"name": "soilClass", "label": "Class", "values": ["low", "high"]}],
	"tables": [
		{"place": "1", "gives": "totalN", "of": "total", "unit": "%", "when": {"year": 1}, "rows": [[50]]},
		{"place": "2", "gives": "soilClass", "by": ["soilP"], "rows": [["below 100", "low"], ["from 100", "high"]]},
		{"place": "3", "gives": "allow", "as": "cap", "unit": "x removal", "by": ["soilClass", "soilP"], "rows": [["low", "", "n-based"], ["high", "to 200", 1], ["high", "over 200", "none"]]},
		{"place": "4", "gives": "n", "unit": "lb/bu", "by": ["crop"], "rows": [["corn", 1]]},
		{"title": "Away from streams", "place": "5", "gives": "setback", "as": "atLeast", "unit": "ft", "rows": [[35]]},
		{"place": "6", "gives": "removalP2O5", "unit": "lb/bu", "by": ["crop"], "rows": [["corn", 0.5]]}]}`

// What the file lacks of a removal is an open point; all that does not hang on it is
// answered, and what the caller gives in its place counts.
func TestRemovalThatTheFileLacks(t *testing.T) {
	ask := func(text string, more url.Values) Answer {
		state, err := nutrient.ParseState([]byte(text))
		require.NoError(t, err)
		s := httptest.NewServer(newHandler(state))
		defer s.Close()
		v := url.Values{"reports[0].form": {"liquid"}, "reports[0].totalN": {"20 lb/1000 gal"}, "reports[0].p2o5": {"10 lb/1000 gal"}, "reports[0].k2o": {"10 lb/1000 gal"},
			"query.crop": {"corn"}, "query.soilP": {"120 ppm"}, "yield": {"100 bu/acre"}, "stock": {"100,000 gal"}}
		for name, x := range more {
			v[name] = x
		}
		status, body, _ := get(t, s, v, "application/json")
		require.Equal(t, http.StatusOK, status, body)
		var a Answer
		require.NoError(t, json.Unmarshal([]byte(body), &a))
		return a
	}
	a := ask(stranger, nil)
	require.Len(t, a.Open, 1)
	require.Contains(t, fmt.Sprint(a.Open[0]), "K2O: the state has no figures for it")
	require.InDelta(t, 20, a.Area.In(units.Acre), 1e-6) // 100,000 gal at 100 x 0.5 / 10 lb per 1000 gal

	cut := strings.Index(stranger, `,
		{"place": "6"`)
	without := stranger[:cut] + "]}"
	a = ask(without, nil)
	require.Contains(t, fmt.Sprint(a.Open), "P2O5 that leaves with the crop corn")
	require.Empty(t, a.Rate.Limits, "no rate without the limit of phosphorus")
	require.Contains(t, fmt.Sprint(a.Printed), "35 ft")
	a = ask(without, url.Values{"allowP2O5": {"20 lb/acre"}})
	require.InDelta(t, 50, a.Area.In(units.Acre), 1e-6)
	require.Contains(t, fmt.Sprint(a.Open), "whether the rule of the state on phosphorus allows less than the permit that was entered, by which alone the rate goes: of 1 times the P2O5 that leaves with the crop there is no figure")
	a = ask(stranger, url.Values{"allowP2O5": {"20 lb/acre"}, "query.soilP": {""}})
	require.Contains(t, fmt.Sprint(a.Open), "by which alone the rate goes: Soil P, missing; want a number with its unit, such as 12 ppm")
}

// A file may cap by what leaves with the crop, give P2O5 per bushel, and have no removal
// at all: the yield is asked for where a table counts in it, and read as people write it.
func TestCapByRemoval(t *testing.T) {
	text := strings.Replace(stranger, `"tables": [`, `"tables": [
		{"title": "P2O5 for the crop", "place": "7", "gives": "p2o5", "unit": "lb/bu", "by": ["crop"], "rows": [["corn", 0.6]]},
		{"title": "Twice the removal", "place": "8", "gives": "p2o5", "as": "cap", "unit": "lb/acre", "by": ["per"], "rows": [["removalP2O5", 2]]},`, 1)
	state, err := nutrient.ParseState([]byte(text))
	require.NoError(t, err)
	s := httptest.NewServer(newHandler(state))
	defer s.Close()
	v := url.Values{"reports[0].form": {"liquid"}, "reports[0].totalN": {"10 lb/1000 gal"}, "reports[0].p2o5": {"10 lb/1000 gal"}, "query.crop": {"corn"}, "query.soilP": {"40 ppm"}, "yield": {"100"}, "yield:unit": {"bu/acre"}, "stock": {"100,000 gal"}}
	status, body, _ := get(t, s, v, "application/json")
	require.Equal(t, http.StatusOK, status, body)
	var a Answer
	require.NoError(t, json.Unmarshal([]byte(body), &a))
	require.Equal(t, "Twice the removal", a.Rate.Binding().Name) // 2 x 0.5 x 100 = 100 lb of P2O5, before 100 lb of N at 5 lb per 1000 gal
	require.InDelta(t, 10, a.Area.In(units.Acre), 1e-6)
	require.InDelta(t, 60, a.Balance[1].Needs.Low.In(units.PoundPerAcre), 1e-9)
	_, page, _ := get(t, s, v, "")
	require.Contains(t, page, "printed 2 lb/acre x removalP2O5 (value) 0.5 lb/bu x 100 bu/acre")

	v.Set("yield", "8,5")
	_, page, _ = get(t, s, v, "")
	require.Contains(t, page, `<a href="#yield">Expected yield</a>`, "no 85 of 8,5")
	v.Del("yield")
	_, page, _ = get(t, s, v, "")
	require.Equal(t, 1, strings.Count(page, `<a href="#yield">Expected yield</a>: missing`), page)

	without := text[:strings.Index(text, `,
		{"place": "6"`)] + "]}"
	without = strings.Replace(without, `{"title": "Twice the removal", "place": "8", "gives": "p2o5", "as": "cap", "unit": "lb/acre", "by": ["per"], "rows": [["removalP2O5", 2]]},`, "", 1)
	state, err = nutrient.ParseState([]byte(without))
	require.NoError(t, err)
	bare := httptest.NewServer(newHandler(state))
	defer bare.Close()
	_, page, _ = get(t, bare, nil, "")
	require.Contains(t, page, `name="yield"`, "of N per bushel, with no removal")
}

// The reason that a file has for leaving something out is shown where a question hits it,
// also where no table at all gives it.
func TestReasonsOfLacksAreShown(t *testing.T) {
	state, err := nutrient.ParseState([]byte(`{"id": "fen", "jurisdiction": "Fen", "source": {"title": "Sheet", "edition": "2026", "number": "1"}, "unchecked": "invented",
		"keys": [{"name": "crop", "label": "Crop", "values": ["corn", "flax"]}],
		"tables": [
			{"place": "1", "gives": "totalN", "of": "total", "unit": "%", "when": {"year": 1}, "rows": [[50]]},
			{"place": "2", "gives": "n", "unit": "lb/acre", "by": ["crop"], "rows": [["corn", 100]]},
			{"title": "Lime", "place": "3", "gives": "lime", "unit": "ton/acre", "by": ["crop"], "rows": [["corn", 2]]}],
		"lacks": [
			{"gives": ["p", "k"], "why": "the sheet is silent on P and K"},
			{"gives": ["n"], "when": {"crop": "flax"}, "why": "flax stands in another sheet"},
			{"gives": ["lime"], "when": {"crop": "flax"}, "why": "flax is not limed"},
			{"gives": ["removalP2O5"], "why": "removal is to be reprinted"},
			{"gives": ["allow"], "as": "ban", "why": "the dates come by notice"}, {"gives": ["allow"], "as": "cap", "why": "the index is of another sheet"},
			{"gives": ["setback"], "why": "distances are set by the county"}]}`))
	require.NoError(t, err)
	s := httptest.NewServer(newHandler(state))
	defer s.Close()
	v := url.Values{"reports[0].form": {"liquid"}, "reports[0].totalN": {"10 lb/1000 gal"}, "reports[0].p2o5": {"10 lb/1000 gal"}, "query.crop": {"corn"}, "stock": {"100,000 gal"}}
	status, page, _ := get(t, s, v, "")
	require.Equal(t, http.StatusOK, status, page)
	_, page, _ = strings.Cut(page, `<section aria-labelledby="answer">`)
	for _, want := range []string{"the state has no figures for p: the sheet is silent on P and K", "what the crop is to get of P2O5, of which this rate brings 200 lb/acre: the file has no figure of it (removal is to be reprinted)",
		"whether anything may be spread on the day: the dates come by notice", "how far to stay away: distances are set by the county", "the file has no rule on phosphorus: the rate goes without one (the index is of another sheet)"} {
		require.Contains(t, page, want)
	}
	v.Set("query.crop", "flax")
	_, page, _ = get(t, s, v, "")
	require.Contains(t, page, "gives no figure for it: flax stands in another sheet")
	v.Set("needN", "60 lb/acre")
	_, page, _ = get(t, s, v, "")
	require.Contains(t, page, "Lime: flax is not limed")

	_, err = state.Answer("setback", nil)
	require.ErrorContains(t, err, "distances are set by the county")
	require.Empty(t, state.Why("n", nutrient.AsValue, nutrient.Query{"crop": "corn"}))
	require.Empty(t, state.Why("tea", nutrient.AsValue, nil))
}

// Lines that forbid for different reasons tell them apart, and each stands once.
func TestBansTellWhatDiffers(t *testing.T) {
	state, err := nutrient.ParseState([]byte(`{"id": "holm", "jurisdiction": "Holm", "source": {"title": "Sheet", "edition": "2026", "number": "1"}, "unchecked": "invented",
		"keys": [{"name": "ground", "label": "Ground", "values": ["frozen", "open"]}, {"name": "slope", "label": "Slope", "unit": "%"}],
		"tables": [{"title": "Winter", "place": "rule 1", "gives": "allow", "as": "ban", "by": ["ground", "slope"], "rows": [["frozen", "", "no"], ["", "over 6 %", "no"], ["", "over 9 %", "no"], ["frozen", "over 6 %", "no"]]}]}`))
	require.NoError(t, err)
	s := httptest.NewServer(newHandler(state))
	defer s.Close()
	_, page, _ := get(t, s, url.Values{"query.ground": {"frozen"}, "query.slope": {"10 %"}}, "")
	for _, want := range []string{"Ground: frozen", "Slope: 10 %", "Ground: frozen; Slope: 10 %"} {
		require.Equal(t, 1, strings.Count(page, "<li>Winter: no; "+want+" (rule 1, Sheet)</li>"), want)
	}
	require.Equal(t, 3, strings.Count(page, "<li>Winter"))
	_, body, _ := get(t, s, url.Values{"query.ground": {"frozen"}, "query.slope": {"10 %"}}, "application/json")
	var a Answer
	require.NoError(t, json.Unmarshal([]byte(body), &a))
	require.Len(t, a.Bans, 4)
}

// posted sends JSON and returns what comes back.
func posted(t *testing.T, s *httptest.Server, body string) (int, []byte) {
	t.Helper()
	req, err := http.NewRequest("POST", s.URL+"/", strings.NewReader(body))
	require.NoError(t, err)
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Accept", "application/json")
	res, err := s.Client().Do(req)
	require.NoError(t, err)
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	require.NoError(t, err)
	return res.StatusCode, text
}

// The request of the README is answered as it says.
func TestReadmeRequest(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	_, section, ok := strings.Cut(string(readme), "<!-- A test sends this to the demo state")
	require.True(t, ok)
	blocks := strings.Split(section, "```")
	status, body := posted(t, site(t), strings.TrimPrefix(blocks[1], "json"))
	require.Equal(t, http.StatusOK, status, string(body))
	var got struct {
		Texts json.RawMessage `json:"texts"`
		Answer
	}
	require.NoError(t, json.Unmarshal(body, &got))
	require.JSONEq(t, strings.TrimPrefix(blocks[3], "json"), string(got.Texts))
	require.NotEmpty(t, got.Shares[0].Place)
}

// A fault as JSON has its sentence in the units of the request and the words of the state.
func TestFaultsAsJSONHaveASentence(t *testing.T) {
	state, err := nutrient.ParseState([]byte(strings.Replace(marschland, `"unchecked"`, `"words": {"got %v, want %v": "statt %v: %v", "missing": "fehlt", "one of %v": "eines von %v"}, "unchecked"`, 1)))
	require.NoError(t, err)
	s := httptest.NewServer(newHandler(state))
	defer s.Close()
	status, body := posted(t, s, `{"reports": [{"form": "liquid", "totalN": "4 g/L"}], "query": {"verfahren": "schief"}, "stock": "10 m3"}`)
	require.Equal(t, http.StatusUnprocessableEntity, status)
	var got struct {
		Faults []struct{ Field, Kind, Message string }
	}
	require.NoError(t, json.Unmarshal(body, &got))
	require.Equal(t, "query.verfahren", got.Faults[0].Field)
	require.Equal(t, `statt "schief": eines von breit; eingearbeitet`, got.Faults[0].Message)
	for _, f := range got.Faults {
		require.NotEmpty(t, f.Message)
		require.NotContains(t, f.Message, "%v")
	}
	status, body = posted(t, s, `{"reports": `)
	require.Equal(t, http.StatusUnprocessableEntity, status)
	require.Contains(t, string(body), `"message": "not JSON: the text ends too early; want one JSON value in UTF-8"`)
}

// A rate of three years ago stays where it was put, and a report that was left out moves
// no fault.
func TestWhatIsLeftOutMovesNothing(t *testing.T) {
	s := site(t)
	ask := func(change url.Values) (int, string) {
		v := good()
		v.Del("allowP2O5")
		for name, x := range change {
			v[name] = x
		}
		status, page, _ := get(t, s, v, "")
		return status, page
	}
	for year, left := range map[string]string{"0": "4.8 lb/acre", "1": "2 lb/acre"} { // 5 x 8 x 0.12 and x 0.05; after three years nothing is left
		_, page := ask(url.Values{"earlier[" + year + "]": {"5,000 gal/acre"}})
		require.Contains(t, page, `less N from manure of earlier years</th><td role="cell">`+left, year)
	}
	_, page := ask(url.Values{"earlier[2]": {"5,000 gal/acre"}})
	require.Contains(t, page, `less N from manure of earlier years</th><td role="cell">0 lb/acre`)
	_, page = ask(url.Values{"earlier[2]": {"-5 gal/acre"}})
	require.Contains(t, page, `<a href="#earlier-2">`)
	_, page = ask(url.Values{"reports[2].form": {"liquid"}, "reports[2].tkn": {"2 lb/1000 gal"}, "reports[2].ammoniumN": {"12 lb/1000 gal"}, "reports[2].p2o5": {"many"}})
	require.Contains(t, page, `<a href="#reports-2.p2o5">`)
	_, page = ask(url.Values{"reports[2].form": {"liquid"}, "reports[2].tkn": {"2 lb/1000 gal"}, "reports[2].ammoniumN": {"12 lb/1000 gal"}})
	require.Contains(t, page, `<a href="#reports-2.ammoniumN">`)
	status, text := posted(t, s, `{"reports": [{"form": "liquid", "tkn": "20 lb/1000 gal", "ammoniumN": "12 lb/1000 gal"}], "query": {"species": "dairy", "method": "injected", "season": "spring", "crop": "meadow hay", "previousCrop": "another", "pClass": "low"},
		"yield": "4 ton/acre", "stock": "400,000 gal", "earlier": [null, "5,000 gal/acre"]}`)
	require.Equal(t, http.StatusOK, status, string(text))
	require.Contains(t, string(text), `"carryOver"`)
}

// Odd values get a fault at their own field, which says what is allowed, once.
func TestOddValues(t *testing.T) {
	s := site(t)
	for _, c := range [][4]string{ // field, value, its unit in the list, what is said
		{"stock", "0", "gal", "got 0 gal, want more than 0"},
		{"stock", "-0", "gal", "got 0 gal, want more than 0"},
		{"stock", "1e308", "gal", "want at most"},
		{"needN", "1e5", "lb/acre", "want 0, or 0.001 lb/acre to 5 ton/acre"},
		{"needN", "1e-310", "lb/acre", "want 0, or 0.001 lb/acre to 5 ton/acre"},
		{"otherN", "1e308", "lb/acre", "want 0, or 0.001 lb/acre to 5 ton/acre"},
		{"yield", "1e308", "bu/acre", "want 0, or 1e-09 to 1e+06"},
		{"yield", "1e-310", "bu/acre", "want 0, or 1e-09 to 1e+06"},
		{"yield", "-5", "bu/acre", "want 0, or 1e-09 to 1e+06"},
		{"yield", "1,5", "bu/acre", "want a yield"},
		{"yield", "", "bu/acre", "missing; want a yield"},
		{"query.slope", "-5", "%", "want 0, or up to 100 %"},
		{"query.slope", "1e308", "%", "want 0, or up to 100 %"},
		{"query.slope", "1,5", "%", "want a decimal point, not a comma"},
		{"query.slope", "NaN", "%", "want a number with its unit"},
		{"query.soilP", "12 acre", "ppm", "want a number with a unit such as ppm, lb/acre"},
		{"reports[0].tkn", "1,5", "lb/1000 gal", "a decimal point, not a comma"},
		{"reports[0].ammoniumN", "", "", "missing; want the analysis with total and ammonium N"},
	} {
		v := good()
		v.Del("allowP2O5")
		v.Set(c[0], c[1])
		v.Set(c[0]+":unit", c[2])
		status, body, _ := get(t, s, v, "application/json")
		require.Equal(t, http.StatusUnprocessableEntity, status, c)
		var got struct {
			Faults []struct{ Field, Message string }
		}
		require.NoError(t, json.Unmarshal([]byte(body), &got))
		require.Len(t, got.Faults, 1, "%v: %s", c, body)
		require.Equal(t, c[0], got.Faults[0].Field, c)
		require.Contains(t, got.Faults[0].Message, c[3], c)
	}
	for _, field := range []string{"query.slope", "query.incorporation", "needN", "otherN", "yield", "earlier[0]"} { // -0 is 0
		v := good()
		v.Set(field+":unit", map[string]string{"query.slope": "%", "query.incorporation": "h", "yield": "bu/acre", "earlier[0]": "gal/acre"}[field])
		if v.Get(field+":unit") == "" {
			v.Set(field+":unit", "lb/acre")
		}
		v.Set(field, "0")
		_, zero, _ := get(t, s, v, "application/json")
		v.Set(field, "-0")
		status, below, _ := get(t, s, v, "application/json")
		require.Equal(t, http.StatusOK, status, field)
		require.Equal(t, strings.ReplaceAll(zero, `"0 `, `"-0 `), strings.ReplaceAll(below, `"0 `, `"-0 `), field)
	}
}

// England, which stands on the guide of the United Kingdom: what is certain to forbid is
// told though the state of the ground is left open, and what the report says of readily
// available N counts in the rules of the day. 250 kg/ha of total N are 96.15 m3/ha of 2.6.
func TestRulesOfTheDay(t *testing.T) {
	state, err := nutrient.PublishedState("england")
	require.NoError(t, err)
	s := httptest.NewServer(newHandler(state))
	defer s.Close()
	v := url.Values{"units": {"metric"}, "reports[0].form": {"liquid"}, "reports[0].totalN": {"2.6 kg/m3"}, "reports[0].ammoniumN": {"1.3 kg/m3"}, "reports[0].p2o5": {"1.2 kg/m3"}, "query.material": {"cattle slurry"}, "query.method": {"surface"}, "query.dryMatter": {"6 %"},
		"query.season": {"spring"}, "query.soil": {"medium"}, "query.crop": {"winter wheat"}, "query.straw": {"removed"}, "query.yield": {"8 t/ha"}, "query.pIndex": {"1"}, "query.previousCrop": {"cereals"}, "query.rain": {"600 to 700 mm"},
		"query.snsBy": {"the crop before"}, "stock": {"1000 m3"}, "query.what": {"slurry"}, "query.land": {"tillage"}}
	for day, c := range map[string]struct {
		rate   string
		bans   int
		ground bool // is asked for
	}{"2026-11-05": {"96.15 m3/ha", 1, false}, "2027-02-10": {"30 m3/ha", 0, true}, "2027-04-10": {"96.15 m3/ha", 0, true}} {
		v.Set("query.day", day)
		status, body, _ := get(t, s, v, "application/json")
		require.Equal(t, http.StatusOK, status, body)
		var a struct{ Texts Texts }
		require.NoError(t, json.Unmarshal([]byte(body), &a))
		require.Contains(t, a.Texts.Rate, "Spread at most "+c.rate, day)
		require.Len(t, a.Texts.Bans, c.bans, day)
		require.Equal(t, c.ground, strings.Contains(strings.Join(a.Texts.Open, ""), "State of the ground, missing"), day)
	}
}

// Reports in the units and the basis of the laboratory: what is needed beside is asked for,
// in the place of the request.
func TestReportsOfAnyKind(t *testing.T) {
	s := site(t)
	query := `"query": {"species": "dairy", "method": "broadcast", "incorporation": "6 h", "season": "spring", "crop": "corn", "previousCrop": "another", "soilP": "10 ppm", "slope": "3 %", "day": "2026-05-02", "ground": "open", "feature": "well"}, "yield": "150 bu/acre"`
	liquid := `{"form": "liquid", "tkn": "20 lb/1000 gal", "ammoniumN": "12 lb/1000 gal", "p2o5": "10 lb/1000 gal"}`
	nine := strings.Repeat(liquid+",", 8) + liquid
	for name, c := range map[string]struct{ reports, rest, field, want string }{
		"dry":              {`{"form": "solid", "basis": "dry", "solids": "25 %", "tkn": "4 %", "ammoniumN": "1 %"}`, `"stock": "300 ton"`, "", "Spread at most 14.59 ton/acre"}, // 135 lb at 5 x 0.8 + 15 x 0.35 = 9.25 lb/ton
		"dry, no solids":   {`{"form": "solid", "basis": "dry", "tkn": "4 %", "ammoniumN": "1 %"}`, `"stock": "300 ton"`, "reports[0].solids", "on dry basis"},
		"weight of liquid": {`{"form": "liquid", "tkn": "2400 mg/kg", "ammoniumN": "1400 mg/kg"}`, `"stock": "1000 gal"`, "reports[0].density", "the material is liquid"},
		"two forms":        {liquid + `, {"form": "solid", "tkn": "10 lb/ton", "ammoniumN": "2 lb/ton"}`, `"stock": "1000 gal"`, "reports[1].form", "that of the first sample"},
		"nine samples":     {nine, `"stock": "1000 gal"`, "reports", "got 9 samples, want 1 to 8"},
		"stock by weight":  {liquid, `"stock": "300 ton"`, "stock", "got 300 ton, want a volume, such as 400,000 gal, since the report is of a liquid, or the density in the report"},
		"and a density":    {strings.Replace(liquid, `"tkn"`, `"density": "8 lb/gal", "tkn"`, 1), `"stock": "40 ton"`, "", "The stock needs 0.9185 acre"}, // 10,000 gal at 10,887
		"a slip":           {liquid, `"stock": "1000 gal"`, "query.soilp", "want soilP, or one that the state wexmoor declares"},
	} {
		asked := query
		if name == "a slip" {
			asked = strings.Replace(query, `"soilP"`, `"soilp"`, 1)
		}
		status, body := posted(t, s, `{"reports": [`+c.reports+`], `+asked+`, `+c.rest+`}`)
		var got struct {
			Faults []struct{ Field, Message string }
			Texts  Texts
		}
		require.NoError(t, json.Unmarshal(body, &got), name)
		if c.field == "" {
			require.Equal(t, http.StatusOK, status, "%s: %s", name, body)
			require.Contains(t, got.Texts.Rate, c.want, name)
			continue
		}
		require.Equal(t, http.StatusUnprocessableEntity, status, name)
		require.Equal(t, c.field, got.Faults[0].Field, name)
		require.Contains(t, got.Faults[0].Message, c.want, name)
	}
}
