package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"example.org/earthbasin/examples/closure/doubt"
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/internal/cli"
	"example.org/earthbasin/examples/scenarios/picture"
	"example.org/earthbasin/examples/scenarios/study"
	"example.org/earthbasin/units"
)

// file returns what is in the file at path, or instead when there is no path.
func file(path string, instead []byte) ([]byte, error) {
	if path == "" {
		return instead, nil
	}
	return os.ReadFile(path)
}

// read reads scenario and study and makes the study ready. Faults of the two are not
// mixed up, since their paths are of two files.
func (o options) read(ctx context.Context) (*doubt.Study, error) {
	ctx = context.WithoutCancel(ctx) // so that a run that is interrupted at once keeps its state
	data, err := file(o.scenario, plan.Demo())
	if err != nil {
		return nil, err
	}
	text, err := file(o.study, nil)
	if err != nil {
		return nil, err
	}
	p, err := plan.Read(ctx, data)
	if err != nil {
		return nil, err
	}
	var spec study.Spec
	switch {
	case o.study != "":
		spec, err = study.ReadSpec(text)
	case p.Scenario.Doubt != nil:
		spec = p.Scenario.Doubt.Spec
	default:
		var f units.Faults
		f.Missing("-study", "the file of a study, or a scenario with its part doubt")
		err = f.Err()
	}
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(append(append(data, 0), text...))
	return doubt.New(ctx, p.Scenario, spec, hex.EncodeToString(sum[:8])+" "+version())
}

// job makes the run of the options ready.
func (o options) job(s *doubt.Study) (*study.Job, error) {
	var f units.Faults
	if o.merge {
		return o.merged(s)
	}
	f.CountBetween("-workers", o.workers, "workers", 1, 1024)
	if len(o.files) > 0 {
		f.Add("arguments", o.files[0], "none without -merge")
	}
	var part study.Part
	if o.shard != "" {
		var rest string
		if n, _ := fmt.Sscanf(o.shard+" ", "%d/%d%s", &part.Number, &part.Of, &rest); n != 2 || part.Number < 1 || part.Number > part.Of {
			f.Add("-shard", o.shard, "i/n from 1/n to n/n, such as 3/20")
		}
		if o.state == "" {
			f.Missing("-state", "a file for the shard")
		}
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	if o.state != "" {
		switch text, err := os.ReadFile(o.state); {
		case err == nil && o.rows != "":
			f.Say("-rows", "with the state of a run that was begun", "the first draws too: without that state")
			return nil, f.Err()
		case err == nil:
			j, err := s.Resume(o.design, part, text)
			return j, inFile(o.state, err)
		case !errors.Is(err, os.ErrNotExist):
			return nil, err
		}
	}
	j, err := s.Start(o.design, part)
	if err == nil && o.state != "" {
		err = cli.WriteFile(o.state, j.State()) // told before the work
	}
	return j, err
}

// merged puts state files together.
func (o options) merged(s *doubt.Study) (*study.Job, error) {
	var f units.Faults
	if len(o.files) == 0 {
		f.Missing("arguments", "the state files of all shards")
	}
	if o.state != "" || o.shard != "" || o.rows != "" {
		f.Say("-merge", "together with -state, -shard or -rows", "alone")
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	texts := make([][]byte, len(o.files))
	for i, path := range o.files {
		var err error
		if texts[i], err = os.ReadFile(path); err != nil {
			return nil, err
		}
	}
	j, err := s.Merge(texts...)
	for i, path := range o.files {
		err = renamed(err, fmt.Sprintf("states[%d]", i), path)
	}
	return j, err
}

// inFile puts the name of a file before the paths of faults.
func inFile(path string, err error) error {
	var list []error
	for _, f := range units.FieldErrors(err) {
		at := path
		if f.Field != "" {
			at += ": " + f.Field
		}
		list = append(list, f.At(at))
	}
	if list == nil {
		return err
	}
	return errors.Join(list...)
}

// renamed puts the name of a file in place of a path before the paths below it.
func renamed(err error, from, path string) error {
	var list []error
	for _, f := range units.FieldErrors(err) {
		if units.PathWithin(f.Field, from) {
			list = append(list, inFile(path, f.At(trimDot(f.Field[len(from):]))))
			continue
		}
		list = append(list, f)
	}
	if list == nil {
		return err
	}
	return errors.Join(list...)
}

func trimDot(path string) string {
	if path != "" && path[0] == '.' {
		return path[1:]
	}
	return path
}

// saveEvery is how long a run works before it keeps what it has: short against
// what would be lost, long against the writing.
const saveEvery = 20 * time.Second

// work runs the job.
func (o options) work(ctx context.Context, j *study.Job, out *outFiles, stderr io.Writer) error {
	run := study.Options{Workers: o.workers, Every: saveEvery, Progress: newMeter(stderr, j.Due(), j.Drawn()).show, Rows: out.row}
	if o.state != "" && !o.merge {
		run.Save = func() { cli.WriteFile(o.state, j.State()) } // when it fails now, it is tried again, and at the end
	}
	if o.merge {
		return nil
	}
	err := j.Run(ctx, run)
	if err != nil && onTerminal(stderr) {
		fmt.Fprintln(stderr) // below the line of the meter
	}
	return err
}

// write writes the answers, the text first: it is what the run was for.
func (o options) write(ctx context.Context, s *doubt.Study, r study.Result, out *outFiles, stdout, stderr io.Writer) error {
	if r.Refused > 0 {
		fmt.Fprintf(stderr, "scenarios: %d of %d draws refused, the first one because %s\n", r.Refused, r.Draws+r.Refused, r.Fault)
	}
	if _, err := fmt.Fprintf(stdout, "%s\n\n%v", s.Spec.Title, r); err != nil {
		return err
	}
	if o.knowing > 0 && ctx.Err() == nil {
		k, err := s.Knowing(ctx, o.knowing, o.design.Seed, o.workers)
		switch {
		case err == doubt.ErrOneWay || err == doubt.ErrFew:
			_, err = fmt.Fprintf(stdout, "\nNothing to decide: %v.\n", err)
		case err == nil:
			_, err = fmt.Fprintf(stdout, "\n%v", k)
		}
		if err != nil {
			return err
		}
	}
	return out.finish(s, r)
}

// outFiles are the files of the answers, open before the work; nil where none was asked
// for.
type outFiles struct {
	figures, rows, picture *cli.Output
	row                    func(draw int64, values, out []float64, err error) error
}

// open opens the files of the options. A shard by itself has rows only.
func (o options) open(s *doubt.Study) (*outFiles, error) {
	out := &outFiles{}
	if o.shard != "" {
		o.csv, o.svg = "", ""
	}
	for _, x := range []struct {
		path string
		file **cli.Output
	}{{o.csv, &out.figures}, {o.rows, &out.rows}, {o.svg, &out.picture}} {
		if x.path == "" {
			continue
		}
		var err error
		if *x.file, err = cli.Create(x.path); err != nil {
			out.drop()
			return nil, err
		}
	}
	if out.rows == nil {
		return out, nil
	}
	head, row := s.RowsCSV(func(row []byte) error { _, err := out.rows.Write(row); return err })
	out.row = row
	_, err := out.rows.Write(head)
	return out, err
}

func (out *outFiles) drop() {
	for _, file := range []*cli.Output{out.figures, out.rows, out.picture} {
		if file != nil {
			file.Drop()
		}
	}
}

// finish puts the files in their places.
func (out *outFiles) finish(s *doubt.Study, r study.Result) error {
	if out.rows != nil {
		if err := out.rows.Finish(nil); err != nil {
			return err
		}
	}
	if out.figures != nil {
		figures, err := r.CSV()
		if err == nil {
			err = out.figures.Finish(figures)
		}
		if err != nil {
			return err
		}
	}
	if out.picture == nil {
		return nil
	}
	return out.picture.Finish(picture.SVG(s.Spec.Title, r, s.Spec.Show))
}
