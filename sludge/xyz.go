package sludge

import (
	"bytes"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/earthbasin/sludge/internal/outline"
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

// ParseXYZ reads lines of x,y,thickness in a unit of length, such as [Survey.XYZ]
// writes, into soundings. Numbers stand apart by commas, semicolons, tabs or spaces,
// with a decimal point. Empty lines and lines that begin with # are skipped, and so is
// a line of column headings at the top. Unit is that of all three, 1e-6 m or more.
// Faults are on unit, on text when it has no sounding, and on "line 3" and so on, which
// count every line of the text from 1; the first 20 are listed.
func ParseXYZ(text []byte, unit units.Length) ([]Sounding, error) {
	var f units.Faults
	f.Between("unit", unit, units.MinLength, units.MaxCoordinate)
	if err := f.Err(); err != nil {
		return nil, err
	}
	var list []Sounding
	first := true
	n := 0
	for line := range bytes.Lines(text) {
		n++
		fields := strings.FieldsFunc(string(line), func(r rune) bool { return strings.ContainsRune(",;\t \r\n\ufeff", r) })
		if len(fields) == 0 || fields[0][0] == '#' {
			continue
		}
		var v [3]float64
		ok := len(fields) == 3
		for i := 0; ok && i < 3; i++ {
			x, err := strconv.ParseFloat(fields[i], 64)
			v[i], ok = x*float64(unit), err == nil && math.Abs(x*float64(unit)) <= outline.MaxCoordinate
		}
		switch {
		case ok:
			list = append(list, NewSounding(units.Length(v[0]), units.Length(v[1]), units.Length(v[2])))
		case first && wordy(fields):
		case f.Len() < 20:
			f.Add("line "+strconv.Itoa(n), excerpt(line), "x, y and thickness, three numbers")
		}
		first = false
	}
	if len(list) == 0 && f.Len() == 0 {
		f.Missing("text", "lines of x, y and thickness")
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	return list, nil
}

// wordy reports whether none of the fields is a number, as in a line of headings.
func wordy(fields []string) bool {
	return !slices.ContainsFunc(fields, func(s string) bool {
		_, err := strconv.ParseFloat(s, 64)
		return err == nil
	})
}

// excerpt returns the beginning of a line for a message.
func excerpt(line []byte) string {
	s := strings.TrimSpace(strings.ToValidUTF8(string(line[:min(len(line), 60)]), "?"))
	if len(line) > 60 {
		s += "..."
	}
	return s
}

type xyzWriter struct {
	unit     float64
	decimals int
	text     []byte
}

func newXYZ(unit units.Length, decimals int) (xyzWriter, error) {
	var f units.Faults
	f.Between("unit", unit, units.MinLength, units.MaxCoordinate)
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
