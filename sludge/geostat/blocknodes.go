package geostat

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/integrate/quad"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// blockNodes are the points that stand for a block, all with one weight when
// they are a lattice.
type blockNodes struct {
	at     []plane.Point
	weight []float64 // adding up to 1; nil on a lattice
	step   float64   // of the lattice
	rows   [][]run   // of the lattice, south to north
}

// run is the nodes from <= column < to of a row.
type run struct{ from, to int }

// latticeNodes returns the nodes of a square lattice that lie inside the
// boundary and on no island. The lattice is centred on the box around the
// boundary.
func latticeNodes(boundary plane.Polygon, islands []plane.Polygon, step float64) *blockNodes {
	low, high := boundary.Bounds()
	x0, nx := centred(float64(low.X), float64(high.X), step)
	y0, ny := centred(float64(low.Y), float64(high.Y), step)
	b := &blockNodes{step: step, rows: make([][]run, ny)}
	rings := append([]plane.Polygon{boundary}, islands...)
	var cuts []float64
	for j := range ny {
		y := y0 + float64(j)*step
		cuts = cuts[:0]
		for _, ring := range rings {
			for i, p := range ring {
				q := ring[(i+1)%len(ring)]
				if py, qy := float64(p.Y), float64(q.Y); (py > y) != (qy > y) {
					cuts = append(cuts, float64(p.X)+float64(q.X-p.X)*(y-py)/(qy-py))
				}
			}
		}
		slices.Sort(cuts)
		for i := 0; i+1 < len(cuts); i += 2 {
			r := run{int(math.Ceil((cuts[i] - x0) / step)), int(math.Ceil((cuts[i+1] - x0) / step))}
			if r.from, r.to = max(0, r.from), min(nx, r.to); r.from < r.to {
				b.rows[j] = append(b.rows[j], r)
			}
			for c := r.from; c < r.to; c++ {
				b.at = append(b.at, plane.Point{X: units.Length(x0 + float64(c)*step), Y: units.Length(y)})
			}
		}
	}
	return b
}

// centred returns the first node and the number of nodes between low and high.
func centred(low, high, step float64) (first float64, n int) {
	n = max(1, int(math.Round((high-low)/step)))
	return (low + high - float64(n-1)*step) / 2, n
}

// gaussNodes returns 4 by 4 Gauss-Legendre points of the box.
func gaussNodes(low, high plane.Point) *blockNodes {
	var x, y, wx, wy [4]float64
	quad.Legendre{}.FixedLocations(x[:], wx[:], float64(low.X), float64(high.X))
	quad.Legendre{}.FixedLocations(y[:], wy[:], float64(low.Y), float64(high.Y))
	area := float64(high.X-low.X) * float64(high.Y-low.Y)
	b := &blockNodes{}
	for j := range y {
		for i := range x {
			b.at = append(b.at, plane.Point{X: units.Length(x[i]), Y: units.Length(y[j])})
			b.weight = append(b.weight, wx[i]*wy[j]/area)
		}
	}
	return b
}

// givenNodes returns points of one weight.
func givenNodes(points []plane.Point) *blockNodes {
	b := &blockNodes{at: points, weight: make([]float64, len(points))}
	for i := range points {
		b.weight[i] = 1 / float64(len(points))
	}
	return b
}

// within returns the mean covariance between the nodes, each with itself too but
// without the nugget.
func (b *blockNodes) within(c *covariance) float64 {
	if b.weight == nil {
		return b.latticeWithin(c)
	}
	var sum float64
	for i, p := range b.at {
		for j, q := range b.at {
			x, y := c.place(p.Sub(q))
			sum += b.weight[i] * b.weight[j] * c.at(x*x+y*y)
		}
	}
	return sum
}

// latticeWithin counts how often each difference of columns and rows occurs and
// evaluates the covariance once for it. Two runs that lie n and m columns long
// make a trapezium of counts, written as four second differences.
func (b *blockNodes) latticeWithin(c *covariance) float64 {
	nx := 0
	for _, row := range b.rows {
		for _, r := range row {
			nx = max(nx, r.to)
		}
	}
	counts := make([]int, 2*nx+2) // of column differences from -nx
	var sum, total float64
	for dj := range b.rows {
		clear(counts)
		for j := range len(b.rows) - dj {
			for _, p := range b.rows[j] {
				for _, q := range b.rows[j+dj] {
					counts[nx+q.from+1-p.to]++
					counts[nx+q.from+1-p.from]--
					counts[nx+q.to+1-p.to]--
					counts[nx+q.to+1-p.from]++
				}
			}
		}
		var slope, count int
		for i, second := range counts {
			slope += second
			if count += slope; count == 0 {
				continue
			}
			x, y := c.place(plane.Point{X: units.Length(float64(i-nx) * b.step), Y: units.Length(float64(dj) * b.step)})
			times := float64(count)
			if dj > 0 {
				times *= 2 // the same pairs seen from the other row
			}
			sum += times * c.at(x*x+y*y)
			total += times
		}
	}
	return sum / total
}

// to sets mean to the mean covariance between each place (x, y) on the turned
// plane and the nodes, given on that plane too.
func (b *blockNodes) to(c *covariance, nx, ny, x, y, mean []float64) {
	row := make([]float64, len(nx))
	for i := range mean {
		mean[i] = 0
		if !c.row(row, nx, ny, x[i], y[i]) {
			continue
		}
		if b.weight != nil {
			mean[i] = floats.Dot(row, b.weight)
		} else {
			mean[i] = floats.Sum(row) / float64(len(row))
		}
	}
}
