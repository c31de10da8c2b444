package sludge

import (
	"math"
	"strconv"

	"example.org/earthbasin/sludge/internal/limits"
	"example.org/earthbasin/units"
)

// XYZ writes the soundings as lines of x,y,thickness in a unit of length with so
// many decimals, in the order of [Survey.Readings]. Unit is more than 0, decimals
// 0 to 15.
func (s *Survey) XYZ(unit units.Length, decimals int) ([]byte, error) {
	w, err := newXYZ(unit, decimals)
	if err != nil {
		return nil, err
	}
	for i := range s.n {
		w.line(s.x[i], s.y[i], s.z[i])
	}
	return w.text, nil
}

// XYZ writes the cells that have a thickness as lines of x,y,thickness in a unit
// of length with so many decimals, row by row from the southwest. Unit is more
// than 0, decimals 0 to 15.
func (g *Grid) XYZ(unit units.Length, decimals int) ([]byte, error) {
	w, err := newXYZ(unit, decimals)
	if err != nil {
		return nil, err
	}
	for k, z := range g.z {
		if !math.IsNaN(z) {
			p := g.centre(k%g.l.Cols, k/g.l.Cols)
			w.line(p.X, p.Y, z)
		}
	}
	return w.text, nil
}

type xyzWriter struct {
	unit     float64
	decimals int
	text     []byte
}

func newXYZ(unit units.Length, decimals int) (xyzWriter, error) {
	var f units.Faults
	f.Between("unit", unit, limits.MinLength, limits.MaxLength)
	if decimals < 0 || decimals > 15 {
		f.Add("decimals", decimals, "0 to 15")
	}
	return xyzWriter{unit: float64(unit), decimals: decimals}, f.Err()
}

func (w *xyzWriter) line(x, y, z float64) {
	for i, v := range [3]float64{x, y, z} {
		if i > 0 {
			w.text = append(w.text, ',')
		}
		w.text = strconv.AppendFloat(w.text, v/w.unit, 'f', w.decimals, 64)
	}
	w.text = append(w.text, '\n')
}
