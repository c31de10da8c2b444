package geostat

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/lapack"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// system is the part of the kriging equations that does not depend on the
// target, by Cholesky: with C = L L', u = C^-1 1 and s = 1'u the estimate is
// m + c0'beta, m = u'z/s, beta = C^-1 (z - m 1), and its variance
// C(0) - |L^-1 c0|^2 + (1 - u'c0)^2/s, which is the textbook's C(0) - w'c0 - mu.
//
// It works on lapack64 and blas64 rather than mat, so that neighbourhood kriging
// solves thousands of small systems in the same room.
type system struct {
	index   []int32           // of the samples in Kriging
	matrix  blas64.Symmetric  // C, the added jitter included
	factor  blas64.Triangular // L
	first   []int             // by row: the first column of L that is not 0
	x, y    []float64
	u, beta []float64
	s, m    float64
	jitter  float64 // added to the diagonal of C
}

// leastAdded is the least share of C(0) that is added to the diagonal of C when
// rounding keeps it from being solved.
const leastAdded = 1e-13

func newSystem(n int) *system {
	s := &system{
		index:  make([]int32, n),
		first:  make([]int, n),
		x:      make([]float64, n),
		y:      make([]float64, n),
		u:      make([]float64, n),
		beta:   make([]float64, n),
		matrix: blas64.Symmetric{N: n, Stride: n, Data: make([]float64, n*n), Uplo: blas.Lower},
		factor: blas64.Triangular{N: n, Stride: n, Data: make([]float64, n*n), Uplo: blas.Lower, Diag: blas.NonUnit},
	}
	if n > panel {
		for i := range n {
			s.first[i] = i // nothing stands before the diagonal yet
		}
	}
	return s
}

// solve builds and solves the system of the samples at s.index.
func (s *system) solve(k *Kriging) {
	n := len(s.index)
	var centre float64 // of the values: large ones lose nothing
	for i, j := range s.index {
		s.x[i], s.y[i] = k.x[j], k.y[j]
		centre += k.z[j] / float64(n)
	}
	for i := range n {
		row := s.matrix.Data[i*n : i*n+i+1]
		k.cov.row(row, s.x, s.y, s.x[i], s.y[i])
		row[i] = k.cov.zero()
	}
	s.jitter = 0
	for !s.factorize() {
		// Samples closer to each other than the model can tell apart.
		more := max(9*s.jitter, leastAdded*k.cov.zero())
		for i := range n {
			s.matrix.Data[i*n+i] += more
		}
		s.jitter += more
	}
	for i := range s.u {
		s.u[i] = 1
	}
	s.inverse(s.u)
	s.s, s.m = 0, 0
	for i, j := range s.index {
		s.s += s.u[i]
		s.m += s.u[i] * (k.z[j] - centre)
	}
	s.m = s.m/s.s + centre
	for i, j := range s.index {
		s.beta[i] = k.z[j] - s.m
	}
	s.inverse(s.beta)
}

// panel is the number of rows that cholesky works on at once: each row above them is
// read once for all. Systems no larger than it have nothing to skip.
const panel = 32

// factorize sets L and reports whether C is positive definite with room for the
// rounding of the solves.
func (s *system) factorize() bool {
	n := s.matrix.N
	if n > panel {
		if !s.cholesky() {
			return false
		}
	} else {
		copy(s.factor.Data, s.matrix.Data)
		if _, ok := lapack64.Potrf(blas64.Symmetric{N: n, Stride: n, Data: s.factor.Data, Uplo: blas.Lower}); !ok {
			return false
		}
	}
	for i := range n {
		d := s.factor.Data[i*n+i]
		if d*d < 1e-14*s.matrix.Data[i*n+i] {
			return false
		}
	}
	return true
}

// cholesky sets L and reports whether C is positive definite. It leaves out what comes
// before the first entry of each row, which stays 0: with a model of finite range and
// samples in order that is most of L.
func (s *system) cholesky() bool {
	n, l := s.matrix.N, s.factor.Data
	for i := range n {
		row, from := s.matrix.Data[i*n:i*n+i+1], 0
		for from < i && row[from] == 0 {
			from++
		}
		if before := s.first[i]; before < from {
			clear(l[i*n+before : i*n+from])
		}
		s.first[i] = from
		copy(l[i*n+from:], row[from:])
	}
	var sums [panel]float64
	for top := 0; top < n; top += panel {
		end := min(top+panel, n)
		least := slices.Min(s.first[top:end])
		for j := least; j < end; j++ {
			above := l[j*n : j*n+j+1]
			if j >= top {
				part := above[s.first[j]:j]
				above[j] = math.Sqrt(above[j] - floats.Dot(part, part))
				if !(above[j] > 0) {
					return false
				}
			}
			below := max(top, j+1)
			if below == end {
				break
			}
			// The rows of the panel below row j at once, in half of the time of one by one.
			from := max(least, s.first[j])
			rows := blas64.General{Rows: end - below, Cols: j - from, Stride: n, Data: l[below*n+from:]}
			clear(sums[:])
			blas64.Gemv(blas.NoTrans, 1, rows, blas64.Vector{N: rows.Cols, Inc: 1, Data: above[from:]}, 1,
				blas64.Vector{N: rows.Rows, Inc: 1, Data: sums[:]})
			for i := range rows.Rows {
				at := (below+i)*n + j
				l[at] = (l[at] - sums[i]) / above[j]
			}
		}
	}
	return true
}

// forward replaces each of b right sides, which lie side by side in rows, by L^-1
// times it. live tells the rows that are not all 0, before and after.
//
// It goes by fours of columns and b is a multiple of four: so the sums are the same
// whatever stands beside a right side and whatever is left out as 0.
func (s *system) forward(rows []float64, b int, live []bool) {
	n := len(live)
	for i := range n {
		l, row := s.factor.Data[i*n:i*n+i], blas64.Vector{N: b, Inc: 1, Data: rows[i*b : (i+1)*b]}
		used := func(j int) bool { // whether the four columns from j matter
			for ; j < i; j++ {
				if live[j] && l[j] != 0 {
					return true
				}
				if j%4 == 3 {
					break
				}
			}
			return false
		}
		for j := s.first[i] &^ 3; j < i; j += 4 {
			from := j
			for j < i && used(j) {
				j += 4
			}
			if to := min(j, i); to > from {
				above := blas64.General{Rows: to - from, Cols: b, Stride: b, Data: rows[from*b : to*b]}
				blas64.Gemv(blas.Trans, -1, above, blas64.Vector{N: to - from, Inc: 1, Data: l[from:to]}, 1, row)
				live[i] = true
			}
		}
		if live[i] {
			blas64.Scal(1/s.factor.Data[i*n+i], row)
		}
	}
}

// inverse replaces b by C^-1 b.
func (s *system) inverse(b []float64) {
	n, l := len(b), s.factor.Data
	for i := range n {
		from := s.first[i]
		b[i] = (b[i] - floats.Dot(l[i*n+from:i*n+i], b[from:i])) / l[i*n+i]
	}
	for i := n - 1; i >= 0; i-- {
		from := s.first[i]
		b[i] /= l[i*n+i]
		floats.AddScaled(b[from:i], -b[i], l[i*n+from:i*n+i])
	}
}

// condition returns the estimated condition number of C in the 1-norm.
func (s *system) condition() float64 {
	n := s.matrix.N
	norm := lapack64.Lansy(lapack.MaxColumnSum, s.matrix, make([]float64, n))
	rcond := lapack64.Pocon(blas64.Symmetric{N: n, Stride: n, Data: s.factor.Data, Uplo: blas.Lower}, norm,
		make([]float64, 3*n), make([]int, n))
	return 1 / max(rcond, 1e-18) // beyond which it only says that C is singular
}

// target solves for one right side c0, which it replaces by L^-1 c0, and returns
// the estimate and the variance for a target of variance own.
func (s *system) target(c0 []float64, own float64) (value, variance float64) {
	value = s.m + floats.Dot(s.beta, c0)
	miss := 1 - floats.Dot(s.u, c0)
	blas64.Trsv(blas.NoTrans, s.factor, blas64.Vector{N: len(c0), Inc: 1, Data: c0})
	return value, own - floats.Dot(c0, c0) + miss*miss/s.s
}

// weights returns the weights and the multiplier for the right side c0, which is
// kept.
func (s *system) weights(c0 []float64) (w []float64, mu float64) {
	mu = (floats.Dot(s.u, c0) - 1) / s.s
	w = append([]float64(nil), c0...)
	floats.AddConst(-mu, w)
	s.inverse(w)
	return w, mu
}
