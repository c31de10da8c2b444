package lp

import (
	"math"
	"slices"
)

// simplex maximises p x subject to A x <= 1 and x >= 0: the rows are scaled to a
// right side of one, or of zero, so that x = 0 is a basis from which no first phase
// is needed and degenerate problems cannot be taken for infeasible ones. It is the
// one solver of both the field problems and the master of [Transport.Solve].
//
// gonum's lp.Simplex would do the same, but it gives no prices of the rows,
// cannot start from its last answer when only p has changed, and allocates at
// every step; with some ten thousand field problems an allocation, its speed
// target needs all three. The tests hold the answers against lp.Simplex.
//
// The tableau is kept by columns, slacks first: column j is the m numbers from
// j*m on.
type simplex struct {
	m     int
	t     []float64
	p     []float64 // objective of each column; 0 for slacks
	x     []float64 // values of the basic columns, by row
	basis []int     // basic column of each row
	in    []bool    // whether a column is basic
	pb    []float64 // p of the basic columns, by row
	paid  []int     // rows of which pb is not 0, in order
	from  []int     // rows in which a pivot changes a column
	scale float64   // the largest of p at the last solve
	work  int       // numbers looked at, which tests count
}

const (
	// priceTol is the least gain, relative to the largest objective number, for
	// which a column enters.
	priceTol = 1e-12
	// pivotTol is the smallest number of a column, all of which are about one,
	// that may be a pivot.
	pivotTol = 1e-10
)

// reset makes s the problem of m rows and no columns but the slacks. The memory
// is kept.
func (s *simplex) reset(m int) {
	s.m, s.scale, s.work = m, 0, 0
	s.t, s.p, s.pb = zeros(s.t[:0], m*m), zeros(s.p[:0], m), zeros(s.pb[:0], m)
	s.x, s.basis, s.in = slices.Grow(s.x[:0], m), slices.Grow(s.basis[:0], m), slices.Grow(s.in[:0], m)
	for j := range m {
		s.t[j*m+j] = 1
		s.x = append(s.x, 1)
		s.basis = append(s.basis, j)
		s.in = append(s.in, true)
	}
}

// zeros appends n zeros to a.
func zeros(a []float64, n int) []float64 {
	at := len(a)
	a = slices.Grow(a, n)[:at+n]
	clear(a[at:])
	return a
}

// column appends a column of zeros with the objective p and returns it, to be filled while
// the basis is that of the slacks.
func (s *simplex) column(p float64) []float64 {
	at := len(s.t)
	s.t = zeros(s.t, s.m)
	s.p = append(s.p, p)
	s.in = append(s.in, false)
	return s.t[at:]
}

// add appends the column a with the objective p, in terms of the present basis:
// the slack columns hold its inverse.
func (s *simplex) add(p float64, a []float64) {
	col := s.column(p)
	for k, v := range a {
		if v == 0 {
			continue
		}
		for i, b := range s.t[k*s.m : (k+1)*s.m] {
			col[i] += v * b
		}
	}
}

// gain returns what one unit of column j adds to the objective.
func (s *simplex) gain(j int) float64 {
	g := s.p[j]
	col := s.t[j*s.m : (j+1)*s.m]
	for _, i := range s.paid {
		g -= s.pb[i] * col[i]
	}
	return g
}

// pay finds the rows whose basic columns have a number in the objective: a slack has none,
// and most of the basic columns are slacks.
func (s *simplex) pay() {
	s.paid = s.paid[:0]
	for i, p := range s.pb {
		if p != 0 {
			s.paid = append(s.paid, i)
		}
	}
}

// price returns what one more of the right side of row i is worth; noise is 0.
func (s *simplex) price(i int) float64 {
	y := -s.gain(i)
	if y <= priceTol*s.scale {
		return 0
	}
	return y
}

// solve goes to the optimum from the present basis and returns the objective.
// The column of the largest gain enters; after a run of steps without progress
// it is the first one with a gain (Bland's rule), which cannot cycle. ok is
// false when the objective has no bound or after 50 steps a column.
func (s *simplex) solve() (value float64, ok bool) {
	s.scale = 0
	for _, p := range s.p {
		s.scale = max(s.scale, math.Abs(p))
	}
	least := priceTol * s.scale
	for i, j := range s.basis {
		s.pb[i] = s.p[j]
	}
	s.pay()
	var idle int // steps without progress
	for range 50 * (1 + s.m + len(s.p)) {
		s.work += s.m * len(s.p)
		enter, best := -1, least
		for j := range s.p {
			if s.in[j] {
				continue
			}
			if g := s.gain(j); g > best {
				enter, best = j, g
				if idle > s.m {
					break
				}
			}
		}
		if enter < 0 {
			for i, j := range s.basis {
				value += s.p[j] * s.x[i]
			}
			return value, true
		}
		leave, step := -1, math.Inf(1)
		for i, v := range s.t[enter*s.m : (enter+1)*s.m] {
			if v <= pivotTol {
				continue
			}
			if r := s.x[i] / v; r < step || r == step && s.basis[i] < s.basis[leave] {
				leave, step = i, r
			}
		}
		if leave < 0 {
			return 0, false
		}
		if step > 0 {
			idle = 0
		} else {
			idle++
		}
		s.pivot(leave, enter, step)
	}
	return 0, false
}

// pivot brings column enter into the basis at row r, at the value step.
func (s *simplex) pivot(r, enter int, step float64) {
	m := s.m
	e := s.t[enter*m : (enter+1)*m]
	pivot := e[r]
	s.from = s.from[:0]
	for i, v := range e {
		if v != 0 {
			s.x[i] = max(0, s.x[i]-step*v)
			s.from = append(s.from, i)
		}
	}
	s.x[r] = step
	for j := range s.p {
		if j == enter || s.in[j] && j != s.basis[r] {
			continue
		}
		col := s.t[j*m : (j+1)*m]
		if col[r] == 0 {
			continue
		}
		f := col[r] / pivot
		for _, i := range s.from {
			col[i] -= f * e[i]
		}
		col[r] = f
	}
	for i := range e {
		e[i] = 0
	}
	e[r] = 1
	s.in[s.basis[r]], s.in[enter] = false, true
	s.basis[r] = enter
	s.pb[r] = s.p[enter]
	s.pay()
}
