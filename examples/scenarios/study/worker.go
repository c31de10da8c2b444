package study

// worker works out blocks with memory of its own.
type worker struct {
	*design
	evaluator Evaluator
	batch     Batch // the evaluator, when it is one
	points    *points
	// Y and dev hold for each output its values in the draws of a block, as they are and
	// less their centre over their scale; those refused are left out.
	y, dev [][]float64
	kept   int
	one    struct{ x, y []float64 }   // evaluation
	group  struct{ y, dev []float64 } // of the evaluations of one draw
	// Effects are the sums of a block: of output k in class c of input i at
	// (i*outputs+k)*mostLevels+c. Groups are the same for each batch.
	effects []float64
	groups  [batches][4][]float64
	tally   *tally
	row     func(draw int64, values, out []float64, err error)
}

func (d *design) worker() *worker {
	outs, ins := len(d.model.Outputs), len(d.model.Inputs)
	w := &worker{design: d, evaluator: d.model.Evaluator(), points: newPoints(d), tally: newTally(d)}
	w.batch, _ = w.evaluator.(Batch)
	rows := d.blockSize * d.random()
	w.y, w.dev = columns[float64](outs, rows), columns[float64](outs, rows)
	w.one.x, w.one.y = make([]float64, ins), make([]float64, outs)
	if !d.grouped() {
		w.effects = make([]float64, ins*mostLevels*outs)
		return w
	}
	w.group.y, w.group.dev = make([]float64, outs*d.rows), make([]float64, outs*d.rows)
	for b := range w.groups {
		w.groups[b][0] = make([]float64, 2*outs)
		for j := 1; j < 4; j++ {
			w.groups[b][j] = make([]float64, ins*outs)
		}
	}
	return w
}

// block adds up the draws of block b in w.tally.
func (w *worker) block(b int64) {
	w.tally.drop()
	w.kept = 0
	w.fill(b, w.points)
	first := w.upTo(b)
	if w.grouped() {
		for g := range w.points.n / w.rows {
			w.take(first+int64(g), g)
		}
		w.closeGroups()
	} else {
		w.draws(first)
		w.closeEffects()
	}
	for k := range w.tally.outputs {
		w.tally.outputs[k].values(w.y[k][:w.kept], w.dev[k])
	}
}

// evaluate works out row r into y.
func (w *worker) evaluate(r int, y []float64) error {
	w.points.row(r, w.one.x)
	return w.evaluator.Eval(w.one.x, y)
}

// scale writes values of output k less its centre over its scale; ok is false when no
// sum can take one of them.
func (w *worker) scale(k int, y, dev []float64) (ok bool) {
	ok = true
	centre, inverse, dev := w.centre[k], w.inverse[k], dev[:len(y)]
	for i, v := range y {
		d := (v - centre) * inverse
		dev[i] = d
		ok = ok && d >= -mostScales && d <= mostScales && v >= -mostOutput && v <= mostOutput
	}
	return ok
}

// tell hands the outputs y of row r on.
func (w *worker) tell(draw int64, r int, y []float64, err error) {
	w.points.row(r, w.one.x)
	w.row(draw, w.one.x, y, err)
}

// together works out all rows at a time, where the evaluator can; ok is false where it
// cannot, and when one of the rows is to be refused.
func (w *worker) together(first int64) (ok bool) {
	if w.batch == nil {
		return false
	}
	n := w.points.n
	x, y := make([][]float64, len(w.points.x)), make([][]float64, len(w.y))
	for i, column := range w.points.x {
		x[i] = column[:n:n]
	}
	for k, column := range w.y {
		y[k] = column[:n:n]
	}
	if w.batch.EvalBatch(x, y) != nil {
		return false
	}
	for k := range y {
		if !w.scale(k, y[k], w.dev[k]) {
			return false
		}
	}
	w.kept = n
	for r := range n {
		if w.row == nil {
			break
		}
		for k := range y {
			w.one.y[k] = y[k][r]
		}
		w.tell(first+int64(r), r, w.one.y, nil)
	}
	return true
}

// apart works out one row after the other and leaves out those that are refused.
func (w *worker) apart(first int64) {
	for r := range w.points.n {
		y := w.one.y
		err := w.evaluate(r, y)
		for k := range y {
			w.y[k][w.kept] = y[k]
			if err == nil && !w.scale(k, y[k:k+1], w.dev[k][w.kept:]) {
				err = w.beyond(y)
			}
		}
		if w.row != nil {
			w.tell(first+int64(r), r, y, err)
		}
		if err != nil {
			w.tally.refuse(first+int64(r), err.Error())
			continue
		}
		if w.kept < r {
			for _, classes := range w.points.classes {
				classes[w.kept] = classes[r]
			}
		}
		w.kept++
	}
}

// draws works out rows that are draws.
func (w *worker) draws(first int64) {
	if !w.together(first) {
		w.apart(first)
	}
	w.tally.draws = int64(w.kept)
	outs := len(w.centre)
	for i := range w.tables {
		n, classes := &w.tally.effects[i].n, w.points.classes[i][:w.kept]
		for _, c := range classes {
			n[c&(mostLevels-1)]++
		}
		for k, dev := range w.dev {
			sums := (*[mostLevels]float64)(w.effects[(i*outs+k)*mostLevels:])
			dev = dev[:len(classes)]
			for r, c := range classes {
				sums[c&(mostLevels-1)] += dev[r]
			}
		}
	}
}

// take works out the rows of one group.
func (w *worker) take(draw int64, g int) {
	ins, outs := len(w.tables), len(w.centre)
	t := w.tally
	of := func(list []float64, r int) []float64 { return list[r*outs:][:outs] }
	for r := range w.rows {
		y := of(w.group.y, r)
		err := w.evaluate(g*w.rows+r, y)
		for k := range y {
			if err == nil && !w.scale(k, y[k:k+1], of(w.group.dev, r)[k:]) {
				err = w.beyond(y)
			}
		}
		if w.row != nil {
			w.tell(draw, g*w.rows+r, y, err)
		}
		if err != nil {
			t.refuse(draw, err.Error())
			return
		}
	}
	t.draws++
	n := draw % batches
	t.groups[n].n++
	sums := &w.groups[n]
	for r := range w.random() {
		for k, d := range of(w.group.dev, r) {
			w.y[k][w.kept], w.dev[k][w.kept] = of(w.group.y, r)[k], d
			sums[0][2*k] += d
			sums[0][2*k+1] += d * d
		}
		w.kept++
	}
	for i := range ins {
		if w.Sampling == SamplingScreen {
			before, sign := w.points.order[g*ins+i], 1.0
			if before < 0 {
				before, sign = -before-1, -1
			}
			a, b := of(w.group.dev, before), of(w.group.dev, 1+i)
			for k := range outs {
				e := sign * (b[k] - a[k]) / screenStep
				sums[1][i*outs+k] += e
				sums[2][i*outs+k] += max(e, -e)
				sums[3][i*outs+k] += e * e
			}
			continue
		}
		a, b, ab := of(w.group.dev, 0), of(w.group.dev, 1), of(w.group.dev, 2+i)
		for k := range outs {
			sums[1][i*outs+k] += b[k] * (ab[k] - a[k])
			sums[2][i*outs+k] += (a[k] - ab[k]) * (a[k] - ab[k])
		}
	}
}

// closeEffects moves the sums of a block to the tally.
func (w *worker) closeEffects() {
	outs := len(w.centre)
	for i := range w.tally.effects {
		sum := w.tally.effects[i].sum
		for k := range outs {
			for c, v := range w.effects[(i*outs+k)*mostLevels:][:mostLevels] {
				if v != 0 {
					sum[c*outs+k] = wideOf(v)
				}
			}
		}
	}
	clear(w.effects)
}

func (w *worker) closeGroups() {
	for b := range w.groups {
		t := &w.tally.groups[b]
		move(t.powers, w.groups[b][0])
		for j := range t.sums {
			move(t.sums[j], w.groups[b][1+j])
		}
	}
}

// move makes whole numbers of sums and sets those to 0.
func move(to []wide, from []float64) {
	for i, v := range from {
		if v != 0 {
			to[i] = wideOf(v)
			from[i] = 0
		}
	}
}
