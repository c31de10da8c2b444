package main

import (
	"context"
	"slices"

	"example.org/earthbasin/examples/internal/cli"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
)

// mostLines is how many contour lines a map may have.
const mostLines = 200

// writeMap writes boundary, soundings and contours as GeoJSON.
func (o options) writeMap(frame *sludge.TangentPlane, survey *sludge.Survey) error {
	spec := sludge.GeoJSONSpec{Plane: frame, Survey: survey}
	if o.contours != 0 {
		thickest := slices.Max(survey.Thicknesses())
		var f units.Faults
		if least := max(thickest/mostLines, units.Millimetre); o.contours < least {
			f.Add("-contours", o.contours, "%v or more, for at most %v lines", least, mostLines)
			return f.Err()
		}
		var levels []units.Length
		for l := o.contours; l < thickest; l += o.contours {
			levels = append(levels, l)
		}
		tin, err := sludge.NewTIN(context.Background(), survey, sludge.TINSpec{Edge: o.edge})
		if err != nil {
			return err
		}
		if spec.Contours, err = tin.Contours(context.Background(), levels); err != nil {
			return err
		}
	}
	text, err := sludge.GeoJSON(spec)
	if err != nil {
		return err
	}
	return cli.WriteFile(o.geoJSON, text)
}
