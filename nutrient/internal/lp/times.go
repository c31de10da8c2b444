package lp

// Times returns how often the whole of b, empty, would take what is left: the
// largest t with t left[material] <= the sum of the flows of each material, within
// the limits. The error is [ErrUnsolved].
func (b *Block) Times(left []float64) (times float64, err error) {
	hard := b.Rows - len(b.Extra)
	row := map[int]int{} // of each material of which something is left
	for i, x := range left {
		if x > 0 {
			row[i] = hard + len(row)
		}
	}
	var p simplex
	p.reset(hard + len(row))
	t := make([]float64, p.m)
	for _, i := range row {
		p.x[i] = 0 // the right side
		t[i] = 1
	}
	p.add(1, t)
	for _, f := range b.Flows {
		i, ok := row[f.Material]
		if !ok {
			continue
		}
		use := make([]float64, p.m)
		for j, a := range f.Uses[:hard] {
			use[j] = a * f.Size
		}
		use[i] = -f.Size / left[f.Material]
		p.add(0, use)
	}
	times, ok := p.solve()
	if !ok {
		return 0, ErrUnsolved
	}
	return times, nil
}
