// Soundings works out a sludge volume with its interval, and where to sound next,
// from two CSV files, as a spreadsheet or the unit of a sonar writes them.
//
//	soundings [-in soundings.csv -boundary boundary.csv] [-floor "9 ft"] [flags]
//
// The first line of a file names the columns, in any order: x and y, or lon and lat in
// degrees; for soundings also name, toSludge, toFloor or thickness, and levelRise; for
// the boundary also ring, where islands follow the edge as rings of their own. A
// length has its unit in the head of the column, as "toSludge (ft)", or in each cell.
//
// Sonar gives toSludge alone: -floor then says how deep the hard floor lies, and the
// places count as chosen along a track unless -placement says otherwise. Pings of
// one place are merged with -duplicates mean. Faults are told by the lines of the
// files. Without files it takes an invented basin.
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
	"example.org/earthbasin/sludge/geostat"
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
	placed   bool // -placement was given
	next     int
}

// flagOf names the flag by which a field of the library's specs is set, for faults.
var flagOf = map[string]string{
	"duplicates": "-duplicates", "outside": "-outside", "floorTolerance": "-tolerance", "confidence": "-confidence",
	"method": "-method", "placement": "-placement", "edge": "-edge", "most": "-next", "levels": "-contours",
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
	flags.TextVar(&o.volume.Method, "method", o.volume.Method, "`way` to the volume: auto, block kriging or design-based mean")
	flags.TextVar(&o.volume.Placement, "placement", o.volume.Placement, "`how` the places were taken: spread (random or a grid), or chosen (by judgement or along a track)")
	flags.TextVar(&o.volume.Edge, "edge", sludge.EdgeNearest, "`rule` for the triangulated surface beside, where it meets the boundary: zero, nearest or refuse")
	flags.IntVar(&o.next, "next", 3, "`number` of places to sound next")
	if status, ok := cli.Parse(flags, args, false, stderr); !ok {
		return status
	}
	flags.Visit(func(f *flag.Flag) { o.placed = o.placed || f.Name == "placement" })
	if (o.in == "") != (o.boundary == "") {
		fmt.Fprintln(stderr, "soundings: -in and -boundary belong together")
		return cli.StatusWrong
	}
	err := o.do(stdout)
	switch {
	case units.FieldErrors(err) != nil:
		cli.Faults(stderr, "soundings", "the survey", err)
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
	in, err := f.read(o.survey, o.floor)
	if err != nil {
		return err
	}
	if o.geoJSON != "" && in.frame == nil {
		return units.Fault(units.FaultConflict, "-geojson", units.Words("places by x and y"), "places by lon and lat in both files")
	}
	survey, err := sludge.NewSurvey(in.spec)
	if err != nil {
		return in.cite(err)
	}
	if in.topsOnly && !o.placed {
		o.volume.Placement = sludge.PlacementChosen
	}
	volume, err := sludge.VolumeWithInterval(survey, o.volume)
	if err != nil {
		return in.cite(err)
	}
	next, err := soundNext(survey, volume, o.next)
	if err != nil {
		return in.cite(err)
	}
	if o.geoJSON != "" {
		if err := o.writeMap(in.frame, survey); err != nil {
			return in.cite(err)
		}
	}
	fmt.Fprintf(stdout, "%v\n%v\n%v", survey, volume, next)
	if in.topsOnly && !o.placed {
		fmt.Fprintln(stdout, "note: sludge tops alone count as a track, not as places taken at random; -placement spread says otherwise")
	}
	return nil
}

// soundNext names places to sound next: by the model where there is one, else in the
// widest gaps.
func soundNext(survey *sludge.Survey, volume sludge.VolumeResult, most int) (fmt.Stringer, error) {
	k := volume.Kriged.Kriging()
	if k == nil {
		return survey.Gaps(sludge.GapsSpec{Most: most})
	}
	var block geostat.BlockSpec
	block.Boundary, block.Islands = survey.Boundary()
	return k.Next(geostat.NextSpec{Block: block, Most: most})
}
