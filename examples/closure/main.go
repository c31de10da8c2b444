// Closure turns one scenario into a complete plan for closing an earthen manure
// storage or treatment lagoon: what the basin holds, which way to take it out,
// where it may go, whether the machines put it there at the right rate, and how
// the site is taken down, graded and seeded.
//
//	closure [-in scenario.json] [-done records.csv] [-asOf day] [-format text|html|json|csv|ics|geojson|results] [-part summary,sheets,annex] [-units US|metric] [-out file]
//	closure -schema scenario|json|results [-out file]
//
// Without -in it plans an invented farm. -done adds records of what was put on, a line
// each, to those of the scenario, and -asOf plans from a day on. The plan has three parts: a summary, sheets to
// carry, and an annex with every working; -format results gives the plan's results as
// data, csv the bill of quantities,
// ics the work order for a calendar program, geojson the basin, the fields with their setbacks
// and what goes on each. Every fault of a scenario is listed with its path;
// the exit status is then 2 and nothing is written.
package main

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"runtime"
	"slices"
	"strings"

	"example.org/earthbasin/examples/closure/doubt"
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/report"
	"example.org/earthbasin/examples/internal/cli"
	"example.org/earthbasin/units"
)

func main() { os.Exit(run(context.Background(), os.Args[1:], os.Stdout, os.Stderr)) }

// run is main with its surroundings given, so that the tests can call it. It
// returns the exit status: 0, 1 when a file cannot be read or written, 2 when the
// command or the scenario is wrong.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("closure", flag.ContinueOnError)
	in := flags.String("in", "", "scenario `file` (JSON); the demo when empty")
	done := flags.String("done", "", "CSV `file` of records of what was put on, beside those of the scenario")
	asOf := flags.String("asOf", "", "`day` to plan from, such as 2026-07-09; that of the scenario when empty")
	format := flags.String("format", "text", "output `format`: "+strings.Join(slices.Sorted(maps.Keys(formats)), ", "))
	part := flags.String("part", "", "`parts` of text, html and json, such as summary,sheets; all when empty")
	system := flags.String("units", "US", "`system` of units: US or metric")
	out := flags.String("out", "", "output `file`; standard output when empty")
	schemas := report.Schemas()
	schema := flags.String("schema", "", "print the JSON Schema of `what` in place of a plan: "+strings.Join(slices.Sorted(maps.Keys(schemas)), ", "))
	if status, ok := cli.Parse(flags, args, false, stderr); !ok {
		return status
	}
	if *schema != "" {
		if schemas[*schema] == nil {
			fmt.Fprintf(stderr, "closure: -schema is %q, want %s\n", *schema, strings.Join(slices.Sorted(maps.Keys(schemas)), ", "))
			return 2
		}
		return write(*out, schemas[*schema], stdout, stderr)
	}
	var o report.Options
	render, ok := formats[*format]
	if !ok {
		fmt.Fprintf(stderr, "closure: -format is %q, want %s\n", *format, strings.Join(slices.Sorted(maps.Keys(formats)), ", "))
		return 2
	}
	if err := o.Style.System.UnmarshalText([]byte(*system)); err != nil {
		fmt.Fprintln(stderr, "closure: -units:", err)
		return 2
	}
	if *part != "" {
		if !slices.Contains(withParts, *format) {
			fmt.Fprintf(stderr, "closure: -part goes with -format %s, and -format is %q\n", strings.Join(withParts, ", "), *format)
			return 2
		}
		o.Parts = strings.Split(*part, ",")
	}
	for _, key := range o.Parts {
		if !slices.Contains(report.PartKeys(), key) {
			fmt.Fprintf(stderr, "closure: -part has %q, want %s\n", key, strings.Join(report.PartKeys(), ", "))
			return 2
		}
	}
	p, err := read(ctx, *in, *done, *asOf)
	if unread := new(fs.PathError); errors.As(err, &unread) {
		fmt.Fprintln(stderr, "closure:", err)
		return 1
	}
	if err != nil {
		cli.Faults(stderr, o.Style, "closure", "the scenario", err)
		return 2
	}
	paper := slices.Contains(withParts, *format) && (len(o.Parts) == 0 || slices.Contains(o.Parts, "summary") || slices.Contains(o.Parts, "annex"))
	if paper || *format == "results" { // the others do not say how sure the plan is
		if o.Doubt, err = doubt.Of(ctx, p, runtime.GOMAXPROCS(0)); err != nil {
			cli.Faults(stderr, o.Style, "closure", "the scenario", err)
			return 2
		}
	}
	text, err := render(p, o)
	if units.FieldErrors(err) != nil {
		cli.Faults(stderr, o.Style, "closure", "the scenario", err)
		return 2
	}
	if err != nil {
		fmt.Fprintln(stderr, "closure:", err)
		return 1
	}
	return write(*out, text, stdout, stderr)
}

// write puts text into a file, or onto the standard output, and returns the exit status.
func write(file string, text []byte, stdout, stderr io.Writer) int {
	var err error
	if file == "" {
		_, err = stdout.Write(text)
	} else {
		err = cli.WriteFile(file, text)
	}
	if err != nil {
		fmt.Fprintln(stderr, "closure:", err)
		return 1
	}
	return 0
}

// withParts are the formats that have parts.
var withParts = []string{"text", "html", "json"}

// formats are the forms in which a plan is written.
var formats = map[string]func(*plan.Plan, report.Options) ([]byte, error){
	"text":    func(p *plan.Plan, o report.Options) ([]byte, error) { return report.New(p, o).Text() },
	"html":    func(p *plan.Plan, o report.Options) ([]byte, error) { return report.New(p, o).HTML() },
	"json":    func(p *plan.Plan, o report.Options) ([]byte, error) { return report.New(p, o).JSON() },
	"csv":     func(p *plan.Plan, o report.Options) ([]byte, error) { return report.CSV(p, o.Style) },
	"ics":     func(p *plan.Plan, o report.Options) ([]byte, error) { return report.ICalendar(p, o.Style) },
	"geojson": func(p *plan.Plan, o report.Options) ([]byte, error) { return p.GeoJSON(o.Style.System) },
	"results": func(p *plan.Plan, o report.Options) ([]byte, error) {
		text, err := json.MarshalIndent(report.Results{Results: *p.Results, Doubt: o.Doubt}, "", "  ")
		return append(text, 10), err
	},
}
