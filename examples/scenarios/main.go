// Scenarios shows what the uncertainty of every figure along a closure does to what
// comes out: stocks, rates, the limits that bind, land, nitrogen over the need after
// the error of calibration, time, cost and worth.
//
//	scenarios [-study file.json] [-sampling random|latin|factorial] [-draws n] [-seed n]
//	          [-workers n] [-state file] [-shard i/n] [-csv file] [-svg file]
//	scenarios -merge [-study file.json] [-csv file] [-svg file] state...
//
// The figures are a table in long form, a row for each figure of each output: mean,
// variance, skewness, ends and quantiles, how often each limit binds, and for each
// input the part of the variance that it explains alone ("first order") with the
// mean of the output at its lowest and at its highest values.
//
// The draws of a seed are the same whatever the number of workers, and one run, a
// run that was broken off and taken up again with -state, and shards put together
// with -merge give the same bits. Under a scheduler of batch jobs task i of 50 is
//
//	scenarios -draws 100000000 -shard $i/50 -state part.$i
//
// and afterwards scenarios -merge part.* gives the figures. A state is taken up by the
// program that wrote it only, with the study it was written for, and when its
// checksum holds. Output files are opened before the work, and the figures written
// before the picture. The faults of a study are
// listed with their paths; the exit status is then 2. A run that is broken off ends
// with 130 and keeps in the state file what it has done.
package main

import (
	"context"
	_ "embed"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime"
	"syscall"
	"time"

	"example.org/earthbasin/examples/internal/cli"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

//go:embed demo.json
var demo []byte

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// options is the command line.
type options struct {
	study, state, shard, csv, svg string
	sampling                      Sampling
	draws                         int64
	seed                          int64
	workers                       int
	merge                         bool
	files                         []string
}

// statusBroken is the exit status of a run that was interrupted.
const statusBroken = 130

// run is main with its surroundings given, so that the tests can call it. It
// returns the exit status: 0, 1 when a file cannot be read or written, 2 when the
// command, the study or a state is wrong, 130 when ctx ended.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	var o options
	flags := flag.NewFlagSet("scenarios", flag.ContinueOnError)
	flags.StringVar(&o.study, "study", "", "study `file` (JSON); the demo when empty")
	flags.TextVar(&o.sampling, "sampling", SamplingRandom, "`kind` of draws: random, latin or factorial")
	flags.Int64Var(&o.draws, "draws", 100_000, "`number` of draws; a factorial has its own")
	flags.Int64Var(&o.seed, "seed", 1, "`number` from which the random numbers start")
	flags.IntVar(&o.workers, "workers", runtime.GOMAXPROCS(0), "`number` of blocks at a time")
	flags.StringVar(&o.state, "state", "", "`file` that keeps what is done, and is taken up again")
	flags.StringVar(&o.shard, "shard", "", "part `i/n` of the draws, 1/n to n/n, into the state file")
	flags.BoolVar(&o.merge, "merge", false, "put the state files of all shards together")
	flags.StringVar(&o.csv, "csv", "", "output `file` for the figures; standard output when empty")
	flags.StringVar(&o.svg, "svg", "", "output `file` for the picture")
	if status, ok := cli.Parse(flags, args, true, stderr); !ok {
		return status
	}
	o.files = flags.Args()
	err := o.do(ctx, stdout, stderr)
	switch {
	case err == nil:
		return 0
	case err == context.Canceled: // and nothing else
		return statusBroken
	case units.FieldErrors(err) != nil:
		cli.Faults(stderr, "scenarios", "the input", err)
		return 2
	}
	fmt.Fprintln(stderr, "scenarios:", err)
	return 1
}

// do runs the study of the options.
func (o options) do(ctx context.Context, stdout, stderr io.Writer) error {
	data := demo
	if o.study != "" {
		var err error
		if data, err = os.ReadFile(o.study); err != nil {
			return err
		}
	}
	s, m, err := readStudy(data)
	if err != nil {
		return err
	}
	print, err := s.fingerprint()
	if err != nil {
		return err
	}
	var j *job
	if o.merge {
		j, err = o.merged(m, print)
	} else {
		j, err = o.job(m, print, stderr)
	}
	if err != nil {
		return err
	}
	out, err := o.open()
	if err != nil {
		return err
	}
	defer out.drop()
	broken := j.run(ctx)
	if broken != nil && onTerminal(stderr) {
		fmt.Fprintln(stderr) // below the line of the meter
	}
	var lost error
	if keeps := o.state != "" && !o.merge; keeps {
		lost = j.write(o.state)
		switch {
		case lost == nil && broken != nil:
			fmt.Fprintf(stderr, "scenarios: broken off after %d of %d draws; the same command goes on from %s\n", j.drawn(), j.due(), o.state)
			return broken
		case o.shard != "":
			return lost
		}
	}
	if broken != nil {
		fmt.Fprintf(stderr, "scenarios: broken off, the figures are those of %d of %d draws\n", j.drawn(), j.due())
	}
	if err := errors.Join(out.write(s, j, stdout, stderr), lost); err != nil {
		return err
	}
	return broken
}

// readStudy reads a study and makes it ready.
func readStudy(data []byte) (Study, *model, error) {
	var s Study
	var m *model
	err := strict.Check(data, &s, func() (err error) {
		m, err = newModel(s)
		return err
	})
	return s, m, err
}

// saveEvery is how long a run works before it keeps what it has: short against
// what would be lost, long against the writing.
const saveEvery = 20 * time.Second

// job makes the run of the options ready.
func (o options) job(m *model, study string, stderr io.Writer) (*job, error) {
	var f units.Faults
	d, err := newDesign(m, study, o.sampling, o.draws, o.seed)
	f.Sub("", err)
	if o.workers < 1 || o.workers > 1024 {
		f.Add("-workers", o.workers, "1 to 1024")
	}
	if len(o.files) > 0 {
		f.Add("arguments", o.files[0], "none without -merge")
	}
	part, parts := 1, 1
	if o.shard != "" {
		var rest string
		if n, _ := fmt.Sscanf(o.shard+" ", "%d/%d%s", &part, &parts, &rest); n != 2 || part < 1 || part > parts {
			f.Add("-shard", o.shard, "i/n from 1/n to n/n, such as 3/20")
		}
		if o.state == "" {
			f.Missing("-state", "a file for the shard")
		}
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	j := &job{model: m, design: d, done: forest{}, workers: o.workers}
	blocks := d.blocks()
	j.first, j.end = share(blocks, part-1, parts), share(blocks, part, parts)
	if o.state != "" {
		if err := j.resume(o.state); err != nil {
			return nil, err
		}
		if err := j.write(o.state); err != nil { // told before the work
			return nil, err
		}
		saved := time.Now()
		j.save = func() {
			if time.Since(saved) >= saveEvery {
				saved = time.Now()
				j.write(o.state) // when it fails now, it is tried again, and at the end
			}
		}
	}
	j.progress = newMeter(stderr, j.due(), j.drawn()).show
	return j, nil
}

// share returns where part number i of n parts of the blocks begins.
func share(blocks, i, n int) int { return int(float64(blocks) * float64(i) / float64(n)) }

func (o options) merged(m *model, study string) (*job, error) {
	var f units.Faults
	if len(o.files) == 0 {
		f.Missing("arguments", "the state files of all shards")
	}
	if o.state != "" || o.shard != "" {
		f.Say("-merge", "together with -state or -shard", "alone")
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	return mergeStates(m, study, o.files)
}

// outFiles are the files of figures and picture, open before the work; nil where none
// was asked for.
type outFiles struct{ figures, picture *cli.Output }

// open opens the files of the options. A shard by itself has no figures.
func (o options) open() (outFiles, error) {
	var out outFiles
	for path, file := range map[string]**cli.Output{o.csv: &out.figures, o.svg: &out.picture} {
		if path == "" || o.shard != "" {
			continue
		}
		var err error
		if *file, err = cli.Create(path); err != nil {
			out.drop()
			return outFiles{}, err
		}
	}
	return out, nil
}

func (out outFiles) drop() {
	for _, file := range []*cli.Output{out.figures, out.picture} {
		if file != nil {
			file.Drop()
		}
	}
}

// write writes figures and picture of what is done, the figures first: they are what
// the run was for.
func (out outFiles) write(s Study, j *job, stdout, stderr io.Writer) error {
	t := j.done.total(j.model)
	if t.Refused > 0 {
		fmt.Fprintf(stderr, "scenarios: %d of %d draws refused, the first one because %s\n", t.Refused, t.Draws+t.Refused, t.Fault)
	}
	figures, err := renderCSV(j.model, j.design, t)
	if err != nil {
		return err
	}
	if out.figures != nil {
		err = out.figures.Finish(figures)
	} else {
		_, err = stdout.Write(figures)
	}
	if err != nil || out.picture == nil {
		return err
	}
	return out.picture.Finish(renderSVG(j.model, s, j.design, t))
}
