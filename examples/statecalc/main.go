// Statecalc is what an extension programmer of one state would ship: a form on
// the machine of the user that says how much of a manure's nitrogen counts under
// the rules of that state and how much of it a field may take. All rules are in
// one coefficient-set file; the program has no figure of its own.
//
//	statecalc [-addr localhost:8075] [-set file.json]
//
// The page works without scripts, from the keyboard and with a screen reader.
// The same address answers in JSON to a client that asks for application/json.
package main

import (
	_ "embed"
	"flag"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"time"

	"example.org/earthbasin/examples/internal/cli"
	"example.org/earthbasin/nutrient"
)

//go:embed wexmoor.json
var wexmoor []byte

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

func run(args []string, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("statecalc", flag.ContinueOnError)
	addr := flags.String("addr", "localhost:8075", "`address` to listen on")
	file := flags.String("set", "", "coefficient set `file`; that of an invented state when empty")
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
	set, err := nutrient.ParseSet(data)
	if err != nil {
		cli.Faults(stderr, "statecalc", "the coefficient set", err)
		return 2
	}
	l, err := net.Listen("tcp", *addr)
	if err != nil {
		fmt.Fprintln(stderr, "statecalc:", err)
		return 1
	}
	fmt.Fprintf(stdout, "http://%s/\n", l.Addr())
	server := &http.Server{Handler: newHandler(set), ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 10 * time.Second}
	fmt.Fprintln(stderr, "statecalc:", server.Serve(l))
	return 1
}
