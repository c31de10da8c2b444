package study

// worker works out blocks with memory of its own.
type worker struct {
	*design
	evaluator Evaluator
	points    *points
	// Y and dev hold the outputs of the draws of a block, one after the other, as they
	// are and less their centre over their scale; those refused are left out.
	y, dev []float64
	kept   int
	group  struct{ y, dev []float64 } // of the evaluations of one draw
	// Effects are the sums of a block: of output k in class c of input i at
	// (i*mostLevels+c)*outputs+k. Groups are the same for each batch.
	effects []float64
	groups  [batches][4][]float64
	tally   *tally
	row     func(draw int64, values, out []float64, err error)
}

func (d *design) worker() *worker {
	outs, ins := len(d.model.Outputs), len(d.model.Inputs)
	w := &worker{design: d, evaluator: d.model.Evaluator(), points: newPoints(d), tally: newTally(d)}
	rows := d.blockSize * max(2, d.rows)
	w.y, w.dev = make([]float64, outs*rows), make([]float64, outs*rows)
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
		w.tally.outputs[k].values(w.y, w.dev, k, len(w.centre), w.kept)
	}
}

// evaluate works out row r into y.
func (w *worker) evaluate(r int, y []float64) error {
	k := len(w.tables)
	return w.evaluator.Eval(w.points.x[r*k:][:k:k], y)
}

// scale writes the outputs y less their centre over their scale; ok is false when no
// sum can take one of them.
func (w *worker) scale(y, dev []float64) (ok bool) {
	ok = true
	centre, inverse, dev := w.centre[:len(y)], w.inverse[:len(y)], dev[:len(y)]
	for k, v := range y {
		d := (v - centre[k]) * inverse[k]
		dev[k] = d
		ok = ok && d >= -mostScales && d <= mostScales && v >= -mostOutput && v <= mostOutput
	}
	return ok
}

// tell hands row r on.
func (w *worker) tell(draw int64, r int, y []float64, err error) {
	k := len(w.tables)
	w.row(draw, w.points.x[r*k:][:k:k], y, err)
}

// draws works out rows that are draws.
func (w *worker) draws(first int64) {
	ins, outs := len(w.tables), len(w.centre)
	classes := w.points.classes
	for r := range w.points.n {
		at := w.kept * outs
		y := w.y[at : at+outs : at+outs]
		err := w.evaluate(r, y)
		if err == nil && !w.scale(y, w.dev[at:]) {
			err = w.beyond(y)
		}
		if w.row != nil {
			w.tell(first+int64(r), r, y, err)
		}
		if err != nil {
			w.tally.refuse(first+int64(r), err.Error())
			continue
		}
		if w.kept < r {
			copy(classes[w.kept*ins:][:ins], classes[r*ins:][:ins])
		}
		w.kept++
	}
	w.tally.draws = int64(w.kept)
	for i := range ins {
		n := &w.tally.effects[i].n
		sums := w.effects[i*mostLevels*outs:][:mostLevels*outs]
		if outs == 1 {
			for r, d := range w.dev[:w.kept] {
				c := classes[r*ins+i] & (mostLevels - 1)
				n[c]++
				sums[c] += d
			}
			continue
		}
		for r := range w.kept {
			c := int(classes[r*ins+i])
			n[c]++
			sum := sums[c*outs:][:outs]
			for k, d := range w.dev[r*outs:][:outs] {
				sum[k] += d
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
		if err == nil && !w.scale(y, of(w.group.dev, r)) {
			err = w.beyond(y)
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
		copy(of(w.y, w.kept), of(w.group.y, r))
		copy(of(w.dev, w.kept), of(w.group.dev, r))
		for k, d := range of(w.dev, w.kept) {
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
	size := mostLevels * len(w.centre)
	for i := range w.tally.effects {
		move(w.tally.effects[i].sum, w.effects[i*size:][:size])
	}
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
