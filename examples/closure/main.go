// Closure turns one scenario into a complete plan for closing an earthen manure
// storage or treatment lagoon: what the basin holds, which way to take it out,
// where it may go, whether the machines put it there at the right rate, and how
// the site is taken down, graded and seeded.
//
//	closure [-in scenario.json] [-format text|json|html] [-out file]
//
// Without -in it plans an invented farm. Every fault of a scenario is listed with
// its path; the exit status is then 2 and nothing is written.
package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/report"
	"example.org/earthbasin/examples/internal/cli"
)

func main() { os.Exit(run(context.Background(), os.Args[1:], os.Stdout, os.Stderr)) }

// run is main with its surroundings given, so that the tests can call it. It
// returns the exit status: 0, 1 when a file cannot be read or written, 2 when the
// command or the scenario is wrong.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("closure", flag.ContinueOnError)
	in := flags.String("in", "", "scenario `file` (JSON); the demo when empty")
	format := flags.String("format", "text", "output `format`: text, json or html")
	out := flags.String("out", "", "output `file`; standard output when empty")
	if status, ok := cli.Parse(flags, args, false, stderr); !ok {
		return status
	}
	render, ok := map[string]func(*report.Document) ([]byte, error){
		"text": (*report.Document).Text, "json": (*report.Document).JSON, "html": (*report.Document).HTML}[*format]
	if !ok {
		fmt.Fprintf(stderr, "closure: -format is %q, want text, json or html\n", *format)
		return 2
	}
	data := plan.Demo()
	if *in != "" {
		var err error
		if data, err = os.ReadFile(*in); err != nil {
			fmt.Fprintln(stderr, "closure:", err)
			return 1
		}
	}
	p, err := plan.Read(ctx, data)
	if err != nil {
		cli.Faults(stderr, "closure", "the scenario", err)
		return 2
	}
	text, err := render(report.New(p))
	if err != nil {
		fmt.Fprintln(stderr, "closure:", err)
		return 1
	}
	if *out == "" {
		_, err = stdout.Write(text)
	} else {
		err = cli.WriteFile(*out, text)
	}
	if err != nil {
		fmt.Fprintln(stderr, "closure:", err)
		return 1
	}
	return 0
}
