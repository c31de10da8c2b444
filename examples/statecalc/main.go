// Statecalc is what an extension programmer of one state would ship: a form on
// the machine of the user that says how much of a manure's nitrogen counts under
// the rules of that state and how much of it a field may take. All rules are in
// one file; the program has no figure of its own.
//
//	statecalc [-addr localhost:8075] [-state file.json]
//
// The file may stand on a state that comes with the library, by its base. The page works
// without scripts, from the keyboard and with a screen reader. The same address
// answers in JSON to a client that asks for application/json. At an interrupt or
// SIGTERM the program finishes the requests that it has begun, and ends with 0.
package main

import (
	"context"
	_ "embed"
	"flag"
	"fmt"
	"io"
	"os"

	"example.org/earthbasin/examples/internal/cli"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

//go:embed wexmoor.json
var wexmoor []byte

func main() { os.Exit(run(context.Background(), os.Args[1:], os.Stdout, os.Stderr)) }

func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("statecalc", flag.ContinueOnError)
	addr := flags.String("addr", "localhost:8075", "`address` to listen on")
	file := flags.String("state", "", "`file` with the rules of a state; an invented state when empty")
	if status, ok := cli.Parse(flags, args, false, stderr); !ok {
		return status
	}
	data := wexmoor
	if *file != "" {
		var err error
		if data, err = os.ReadFile(*file); err != nil {
			fmt.Fprintln(stderr, "statecalc:", err)
			return 1
		}
	}
	state, err := nutrient.ParseState(data)
	if err != nil {
		cli.Faults(stderr, units.Style{}, "statecalc", "the state", err)
		return 2
	}
	for _, remark := range state.Remarks() {
		fmt.Fprintln(stderr, "statecalc: the state:", remark)
	}
	if err := cli.Serve(ctx, stdout, *addr, newHandler(state)); err != nil {
		fmt.Fprintln(stderr, "statecalc:", err)
		return 1
	}
	return 0
}
