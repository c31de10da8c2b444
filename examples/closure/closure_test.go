package main

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/ledger"
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/units/evidence"
	"example.org/earthbasin/units/strict"
)

func TestGolden(t *testing.T) {
	for name, args := range map[string][]string{
		"demo.text":        {"-format", "text"},
		"demo-metric.text": {"-format", "text", "-part", "summary", "-units", "metric"},
		"demo.html":        {"-format", "html", "-part", "summary"},
		"demo.csv":         {"-format", "csv"},
		"demo.ics":         {"-format", "ics"},
	} {
		t.Run(name, func(t *testing.T) {
			var out, errs bytes.Buffer
			require.Equal(t, 0, run(t.Context(), args, &out, &errs), errs.String())
			evidence.Golden(t, filepath.Join("testdata", name), out.Bytes())
		})
	}
}

// The page stands alone, and each picture and heading can be found by a reader
// who does not see it.
func TestPage(t *testing.T) {
	var out bytes.Buffer
	require.Equal(t, 0, run(t.Context(), []string{"-format", "html"}, &out, io.Discard))
	page := out.String()
	require.NotContains(t, page, "<script")
	require.NotContains(t, page, "<link")
	require.NotRegexp(t, `(src|href)="(https?:)?//`, page)
	require.Contains(t, page, `<html lang="en">`)
	pictures := regexp.MustCompile(`(?s)<svg.*?</svg>`).FindAllString(page, -1)
	require.NotEmpty(t, pictures)
	require.Zero(t, len(pictures)%2, "each picture is drawn for a desk and for a phone")
	for _, svg := range pictures {
		require.Regexp(t, `role="img" aria-labelledby=`, svg)
		require.Regexp(t, `<title id="[^"]+">[^<]+</title>\s*<desc id="[^"]+">[^<]{40,}</desc>`, svg)
		require.NotContains(t, svg, "NaN")
		d := xml.NewDecoder(strings.NewReader(svg))
		for {
			if _, err := d.Token(); err == io.EOF {
				break
			} else {
				require.NoError(t, err)
			}
		}
	}
	ids := map[string]bool{}
	for _, m := range regexp.MustCompile(` id="([^"]+)"`).FindAllStringSubmatch(page, -1) {
		require.False(t, ids[m[1]], "id %s twice", m[1])
		ids[m[1]] = true
	}
	for _, m := range regexp.MustCompile(`href="#([^"]+)"`).FindAllStringSubmatch(page, -1) {
		require.True(t, ids[m[1]], "no target for #%s", m[1])
	}
}

func TestOutIsWrittenWhole(t *testing.T) {
	dir := t.TempDir()
	out := filepath.Join(dir, "plan.txt")
	require.NoError(t, os.WriteFile(out, []byte("old"), 0o644))
	var stdout bytes.Buffer
	require.Equal(t, 0, run(t.Context(), []string{"-part", "sheets", "-out", out}, &stdout, io.Discard))
	require.Empty(t, stdout.String())
	text, err := os.ReadFile(out)
	require.NoError(t, err)
	require.Contains(t, string(text), "SHEETS TO CARRY")
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, left, 1, "no temporary file stays")
	require.Equal(t, 1, run(t.Context(), []string{"-out", filepath.Join(dir, "no", "such", "folder")}, &stdout, io.Discard))
}

func TestCommandLine(t *testing.T) {
	var errs bytes.Buffer
	for _, args := range [][]string{{"-format", "pdf"}, {"extra"}, {"-nonsense"}, {"-schema", "pdf"}, {"-part", "cover"}, {"-part", "summary", "-format", "csv"}, {"-part", "annex", "-format", "results"}} {
		require.Equal(t, 2, run(t.Context(), args, io.Discard, &errs), args)
	}
	require.Contains(t, errs.String(), `-part goes with -format text, html, json, and -format is "csv"`)
	require.Equal(t, 1, run(t.Context(), []string{"-in", "no-such-file.json"}, io.Discard, &errs))
	require.Equal(t, 0, run(t.Context(), []string{"-h"}, io.Discard, &errs))
	in := filepath.Join(t.TempDir(), "in.json")
	require.NoError(t, os.WriteFile(in, []byte("{"), 0o600))
	errs.Reset()
	require.Equal(t, 2, run(t.Context(), []string{"-in", in}, io.Discard, &errs))
	require.Contains(t, errs.String(), "not JSON")
	require.NoError(t, os.WriteFile(in, []byte("{}"), 0o600))
	errs.Reset()
	require.Equal(t, 2, run(t.Context(), []string{"-in", in}, io.Discard, &errs))
	require.Contains(t, errs.String(), "basin.rectangular")
}

// What was done comes as a table as well as in the scenario, up to a day of the command.
func TestDoneFromTable(t *testing.T) {
	const whole = "testdata/scenarios/re-plan-half-way.json"
	text, err := os.ReadFile(whole)
	require.NoError(t, err)
	var s plan.Scenario
	require.NoError(t, strict.Decode(text, &s))
	table, err := ledger.Book{Records: s.Done.Records}.WriteCSV()
	require.NoError(t, err)
	var doc map[string]any
	require.NoError(t, json.Unmarshal(text, &doc))
	delete(doc, "asOf")
	delete(doc["done"].(map[string]any), "records")
	rest, err := json.Marshal(doc)
	require.NoError(t, err)
	dir := t.TempDir()
	in, done := filepath.Join(dir, "start.json"), filepath.Join(dir, "done.csv")
	require.NoError(t, os.WriteFile(in, rest, 0o600))
	require.NoError(t, os.WriteFile(done, table, 0o600))
	sheets := func(args ...string) (out, errs bytes.Buffer, status int) {
		status = run(t.Context(), append(args, "-part", "sheets"), &out, &errs)
		return out, errs, status
	}
	want, _, _ := sheets("-in", whole)
	got, errs, status := sheets("-in", in, "-done", done, "-asOf", "2026-07-09")
	require.Zero(t, status, errs.String())
	require.Equal(t, want.String(), got.String())
	require.Contains(t, got.String(), "As it went until 9 July 2026")

	_, errs, status = sheets("-in", in, "-done", filepath.Join(dir, "none.csv"))
	require.Equal(t, 1, status, errs.String())
	require.NoError(t, os.WriteFile(done, []byte("day,field,material,amount\n2026-07-01,Home Forty,effluent,12 acre\n"), 0o600))
	_, errs, status = sheets("-in", in, "-done", done, "-asOf", "July")
	require.Equal(t, 2, status)
	require.Contains(t, errs.String(), "-asOf: ")
	require.Contains(t, errs.String(), "done.csv line 2, amount: got")
	require.NoError(t, os.WriteFile(done, []byte("day,field,material,amount\n2026-07-10,Nowhere,effluent,12 gal\n"), 0o600))
	_, errs, status = sheets("-in", in, "-done", done, "-asOf", "2026-07-09")
	require.Equal(t, 2, status)
	require.Contains(t, errs.String(), "done.csv line 2.field: got \"Nowhere\", want the name of one of the fields\n")
	require.Contains(t, errs.String(), "done.csv line 2.day: got 2026-07-10, want the day of the account, 2026-07-09, or before\n")
}

// The schemas of what goes in and comes out are printed.
func TestSchemasArePrinted(t *testing.T) {
	for what, key := range map[string]string{"scenario": "basin", "json": "parts", "results": "bill"} {
		var out bytes.Buffer
		require.Equal(t, 0, run(t.Context(), []string{"-schema", what}, &out, io.Discard))
		var schema struct {
			Schema     string         `json:"$schema"`
			Properties map[string]any `json:"properties"`
		}
		require.NoError(t, json.Unmarshal(out.Bytes(), &schema), what)
		require.Equal(t, "https://json-schema.org/draft/2020-12/schema", schema.Schema)
		require.Contains(t, schema.Properties, key)
	}
}

// A scenario that is wrong is told fault by fault, and nothing is written.
func TestWrongScenarioWritesNothing(t *testing.T) {
	dir := t.TempDir()
	in, out := filepath.Join(dir, "in.json"), filepath.Join(dir, "out.html")
	require.NoError(t, os.WriteFile(in, []byte(strings.Replace(string(plan.Demo()), "2026-05-11", "June", 1)), 0o600))
	var stdout, errs bytes.Buffer
	require.Equal(t, 2, run(t.Context(), []string{"-in", in, "-format", "html", "-out", out}, &stdout, &errs))
	require.Empty(t, stdout.String())
	require.NoFileExists(t, out)
	require.Contains(t, errs.String(), "closure: 1 fault in the scenario\n  start: ")
}

// Faults of a scenario are told in the units that were asked for, around what the user
// wrote.
func TestFaultsFollowTheUnits(t *testing.T) {
	in := filepath.Join(t.TempDir(), "in.json")
	require.NoError(t, os.WriteFile(in, []byte(`{"basin": {"rectangular": {"length": "230 ft", "width": "150 ft", "at": "top of bank", "depth": "1200000 ft", "slopes": [2.5]}}}`), 0o600))
	for system, want := range map[string]string{"US": "got 1200000 ft, want 0.03937 in to 62.14 mi", "metric": "got 1200000 ft, want 1 mm to 100 km"} {
		var errs bytes.Buffer
		require.Equal(t, 2, run(t.Context(), []string{"-in", in, "-units", system}, io.Discard, &errs))
		require.Contains(t, errs.String(), want)
	}
}

// The scenario of the README is enough, and one without days says which of its fields a
// calendar needs.
func TestScenarioOfTheReadme(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	found := regexp.MustCompile("(?s)## Plan a closure\n.*?```json\n(.*?)```").FindSubmatch(readme)
	require.NotNil(t, found)
	require.Equal(t, 3, bytes.Count(found[1], []byte("\n")))
	in := filepath.Join(t.TempDir(), "north.json")
	require.NoError(t, os.WriteFile(in, found[1], 0o600))
	var out, errs bytes.Buffer
	require.Equal(t, 0, run(t.Context(), []string{"-in", in}, &out, &errs), errs.String())
	require.Contains(t, out.String(), "North lagoon")
	require.Contains(t, out.String(), "Nobody has measured the sludge.")
	out.Reset()
	require.Equal(t, 2, run(t.Context(), []string{"-in", in, "-format", "ics"}, &out, &errs))
	require.Empty(t, out.String())
	require.Equal(t, "closure: 2 faults in the scenario\n  date: missing; want the day of the plan, with which the file is marked\n"+
		"  start: missing; want the first day of work on the site, without which no task has days\n", errs.String())
}
