package geostat

import (
	"context"

	"gonum.org/v1/gonum/floats"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/sludge/internal/parallel"
	"example.org/earthbasin/units/plane"
)

// batch is the number of targets that one multiplication works on: enough for
// long rows, few enough that they stay in the cache.
const batch = 128

// globalBatch returns a function that estimates the listed points from all samples.
func (k *Kriging) globalBatch(points []plane.Point, out []Estimate) func(list []int) {
	n := len(k.samples)
	rows := make([]float64, n*batch)
	live := make([]bool, n) // the samples that any target is correlated with
	var x, y, value, miss, square [batch]float64
	return func(list []int) {
		b := (len(list) + 3) &^ 3
		for i := range b {
			at := list[min(i, len(list)-1)]
			x[i], y[i] = k.cov.place(points[at].Sub(k.origin))
			value[i], miss[i], square[i] = k.all.m, 1, 0
		}
		for i := range n {
			row := rows[i*b : (i+1)*b]
			if live[i] = k.cov.row(row, x[:b], y[:b], k.x[i], k.y[i]); live[i] {
				floats.AddScaled(value[:b], k.all.beta[i], row)
				floats.AddScaled(miss[:b], -k.all.u[i], row)
			}
		}
		k.all.forward(rows, b, live)
		for i := range n {
			if !live[i] {
				continue
			}
			for j, v := range rows[i*b : (i+1)*b] {
				square[j] += v * v
			}
		}
		for i, at := range list {
			out[at] = estimateAt(value[i], k.cov.zero()-square[i]+miss[i]*miss[i]/k.all.s)
		}
	}
}

// localBatch returns a function that estimates the listed points each from its
// nearest samples.
func (k *Kriging) localBatch(points []plane.Point, out []Estimate) func(list []int) {
	s := newSystem(k.k)
	c0, distance := make([]float64, k.k), make([]float64, k.k)
	return func(list []int) {
		for _, at := range list {
			p := points[at]
			k.near.Find(mesh.Of(p), s.index, distance)
			s.solve(k)
			x, y := k.cov.place(p.Sub(k.origin))
			k.cov.row(c0, s.x, s.y, x, y)
			out[at] = estimateAt(s.target(c0, k.cov.zero()))
		}
	}
}

// inBatches runs over 0 to n in pieces of the size batch, shared out in wholes of a unit,
// to workers that each get a function of their own from newWork, until ctx is done.
func inBatches(ctx context.Context, n, unit, workers int, newWork func() func(from, to int)) {
	parallel.Bands((n+unit-1)/unit, workers, func(from, to int) {
		work := newWork()
		end := min(to*unit, n)
		for from *= unit; from < end && ctx.Err() == nil; from += batch {
			work(from, min(end, from+batch))
		}
	})
}
