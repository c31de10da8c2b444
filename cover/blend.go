package cover

import (
	"fmt"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"

	"example.org/earthbasin/units"
)

// blend returns the rate of each grade that meets the need at least cost or
// weight, by the simplex method.
//
// Each need is a row: sum of grade x rate - surplus + shortage = need, each cap one
// with a slack. Shortages and slacks are the first basis, an identity; without a
// basis at hand the solver takes some feasible problems for infeasible. A shortage
// costs more than any grade that could cure it, so it stays only under a cap.
func (spec FertilizerSpec) blend() ([]float64, error) {
	need, caps := spec.Need.list(), spec.Most.list()
	scale := max(need[0], need[1], need[2])
	top := 0.0
	for _, g := range spec.Grades {
		top = max(top, spec.weight(g))
	}

	// A cap of 0 bars the grades that hold the nutrient; so does no use for a grade.
	// Neither may reach the solver: it takes no column or basic value of zero well.
	var use []int
	least := 1.0
	for i, g := range spec.Grades {
		helps, barred := false, false
		for k, x := range g.list() {
			helps = helps || x > 0 && need[k] > 0
			barred = barred || x > 0 && caps[k] != nil && *caps[k] == 0
			if x > 0 {
				least = min(least, x)
			}
		}
		if helps && !barred {
			use = append(use, i)
		}
	}
	rates := make([]float64, len(spec.Grades))
	if len(use) == 0 {
		return rates, nil // all of the need is short
	}
	type row struct {
		k   int
		cap bool
		b   float64
	}
	var rows []row
	for k := range need {
		if need[k] > 0 {
			rows = append(rows, row{k, false, need[k] / scale})
		}
	}
	needs := len(rows)
	for k := range caps {
		if caps[k] != nil && *caps[k] > 0 {
			rows = append(rows, row{k, true, caps[k].SI() / scale})
		}
	}

	// Columns: grades, one unit column per row, a surplus per need.
	n := len(use) + len(rows) + needs
	a := mat.NewDense(len(rows), n, nil)
	b, c := make([]float64, len(rows)), make([]float64, n)
	basis := make([]int, len(rows))
	for j, i := range use {
		c[j] = spec.weight(spec.Grades[i]) / top
	}
	for m, r := range rows {
		for j, i := range use {
			a.Set(m, j, spec.Grades[i].list()[r.k])
		}
		b[m] = r.b
		basis[m] = len(use) + m
		a.Set(m, basis[m], 1)
		if !r.cap {
			c[basis[m]] = 1000 / least
			a.Set(m, len(use)+len(rows)+m, -1)
		}
	}
	x, err := simplex(c, a, b, basis)
	if err != nil {
		return nil, fmt.Errorf("cover: blend: %w", err)
	}
	for j, i := range use {
		if x[j] > 1e-10 { // below is noise of the solver
			rates[i] = x[j] * scale
		}
	}
	return rates, nil
}

// weight is what the blend shall have least of.
func (spec FertilizerSpec) weight(g Grade) float64 {
	if spec.Rule == FertilizerBlendLeastCost {
		return g.Price.Of(units.Kilogram)
	}
	return 1
}

// simplex is lp.Simplex with its panics on singular bases turned into errors.
func simplex(c []float64, a mat.Matrix, b []float64, basis []int) (x []float64, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("linear program: %v", p)
		}
	}()
	_, x, err = lp.Simplex(c, a, b, 0, basis)
	return x, err
}
