package main

import (
	"regexp"
	"strconv"
	"strings"

	"example.org/earthbasin/examples/internal/table"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// files is what the user gave.
type files struct {
	soundings, boundary         []byte
	soundingsName, boundaryName string
}

// input is the survey in the files, and where each part of it stands in them.
type input struct {
	spec     sludge.SurveySpec
	frame    *sludge.TangentPlane // of longitudes and latitudes; nil when the places are x and y
	topsOnly bool                 // as sonar gives

	points, edge *table.Table
	rings        [][]int // rows of the boundary file, the boundary first, then the islands
}

// read reads both files into the survey of spec, whose rules stay. With a slope the
// floor has banks up to the boundary.
func (f files) read(spec sludge.SurveySpec, floor units.Length, slope float64) (*input, error) {
	var faults units.Faults
	in := &input{spec: spec}
	in.edge = table.Read(f.boundaryName, f.boundary, []string{"name", "ring", "x", "y", "lon", "lat"}, &faults)
	in.points = table.Read(f.soundingsName, f.soundings, []string{"name", "x", "y", "lon", "lat", "toSludge", "toFloor", "thickness", "levelRise", "track"}, &faults)
	if err := faults.Err(); err != nil {
		return nil, err
	}
	in.topsOnly = in.points.Has("toSludge") && !in.points.Has("toFloor") && !in.points.Has("thickness")
	if in.edge.Has("lon") != in.points.Has("lon") {
		faults.Say(f.boundaryName+" line 1", "not placed as the soundings are", "x and y in both files, or lon and lat in both")
	}
	if floor != 0 {
		in.spec.Floor = sludge.FlatFloor(floor)
	} else if in.topsOnly {
		faults.Missing(f.soundingsName+" line 1, toFloor", "a column toFloor or thickness, or the depth of the floor by -floor")
	}
	if err := faults.Err(); err != nil {
		return nil, err
	}
	corners := in.places(in.edge, &faults)
	ring := map[string]int{}
	for row, p := range corners {
		i, known := ring[in.edge.Text(row, "ring")]
		if !known {
			i = len(in.rings)
			ring[in.edge.Text(row, "ring")] = i
			in.rings = append(in.rings, nil)
			if i > 0 {
				in.spec.Islands = append(in.spec.Islands, nil)
			}
		}
		in.rings[i] = append(in.rings[i], row)
		if i == 0 {
			in.spec.Boundary = append(in.spec.Boundary, p)
		} else {
			in.spec.Islands[i-1] = append(in.spec.Islands[i-1], p)
		}
	}
	tracks := map[string]int{}
	for i, p := range in.places(in.points, &faults) {
		s := sludge.Sounding{Name: in.points.Text(i, "name"), At: p, ToSludge: in.points.Length(i, "toSludge"),
			ToFloor: in.points.Length(i, "toFloor"), Thickness: in.points.Length(i, "thickness")}
		if rise := in.points.Length(i, "levelRise"); rise != nil {
			s.LevelRise = *rise
		}
		track := in.points.Text(i, "track")
		if _, known := tracks[track]; !known {
			tracks[track] = len(tracks)
		}
		s.Track = tracks[track]
		in.spec.Soundings = append(in.spec.Soundings, s)
	}
	if slope != 0 && faults.Err() == nil {
		banks, err := sludge.NewSlopedFloor(sludge.SlopedFloorSpec{Waterline: in.spec.Boundary, Slopes: []float64{slope}, Depth: floor})
		faults.Sub("-floor, -slope and "+f.boundaryName, err)
		in.spec.Floor, in.spec.IslandSlope = banks, slope
	}
	return in, faults.Err()
}

// places returns where the rows of a table lie: as they are, or in a plane amid them.
func (in *input) places(t *table.Table, faults *units.Faults) []plane.Point {
	list := make([]plane.Point, t.Len())
	if !t.Has("lon") {
		for i := range list {
			for _, c := range []struct {
				name string
				to   *units.Length
			}{{"x", &list[i].X}, {"y", &list[i].Y}} {
				if l := t.Length(i, c.name); l != nil {
					*c.to = *l
				} else {
					faults.Missing(t.At(i, c.name), "a place by x and y, or by lon and lat")
				}
			}
		}
		return list
	}
	all := make([]sludge.LonLat, t.Len())
	for i := range all {
		all[i] = sludge.LonLat{Lon: t.Number(i, "lon", "degrees, such as -95.5012"), Lat: t.Number(i, "lat", "degrees, such as 41.2503")}
	}
	if in.frame == nil {
		var err error
		if in.frame, err = sludge.PlaneOf(all, 0); err != nil {
			faults.Sub(t.Name(), err)
			return list
		}
	}
	for i, p := range all {
		var err error
		list[i], err = in.frame.Local(p)
		for _, f := range units.FieldErrors(err) {
			at := t.Line(i)
			if f.Field != "" {
				at = t.At(i, f.Field)
			}
			faults.Sub("", f.At(at))
		}
	}
	return list
}

// part finds the parts of a survey in a fault.
var part = regexp.MustCompile(`(soundings|boundary|islands\[(\d+)\])(?:\[(\d+)\])?(?:\.(at\.)?(\w+))?`)

// cite tells faults of the survey by the lines of the files, and faults of its rules
// by their flags.
func (in *input) cite(err error) error {
	cited := func(text string) string {
		return part.ReplaceAllStringFunc(text, func(found string) string {
			m := part.FindStringSubmatch(found)
			if m[2] == "" && m[3] == "" && found != text {
				return found // a word of prose
			}
			t, ring := in.edge, 0
			switch {
			case m[1] == "soundings":
				t, ring = in.points, -1
			case m[2] != "":
				ring, _ = strconv.Atoi(m[2])
				ring++
			}
			row, err := strconv.Atoi(m[3])
			switch {
			case err != nil && ring > 0:
				return t.Line(in.rings[ring][0])
			case err != nil:
				return t.Name()
			case ring >= 0:
				row = in.rings[ring][row]
			}
			if m[5] == "" || m[4] == "" && m[5] == "at" {
				return t.Line(row)
			}
			return t.At(row, m[5])
		})
	}
	var faults units.Faults
	for _, f := range units.FieldErrors(err) {
		if flag, ok := flagOf[f.Field]; ok {
			faults.Sub("", f.At(flag))
			continue
		}
		at := f.At(cited(f.Field))
		at.Want = units.Words(cited(f.Want.String()))
		value := f.GotText()
		if end := strings.LastIndexByte(f.Field, '['); end >= 0 { // another corner of the same ring
			value = strings.ReplaceAll(value, " [", " "+f.Field[:end]+"[")
		}
		if _, words := f.Got.(units.Phrase); words {
			at.Got = units.Words(cited(value))
		}
		faults.Sub("", at)
	}
	if faults.Err() == nil {
		return err
	}
	return faults.Err()
}
