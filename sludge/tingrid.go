package sludge

import (
	"context"
	"math"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/sludge/internal/parallel"
)

// Grid evaluates the surface at the centres of a grid: one pass over the
// triangles, each filling the cells whose centres it holds. It ends with the error of ctx
// when that is done.
func (t *TIN) Grid(ctx context.Context, spec GridSpec) (*Grid, error) {
	g, err := t.survey.newGrid(spec)
	if err != nil {
		return nil, err
	}
	for k := range g.z {
		g.z[k] = math.NaN()
	}
	parallel.Bands(g.l.Rows, spec.Workers, func(from, to int) {
		for k, in := range t.in {
			if k%4096 == 0 && ctx.Err() != nil {
				return
			}
			if !in {
				continue
			}
			var p [3]corner
			for i, c := range t.mesh.Corner[3*k : 3*k+3] {
				p[i] = corner{t.mesh.Pt[c], t.z[c]}
			}
			g.fill(p[0], p[1], p[2], from, to)
		}
	})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return g, nil
}

// corner is a place with its thickness.
type corner struct {
	mesh.XY
	z float64
}

// fill sets the cells of the rows from from to before to whose centres lie in the
// triangle or on its edge. Two triangles work out the crossings of their common
// side alike, so that no centre falls between them.
func (g *Grid) fill(a, b, c corner, from, to int) {
	if b.Y < a.Y { // a lowest, c highest
		a, b = b, a
	}
	if c.Y < b.Y {
		b, c = c, b
		if b.Y < a.Y {
			a, b = b, a
		}
	}
	r0 := max(int(math.Ceil((a.Y-g.l.Y0)*g.perY-0.5)), from)
	r1 := min(int(math.Floor((c.Y-g.l.Y0)*g.perY-0.5)), to-1)
	if r0 > r1 {
		return
	}
	long, lower, upper := (c.X-a.X)/(c.Y-a.Y), (b.X-a.X)/(b.Y-a.Y), (c.X-b.X)/(c.Y-b.Y)
	s := 1 / ((b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X))
	gx := ((b.z-a.z)*(c.Y-a.Y) - (c.z-a.z)*(b.Y-a.Y)) * s
	gy := ((c.z-a.z)*(b.X-a.X) - (b.z-a.z)*(c.X-a.X)) * s
	zlo, zhi := min(a.z, b.z, c.z), max(a.z, b.z, c.z)
	for r := r0; r <= r1; r++ {
		y := g.l.Y0 + (float64(r)+0.5)*g.l.DY
		x0, x1 := onEdge(a, c, long, y), 0.0
		if y < b.Y {
			x1 = onEdge(a, b, lower, y)
		} else {
			x1 = onEdge(b, c, upper, y)
		}
		if x1 < x0 {
			x0, x1 = x1, x0
		}
		c0, c1 := g.columns(x0, x1)
		row := g.z[r*g.l.Cols : (r+1)*g.l.Cols]
		at := a.z + (y-a.Y)*gy + (g.l.X0+0.5*g.l.DX-a.X)*gx
		for k := c0; k <= c1; k++ {
			z := at + float64(k)*(g.l.DX*gx)
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
	if y <= a.Y {
		return a.X
	}
	if y >= b.Y {
		return b.X
	}
	return a.X + (y-a.Y)*slope
}

// rows calls fn for each row, shared among workers.
func (g *Grid) rows(workers int, fn func(r int)) {
	parallel.Bands(g.l.Rows, workers, func(from, to int) {
		for r := from; r < to; r++ {
			fn(r)
		}
	})
}
