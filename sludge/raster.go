package sludge

import (
	"math"
	"sync"
)

// Grid evaluates the surface at the centres of a grid: one pass over the
// triangles, each filling the cells whose centres it holds.
func (t *TIN) Grid(spec GridSpec) (*Grid, error) {
	g, err := t.survey.newGrid(spec)
	if err != nil {
		return nil, err
	}
	for k := range g.z {
		g.z[k] = math.NaN()
	}
	bands(g.l.rows, spec.Workers, func(from, to int) {
		t.each(func(a, b, c int32) {
			g.fill(corner{t.mesh.pt[a], t.z[a]}, corner{t.mesh.pt[b], t.z[b]}, corner{t.mesh.pt[c], t.z[c]}, from, to)
		})
	})
	return g, nil
}

// corner is a place with its thickness.
type corner struct {
	xy
	z float64
}

// fill sets the cells of the rows from from to before to whose centres lie in the
// triangle or on its edge. Two triangles work out the crossings of their common
// side alike, so that no centre falls between them.
func (g *Grid) fill(a, b, c corner, from, to int) {
	if b.y < a.y { // a lowest, c highest
		a, b = b, a
	}
	if c.y < b.y {
		b, c = c, b
		if b.y < a.y {
			a, b = b, a
		}
	}
	r0 := max(int(math.Ceil((a.y-g.l.y0)*g.perY-0.5)), from)
	r1 := min(int(math.Floor((c.y-g.l.y0)*g.perY-0.5)), to-1)
	if r0 > r1 {
		return
	}
	long, lower, upper := (c.x-a.x)/(c.y-a.y), (b.x-a.x)/(b.y-a.y), (c.x-b.x)/(c.y-b.y)
	s := 1 / ((b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x))
	gx := ((b.z-a.z)*(c.y-a.y) - (c.z-a.z)*(b.y-a.y)) * s
	gy := ((c.z-a.z)*(b.x-a.x) - (b.z-a.z)*(c.x-a.x)) * s
	zlo, zhi := min(a.z, b.z, c.z), max(a.z, b.z, c.z)
	for r := r0; r <= r1; r++ {
		y := g.l.y0 + (float64(r)+0.5)*g.l.dy
		x0, x1 := onEdge(a, c, long, y), 0.0
		if y < b.y {
			x1 = onEdge(a, b, lower, y)
		} else {
			x1 = onEdge(b, c, upper, y)
		}
		if x1 < x0 {
			x0, x1 = x1, x0
		}
		c0, c1 := g.columns(x0, x1)
		row := g.z[r*g.l.cols : (r+1)*g.l.cols]
		at := a.z + (y-a.y)*gy + (g.l.x0+0.5*g.l.dx-a.x)*gx
		for k := c0; k <= c1; k++ {
			z := at + float64(k)*(g.l.dx*gx)
			if !(z >= zlo) { // a thin triangle's slope is no better than its corners, or no number
				z = zlo
			} else if z > zhi {
				z = zhi
			}
			row[k] = z
		}
	}
}

// onEdge returns the x at y on the edge from a up to b, with their own x at the
// ends, where the slope may say nothing.
func onEdge(a, b corner, slope, y float64) float64 {
	if y <= a.y {
		return a.x
	}
	if y >= b.y {
		return b.x
	}
	return a.x + (y-a.y)*slope
}

// rows calls fn for each row, shared among workers.
func (g *Grid) rows(workers int, fn func(r int)) {
	bands(g.l.rows, workers, func(from, to int) {
		for r := from; r < to; r++ {
			fn(r)
		}
	})
}

// bands calls fn for parts that make up 0 to n, at the same time on workers.
func bands(n, workers int, fn func(from, to int)) {
	workers = max(min(workers, n), 1)
	var wait sync.WaitGroup
	for w := 1; w < workers; w++ {
		wait.Go(func() { fn(n*w/workers, n*(w+1)/workers) })
	}
	fn(0, n/workers)
	wait.Wait()
}
