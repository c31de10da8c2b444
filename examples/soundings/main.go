// Soundings works out a sludge volume with its interval, and where to sound next,
// from two CSV files, as a spreadsheet or the unit of a sonar writes them.
//
//	soundings [-in soundings.csv -boundary boundary.csv] [-floor "9 ft"] [flags]
//
// The first line of a file names the columns, in any order: x and y, or lon and lat in
// degrees; for soundings also name, toSludge, toFloor or thickness, levelRise, and
// track, which tells the soundings of one boat track, day or pole by any word; for the
// boundary also ring, where islands follow the edge as rings of their own. A length has
// its unit in the head of the column, as "toSludge (ft)", or in each cell.
//
// What the boundary is has to be told by -sides: without it there is no interval. Sonar
// gives toSludge alone: -floor then says how deep the hard floor lies, and -slope how
// steep its banks come up to the boundary. The error of a reading is given by -reading,
// one that a whole track shares by -shared. Pings of one place are merged with
// -duplicates mean. Faults are told by the lines of the files. Without files it takes an
// invented basin.
package main

import (
	"context"

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

// options is the command line.
type options struct {
	in, boundary, geoJSON string

	floor    units.Length // 0: measured
	contours units.Length // between the lines of the map; 0: none
	survey   sludge.SurveySpec
	volume   sludge.VolumeSpec
	edge     sludge.EdgeRule // of the surface that the contours are drawn on
	slope    float64         // of the banks down to the floor; 0: a flat floor
	next     int
}

// flagOf names the flag by which a field of the library's specs is set, for faults.
var flagOf = map[string]string{
	"duplicates": "-duplicates", "outside": "-outside", "floorTolerance": "-tolerance", "confidence": "-confidence",
	"volume.confidence": "-confidence", "volume.readingSD": "-reading", "volume.sharedSD": "-shared", "edge": "-edge", "most": "-next",
	"levels": "-contours",
}

func run(args []string, stdout, stderr io.Writer) int {
	var o options
	flags := flag.NewFlagSet("soundings", flag.ContinueOnError)
	flags.StringVar(&o.in, "in", "", "CSV `file` of soundings")
	flags.StringVar(&o.boundary, "boundary", "", "CSV `file` of the corners of the boundary")
	flags.StringVar(&o.geoJSON, "geojson", "", "write boundary and soundings to a GeoJSON `file`; needs lon and lat")
	flags.TextVar(&o.contours, "contours", o.contours, "`step` of thickness between the contour lines of the GeoJSON file")
	flags.TextVar(&o.floor, "floor", o.floor, "`depth` of the hard floor where only the sludge top was measured")
	flags.TextVar(&o.survey.FloorTolerance, "tolerance", o.survey.FloorTolerance, "`depth` below that floor at which a sludge top still counts as bare floor")
	flags.TextVar(&o.survey.Duplicates, "duplicates", o.survey.Duplicates, "`rule` for soundings at one place: refuse or mean")
	flags.TextVar(&o.survey.Outside, "outside", o.survey.Outside, "`rule` for soundings outside the boundary: refuse, drop or keep")
	flags.Float64Var(&o.volume.Confidence, "confidence", 0.95, "`share` of surveys whose interval holds the volume")
	flags.TextVar(&o.survey.Sides, "sides", o.survey.Sides, "`what` the boundary is: banks (the waterline of sloped banks), vertical or unknown")
	flags.Float64Var(&o.slope, "slope", 0, "`run` per rise of the banks that come up from -floor to the boundary")
	flags.TextVar(&o.volume.BankRule, "bankrule", o.volume.BankRule, "`how` the sludge meets the banks: open, level or draped")
	flags.TextVar(&o.volume.ReadingSD, "reading", o.volume.ReadingSD, "standard `error` of one reading")
	flags.TextVar(&o.volume.SharedSD, "shared", o.volume.SharedSD, "standard `error` that all readings share")
	flags.TextVar(&o.edge, "edge", sludge.EdgeNearest, "`rule` for the surface of the contours, where it meets the boundary: zero, nearest or refuse")
	flags.IntVar(&o.next, "next", 3, "`number` of places to sound next")
	if status, ok := cli.Parse(flags, args, false, stderr); !ok {
		return status
	}
	if (o.in == "") != (o.boundary == "") {
		fmt.Fprintln(stderr, "soundings: -in and -boundary belong together")
		return cli.StatusWrong
	}
	err := o.do(stdout)
	switch {
	case units.FieldErrors(err) != nil:
		cli.Faults(stderr, units.Style{}, "soundings", "the survey", err)
		return cli.StatusWrong
	case err != nil:
		fmt.Fprintln(stderr, "soundings:", err)
		return cli.StatusFailed
	}
	return 0
}

// do reads the survey, works out the volume and prints it.
func (o options) do(stdout io.Writer) error {
	f := files{soundings: demoSoundings, boundary: demoBoundary, soundingsName: "soundings.csv", boundaryName: "boundary.csv"}
	if o.in != "" {
		var errs [2]error
		f.soundingsName, f.boundaryName = o.in, o.boundary
		f.soundings, errs[0] = os.ReadFile(o.in)
		f.boundary, errs[1] = os.ReadFile(o.boundary)
		if err := errors.Join(errs[:]...); err != nil {
			return err
		}
	}
	if o.in == "" && o.survey.Sides == sludge.SidesUnknown {
		o.survey.Sides = sludge.SidesBanks
	}
	in, err := f.read(o.survey, o.floor, o.slope)
	if err != nil {
		return err
	}
	if o.geoJSON != "" && in.frame == nil {
		return units.Fault(units.FaultConflict, "-geojson", units.Words("places by x and y"), "places by lon and lat in both files")
	}
	survey, err := sludge.NewSurvey(context.Background(), in.spec)
	if err != nil {
		return in.cite(err)
	}
	next, err := sludge.Next(context.Background(), survey, sludge.NextSpec{Volume: o.volume, Most: o.next})
	if err != nil {
		return in.cite(err)
	}
	gaps, err := survey.Gaps(sludge.GapsSpec{Most: o.next})
	if err != nil {
		return in.cite(err)
	}
	if o.geoJSON != "" {
		if err := o.writeMap(in.frame, survey); err != nil {
			return in.cite(err)
		}
	}
	fmt.Fprintf(stdout, "%v\n%v\n", survey, next.Volume)
	if len(next.Places) > 0 {
		fmt.Fprint(stdout, next)
	} else {
		fmt.Fprint(stdout, gaps)
	}
	return nil
}
