package main

import (
	"bytes"
	"cmp"
	_ "embed"
	"encoding/json"
	"errors"
	"html/template"
	"io"
	"mime"
	"net/http"
	"regexp"
	"slices"
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

var page = template.Must(template.New("page").Parse(pageSource))

const maxBody = 64 << 10 // far more than a request needs

// view is what the page shows.
type view struct {
	State  *nutrient.State
	Form   *form
	Faults []summary // all, with a link to the field that each is about
	Answer *Answer
	style  units.Style
}

// T is a text in the language of the state.
func (v view) T(text string) string { return v.State.Translate(text) }

// Show writes a value in the units of the reader.
func (v view) Show(x any) string { return v.style.Text(shown(x)) }

// Whole is Show with each number and its unit on one line.
func (v view) Whole(x any) string { return parting.ReplaceAllString(v.Show(x), "$1\u00a0$2") }

// parting is where a line may break between a number and its unit.
var parting = regexp.MustCompile(`(\d) (\S)`)

// shown is a value as people write it: one where low and high are alike.
func shown(x any) any {
	if r, ok := x.(units.Range[units.MassPerArea]); ok && r.Low == r.High {
		return r.Low
	}
	return x
}

// Message is what is wrong, in the words and units of the reader.
func (v view) Message(e *units.FieldError) string { return v.style.Message(e) }

// given is what the tables give, in words.
var given = map[string]string{
	"n": "N for the crop", "p2o5": "P2O5 for the crop", "k2o": "K2O for the crop",
	"totalN": "N that becomes available", "ammonium": "Ammonium N that is kept", "organic": "Organic N that becomes available", "p": "P that becomes available", "k": "K that becomes available",
	"allow": "When and how much may be spread", "setback": "Distance to keep", "creditN": "N left by the crop before",
	"removalN": "N that leaves with the crop", "removalP2O5": "P2O5 that leaves with the crop", "removalK2O": "K2O that leaves with the crop",
}

// Binding is what sets the rate, or leaves no room.
func (v view) Binding() string {
	b := v.Answer.Rate.Binding()
	p := units.Words("%v sets this rate", units.Word(b.Kind))
	if v.Answer.Rate.Rate.SI() == 0 {
		p = units.Words("%v leaves no room", units.Word(b.Kind))
	}
	if b.Name != "" && b.Name != b.Kind.String() {
		p = p.And(" (%v)", units.Word(b.Name))
	}
	return v.Show(p)
}

// Lacks is what the file leaves out: of what, where, and why.
func (v view) Lacks() (list []string) {
	for _, l := range v.State.Lacks() {
		var what, where []string
		for _, gives := range l.Gives {
			what = append(what, v.T(cmp.Or(given[gives], v.State.Title(gives))))
		}
		for _, k := range v.State.Keys() {
			if head, ok := l.When[k.Name]; ok {
				where = append(where, k.Label+": "+string(head))
			}
		}
		p := units.Words("%v", units.Word(strings.Join(compact(what), ", ")))
		if where != nil {
			p = p.And(" (%v)", units.Word(strings.Join(where, "; ")))
		}
		list = append(list, v.Show(p.And(": %v", units.Word(l.Why))))
	}
	return compact(list)
}

// Bans are the lines that forbid, each once, with what each asks for.
func (v view) Bans() (list []string) {
	for _, b := range v.Answer.Bans {
		p := units.Words("%v: %v", units.Word(cmp.Or(b.Title, b.Gives)), units.Word(b.Cell))
		if len(b.Line) > 0 {
			p = p.And("; %v", units.Word(strings.Join(b.Line, "; ")))
		}
		list = append(list, v.Show(p.And(" (%v, %v)", units.Word(b.Place), units.Word(b.Source.Title))))
	}
	return compact(list)
}

// Texts are the sentences of the answer.
func (v view) Texts() Texts {
	a := v.Answer
	t := Texts{Ends: []string{}, Bans: append([]string{}, v.Bans()...), Open: []string{}}
	switch {
	case len(a.Rate.Limits) == 0:
		t.Rate = v.T("No rate was asked, or the file has no limit from which one could follow.")
	case a.Rate.Rate.SI() == 0:
		t.Rate = v.T("Spread nothing on this field") + ": " + v.Binding() + "."
	default:
		t.Rate = v.T("Spread at most") + " " + v.Show(a.Rate.Rate) + "; " + v.Binding() + ". " + v.T("The stock needs") + " " + v.Show(a.Area) + "."
	}
	for _, p := range a.Ends {
		t.Ends = append(t.Ends, v.Show(p))
	}
	for _, p := range a.Open {
		t.Open = append(t.Open, v.Show(p))
	}
	return t
}

// Groups is the form by its parts.
func (v view) Groups() []group { return v.Form.groups }

// Tables is the working of the answer with captions: how each figure was come by.
func (v view) Tables() []table {
	a := v.Answer
	list := []table{}
	add := func(caption string, w units.Working) {
		if len(w) > 0 {
			list = append(list, table{v.T(caption), v.style.Lines(w)})
		}
	}
	if a.Samples != nil {
		add("The samples", a.Samples.Working())
	}
	if a.Analysis.Form != 0 {
		add("What the material holds", a.Analysis.Working())
	}
	if len(a.Available.Years) > 0 {
		add("What becomes available", a.Available.Working())
	}
	add("Printed figures behind what becomes available", nutrient.Answer{Steps: a.Shares}.StepWorking())
	add("Room for N", a.Room)
	if a.CarryOver != nil {
		add("From manure of earlier years", a.CarryOver.Working())
	}
	for _, p := range a.Printed {
		last := p.Steps[len(p.Steps)-1]
		name := v.T(last.Title)
		if known, ok := given[p.Gives]; ok && last.As != nutrient.AsCap {
			name = v.T(known)
		}
		w := p.Working()
		w[len(w)-1].Item = units.Words("%v", units.Word(name))
		add(v.T("By the tables of the state")+": "+name, w)
	}
	if len(a.Rate.Limits) > 0 {
		add("Limits and nutrients at this rate", a.Rate.Working())
	}
	return list
}

// table is a working as the page shows it.
type table struct {
	Caption string
	Rows    []units.LineText
}

// newHandler serves the form, its style and the answers of one set.
func newHandler(state *nutrient.State) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /page.css", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/css; charset=utf-8")
		w.Write(style)
	})
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, r *http.Request) {
		values := r.URL.Query()
		if !asked(values) && !wantsJSON(r) {
			respond(w, http.StatusOK, newView(state, values, Request{}, nil, nil))
			return
		}
		request, places, err := readForm(values, newForm(state, values), units.Style{Signs: signsOf(state)})
		answer(w, r, state, request, places, err, values)
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
		answer(w, r, state, request, nil, err, nil)
	})
	return headers(mux)
}

// asked reports whether a form holds more than how it is to be laid out.
func asked(values map[string][]string) bool {
	for path := range values {
		if path != "samples" && path != "units" {
			return true
		}
	}
	return false
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

// nitrogen is the fields of a report from which N is parted: where one could not be read
// the others are not missing.
var nitrogen = regexp.MustCompile(`^(reports\[[0-9]+\]\.)(tkn|totalN|ammoniumN|organicN)$`)

func withoutUnread(read, more error) error {
	var f units.Faults
	for _, e := range units.FieldErrors(more) {
		echo := e.Kind == units.FaultMissing && slices.ContainsFunc(units.FieldErrors(read), func(u *units.FieldError) bool {
			a, b := nitrogen.FindStringSubmatch(e.Field), nitrogen.FindStringSubmatch(u.Field)
			return a != nil && b != nil && a[1] == b[1] && u.Kind != units.FaultKey
		})
		if !echo {
			f.Sub("", e)
		}
	}
	return f.Err()
}

func answer(w http.ResponseWriter, r *http.Request, state *nutrient.State, request Request, places places, err error, values map[string][]string) {
	var a Answer
	if err == nil {
		a, err = Calculate(state, request)
	} else if units.FieldErrors(err) != nil {
		_, more := Calculate(state, request)
		err = units.WithoutEchoes(err, withoutUnread(err, more))
	}
	faults := places.at(units.FieldErrors(err))
	if err != nil && faults == nil {
		faults = []*units.FieldError{units.Fault(units.FaultMalformed, "", units.Words("not readable: %v", units.Word(err.Error())), "one JSON object")}
	}
	status := http.StatusOK
	if faults != nil {
		status = http.StatusUnprocessableEntity
	}
	if wantsJSON(r) {
		v := newView(state, nil, request, nil, &a)
		var body any = told{a, v.Texts()}
		if faults != nil {
			list := make([]toldFault, len(faults))
			for i, e := range faults {
				list[i] = toldFault{e, v.Message(e)}
			}
			body = map[string]any{"faults": list}
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
	v := newView(state, values, request, faults, &a)
	if faults != nil {
		v.Answer = nil
	}
	respond(w, status, v)
}

// told is an answer as JSON: its figures, and the sentences of the page.
type told struct {
	Answer
	Texts Texts `json:"texts"`
}

// Texts are the sentences of the page, in the units of the request and the words of the
// state.
type Texts struct {
	Rate string   `json:"rate"` // how much may be spread, what sets it, and the land that the stock needs
	Ends []string `json:"ends"`
	Bans []string `json:"bans"`
	Open []string `json:"open"`
}

// toldFault is a fault as JSON with its sentence beside kind, field, got and want.
type toldFault struct {
	*units.FieldError
	message string
}

// MarshalJSON puts the sentence in front.
func (t toldFault) MarshalJSON() ([]byte, error) {
	fault, err := t.FieldError.MarshalJSON()
	message, err2 := json.Marshal(t.message)
	if err := errors.Join(err, err2); err != nil {
		return nil, err
	}
	return append(append(append([]byte(`{"message":`), message...), ','), fault[1:]...), nil
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

// newView lays out the page.
func newView(state *nutrient.State, values map[string][]string, r Request, faults []*units.FieldError, a *Answer) view {
	v := view{State: state, Form: newForm(state, values), Answer: a, style: units.Style{System: r.Units, Signs: signsOf(state), Translate: state.Translate}}
	v.Faults = v.Form.mark(faults)
	return v
}
