package volume

import "example.org/earthbasin/units"

// BasinSpec is one basin of any kind, as a file has it: exactly one of the parts
// is given.
type BasinSpec struct {
	Rectangular *RectangularSpec `json:"rectangular,omitempty"`
	Circular    *CircularSpec    `json:"circular,omitempty"`
	Polygon     *PolygonSpec     `json:"polygon,omitempty"`
	Surveyed    *SurveyedSpec    `json:"surveyed,omitempty"`
	Floor       *FloorSpec       `json:"floor,omitempty"`
}

// NewBasin returns the basin of the part that spec has. None and several are
// faults.
func NewBasin(spec BasinSpec) (Basin, error) {
	var f units.Faults
	var b Basin
	given := 0
	if spec.Rectangular != nil {
		given++
		b = made(&f, "rectangular", *spec.Rectangular, NewRectangular)
	}
	if spec.Circular != nil {
		given++
		b = made(&f, "circular", *spec.Circular, NewCircular)
	}
	if spec.Polygon != nil {
		given++
		b = made(&f, "polygon", *spec.Polygon, NewPolygon)
	}
	if spec.Surveyed != nil {
		given++
		b = made(&f, "surveyed", *spec.Surveyed, NewSurveyed)
	}
	if spec.Floor != nil {
		given++
		b = made(&f, "floor", *spec.Floor, NewFloor)
	}
	if given != 1 {
		f.Add("", given, "one of rectangular, circular, polygon, surveyed, floor")
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	return b, nil
}

// made returns the basin that build makes of spec, its faults under the field.
func made[S any, B Basin](f *units.Faults, field string, spec S, build func(S) (B, error)) Basin {
	b, err := build(spec)
	f.Sub(field, err)
	return b
}
