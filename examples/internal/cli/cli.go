// Package cli holds what the example programs share around their work: the flags,
// the list of faults on standard error, and files that are written whole or not at
// all.
package cli

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"strings"

	"example.org/earthbasin/units"
)

// Exit statuses of the programs.
const (
	StatusFailed = 1 // a file cannot be read or written
	StatusWrong  = 2 // the command or what a file says is wrong
)

// Parse reads the flags in args, and the operands behind them when the program has
// any. Ok is false when the program is to end with status: 0 after the help that was
// asked for, [StatusWrong] after a fault, which is told on stderr.
func Parse(flags *flag.FlagSet, args []string, operands bool, stderr io.Writer) (status int, ok bool) {
	flags.Init(flags.Name(), flag.ContinueOnError)
	flags.SetOutput(stderr)
	switch err := flags.Parse(args); {
	case errors.Is(err, flag.ErrHelp):
		return 0, false
	case err != nil:
		return StatusWrong, false
	case flags.NArg() > 0 && !operands:
		fmt.Fprintf(stderr, "%s: got %q, want no arguments besides the flags\n", flags.Name(), flags.Arg(0))
		return StatusWrong, false
	}
	return 0, true
}

// mostShown is how many faults are printed; a file of many lines can have one in each.
const mostShown = 200

// Faults prints the faults in what, such as "the scenario", under the name of the
// program, one to a line, in the units of the style.
func Faults(w io.Writer, style units.Style, program, what string, err error) {
	faults := strings.Split(style.Faults(err), "\n")
	s := "s"
	if len(faults) == 1 {
		s = ""
	}
	fmt.Fprintf(w, "%s: %d fault%s in %s\n", program, len(faults), s, what)
	for _, f := range faults[:min(len(faults), mostShown)] {
		fmt.Fprintln(w, "  "+f)
	}
	if more := len(faults) - mostShown; more > 0 {
		fmt.Fprintf(w, "  and %d more\n", more)
	}
}
