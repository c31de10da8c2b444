package sludge

import "example.org/earthbasin/units"

// Series returns the points of the line in the given unit, which must be above 0. A
// closed line ends where it began.
func (l ContourLine) Series(unit units.Length) units.Series {
	s := make(units.Series, len(l.Points), len(l.Points)+1)
	for i, p := range l.Points {
		s[i] = [2]float64{p.X.In(unit), p.Y.In(unit)}
	}
	if l.Closed && len(s) > 0 {
		s = append(s, s[0])
	}
	return s
}
