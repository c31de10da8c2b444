package main

import (
	"encoding/json"
	"fmt"
	"html"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/internal/browser"
	"example.org/earthbasin/nutrient"
)

// mirror writes each word of a text backwards, so that a page in that language has no
// English left, and verbs of templates stay.
func mirror(text string) string {
	return regexp.MustCompile(`[A-Za-z]{2,}`).ReplaceAllStringFunc(regexp.MustCompile(`%[-+0-9.\[\]]*[a-z]`).ReplaceAllString(text, "\x00$0\x00"), func(word string) string {
		r := []byte(word)
		for i, j := 0, len(r)-1; i < j; i, j = i+1, j-1 {
			r[i], r[j] = r[j], r[i]
		}
		return string(r)
	})
}

// texts is all that the page may say: its own texts, and the templates and words of the
// library.
func texts(t *testing.T) map[string]string {
	list := map[string]string{}
	add := func(text string) { list[text] = strings.ReplaceAll(mirror(text), "\x00", "") }
	for _, file := range []string{"page.html", "form.go", "handler.go", "calc.go"} {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, m := range regexp.MustCompile(`"(?:[^"\\]|\\.)*"`).FindAllString(string(data), -1) {
			if text, err := strconv.Unquote(m); err == nil {
				add(text)
			}
		}
	}
	data, err := os.ReadFile("../testdata/templates.txt")
	require.NoError(t, err)
	for line := range strings.Lines(string(data)) {
		if text, err := strconv.Unquote(strings.TrimSpace(line)); err == nil {
			add(text)
		}
	}
	for _, kind := range []nutrient.LimitKind{nutrient.LimitNitrogen, nutrient.LimitPhosphorus} {
		add(kind.String())
	}
	list["1,234.5"] = "1.234,5"
	return list
}

// A file in another language needs no code: with its words no English is left on the
// form, in faults and in the answer, and numbers are read and written in its signs.
func TestAnotherLanguage(t *testing.T) {
	var doc map[string]any
	require.NoError(t, json.Unmarshal([]byte(marschland), &doc))
	words := texts(t)
	doc["words"] = words
	data, err := json.Marshal(doc)
	require.NoError(t, err)
	state, err := nutrient.ParseState(data)
	require.NoError(t, err)
	s := httptest.NewServer(newHandler(state))
	defer s.Close()
	v := url.Values{"reports[0].form": {"liquid"}, "reports[0].totalN": {"4,5"}, "reports[0].totalN:unit": {"g/L"}, "reports[0].p2o5": {"2 g/L"}, "query.verfahren": {"breit"}, "query.crop": {"Weizen"}, "yield": {"8 t/ha"},
		"query.gabe": {"2,5 t/ha"}, "stock": {"1.200 m3"}, "earlier[0]": {"10 m3/ha"}, "units": {"metric"}}
	wrong := url.Values{"reports[0].form": {"liquid"}, "reports[0].totalN": {"viel"}, "query.verfahren": {"schief"}, "query.gabe": {"3"}, "units": {"metric"}}
	for name, c := range map[string]struct {
		values url.Values
		want   []string
	}{
		"form":   {nil, []string{"Ausbringung"}},
		"faults": {wrong, []string{"viel", "schief"}},
		// 40 % of 4.5 is 1.8 kg/m3; 8 t/ha of wheat get 20 kg/t = 160, less 10 x 4.5 x 10 % = 4.5: 155.5/1.8.
		"answer": {v, []string{"86,39 m3/", "13,89 ha", "negortin stes siht etar."}},
	} {
		_, page, _ := get(t, s, c.values, "")
		page = regexp.MustCompile(`(?s)<head>.*?</head>|<(input|option)[^>]*>`).ReplaceAllString(page, " ")
		text := html.UnescapeString(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(page, " "))
		for _, want := range c.want {
			require.Contains(t, text, want, name)
		}
		english := regexp.MustCompile(`(?i)\b(the|of|and|is|or|what|which|that|for|by|with|has|had|from|want|got|needs?|rate|year|such|as|to|missing)\b`)
		for _, line := range strings.Split(text, "\n") {
			assert.NotRegexp(t, english, line, name)
		}
	}
}

const marschland = `{"id": "marschland", "jurisdiction": "Marschland", "source": {"title": "Merkblatt", "edition": "2026", "number": "1"},
	"keys": [{"name": "verfahren", "label": "Ausbringung", "values": ["breit", "eingearbeitet"]}, {"name": "crop", "label": "Frucht", "values": ["Weizen"]}, {"name": "gabe", "label": "Gabe", "unit": "t/ha"}],
	"tables": [
		{"title": "Wirksamer Stickstoff", "place": "Tafel 1", "gives": "totalN", "of": "total", "unit": "%", "by": ["verfahren"], "cols": [{"year": 1}, {"year": 2}], "rows": [["breit", 40, 10], ["eingearbeitet", "50-60", 10]]},
		{"title": "Entzug", "place": "Tafel 2", "by": ["crop", "unit"], "cols": [{"gives": "n"}, {"gives": "removalP2O5"}, {"gives": "removalK2O"}], "rows": [["Weizen", "kg/t", 20, 8, 6]]},
		{"title": "Kalk", "place": "Tafel 3", "gives": "kalk", "as": "plus", "unit": "kg/ha", "by": ["per"], "rows": [["gabe", 500]]}],
	"unchecked": "keine Beispiele"}`

// Somebody fills in the form in a browser, presses the button, and reads the faults or
// the answer. The scripts are those of the test: the page has none.
func TestFormIsFilledInInABrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("opens a browser")
	}
	state, err := nutrient.ParseState(wexmoor)
	require.NoError(t, err)
	page := newHandler(state)
	for name, c := range map[string]struct {
		change map[string]string
		want   []string
	}{
		"answer": {nil, []string{"10,000 gal/acre", "50 acre", "nitrogen sets this rate"}},
		"faults": {map[string]string{"stock": "many", "query.method": ""}, []string{"2 things need another look", "Manure to be spread", "How it is applied: missing"}},
	} {
		values := map[string]string{}
		for path, v := range good() {
			values[path] = v[0]
		}
		for path, v := range c.change {
			values[path] = v
		}
		delete(values, "go")
		data, err := json.Marshal(values)
		require.NoError(t, err)
		mux := http.NewServeMux()
		mux.HandleFunc("GET /desk", func(w http.ResponseWriter, _ *http.Request) {
			fmt.Fprintf(w, `<!doctype html><iframe id="page" src="/"></iframe><pre id="read"></pre><script>
				const values = %s; let step = 0; const frame = document.getElementById("page");
				frame.onload = () => {
					const doc = frame.contentDocument;
					if (step++ === 0) {
						for (const [name, value] of Object.entries(values)) {
							const field = doc.getElementsByName(name)[0];
							if (!field) { document.getElementById("read").textContent = "no field " + name; return }
							field.value = value;
							if (field.value !== value) { document.getElementById("read").textContent = name + " does not take " + value; return }
						}
						doc.querySelector("button").click();
						return;
					}
					document.getElementById("read").textContent = doc.querySelector("main").innerText;
				};
			</script>`, data)
		})
		mux.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
			page.ServeHTTP(w, r)
			// the test looks in by a frame, which the page forbids to others
		})
		s := httptest.NewServer(framed(mux))
		dom := browser.DOM(t, s.URL+"/desk")
		s.Close()
		_, read, ok := strings.Cut(dom, `<pre id="read">`)
		require.True(t, ok, name)
		read, _, _ = strings.Cut(read, "</pre>")
		for _, want := range c.want {
			require.Contains(t, read, want, name)
		}
	}
}

// framed lets the test look at the page in a frame, which the page forbids.
func framed(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		next.ServeHTTP(unframed{w}, r)
	})
}

type unframed struct{ http.ResponseWriter }

func (w unframed) WriteHeader(status int) {
	w.Header().Del("Content-Security-Policy")
	w.ResponseWriter.WriteHeader(status)
}

func (w unframed) Write(b []byte) (int, error) {
	w.Header().Del("Content-Security-Policy")
	return w.ResponseWriter.Write(b)
}

// A file that stands on a state of the library answers by its own lines first.
func TestFileWithBase(t *testing.T) {
	state, err := nutrient.ParseState([]byte(`{"id": "county", "jurisdiction": "A county", "base": "minnesota", "source": {"title": "County sheet", "edition": "2026", "number": "1"}, "unchecked": "invented",
		"tables": [{"place": "1", "gives": "totalN", "of": "total", "unit": "%", "by": ["species", "year"], "cols": [{"method": "injected with sweeps"}], "rows": [["swine", 1, 75], ["swine", 2, 10]]}]}`))
	require.NoError(t, err)
	s := httptest.NewServer(newHandler(state))
	defer s.Close()
	for species, want := range map[string]string{"swine": "10,000 gal/acre", "dairy": "13,636 gal/acre"} { // 150/(20 x 0.75), and of the base 150/(20 x 0.55)
		status, page, _ := get(t, s, url.Values{"reports[0].form": {"liquid"}, "reports[0].totalN": {"20 lb/1000 gal"}, "reports[0].p2o5": {"8 lb/1000 gal"}, "query.species": {species}, "query.method": {"injected with sweeps"},
			"query.crop": {"corn after corn"}, "query.previousCrop": {"another"}, "needN": {"150 lb/acre"}, "allowP2O5": {"300 lb/acre"}, "stock": {"100,000 gal"}}, "")
		require.Equal(t, http.StatusOK, status)
		require.Contains(t, page, want, species)
	}
}

// A file without figures of available N still answers what it has: here a cap, a closed
// period, and figures of its own.
func TestFileWithoutN(t *testing.T) {
	state, err := nutrient.ParseState([]byte(`{"id": "dale", "jurisdiction": "Dale", "source": {"title": "Sheet", "edition": "2026", "number": "1"}, "unchecked": "invented",
		"keys": [{"name": "herd", "label": "Herd", "values": ["sows", "calves"]}, {"name": "day", "label": "Day", "date": true}],
		"tables": [
			{"title": "Slurry of a head", "place": "1", "gives": "slurry", "unit": "m3", "by": ["herd"], "rows": [["sows", 5], ["calves", 3]]},
			{"title": "Closed", "place": "2", "gives": "allow", "as": "ban", "rows": [["1 Nov to 31 Jan"]]},
			{"title": "Most N in total", "place": "3", "gives": "totalNApplied", "as": "cap", "unit": "lb/acre", "rows": [[250]]}]}`))
	require.NoError(t, err)
	s := httptest.NewServer(newHandler(state))
	defer s.Close()
	status, page, _ := get(t, s, url.Values{"query.herd": {"sows"}, "query.day": {"2026-12-01"}}, "")
	require.Equal(t, http.StatusOK, status, page)
	for _, want := range []string{"Nothing may be spread on that day", "No rate was asked", "Slurry of a head", "5 m3", "goes without N"} {
		require.Contains(t, page, want)
	}
	status, page, _ = get(t, s, url.Values{"reports[0].form": {"liquid"}, "reports[0].totalN": {"25 lb/1000 gal"}, "query.day": {"2026-06-01"}, "stock": {"200,000 gal"}}, "")
	require.Equal(t, http.StatusOK, status)
	require.Contains(t, page, "10,000 gal/acre") // 250/25
	require.Contains(t, page, "20 acre")
	require.NotContains(t, page, "Nothing may be spread")
	status, page, _ = get(t, s, url.Values{"reports[0].form": {"liquid"}, "reports[0].totalN": {"25 lb/1000 gal"}}, "")
	require.Equal(t, http.StatusUnprocessableEntity, status)
	require.Contains(t, page, "Manure to be spread")
}

// The N of corn by Nebraska's equation: 35 + 1.2 x 200 - 8 x 3 - 0.14 x 200 x 2 = 195 lb/acre.
func TestNeedByAnEquation(t *testing.T) {
	state, err := nutrient.PublishedState("nebraska")
	require.NoError(t, err)
	s := httptest.NewServer(newHandler(state))
	defer s.Close()
	v := url.Values{"reports[0].form": {"liquid"}, "reports[0].totalN": {"20 lb/1000 gal"}, "reports[0].ammoniumN": {"10 lb/1000 gal"}, "query.species": {"most manures"}, "query.method": {"sprinkler"}, "query.irrigation": {"0.5 in"},
		"query.crop": {"corn"}, "query.yield": {"200 bu/acre"}, "query.soilNitrate": {"3 ppm"}, "query.organicMatter": {"2 %"}, "query.otherCredits": {"0 lb/acre"}, "query.priceFactor": {"1"}, "query.timingFactor": {"1"},
		"query.previousCrop": {"another"}, "allowP2O5": {"900 lb/acre"}, "stock": {"100,000 gal"}}
	status, page, _ := get(t, s, v, "")
	require.Equal(t, http.StatusUnprocessableEntity, status)
	require.Contains(t, page, `<a href="#reports-0.p2o5">`, "a limit counts what the report leaves out")
	v.Set("reports[0].p2o5", "9 lb/1000 gal")
	v.Set("query.riskIndex", "3")
	status, page, _ = get(t, s, v, "")
	require.Equal(t, http.StatusOK, status, page)
	require.Contains(t, page, "195 lb/acre")
	require.Contains(t, page, "16,250 gal/acre") // 195/(10 x 0.8 + 10 x 0.4)
	require.Contains(t, page, "printed -0.14 lb/acre x Expected yield")
}
