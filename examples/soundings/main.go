// Soundings works out a sludge volume with its interval, and where to sound next,
// from two CSV files, as a spreadsheet or the unit of a sonar writes them.
//
//	soundings [-in soundings.csv -boundary boundary.csv] [-floor "9 ft"] [-geojson map.json]
//
// The first line of a file names the columns: x and y, or lon and lat in degrees;
// for soundings also name, toSludge, toFloor or thickness, and levelRise. A length
// has its unit in the head of the column, as "toSludge (ft)", or in each cell.
// Sonar gives toSludge alone: -floor then says how deep the hard floor lies.
// Without files it takes an invented basin.
package main

import (
	_ "embed"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"

	"example.org/earthbasin/examples/internal/cli"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
)

var (
	//go:embed soundings.csv
	demoSoundings []byte
	//go:embed boundary.csv
	demoBoundary []byte
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

func run(args []string, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("soundings", flag.ContinueOnError)
	flags.SetOutput(stderr)
	in := flags.String("in", "", "CSV `file` of soundings")
	edge := flags.String("boundary", "", "CSV `file` of the corners of the boundary")
	mapFile := flags.String("geojson", "", "write boundary and soundings to a GeoJSON `file`; needs lon and lat")
	var floor units.Length
	flags.TextVar(&floor, "floor", floor, "`depth` of the hard floor where only the sludge top was measured")
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return 0
		}
		return 2
	}
	soundings, boundary := demoSoundings, demoBoundary
	if (*in == "") != (*edge == "") {
		fmt.Fprintln(stderr, "soundings: -in and -boundary belong together")
		return 2
	}
	if *in != "" {
		var errs [2]error
		soundings, errs[0] = os.ReadFile(*in)
		boundary, errs[1] = os.ReadFile(*edge)
		if err := errors.Join(errs[:]...); err != nil {
			fmt.Fprintln(stderr, "soundings:", err)
			return 1
		}
	}
	spec, frame, err := read(soundings, boundary)
	if err != nil {
		cli.Faults(stderr, "soundings", "the survey", err)
		return 2
	}
	if floor != 0 {
		spec.Floor = sludge.FlatFloor(floor)
	}
	survey, err := sludge.NewSurvey(spec)
	if err != nil {
		cli.Faults(stderr, "soundings", "the survey", err)
		return 2
	}
	volume, err := sludge.VolumeWithInterval(survey, sludge.VolumeSpec{Confidence: 0.95, Edge: sludge.EdgeNearest})
	if err != nil {
		cli.Faults(stderr, "soundings", "the survey", err)
		return 2
	}
	next, err := soundNext(survey, volume)
	if err != nil {
		cli.Faults(stderr, "soundings", "the survey", err)
		return 2
	}
	fmt.Fprintf(stdout, "%v\n%v\n%v", survey, volume, next)
	if *mapFile != "" {
		text, err := sludge.GeoJSON(sludge.GeoJSONSpec{Plane: frame, Survey: survey})
		if err == nil {
			err = cli.WriteFile(*mapFile, text)
		}
		if err != nil {
			fmt.Fprintln(stderr, "soundings:", err)
			return 1
		}
	}
	return 0
}

// soundNext names three places to sound next: by the model where there is one, else
// in the widest gaps.
func soundNext(survey *sludge.Survey, volume sludge.VolumeResult) (fmt.Stringer, error) {
	const most = 3
	k := volume.Kriged.Kriging()
	if k == nil {
		return survey.Gaps(sludge.GapsSpec{Most: most})
	}
	var block sludge.BlockSpec
	block.Boundary, block.Islands = survey.Boundary()
	return k.Next(sludge.NextSpec{Block: block, Most: most})
}
