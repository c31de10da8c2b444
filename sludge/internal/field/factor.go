package field

import "gonum.org/v1/gonum/floats"

// factor is one covariance Sigma = L L'. Row i of L has i+1 numbers, the last as its
// reciprocal.
type factor struct {
	rows []float64 // packed
	ones []float64 // L^-1 1
	o    float64   // 1'Si 1
}

func (f *factor) row(i int) []float64 {
	at := i * (i + 1) / 2
	return f.rows[at : at+i+1 : at+i+1]
}

// solve replaces b by L^-1 b.
func (f *factor) solve(b []float64) {
	for i := range b {
		row := f.row(i)
		b[i] = (b[i] - dot(row[:i], b)) * row[i]
	}
}

// solveTransposed replaces b by L'^-1 b.
func (f *factor) solveTransposed(b []float64) {
	for i := len(b) - 1; i >= 0; i-- {
		row := f.row(i)
		b[i] *= row[i]
		floats.AddScaled(b[:i], -b[i], row[:i])
	}
}

// longRow is the length from which a product of rows is worth a call.
const longRow = 32

// dot returns the product of a and the first numbers of b.
func dot(a, b []float64) float64 {
	if len(a) >= longRow {
		return floats.Dot(a, b[:len(a)])
	}
	b = b[:len(a)]
	var s, t float64
	k := 0
	for ; k+1 < len(a); k += 2 {
		s += a[k] * b[k]
		t += a[k+1] * b[k+1]
	}
	if k < len(a) {
		s += a[k] * b[k]
	}
	return s + t
}
