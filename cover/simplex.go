package cover

import (
	"errors"
	"math"
	"slices"
)

// program is a linear program in equations whose first basis is an identity: the
// last column of a row is its right side, 0 or more. Of two objectives the second
// decides among the optima of the first.
type program struct {
	rows  [][]float64
	basis []int // column of each row
	costs [2][]float64
}

// maxPivots bounds the work; the programs of this package take some tens.
const maxPivots = 20_000

// tiny is what a coefficient of the size of 1 is taken for 0 at.
const tiny = 1e-11

// solve returns the values of the columns at the least of the objectives. It pivots
// by the rule of Bland, which does not cycle (R. G. Bland, New finite pivoting rules
// for the simplex method, Mathematics of Operations Research 2, 1977; from memory),
// and gives up after maxPivots.
func (p *program) solve() ([]float64, error) {
	for r, j := range p.basis { // reduced costs
		for _, c := range p.costs {
			p.subtract(c, r, c[j])
		}
	}
	for range maxPivots {
		j := p.entering()
		if j < 0 {
			return p.values(), nil
		}
		r := p.leaving(j)
		if r < 0 {
			return nil, errors.New("cover: the linear program has no least cost")
		}
		p.pivot(r, j)
	}
	return nil, errors.New("cover: the linear program did not come to an end")
}

// entering returns the first column that lowers the objectives, -1 for none.
func (p *program) entering() int {
	for j := range len(p.costs[0]) - 1 {
		first, second := p.costs[0][j], p.costs[1][j]
		if first < -tiny || first <= tiny && second < -tiny {
			return j
		}
	}
	return -1
}

// leaving returns the row whose basic column falls to 0 first as column j rises, of
// equals that of the first column; -1 for none.
func (p *program) leaving(j int) int {
	row, least := -1, math.Inf(1)
	for r, a := range p.rows {
		if a[j] <= tiny {
			continue
		}
		ratio := a[len(a)-1] / a[j]
		if ratio < least || ratio == least && p.basis[r] < p.basis[row] {
			row, least = r, ratio
		}
	}
	return row
}

// pivot makes j the basic column of row r.
func (p *program) pivot(r, j int) {
	by := p.rows[r][j]
	for k := range p.rows[r] {
		p.rows[r][k] /= by
	}
	for i, a := range p.rows {
		if i != r {
			p.subtract(a, r, a[j])
			a[len(a)-1] = max(0, a[len(a)-1]) // rounding
		}
	}
	for _, c := range p.costs {
		p.subtract(c, r, c[j])
	}
	p.basis[r] = j
}

// subtract takes by times row r from a.
func (p *program) subtract(a []float64, r int, by float64) {
	if by == 0 {
		return
	}
	for k, x := range p.rows[r] {
		a[k] -= by * x
	}
}

func (p *program) values() []float64 {
	x := make([]float64, len(p.costs[0])-1)
	for r, a := range p.rows {
		x[p.basis[r]] = a[len(a)-1]
	}
	return slices.Clip(x)
}
