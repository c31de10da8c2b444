package geostat

import (
	"context"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/sludge/internal/parallel"
	"example.org/earthbasin/units/plane"
)

// batch is the number of targets that one multiplication works on: enough for
// long rows, few enough that they stay in the cache.
const batch = 128

// globalBatch returns a function that estimates points[from:to] from all samples.
func (k *Kriging) globalBatch(points []plane.Point, out []Estimate) func(from, to int) {
	n := len(k.samples)
	rows := make([]float64, n*batch)
	var x, y, value, miss, square [batch]float64
	return func(from, to int) {
		b := to - from
		for i, p := range points[from:to] {
			x[i], y[i] = k.cov.place(p.Sub(k.origin))
			value[i], miss[i], square[i] = k.all.m, 1, 0
		}
		first := -1 // the first sample that any target is correlated with
		for i := range n {
			row := rows[i*b : (i+1)*b]
			if !k.cov.row(row, x[:b], y[:b], k.x[i], k.y[i]) {
				continue
			}
			if first < 0 {
				first = i
			}
			floats.AddScaled(value[:b], k.all.beta[i], row)
			floats.AddScaled(miss[:b], -k.all.u[i], row)
		}
		if first >= 0 {
			l := k.all.factor
			l.Data, l.N = l.Data[first*n+first:], n-first
			blas64.Trsm(blas.Left, blas.NoTrans, 1, l, blas64.General{Rows: n - first, Cols: b, Stride: b, Data: rows[first*b : n*b]})
			for i := first; i < n; i++ {
				for j, v := range rows[i*b : (i+1)*b] {
					square[j] += v * v
				}
			}
		}
		for i := range b {
			out[from+i] = estimateAt(value[i], k.cov.zero()-square[i]+miss[i]*miss[i]/k.all.s)
		}
	}
}

// localBatch returns a function that estimates points[from:to] each from its
// nearest samples.
func (k *Kriging) localBatch(points []plane.Point, out []Estimate) func(from, to int) {
	s := newSystem(k.k)
	c0, distance := make([]float64, k.k), make([]float64, k.k)
	return func(from, to int) {
		for i, p := range points[from:to] {
			k.near.Find(mesh.Of(p), s.index, distance)
			s.solve(k)
			x, y := k.cov.place(p.Sub(k.origin))
			k.cov.row(c0, s.x, s.y, x, y)
			out[from+i] = estimateAt(s.target(c0, k.cov.zero()))
		}
	}
}

// inBatches runs over 0 to n in pieces of the size batch, shared out to workers
// that each get a function of their own from newWork, until ctx is done.
func inBatches(ctx context.Context, n, workers int, newWork func() func(from, to int)) {
	parallel.Bands(n, workers, func(from, to int) {
		work := newWork()
		for ; from < to && ctx.Err() == nil; from += batch {
			work(from, min(to, from+batch))
		}
	})
}
