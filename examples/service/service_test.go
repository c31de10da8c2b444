package main

import (
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
)

// things is what a host has stored, by its path.
var things = map[string]string{
	"/basins/lagoon": `{"rectangular": {"length": "230 ft", "width": "150 ft", "at": "top of bank", "depth": "12 ft", "slopes": [2.5]}}`,
	"/surveys/july": `{"boundary": [{"x": "0 ft", "y": "0 ft"}, {"x": "180 ft", "y": "0 ft"}, {"x": "180 ft", "y": "110 ft"}, {"x": "0 ft", "y": "110 ft"}],
		"soundings": [
			{"at": {"x": "30 ft", "y": "30 ft"}, "toSludge": "6 ft", "toFloor": "9 ft"},
			{"at": {"x": "90 ft", "y": "80 ft"}, "toSludge": "6.4 ft", "toFloor": "9 ft"},
			{"at": {"x": "150 ft", "y": "40 ft"}, "toSludge": "6.9 ft", "toFloor": "9.1 ft"}]}`,
	"/reports/slurry": `{"form": "liquid", "tkn": "24 lb/1000 gal", "ammoniumN": "7 lb/1000 gal", "p2o5": "46 lb/1000 gal"}`,
	"/fields/home": `{"name": "home", "area": "38 acre", "distance": "0.4 mi", "limits": [
		{"kind": "nitrogen", "of": "available N", "room": "180 lb/acre"}, {"kind": "phosphorus", "of": "P2O5", "room": "340 lb/acre"}]}`,
	"/records/gun": `{"version": 2, "date": "2026-05-02T00:00:00Z", "machine": "gun", "material": "effluent", "method": "load area", "liquid": {"rate": "9000 gal/acre", "n": 1}}`,
}

const spread = `{"fields": ["home"], "materials": [{"name": "slurry", "report": "slurry", "state": "alberta",
	"query": {"form": "liquid", "compost": "fresh", "method": "injected"}, "stock": "200,000 gal", "spread": "11 per 1000 gal", "haulPerMile": "5 per 1000 gal"}],
	"prices": [{"of": "available N", "price": "0.6 per lb"}]}`

type host struct{ *httptest.Server }

func newHost(t *testing.T) host {
	db, err := open(filepath.Join(t.TempDir(), "db"))
	require.NoError(t, err)
	s := httptest.NewServer(newHandler(db))
	t.Cleanup(func() { s.Close(); db.Close() })
	return host{s}
}

type answer struct {
	Result json.RawMessage
	Error  string
	Lines  []struct{ Item, Value, How string }
	Faults []struct {
		Field, Message string
		Kind           units.FaultKind
		Line           int
	}
}

func (h host) ask(t *testing.T, method, path, body string) (int, answer) {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), method, h.URL+path, strings.NewReader(body))
	require.NoError(t, err)
	res, err := h.Client().Do(r)
	require.NoError(t, err)
	defer res.Body.Close()
	data, err := io.ReadAll(res.Body)
	require.NoError(t, err)
	var a answer
	require.NoError(t, json.Unmarshal(data, &a), string(data))
	return res.StatusCode, a
}

func filled(t *testing.T) host {
	h := newHost(t)
	for path, spec := range things {
		status, a := h.ask(t, "PUT", path, spec)
		require.Equal(t, http.StatusOK, status, "%s: %+v", path, a)
		status, a = h.ask(t, "GET", path, "")
		require.Equal(t, http.StatusOK, status)
		require.JSONEq(t, spec, string(a.Result))
	}
	return h
}

func (a answer) value(t *testing.T, item string) string {
	for _, l := range a.Lines {
		if l.Item == item {
			return l.Value
		}
	}
	t.Fatal("no line ", item, " in ", a.Lines)
	return ""
}

func TestAnswers(t *testing.T) {
	h := filled(t)
	const volume = `{"basin": "lagoon", "survey": "july", "depth": "9 ft"}`
	status, a := h.ask(t, "POST", "/volume", volume)
	require.Equal(t, http.StatusOK, status, a)
	require.Contains(t, a.value(t, "sludge volume"), " gal")
	_, metric := h.ask(t, "POST", "/volume?units=metric", volume)
	require.Contains(t, metric.value(t, "sludge volume"), " m3")
	require.JSONEq(t, string(a.Result), string(metric.Result), "the data is the same")

	// Limits of 180 lb N and 340 lb P2O5 an acre: phosphorus binds, 340/46 x 1000.
	status, a = h.ask(t, "POST", "/rates", spread)
	require.Equal(t, http.StatusOK, status, a)
	var rates map[string]nutrient.FieldRateResult
	require.NoError(t, json.Unmarshal(a.Result, &rates))
	rate, ok := rates["home, slurry"].Rate.VolumePerArea()
	require.True(t, ok)
	require.InDelta(t, 340.0/46*1000, rate.In(units.GallonPerAcre), 1e-6)

	status, a = h.ask(t, "POST", "/allocation", spread)
	require.Equal(t, http.StatusOK, status, a)
	var allocation allocation.AllocateResult
	require.NoError(t, json.Unmarshal(a.Result, &allocation))
	require.Nil(t, allocation.Shortage)

	status, a = h.ask(t, "POST", "/plan?units=metric", string(plan.Demo()))
	require.Equal(t, http.StatusOK, status, a)
	require.NotEmpty(t, a.Lines)
}

// Faults come with field, kind and place, and the kind sets the status.
func TestFaults(t *testing.T) {
	h := filled(t)
	for name, c := range map[string]struct {
		method, path, body string
		status             int
		field              string
		kind               units.FaultKind
	}{
		"no JSON":       {"PUT", "/basins/a", `{`, 400, "", units.FaultMalformed},
		"no unit":       {"PUT", "/basins/a", `{"rectangular": {"length": 230}}`, 400, "rectangular.length", units.FaultUnit},
		"unknown key":   {"PUT", "/reports/a", `{"tkm": "3 mg/L"}`, 400, "tkm", units.FaultKey},
		"unknown kind":  {"PUT", "/boats/a", `{}`, 404, "kind", units.FaultLacking},
		"unknown word":  {"PUT", "/reports/a", `{"form": "licuid", "tkn": "20 lb/1000 gal"}`, 422, "form", units.FaultName},
		"not stored":    {"GET", "/basins/a", ``, 404, "id", units.FaultLacking},
		"missing":       {"PUT", "/basins/a", `{"rectangular": {"width": "9 ft", "at": "top of bank", "depth": "1 ft", "slopes": [2]}}`, 422, "rectangular.length", units.FaultMissing},
		"no such basin": {"POST", "/volume", `{"basin": "pond", "survey": "july", "depth": "9 ft"}`, 404, "basin", units.FaultLacking},
		"too deep":      {"POST", "/volume", `{"basin": "lagoon", "survey": "july", "depth": "19 ft"}`, 422, "depth", units.FaultRange},
		"too shallow":   {"POST", "/volume", `{"basin": "lagoon", "survey": "july", "depth": "1 ft"}`, 422, "depth", units.FaultRange},
		"no such units": {"POST", "/volume?units=roman", `{}`, 422, "units", units.FaultName},
		"no such field": {"POST", "/rates", strings.Replace(spread, `["home"]`, `["home", "away"]`, 1), 404, "fields[1]", units.FaultLacking},
	} {
		t.Run(name, func(t *testing.T) {
			status, a := h.ask(t, c.method, c.path, c.body)
			require.Equal(t, c.status, status, a)
			require.NotEmpty(t, a.Faults)
			require.Equal(t, c.field, a.Faults[0].Field)
			require.Equal(t, c.kind, a.Faults[0].Kind)
			require.NotEmpty(t, a.Faults[0].Message)
		})
	}
}

func TestTooLarge(t *testing.T) {
	status, a := newHost(t).ask(t, "POST", "/volume", strings.Repeat(" ", mostBody+1))
	require.Equal(t, http.StatusRequestEntityTooLarge, status)
	require.NotEmpty(t, a.Error)
}

// Work ends when the client goes or the time is up.
func TestEndsWithItsTime(t *testing.T) {
	ctx, stop := context.WithTimeout(t.Context(), 0)
	defer stop()
	w := httptest.NewRecorder()
	newHandler(store{}).ServeHTTP(w, httptest.NewRequest("POST", "/plan", strings.NewReader(string(plan.Demo()))).WithContext(ctx))
	require.Equal(t, http.StatusServiceUnavailable, w.Code)
}
