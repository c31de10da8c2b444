// Service is a small host of the library: it stores basins, soundings, laboratory
// reports, fields and calibration records in a database, and answers what a basin
// holds, the rates of fields, an allocation and the plan of a closure.
//
//	service [-addr localhost:8076] [-db service.db]
//
//	PUT  /basins/lagoon    a spec in JSON; likewise surveys, reports, fields, records
//	GET  /basins/lagoon    the same back
//	POST /volume           {"basin": "lagoon", ...}; likewise rates, allocation, plan; with ?units=metric
//
// An answer has the result as data, and lines to be shown. Faults come as a form needs
// them: the field, what is wrong with it, and the kind, which sets the status.
package main

import (
	"cmp"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"net/http"
	"os"
	"time"

	_ "modernc.org/sqlite"

	"example.org/earthbasin/calibrate"
	"example.org/earthbasin/examples/closure/calendar"
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/internal/cli"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
	"example.org/earthbasin/volume"
)

func main() {
	flags := flag.NewFlagSet("service", flag.ContinueOnError)
	addr := flags.String("addr", "localhost:8076", "`address` to listen on")
	path := flags.String("db", "service.db", "database `file`, made when missing")
	if status, ok := cli.Parse(flags, os.Args[1:], false, os.Stderr); !ok {
		os.Exit(status)
	}
	s, err := open(*path)
	if err == nil {
		err = errors.Join(cli.Serve(context.Background(), os.Stdout, *addr, newHandler(s)), s.Close())
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "service:", err)
		os.Exit(cli.StatusFailed)
	}
}

const mostBody, mostTime = 4 << 20, 8 * time.Second // of one question, within what a server may take to write

func newHandler(s store) http.Handler {
	mux := http.NewServeMux()
	for pattern, answer := range map[string]func(context.Context, *http.Request, []byte) (Answer, error){
		"PUT /{kind}/{id}": s.put, "GET /{kind}/{id}": s.get,
		"POST /volume": asked(s.volumes), "POST /rates": asked(s.spread(rates)), "POST /allocation": asked(s.spread(allocate)), "POST /plan": asked(closure),
	} {
		mux.HandleFunc(pattern, func(w http.ResponseWriter, r *http.Request) {
			ctx, cancel := context.WithTimeout(r.Context(), mostTime) // work ends when the client goes, or its time is up
			defer cancel()
			a, style, f := Answer{}, units.Style{}, units.Faults{}
			f.Sub("units", style.System.UnmarshalText([]byte(cmp.Or(r.URL.Query().Get("units"), "US"))))
			body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, mostBody))
			if err = errors.Join(f.Err(), err); err == nil {
				a, err = answer(ctx, r, body)
			}
			reply(w, style, a, err)
		})
	}
	return mux
}

// statusOf is the status by the kind of a fault: what cannot be read, what is not
// there, what contradicts, and what reads well and cannot be.
var statusOf = map[units.FaultKind]int{
	units.FaultMalformed: http.StatusBadRequest, units.FaultUnit: http.StatusBadRequest, units.FaultKey: http.StatusBadRequest,
	units.FaultLacking: http.StatusNotFound, units.FaultConflict: http.StatusConflict,
}

// reply writes a result with its lines, or the faults of the question.
func reply(w http.ResponseWriter, style units.Style, a Answer, err error) {
	status, body := http.StatusOK, map[string]any{"result": a.Result, "lines": style.Lines(a.Working)}
	if faults := units.FieldErrors(err); faults != nil {
		status, body = cmp.Or(statusOf[faults[0].Kind], http.StatusUnprocessableEntity), map[string]any{"faults": style.Messages(faults)}
	} else if err != nil {
		status, body = http.StatusInternalServerError, map[string]any{"error": err.Error()}
		if errors.As(err, new(*http.MaxBytesError)) {
			status = http.StatusRequestEntityTooLarge
		} else if errors.Is(err, context.DeadlineExceeded) {
			status = http.StatusServiceUnavailable
		}
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	json.NewEncoder(w).Encode(body) // every result of the library has a JSON form
}

// kinds is what can be stored, and how each is made of its JSON: one check stands
// before the database and behind it.
var kinds = map[string]func(context.Context, []byte) (any, error){
	"basins":  made(volume.NewBasin),
	"surveys": made(sludge.NewSurvey),
	"reports": made(func(_ context.Context, r nutrient.AnalyzeSpec) (nutrient.Analysis, error) { return nutrient.Analyze(r) }),
	"fields":  made(func(_ context.Context, f allocation.Field) (allocation.Field, error) { return f, nil }), // checked when it is asked about
	"records": func(_ context.Context, data []byte) (any, error) { return calibrate.ParseRecord(data) },
}

func made[Spec, T any](from func(context.Context, Spec) (T, error)) func(context.Context, []byte) (any, error) {
	return func(ctx context.Context, data []byte) (any, error) {
		return strict.Make(data, func(spec Spec) (T, error) { return from(ctx, spec) })
	}
}

// Answer is a result as data, and its working to be shown.
type Answer struct {
	Result  any
	Working units.Working
}

// asked reads the question out of the body.
func asked[Spec any](answer func(context.Context, Spec) (Answer, error)) func(context.Context, *http.Request, []byte) (Answer, error) {
	return func(ctx context.Context, _ *http.Request, body []byte) (Answer, error) {
		return strict.Make(body, func(spec Spec) (Answer, error) { return answer(ctx, spec) })
	}
}

// store keeps specs as the JSON that people sent, whose text holds every quantity to
// the bit, in the unit in which it was measured.
type store struct{ *sql.DB }

func open(path string) (store, error) {
	db, err := sql.Open("sqlite", path)
	if err == nil {
		db.SetMaxOpenConns(1) // one file, one writer
		_, err = db.Exec(`CREATE TABLE IF NOT EXISTS things (kind TEXT, id TEXT, spec TEXT NOT NULL, PRIMARY KEY (kind, id))`)
	}
	return store{db}, err
}

func (s store) put(ctx context.Context, r *http.Request, data []byte) (a Answer, err error) {
	kind := r.PathValue("kind")
	if check := kinds[kind]; check == nil {
		err = units.Fault(units.FaultLacking, "kind", kind, "basins, surveys, reports, fields or records")
	} else if _, err = check(ctx, data); err == nil {
		_, err = s.ExecContext(ctx, `INSERT OR REPLACE INTO things VALUES (?, ?, ?)`, kind, r.PathValue("id"), string(data))
	}
	return a, err
}

func (s store) get(ctx context.Context, r *http.Request, _ []byte) (Answer, error) {
	data, err := s.spec(ctx, "id", r.PathValue("kind"), r.PathValue("id"))
	return Answer{Result: json.RawMessage(data)}, err
}

// spec returns what is stored; what is not is a fault of field.
func (s store) spec(ctx context.Context, field, kind, id string) (data []byte, err error) {
	err = s.QueryRowContext(ctx, `SELECT spec FROM things WHERE kind = ? AND id = ?`, kind, id).Scan(&data)
	if errors.Is(err, sql.ErrNoRows) {
		err = units.Fault(units.FaultLacking, field, id, "one of the "+kind+" that are stored")
	}
	return data, err
}

// stored makes a thing of what is stored.
func stored[T any](ctx context.Context, s store, f *units.Faults, field, kind, id string) (thing T) {
	data, err := s.spec(ctx, field, kind, id)
	if err == nil {
		var one any
		one, err = kinds[kind](ctx, data)
		thing, _ = one.(T)
	}
	f.Sub("", err)
	return thing
}

// VolumeSpec asks what a basin holds, of which the liquid stands so deep.
type VolumeSpec struct {
	Basin  string       `json:"basin"` // id
	Survey string       `json:"survey"`
	Depth  units.Length `json:"depth"`
}

func (s store) volumes(ctx context.Context, spec VolumeSpec) (a Answer, err error) {
	var f units.Faults
	basin := stored[volume.Basin](ctx, s, &f, "basin", "basins", spec.Basin)
	survey := stored[*sludge.Survey](ctx, s, &f, "survey", "surveys", spec.Survey)
	if f.Len() > 0 {
		return a, f.Err()
	}
	held, err := sludge.VolumeWithInterval(ctx, survey, sludge.VolumeSpec{Confidence: 0.95})
	if err != nil {
		return a, err
	}
	top, err := volume.HeightFor(basin, held.Volume)
	f.Sub("survey", err)
	if f.Between("depth", spec.Depth, top+units.Millimetre, basin.Depth()); f.Len() > 0 {
		return a, f.Err()
	}
	layers, err := volume.Layers(volume.LayersSpec{Basin: basin, FromFloor: []volume.LayerSpec{
		{Name: "sludge", Volume: held.Volume}, {Name: "liquid", Volume: basin.VolumeAt(spec.Depth) - held.Volume}}})
	return Answer{map[string]any{"sludge": held, "layers": layers}, append(held.Working(), layers.Working()...)}, err
}

// SpreadSpec asks how much each field may take of each material, and where all of it
// goes at least cost. Limits and prices are those of available N and P2O5.
type SpreadSpec struct {
	Fields    []string `json:"fields"` // ids
	Materials []struct {
		allocation.Material
		Report string          `json:"report"` // id
		State  *nutrient.State `json:"state"`  // id of a state of the library, or the whole of another
		Query  nutrient.Query  `json:"query"`
	} `json:"materials"`
	Prices []allocation.Price `json:"prices"`
}

// spread turns a question about what is stored into one for the library.
func (s store) spread(answer func(context.Context, allocation.AllocateSpec) (Answer, error)) func(context.Context, SpreadSpec) (Answer, error) {
	return func(ctx context.Context, spec SpreadSpec) (Answer, error) {
		ask := allocation.AllocateSpec{Seasons: []string{"the season"}, Prices: spec.Prices}
		var f units.Faults
		for i, m := range spec.Materials {
			at := f.At("materials", i)
			report := stored[nutrient.Analysis](ctx, s, &at, "report", "reports", m.Report)
			n, err := nutrient.Available(nutrient.AvailableSpec{Analysis: report, State: m.State, Query: m.Query, Years: 1})
			if at.Sub("", err); err == nil { // the high end counts, so that no field gets too much
				m.Holds = []allocation.Holding{{Of: "available N", Content: n.Years[0].N.High}, {Of: "P2O5", Content: report.P2O5()}}
			}
			ask.Materials = append(ask.Materials, m.Material)
		}
		for i, id := range spec.Fields {
			at := f.At("fields", i)
			ask.Fields = append(ask.Fields, stored[allocation.Field](ctx, s, &at, "", "fields", id))
		}
		if f.Len() > 0 {
			return Answer{}, f.Err()
		}
		return answer(ctx, ask)
	}
}

func rates(_ context.Context, ask allocation.AllocateSpec) (a Answer, err error) {
	results := map[string]nutrient.FieldRateResult{} // by field and material
	for _, f := range ask.Fields {
		for _, m := range ask.Materials {
			rate, wrong := nutrient.FieldRate(nutrient.FieldRateSpec{Limits: f.RateLimits(m)})
			err = errors.Join(err, wrong)
			results[f.Name+", "+m.Name], a.Working = rate, append(a.Working, rate.Working()...)
		}
	}
	a.Result = results
	return a, err
}

func allocate(ctx context.Context, ask allocation.AllocateSpec) (Answer, error) {
	r, err := allocation.Allocate(ctx, ask)
	return Answer{r, r.Working()}, err
}

func closure(ctx context.Context, scenario json.RawMessage) (Answer, error) {
	p, err := plan.Read(ctx, scenario)
	if err != nil {
		return Answer{}, err
	}
	return Answer{p.Results, cmp.Or(p.Results.Calendar, new(calendar.Result)).Working()}, nil
}
