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
	"net"
	"net/http"
	"os"
	"os/signal"
	"syscall"
	"time"

	_ "modernc.org/sqlite"

	"example.org/earthbasin/examples/internal/cli"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	flags := flag.NewFlagSet("service", flag.ContinueOnError)
	addr := flags.String("addr", "localhost:8076", "`address` to listen on")
	path := flags.String("db", "service.db", "database `file`, made when missing")
	if status, ok := cli.Parse(flags, os.Args[1:], false, os.Stderr); !ok {
		os.Exit(status)
	}
	db, err := open(*path)
	if err == nil {
		defer db.Close()
		var l net.Listener
		if l, err = net.Listen("tcp", *addr); err == nil {
			fmt.Printf("http://%s/\n", l.Addr())
			err = cli.Serve(ctx, l, newHandler(db))
		}
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "service:", err)
		os.Exit(cli.StatusFailed)
	}
}

// open makes the table: specs as the JSON that people sent, whose text holds every
// quantity to the bit, in the unit in which it was measured.
func open(path string) (*sql.DB, error) {
	db, err := sql.Open("sqlite", path)
	if err == nil {
		db.SetMaxOpenConns(1) // one file, one writer
		_, err = db.Exec(`CREATE TABLE IF NOT EXISTS things (kind TEXT, id TEXT, spec TEXT NOT NULL, PRIMARY KEY (kind, id))`)
	}
	return db, err
}

const (
	mostBody = 4 << 20
	mostTime = 8 * time.Second // of one question, within what a server may take to write
)

func newHandler(db *sql.DB) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("PUT /{kind}/{id}", func(w http.ResponseWriter, r *http.Request) {
		data, err := read(w, r)
		if check, known := kinds[r.PathValue("kind")]; err == nil && known {
			_, err = check(data)
		} else if err == nil {
			err = units.Fault(units.FaultLacking, "kind", r.PathValue("kind"), "basins, surveys, reports, fields or records")
		}
		if err == nil {
			_, err = db.ExecContext(r.Context(), `INSERT OR REPLACE INTO things VALUES (?, ?, ?)`, r.PathValue("kind"), r.PathValue("id"), string(data))
		}
		reply(w, r, nil, nil, err)
	})
	mux.HandleFunc("GET /{kind}/{id}", func(w http.ResponseWriter, r *http.Request) {
		data, err := spec(r.Context(), db, "id", r.PathValue("kind"), r.PathValue("id"))
		reply(w, r, json.RawMessage(data), nil, err)
	})
	mux.HandleFunc("POST /volume", asked(db, volumes))
	mux.HandleFunc("POST /rates", asked(db, rates))
	mux.HandleFunc("POST /allocation", asked(db, allocate))
	mux.HandleFunc("POST /plan", asked(db, closure))
	return mux
}

// asked answers one kind of question. When the client goes or the time is up, the
// work ends.
func asked[Spec any](db *sql.DB, answer func(context.Context, *sql.DB, Spec) (Answer, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		ctx, cancel := context.WithTimeout(r.Context(), mostTime)
		defer cancel()
		var spec Spec
		var a Answer
		data, err := read(w, r)
		if err == nil {
			err = strict.Check(data, &spec, func() (err error) { a, err = answer(ctx, db, spec); return err })
		}
		reply(w, r, a.Result, a.Working, err)
	}
}

func read(w http.ResponseWriter, r *http.Request) ([]byte, error) {
	data, err := io.ReadAll(http.MaxBytesReader(w, r.Body, mostBody))
	if tooLarge := (*http.MaxBytesError)(nil); errors.As(err, &tooLarge) {
		err = units.Fault(units.FaultCount, "", units.Words("more than %v bytes", mostBody), "less")
	}
	return data, err
}

// statusOf is the status by the kind of a fault: what cannot be read, what is not
// there, what contradicts, and what reads well and cannot be.
var statusOf = map[units.FaultKind]int{
	units.FaultMalformed: http.StatusBadRequest, units.FaultUnit: http.StatusBadRequest, units.FaultKey: http.StatusBadRequest,
	units.FaultLacking: http.StatusNotFound, units.FaultConflict: http.StatusConflict,
}

// reply writes a result with its lines, or the faults of the question, in the units
// that the client asks for.
func reply(w http.ResponseWriter, r *http.Request, result any, working units.Working, err error) {
	var style units.Style
	style.System.UnmarshalText([]byte(r.URL.Query().Get("units"))) // US where it says nothing
	status, body, lines := http.StatusOK, map[string]any{"result": result}, []map[string]any{}
	switch faults := units.FieldErrors(err); {
	case faults != nil:
		for _, f := range faults {
			lines = append(lines, map[string]any{"field": f.Field, "kind": f.Kind, "message": style.Message(f), "line": f.Line, "column": f.Column})
		}
		status, body = cmp.Or(statusOf[faults[0].Kind], http.StatusUnprocessableEntity), map[string]any{"faults": lines}
	case errors.Is(err, context.DeadlineExceeded):
		status, body = http.StatusServiceUnavailable, map[string]any{"error": "the question takes too long"}
	case err != nil:
		status, body = http.StatusInternalServerError, map[string]any{"error": err.Error()}
	default:
		for _, l := range working {
			item, value, how := style.Line(l)
			lines = append(lines, map[string]any{"item": item, "value": value, "how": how})
		}
		body["lines"] = lines
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	json.NewEncoder(w).Encode(body) // every result of the library has a JSON form
}
