// Plot draws results of the library with gonum's plot: a surface of sludge as a heat
// map with contours, a stage-storage curve, and the catch of a spreader. The
// library's views fit the interfaces of the plotters, so that nothing stands between
// them. It is a module of its own, so that the library does not depend on plot.
//
//	plot [-out folder] [-format png|svg]
package main

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"

	"example.org/earthbasin/examples/internal/cli"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// picture is a plot with its name and size.
type picture struct {
	name          string
	plot          *plot.Plot
	width, height vg.Length
}

// run is main with its surroundings given, so that the tests can call it. It
// returns the exit status: 0, 1 when a picture cannot be made or written, 2 when the
// command is wrong.
func run(args []string, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("plot", flag.ContinueOnError)
	out := flags.String("out", ".", "`folder` for the pictures, made when missing")
	format := flags.String("format", "png", "`format` of the pictures: png or svg")
	if status, ok := cli.Parse(flags, args, false, stderr); !ok {
		return status
	}
	if *format != "png" && *format != "svg" {
		fmt.Fprintf(stderr, "plot: -format is %q, want png or svg\n", *format)
		return 2
	}
	for _, draw := range []func() (picture, error){sludgeMap, storage, catch, overlap} {
		p, err := draw()
		if err == nil {
			path := filepath.Join(*out, p.name+"."+*format)
			if err = p.write(path, *format); err == nil {
				fmt.Fprintln(stdout, path)
			}
		}
		if err != nil {
			fmt.Fprintln(stderr, "plot:", err)
			return 1
		}
	}
	return 0
}

// write draws the picture into a file.
func (p picture) write(path, format string) error {
	drawn, err := p.plot.WriterTo(p.width, p.height, format)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if _, err := drawn.WriteTo(&b); err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	return cli.WriteFile(path, b.Bytes())
}
