// Scenarios shows what the doubt about the figures of a closure does to its plan: cost,
// days, land, loads, soil brought in and net worth, what each hangs on, and what knowing
// one figure better would be worth to the decisions.
//
//	scenarios [-scenario file.json] [-study file.json] [-sampling kind] [-draws n] [-seed n]
//	          [-workers n] [-knowing n] [-state file] [-shard i/n] [-csv file] [-rows file] [-svg file]
//	scenarios -merge [-scenario file.json] [-study file.json] [-csv file] [-svg file] state...
//
// The scenario is a file of examples/closure, the study names figures of it by their
// paths and what is known of each. Left out, the scenario is that of the demo and the study
// the scenario's own part doubt. The answer
// is a text; -csv writes the figures as a table in long form, -rows each draw, -svg
// pictures of the distributions.
//
// The draws of a seed are the same whatever the number of workers, and one run, a run
// that was interrupted and resumed with -state, and shards put together with -merge
// give the same bits. Under a scheduler of batch jobs task i of 50 is
//
//	scenarios -draws 1000000 -shard $i/50 -state part.$i
//
// and afterwards scenarios -merge part.* gives the figures. A state is taken up by the
// program that wrote it only, with the study it was written for, and when its checksum
// holds. The faults of a study are listed with their paths; the exit status is then 2. A
// run that is interrupted ends with 130 and keeps in the state file what it has done.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime"
	"runtime/debug"
	"syscall"

	"example.org/earthbasin/examples/internal/cli"
	"example.org/earthbasin/examples/scenarios/study"
	"example.org/earthbasin/units"
)

func main() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(400) // draws live shortly: collecting more often than this costs a fifth of the time
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// options is the command line.
type options struct {
	scenario, study, state, shard, csv, rows, svg string
	design                                        study.Design
	workers                                       int
	knowing                                       int64
	merge                                         bool
	files                                         []string
}

// statusBroken is the exit status of a run that was interrupted.
const statusBroken = 130

// run is main with its surroundings given, so that the tests can call it. It
// returns the exit status: 0, 1 when a file cannot be read or written, 2 when the
// command, the study or a state is wrong, 130 when ctx ended.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	var o options
	flags := flag.NewFlagSet("scenarios", flag.ContinueOnError)
	flags.StringVar(&o.scenario, "scenario", "", "scenario `file` of a closure (JSON); that of the demo when empty")
	flags.StringVar(&o.study, "study", "", "study `file` (JSON); the part doubt of the scenario when empty")
	flags.TextVar(&o.design.Sampling, "sampling", study.SamplingRandom, "`kind` of draws: random, latin, halton, factorial, indices or screen")
	flags.Int64Var(&o.design.Draws, "draws", 2000, "`number` of draws; a factorial has its own")
	flags.Int64Var(&o.design.Seed, "seed", 1, "`number` from which the random numbers start")
	flags.IntVar(&o.workers, "workers", runtime.GOMAXPROCS(0), "`number` of blocks at a time")
	flags.Int64Var(&o.knowing, "knowing", 500, "`number` of draws for what knowing better is worth; 0 for none")
	flags.StringVar(&o.state, "state", "", "`file` that keeps what is done, and is taken up again")
	flags.StringVar(&o.shard, "shard", "", "part `i/n` of the draws, 1/n to n/n, into the state file")
	flags.BoolVar(&o.merge, "merge", false, "put the state files of all shards together")
	flags.StringVar(&o.csv, "csv", "", "output `file` for the figures as a table")
	flags.StringVar(&o.rows, "rows", "", "output `file` for every draw as a table")
	flags.StringVar(&o.svg, "svg", "", "output `file` for the picture")
	if status, ok := cli.Parse(flags, args, true, stderr); !ok {
		return status
	}
	o.files = flags.Args()
	err := o.do(ctx, stdout, stderr)
	switch {
	case err == nil:
		return 0
	case err == context.Canceled || err == context.Cause(ctx): // and nothing else
		return statusBroken
	case units.FieldErrors(err) != nil:
		cli.Faults(stderr, units.Style{}, "scenarios", "the input", err)
		return cli.StatusWrong
	}
	fmt.Fprintln(stderr, "scenarios:", err)
	return cli.StatusFailed
}

// do runs the study of the options.
func (o options) do(ctx context.Context, stdout, stderr io.Writer) error {
	s, err := o.read(ctx)
	if err != nil {
		return err
	}
	j, err := o.job(s)
	if err != nil {
		return err
	}
	out, err := o.open(s)
	if err != nil {
		return err
	}
	defer out.drop()
	broken := o.work(ctx, j, out, stderr)
	if broken != nil && !errors.Is(broken, context.Canceled) {
		return broken
	}
	if o.state != "" && !o.merge {
		err := cli.WriteFile(o.state, j.State())
		switch {
		case err == nil && broken != nil:
			fmt.Fprintf(stderr, "scenarios: interrupted after %d of %d draws; the same command goes on from %s\n", j.Drawn(), j.Due(), o.state)
			return broken
		case err != nil || o.shard != "":
			return err
		}
	}
	if broken != nil {
		fmt.Fprintf(stderr, "scenarios: interrupted; the figures are those of %d of %d draws\n", j.Drawn(), j.Due())
	}
	if err := o.write(ctx, s, j.Result(), out, stdout, stderr); err != nil {
		return err
	}
	return broken
}
