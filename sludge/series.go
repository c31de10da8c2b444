package sludge

import "example.org/earthbasin/units"

// Series is a curve in plain numbers. Its methods fit the XYer of gonum's plotter,
// so that it draws without an adapter.
type Series [][2]float64

// Len returns the number of points.
func (s Series) Len() int { return len(s) }

// XY returns point i; i is 0 to Len()-1.
func (s Series) XY(i int) (x, y float64) { return s[i][0], s[i][1] }

// Series returns the points of the line in the given unit, which must be above 0. A
// closed line ends where it began.
func (l ContourLine) Series(unit units.Length) Series {
	s := make(Series, len(l.Points), len(l.Points)+1)
	for i, p := range l.Points {
		s[i] = [2]float64{p.X.In(unit), p.Y.In(unit)}
	}
	if l.Closed && len(s) > 0 {
		s = append(s, s[0])
	}
	return s
}
