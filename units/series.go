package units

// Series is a curve in plain numbers, for drawing. Its methods fit the XYer of
// gonum's plotter without an adapter.
type Series [][2]float64

// Len returns the number of points.
func (s Series) Len() int { return len(s) }

// XY returns point i; i is 0 to Len()-1.
func (s Series) XY(i int) (x, y float64) { return s[i][0], s[i][1] }
