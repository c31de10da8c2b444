package calibrate

import "example.org/earthbasin/units"

// Series returns the catch of the trays, in their unit, over the distance from the
// driving line in the given unit of length, right positive. The unit must be above 0.
func (p Pattern) Series(unit units.Length) units.Series {
	s := make(units.Series, len(p.Trays))
	for i, c := range p.Trays {
		s[i] = [2]float64{(units.Length(i)*p.Spacing - p.Line).In(unit), c}
	}
	return s
}

// Series returns the CV in percent over the width in the given unit, which must be
// above 0.
func (r OverlapResult) Series(unit units.Length) units.Series {
	s := make(units.Series, len(r.Rows))
	for i, row := range r.Rows {
		s[i] = [2]float64{row.Width.In(unit), 100 * row.CV}
	}
	return s
}

// Series returns the depths that count, corrected where evaporation was measured,
// over the places of the gauges, each in its unit, which must be above 0. Gauges
// without places stand at 0.
func (r GaugesResult) Series(place, depth units.Length) units.Series {
	s := make(units.Series, len(r.Readings))
	for i, g := range r.Readings {
		s[i] = [2]float64{g.At.In(place), g.Depth.In(depth)}
	}
	return s
}
