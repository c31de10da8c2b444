package volume

import (
	"context"
	"reflect"
	"strings"

	"example.org/earthbasin/units"
)

// BasinSpec is one basin of any kind, as a file has it: exactly one of the parts
// is given.
type BasinSpec struct {
	Rectangular *RectangularSpec `json:"rectangular,omitempty"` // four plane banks around a rectangle
	Circular    *CircularSpec    `json:"circular,omitempty"`    // one bank around a circle
	Polygon     *PolygonSpec     `json:"polygon,omitempty"`     // plane banks along any outline
	Surveyed    *SurveyedSpec    `json:"surveyed,omitempty"`    // areas by elevation
	Floor       *FloorSpec       `json:"floor,omitempty"`       // a surveyed surface
}

// NewBasin returns the basin of the part that spec has. None and several are
// faults. It ends with the error of ctx when that is done, as [NewFloor] does.
func NewBasin(ctx context.Context, spec BasinSpec) (Basin, error) {
	var f units.Faults
	var basins []Basin
	for _, b := range []Basin{
		build(&f, "rectangular", spec.Rectangular, NewRectangular),
		build(&f, "circular", spec.Circular, NewCircular),
		build(&f, "polygon", spec.Polygon, NewPolygon),
		build(&f, "surveyed", spec.Surveyed, NewSurveyed),
		build(&f, "floor", spec.Floor, func(s FloorSpec) (*Floor, error) { return NewFloor(ctx, s) }),
	} {
		if b != nil {
			basins = append(basins, b)
		}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if len(basins) != 1 {
		var fields []string
		kind := reflect.TypeFor[BasinSpec]()
		for i := range kind.NumField() {
			name, _, _ := strings.Cut(kind.Field(i).Tag.Get("json"), ",")
			fields = append(fields, name)
		}
		f.Count(fields[0], len(basins), "basins", "1 of %v", units.Word(strings.Join(fields, ", ")))
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	return basins[0], nil
}

// build returns the basin of a spec, its faults under the field, and nil for none.
func build[S any, B Basin](f *units.Faults, field string, spec *S, construct func(S) (B, error)) Basin {
	if spec == nil {
		return nil
	}
	b, err := construct(*spec)
	f.Sub(field, err)
	return b
}
