package cover

// blend returns the rate of each grade that meets the need at least cost or weight,
// as a linear program.
//
// Each need is a row: sum of grade x rate + shortage - surplus = need, each cap one
// with a slack. Shortages and slacks are the first basis. The shortages together come
// first, so that they stay only under a cap; the cost decides among the rest.
func (spec FertilizerSpec) blend() ([]float64, error) {
	need, caps := spec.Need.list(), spec.Most.list()
	scale := max(need[0], need[1], need[2])
	top := 0.0
	for _, g := range spec.Grades {
		top = max(top, spec.weight(g))
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
		if caps[k] != nil {
			rows = append(rows, row{k, true, caps[k].SI() / scale})
		}
	}

	// Columns: grades, one unit column per row, a surplus per need, the right side.
	n := len(spec.Grades)
	width := n + len(rows) + needs + 1
	p := program{costs: [2][]float64{make([]float64, width), make([]float64, width)}}
	for i, g := range spec.Grades {
		p.costs[1][i] = spec.weight(g) / top
	}
	for m, r := range rows {
		a := make([]float64, width)
		for i, g := range spec.Grades {
			a[i] = g.list()[r.k]
		}
		a[n+m], a[width-1] = 1, r.b
		if !r.cap {
			p.costs[0][n+m] = 1
			a[n+len(rows)+m] = -1
		}
		p.rows, p.basis = append(p.rows, a), append(p.basis, n+m)
	}
	x, err := p.solve()
	if err != nil {
		return nil, err
	}
	rates := make([]float64, n)
	for i := range rates {
		if x[i] > 1e-10 { // below is noise of the solver
			rates[i] = x[i] * scale
		}
	}
	return rates, nil
}

// weight is what the blend shall have least of.
func (spec FertilizerSpec) weight(g FertilizerGrade) float64 {
	if spec.Rule == FertilizerBlendLeastCost {
		return g.Price.SI()
	}
	return 1
}
