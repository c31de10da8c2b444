package main

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"errors"
	"html/template"
	"io"
	"mime"
	"net/http"
	"strconv"
	"strings"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

//go:embed page.html
var pageSource string

//go:embed page.css
var style []byte

// table is a working with its caption.
type table struct {
	Caption string
	Lines   units.Working
}

var page = template.Must(template.New("page").Funcs(template.FuncMap{
	"table": func(caption string, w units.Working) table { return table{caption, w} },
}).Parse(pageSource))

const maxBody = 64 << 10 // far more than a request needs

// field is one input of the form.
type field struct {
	Path, Label, Hint, Value string
	Choices                  []string
	Faults                   []*units.FieldError
}

// view is what the page shows.
type view struct {
	Set    *nutrient.Set
	Groups []group
	Faults []summary // all, with a link to the field that each is about
	Answer *Answer
}

// summary is a fault as the top of the page lists it.
type summary struct {
	*units.FieldError
	Label string // of its field; empty when the form has none
}

type group struct {
	Name   string
	Fields []*field
}

// newHandler serves the form, its style and the answers of one set.
func newHandler(set *nutrient.Set) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /page.css", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/css; charset=utf-8")
		w.Write(style)
	})
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, r *http.Request) {
		values := r.URL.Query()
		if len(values) == 0 && !wantsJSON(r) {
			respond(w, http.StatusOK, newView(set, nil, nil, nil))
			return
		}
		request, err := readForm(values)
		answer(w, r, set, request, err, values)
	})
	mux.HandleFunc("POST /{$}", func(w http.ResponseWriter, r *http.Request) {
		if t, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type")); t != "application/json" {
			http.Error(w, "want a body of application/json, or the form by GET", http.StatusUnsupportedMediaType)
			return
		}
		body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxBody))
		if tooLarge := (*http.MaxBytesError)(nil); errors.As(err, &tooLarge) {
			http.Error(w, "the body is too large", http.StatusRequestEntityTooLarge)
			return
		}
		var request Request
		if err == nil {
			err = strict.Decode(body, &request)
		}
		answer(w, r, set, request, err, nil)
	})
	return headers(mux)
}

// headers keeps the page to itself: no scripts, no outside files, no framing.
func headers(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", "default-src 'none'; style-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Vary", "Accept")
		next.ServeHTTP(w, r)
	})
}

func answer(w http.ResponseWriter, r *http.Request, set *nutrient.Set, request Request, err error, values map[string][]string) {
	var a Answer
	if err == nil {
		a, err = Calculate(set, request)
	} else if units.FieldErrors(err) != nil {
		_, more := Calculate(set, request)
		err = units.WithoutEchoes(err, more)
	}
	faults := units.FieldErrors(err)
	if err != nil && faults == nil {
		faults = []*units.FieldError{units.Fault(units.FaultMalformed, "", units.Words("not readable: %v", units.Word(err.Error())), "one JSON object")}
	}
	status := http.StatusOK
	if faults != nil {
		status = http.StatusUnprocessableEntity
	}
	if wantsJSON(r) {
		var body any = a
		if faults != nil {
			body = map[string]any{"faults": faults}
		}
		text, err := json.MarshalIndent(body, "", "  ")
		if err != nil {
			http.Error(w, err.Error(), http.StatusInternalServerError)
			return
		}
		w.Header().Set("Content-Type", "application/json")
		w.WriteHeader(status)
		w.Write(append(text, '\n'))
		return
	}
	v := newView(set, values, faults, &a)
	if faults != nil {
		v.Answer = nil
	}
	respond(w, status, v)
}

func respond(w http.ResponseWriter, status int, v view) {
	var b bytes.Buffer
	if err := page.Execute(&b, v); err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	w.Write(b.Bytes())
}

// wantsJSON weighs application/json against text/html in the Accept header
// (RFC 9110, 12.5.1); a client that likes both alike gets the page.
func wantsJSON(r *http.Request) bool {
	best := map[string]float64{"application/json": 0, "text/html": 0}
	exact := map[string]int{}
	for _, part := range strings.Split(strings.Join(r.Header.Values("Accept"), ","), ",") {
		t, params, err := mime.ParseMediaType(strings.TrimSpace(part))
		if err != nil {
			continue
		}
		q := 1.0
		if s, ok := params["q"]; ok {
			if q, err = strconv.ParseFloat(s, 64); err != nil {
				continue
			}
		}
		for name := range best {
			rank := 0
			switch family, _, _ := strings.Cut(name, "/"); t {
			case name:
				rank = 3
			case family + "/*":
				rank = 2
			case "*/*":
				rank = 1
			}
			if rank > exact[name] {
				exact[name], best[name] = rank, q
			}
		}
	}
	return best["application/json"] > best["text/html"]
}

// newView lays out the form: the report, the keys that the set asks for, the
// field. Values and faults are put at their fields by path.
func newView(set *nutrient.Set, values map[string][]string, faults []*units.FieldError, a *Answer) view {
	v := view{Set: set, Answer: a}
	perUnit := "per volume of a liquid, per weight of a solid: 31 lb/1000 gal, 12 lb/ton, 310 mg/L"
	v.Groups = []group{
		{"Laboratory report", []*field{
			{Path: "report.form", Label: "Handled as", Choices: []string{"liquid", "solid"}},
			{Path: "report.tkn", Label: "Total Kjeldahl N", Hint: perUnit},
			{Path: "report.ammoniumN", Label: "Ammonium N", Hint: perUnit},
			{Path: "report.nitrateN", Label: "Nitrate N, if reported", Hint: perUnit},
			{Path: "report.p2o5", Label: "Phosphate, P2O5", Hint: perUnit},
			{Path: "report.k2o", Label: "Potash, K2O, if reported", Hint: perUnit},
		}},
		{"How and when it is applied", nil},
		{"Field", []*field{
			{Path: "needN", Label: "N that the crop needs, less credits", Hint: "such as 140 lb/acre"},
			{Path: "allowP2O5", Label: "P2O5 that the field may take", Hint: "such as 60 lb/acre"},
			{Path: "stock", Label: "Manure to be spread", Hint: "such as 400,000 gal or 300 ton"},
		}},
	}
	for _, k := range set.Keys() {
		f := &field{Path: "query." + k.Name.Path(), Label: k.Label, Hint: k.Hint(), Choices: k.Values}
		v.Groups[1].Fields = append(v.Groups[1].Fields, f)
	}
	at := map[string]*field{}
	for _, g := range v.Groups {
		for _, f := range g.Fields {
			at[f.Path] = f
			if given := values[f.Path]; len(given) > 0 {
				f.Value = given[len(given)-1]
			}
		}
	}
	for _, e := range faults {
		sum := summary{FieldError: e}
		if f, ok := at[e.Field]; ok {
			f.Faults = append(f.Faults, e)
			sum.Label = f.Label
		}
		v.Faults = append(v.Faults, sum)
	}
	return v
}
