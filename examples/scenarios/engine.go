package main

import (
	"context"
	"maps"
	"math"
	"sync"

	"example.org/earthbasin/units"
)

// job is a study under way: which blocks belong to it, and what is done of them.
type job struct {
	model  *model
	design design
	first  int // block
	end    int // one after the last block
	done   forest

	workers  int
	progress func(done int64) // draws, called now and then from one goroutine; may be nil
	save     func()           // keeps done; called now and then from the same; may be nil
}

// drawn returns the number of draws that are done.
func (j *job) drawn() int64 {
	var n int64
	for _, t := range j.done {
		n += t.Draws + t.Refused
	}
	return n
}

// due returns the number of draws that the blocks of the job have.
func (j *job) due() int64 {
	return j.design.upTo(j.end) - j.design.upTo(j.first)
}

// run works through the blocks that are not done yet. When ctx ends it finishes
// those that are begun and returns the cause.
func (j *job) run(ctx context.Context) error {
	type sum struct {
		block int
		tally *tally
	}
	todo, sums := make(chan int), make(chan sum)
	before := maps.Clone(j.done)
	go func() {
		defer close(todo)
		for b := j.first; b < j.end && ctx.Err() == nil; b++ {
			if before.has(b) {
				continue
			}
			select {
			case todo <- b:
			case <-ctx.Done():
				return
			}
		}
	}()
	var workers sync.WaitGroup
	for range j.workers {
		workers.Go(func() {
			w := newWorker(j.model, j.design)
			for b := range todo {
				sums <- sum{b, w.block(b)}
			}
		})
	}
	go func() {
		workers.Wait()
		close(sums)
	}()
	for s := range sums {
		j.done.add(spot{0, s.block}, s.tally)
		if j.progress != nil {
			j.progress(j.drawn())
		}
		if j.save != nil {
			j.save()
		}
	}
	return ctx.Err()
}

// worker works out blocks with memory of its own.
type worker struct {
	model   *model
	design  design
	draw    func(x, y []float64) error
	points  *points
	columns [][]float64 // values of each output
	y, dev  []float64
	counter counter
}

func newWorker(m *model, d design) *worker {
	w := &worker{model: m, design: d, draw: m.start(), points: newPoints(m)}
	w.columns = make([][]float64, len(m.outputs))
	for k := range w.columns {
		w.columns[k] = make([]float64, 0, blockDraws)
	}
	w.y, w.dev = make([]float64, len(m.outputs)), make([]float64, len(m.outputs))
	return w
}

// block adds up the draws of block b.
func (w *worker) block(b int) *tally {
	t := newTally(w.model)
	w.design.fill(w.model, b, w.points)
	for k := range w.columns {
		w.columns[k] = w.columns[k][:0]
	}
	inputs := len(w.model.inputs)
	for r := range w.points.n {
		err := w.draw(w.points.x[r*inputs:][:inputs], w.y)
		if err == nil {
			err = w.model.finite(w.y)
		}
		if err != nil {
			if t.Refused++; t.Refused == 1 {
				t.Fault = err.Error()
			}
			continue
		}
		for k, y := range w.y {
			w.columns[k] = append(w.columns[k], y)
			w.dev[k] = y - w.model.centre[k]
		}
		t.add(w.points.classes[r*inputs:][:inputs], w.dev)
	}
	t.close(w.columns, &w.counter)
	return t
}

// mostOutput bounds the outputs, so that sums of their cubes are finite.
const mostOutput = 1e90

// finite returns the faults of outputs that no sum can take.
func (m *model) finite(y []float64) error {
	for _, v := range y {
		if !(math.Abs(v) <= mostOutput) {
			var f units.Faults
			for k, v := range y {
				if !(math.Abs(v) <= mostOutput) {
					f.Add(m.outputs[k].name, v, "a finite number")
				}
			}
			return f.Err()
		}
	}
	return nil
}
