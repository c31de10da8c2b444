package volume

import "example.org/earthbasin/units"

// Series is a curve in plain numbers. Its methods fit the XYer of gonum's plotter,
// so that it draws without an adapter.
type Series [][2]float64

// Len returns the number of points.
func (s Series) Len() int { return len(s) }

// XY returns point i; i is 0 to Len()-1.
func (s Series) XY(i int) (x, y float64) { return s[i][0], s[i][1] }

// Series returns the volume of each row over its height, in the given units, which
// must be above 0.
func (t StageTable) Series(height units.Length, volume units.Volume) Series {
	s := make(Series, len(t))
	for i, r := range t {
		s[i] = [2]float64{r.Height.In(height), r.Volume.In(volume)}
	}
	return s
}
