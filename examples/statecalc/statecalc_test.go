package main

import (
	"context"
	"encoding/json"
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
	set, err := nutrient.ParseSet(wexmoor)
	require.NoError(t, err)
	s := httptest.NewServer(newHandler(set))
	t.Cleanup(s.Close)
	return s
}

func good() url.Values {
	return url.Values{
		"report.form":         {"liquid"},
		"report.tkn":          {"20 lb/1000 gal"},
		"report.ammoniumN":    {"12 lb/1000 gal"},
		"report.p2o5":         {"10 lb/1000 gal"},
		"query.species":       {"dairy"},
		"query.method":        {"broadcast"},
		"query.incorporation": {"6 h"},
		"query.season":        {"spring"},
		"needN":               {"124 lb/acre"},
		"allowP2O5":           {"200 lb/acre"},
		"stock":               {"500,000 gal"},
		"go":                  {"1"},
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
}

// A field that was left empty is not a field that takes nothing.
func TestNoRoom(t *testing.T) {
	v := good()
	v.Set("allowP2O5", "0 lb/acre")
	status, page, _ := get(t, site(t), v, "")
	require.Equal(t, http.StatusOK, status)
	require.Contains(t, page, "<strong>Spread nothing on this field</strong>: phosphorus leaves no room.")
	v.Del("allowP2O5")
	status, page, _ = get(t, site(t), v, "")
	require.Equal(t, http.StatusUnprocessableEntity, status)
	require.Contains(t, page, `<a href="#allowP2O5">`)
}

func TestFaultsStandAtTheirFields(t *testing.T) {
	v := good()
	v.Set("report.tkn", "20")                // no unit
	v.Set("report.ammoniumN", "12 lb/acre")  // wrong dimension
	v.Set("query.method", "catapult")        // not in the set
	v.Set("needN", "-5 lb/acre")             // negative
	v.Set("colour", "brown")                 // unknown
	v.Set("allowP2O5", `"><script>alert(1)`) // hostile
	v.Del("stock")                           // missing
	status, page, _ := get(t, site(t), v, "")
	require.Equal(t, http.StatusUnprocessableEntity, status)
	for _, want := range []string{
		`<a href="#report.tkn">Total Kjeldahl N</a>`, `<a href="#report.ammoniumN">`, `<a href="#allowP2O5">`, `<a href="#stock">`, `<a href="#query.method">`, `<li>colour: an unknown key`,
		`id="report.tkn" name="report.tkn" value="20" autocomplete="off" aria-invalid="true" aria-describedby="report.tkn-fault0 report.tkn-hint"`,
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
	require.ElementsMatch(t, []string{"report.tkn", "report.ammoniumN", "allowP2O5", "colour", "needN", "stock", "query.method"}, fields)

	// And so are the faults of what parses.
	v = good()
	v.Set("query.method", "catapult")
	v.Set("report.ammoniumN", "25 lb/1000 gal")
	v.Set("needN", "-5 lb/acre")
	v.Del("stock")
	_, page, _ = get(t, site(t), v, "")
	for _, want := range []string{`<a href="#report.ammoniumN">`, `<a href="#needN">`, `<a href="#stock">`} {
		require.Contains(t, page, want)
	}
	v = good()
	v.Set("query.method", "catapult")
	_, page, _ = get(t, site(t), v, "")
	require.Contains(t, page, `<a href="#query.method">`)
}

func TestEveryFieldHasItsLabel(t *testing.T) {
	_, page, _ := get(t, site(t), nil, "")
	require.Equal(t, 13, strings.Count(page, "<label for="))
	for _, tag := range []string{"<input id=", "<select id="} {
		for _, part := range strings.Split(page, tag)[1:] {
			id, _, _ := strings.Cut(part[1:], `"`)
			require.Contains(t, page, `<label for="`+id+`">`)
		}
	}
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
	status, text := post("application/json", `{"report":{"form":"liquid","tkn":"20 lb/1000 gal","ammoniumN":"12 lb/1000 gal","p2o5":"10 lb/1000 gal"},
		"query":{"species":"dairy","method":"injected","season":"fall"},"needN":"100 lb/acre","allowP2O5":"50 lb/acre","stock":"1000 gal"}`)
	require.Equal(t, http.StatusOK, status, text)
	require.Contains(t, text, `"kind": "phosphorus"`)
	status, text = post("application/json", `{"report":`)
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
	require.NoError(t, os.WriteFile(bad, []byte(`{"id":"x","rows":[]}`), 0o600))
	var errs strings.Builder
	require.Equal(t, 2, run(context.Background(), []string{"-set", bad}, io.Discard, &errs))
	require.Contains(t, errs.String(), "jurisdiction")
	require.NoError(t, os.WriteFile(bad, []byte("{"), 0o600))
	errs.Reset()
	require.Equal(t, 2, run(context.Background(), []string{"-set", bad}, io.Discard, &errs))
	require.Contains(t, errs.String(), "not JSON")
	require.Equal(t, 1, run(context.Background(), []string{"-set", bad + "x"}, io.Discard, io.Discard))
	require.Equal(t, 2, run(context.Background(), []string{"-port", "1"}, io.Discard, io.Discard))
	require.Equal(t, 2, run(context.Background(), []string{"-addr", "localhost:0", bad}, io.Discard, io.Discard))
	require.Equal(t, 1, run(context.Background(), []string{"-addr", "256.0.0.1:x"}, io.Discard, io.Discard))
}

// Each set that comes with the library can be served as a file of its own, the one
// that stands on another too.
func TestPublishedSetsAreServed(t *testing.T) {
	names, err := filepath.Glob("../../nutrient/sets/*.json")
	require.NoError(t, err)
	served := 0
	for _, name := range names {
		id := strings.TrimSuffix(filepath.Base(name), ".json")
		if !slices.Contains(nutrient.PublishedSetIDs(), id) {
			continue
		}
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		set, err := parse(data)
		require.NoError(t, err, name)
		want, err := nutrient.PublishedSet(id)
		require.NoError(t, err)
		require.Equal(t, want.Keys(), set.Keys())
		served++
	}
	require.Len(t, nutrient.PublishedSetIDs(), served)
}
