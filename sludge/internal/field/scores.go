package field

import "math"

// Scores returns by how many standard deviations each value misses what the others say of
// it under one fit, the mean taken as known.
func (fs *Factors) Scores(fit Fit, y []float64) []float64 {
	f := fs.one(fit.Structure)
	z, column := make([]float64, fs.n), make([]float64, fs.n)
	for i := range z {
		z[i] = y[i] - fit.Beta
	}
	f.solve(z)
	f.solveTransposed(z)
	for i := range z {
		clear(column)
		column[i] = 1
		f.solve(column)
		z[i] /= math.Sqrt(dot(column, column) * fit.Sigma2)
	}
	return z
}
