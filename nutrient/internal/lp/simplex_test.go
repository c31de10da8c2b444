package lp

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// made returns the simplex of columns, with right sides of 1, or of 0 in the first rows.
func made(rows, zero int, p []float64, columns ...[]float64) *simplex {
	s := new(simplex)
	s.reset(rows)
	for i := range zero {
		s.x[i] = 0
	}
	for j, a := range columns {
		s.add(p[j], a)
	}
	return s
}

// The largest gain alone goes round in a circle here, as right sides of zero allow; the
// first gain does not (E. M. L. Beale, Cycling in the dual simplex algorithm, 1955; the
// numbers from memory, the optimum by gonum).
func TestSimplexDoesNotCycle(t *testing.T) {
	p := []float64{0.75, -150, 0.02, -6}
	columns := [][]float64{{0.25, 0.5, 0}, {-60, -90, 0}, {-1. / 25, -1. / 50, 1}, {9, 3, 0}}
	s := made(3, 2, p, columns...)
	value, ok := s.solve()
	require.True(t, ok)
	require.InDelta(t, 0.05, value, 1e-12)
	a := mat.NewDense(3, 7, nil)
	c := make([]float64, 7)
	for j, col := range columns {
		c[j] = -p[j]
		for i, v := range col {
			a.Set(i, j, v)
		}
	}
	for i := range 3 {
		a.Set(i, 4+i, 1)
	}
	want, _, err := lp.Simplex(c, a, []float64{0, 0, 1}, 0, []int{4, 5, 6})
	require.NoError(t, err)
	require.InDelta(t, -want, value, 1e-9)
}

// tableau solves the same problem in the rows of a textbook's tableau, whose objective is a row
// like the others, and returns the value and the steps by the rule: the column of the largest
// gain, of equals the first, after more than one step a row without progress the first column
// with a gain; of the rows that bind at once that of the first column.
func tableau(rows, zero int, p []float64, columns [][]float64) (value float64, steps int) {
	n := rows + len(columns)
	basis := make([]int, rows)
	t := make([][]float64, rows+1)
	for i := range t {
		t[i] = make([]float64, n+1)
		if i == rows {
			copy(t[i][rows:], p)
			break
		}
		t[i][i], basis[i] = 1, i
		for j, a := range columns {
			t[i][rows+j] = a[i]
		}
		if i >= zero {
			t[i][n] = 1
		}
	}
	for idle := 0; ; steps++ {
		enter, most := -1, 1e-10
		for j := range n {
			if t[rows][j] > most && (enter < 0 || idle <= rows) {
				enter, most = j, t[rows][j]
			}
		}
		if enter < 0 {
			return -t[rows][n], steps
		}
		leave := -1
		ratio := func(i int) float64 { return t[i][n] / t[i][enter] }
		for i := range rows {
			if t[i][enter] > 1e-10 && (leave < 0 || ratio(i) < ratio(leave) || ratio(i) == ratio(leave) && basis[i] < basis[leave]) {
				leave = i
			}
		}
		if idle++; ratio(leave) > 0 {
			idle = 0
		}
		by := t[leave][enter]
		for j := range t[leave] {
			t[leave][j] /= by
		}
		for i := range t {
			if x := t[i][enter]; i != leave {
				for j := range t[i] {
					t[i][j] -= x * t[leave][j]
				}
			}
		}
		basis[leave] = enter
	}
}

// Steps are those of the rule, in problems with many rows of a right side of zero, where most
// steps make no progress: m x columns numbers are looked at for each, and once more at the end.
func TestSimplexStepsAreThoseOfTheRule(t *testing.T) {
	same := func(rows, zero int, p []float64, columns [][]float64) (idle bool) {
		t.Helper()
		s := made(rows, zero, p, columns...)
		value, ok := s.solve()
		require.True(t, ok)
		want, steps := tableau(rows, zero, p, columns)
		require.InDelta(t, want, value, 1e-9)
		require.Equal(t, (steps+1)*rows*(rows+len(columns)), s.work)
		return steps > rows+1
	}
	same(3, 2, []float64{0.75, -150, 0.02, -6}, [][]float64{{0.25, 0.5, 0}, {-60, -90, 0}, {-1. / 25, -1. / 50, 1}, {9, 3, 0}})
	r := rand.New(rand.NewPCG(2, 1))
	long := 0
	for range 2000 {
		rows, n := 3+r.IntN(3), 4+r.IntN(10)
		p, columns := make([]float64, n), make([][]float64, n)
		for j := range columns {
			p[j] = 2*r.Float64() - 0.5
			columns[j] = make([]float64, rows)
			for i := range rows - 2 {
				columns[j][i] = 2*r.Float64() - 1
			}
			columns[j][rows-2] = 1 // all together at most 1
		}
		// The first step makes progress, in a row of its own.
		p[0], columns[0] = 9, append(make([]float64, rows-1), 1)
		if same(rows, rows-2, p, columns) {
			long++
		}
	}
	require.Greater(t, long, 20)
}

// From the last answer, with other objectives and with columns that come later, the optimum
// is that of a fresh start; the prices are what the right sides are worth (duality, an
// identity of linear programs).
func TestSimplexGoesOn(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		rows, n := 1+r.IntN(5), 1+r.IntN(8)
		p := make([]float64, n)
		columns := make([][]float64, n)
		for j := range columns {
			columns[j] = make([]float64, rows)
			for i := range columns[j] {
				if r.IntN(3) > 0 {
					columns[j][i] = r.Float64()
				}
			}
			columns[j][r.IntN(rows)] = 0.5 + r.Float64()
		}
		zero := r.IntN(rows)
		on := made(rows, zero, nil)
		for j := range columns {
			on.add(0, columns[j])
			for i := range j + 1 {
				p[i] = 2*r.Float64() - 0.5
				on.p[rows+i] = p[i]
			}
			value, ok := on.solve()
			require.True(t, ok)
			fresh := made(rows, zero, p, columns[:j+1]...)
			want, ok := fresh.solve()
			require.True(t, ok)
			require.InDelta(t, want, value, 1e-9)
			var paid float64
			for i := range rows {
				require.GreaterOrEqual(t, on.price(i), 0.0)
				if i >= zero {
					paid += on.price(i)
				}
			}
			require.InDelta(t, value, paid, 1e-9)
			for k, a := range columns[:j+1] {
				var taken float64
				for i, v := range a {
					taken += v * on.price(i)
				}
				require.GreaterOrEqual(t, taken, p[k]-1e-9, "no column gains")
			}
		}
	}
}

// By hand: two rows and two columns are looked at three times, and a gain below the noise
// of the objective is none.
func TestSimplexByHand(t *testing.T) {
	s := made(2, 0, []float64{3, 2}, []float64{1, 0}, []float64{0.5, 1})
	value, ok := s.solve()
	require.True(t, ok)
	require.InDelta(t, 3*0.5+2, value, 1e-12)
	require.Equal(t, 3*2*4, s.work)
	require.InDelta(t, 3, s.price(0), 1e-12)
	require.InDelta(t, 0.5, s.price(1), 1e-12)
	for _, scale := range []float64{1e-200, 1e-15, 1e15, 1e200} { // of the objective alone
		s = made(2, 0, []float64{3 * scale, 2 * scale}, []float64{1, 0}, []float64{0.5, 1})
		value, ok = s.solve()
		require.True(t, ok)
		require.InEpsilon(t, 3.5*scale, value, 1e-12)
		require.InEpsilon(t, 3*scale, s.price(0), 1e-12)
	}
	s = made(1, 0, []float64{1e-13, 1}, []float64{1}, []float64{2})
	value, ok = s.solve()
	require.True(t, ok)
	require.InDelta(t, 0.5, value, 1e-12)
	_, ok = made(1, 0, []float64{1}, []float64{-1}).solve()
	require.False(t, ok, "no bound")
	value, ok = made(1, 0, []float64{-1}, []float64{-1}).solve()
	require.True(t, ok)
	require.Zero(t, value)
}
