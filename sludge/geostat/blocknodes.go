package geostat

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/integrate/quad"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// blockNodes are the points that stand for a block and their shares of it.
type blockNodes struct {
	at     []plane.Point
	weight []float64 // adding up to 1
	step   float64   // of the lattice, 0 without one

	// Of a lattice, whose whole cells all have one weight: the runs of them, row by row
	// from the south, and the cells that the edge cuts.
	dx, dy float64
	rows   [][]run
	cut    []cutCell
	cols   int
	whole  float64 // weight of a whole cell
}

// run is the whole cells from <= column < to of a row.
type run struct{ from, to int }

// cutCell is a cell that the edge cuts, with its weight in the block.
type cutCell struct {
	col, row int
	weight   float64
}

// latticeNodes cuts an area by a lattice of equal cells, at most step wide and high,
// over the box around the boundary. Each cell stands by the centroid of its part in
// the area, with the area of that part.
func latticeNodes(boundary plane.Polygon, islands []plane.Polygon, area, step float64) *blockNodes {
	low, high := boundary.Bounds()
	cells := func(length float64) (int, float64) {
		n := max(1, int(math.Ceil(length/step-1e-9)))
		return n, length / float64(n)
	}
	l := mesh.Lattice{X0: float64(low.X), Y0: float64(low.Y)}
	l.Cols, l.DX = cells(float64(high.X - low.X))
	l.Rows, l.DY = cells(float64(high.Y - low.Y))
	parts := outline.Parts(outline.Turned(boundary, islands), l)
	slices.SortFunc(parts, func(a, b outline.Part) int {
		return cmp.Or(cmp.Compare(a.Row, b.Row), cmp.Compare(a.Col, b.Col))
	})
	full := l.DX * l.DY
	b := &blockNodes{step: step, dx: l.DX, dy: l.DY, cols: l.Cols, rows: make([][]run, l.Rows), whole: full / area}
	for _, p := range parts {
		b.at, b.weight = append(b.at, p.At.Point()), append(b.weight, p.Area/area)
		row := b.rows[p.Row]
		switch k := len(row) - 1; {
		case p.Area < full*(1-1e-9):
			b.cut = append(b.cut, cutCell{p.Col, p.Row, p.Area / area})
		case k >= 0 && row[k].to == p.Col:
			row[k].to++
		default:
			b.rows[p.Row] = append(row, run{p.Col, p.Col + 1})
		}
	}
	return b
}

// pairs returns the number of pairs of which the cells that the edge cuts are part,
// which are looked at one by one.
func (b *blockNodes) pairs() float64 { return float64(len(b.cut)) * float64(len(b.at)) }

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

// lineNodes returns the middles of equal pieces of each leg of a line, at most step
// long.
func lineNodes(line []plane.Point, length, step float64) *blockNodes {
	b := &blockNodes{step: step}
	for i, p := range line[:len(line)-1] {
		d := line[i+1].Sub(p)
		leg := math.Hypot(float64(d.X), float64(d.Y))
		n := max(1, int(math.Ceil(leg/step-1e-9)))
		for j := range n {
			t := units.Length((float64(j) + 0.5) / float64(n))
			b.at = append(b.at, plane.Point{X: p.X + t*d.X, Y: p.Y + t*d.Y})
			b.weight = append(b.weight, leg/float64(n)/length)
		}
	}
	return b
}

// within returns the mean covariance between the nodes, each with itself too but
// without the nugget. Cells of a lattice are taken at their centres.
func (b *blockNodes) within(c *covariance) float64 {
	if b.rows != nil {
		return b.latticeWithin(c)
	}
	var sum float64
	for i, p := range b.at {
		for j, q := range b.at[:i] {
			x, y := c.place(p.Sub(q))
			sum += 2 * b.weight[i] * b.weight[j] * c.at(x*x+y*y)
		}
		sum += b.weight[i] * b.weight[i] * c.at(0)
	}
	return sum
}

// latticeWithin evaluates the covariance once for each difference of columns and
// rows. How often it occurs between whole cells is counted: two runs that lie n and m
// columns long make a trapezium of counts, written as four second differences.
func (b *blockNodes) latticeWithin(c *covariance) float64 {
	nx := b.cols
	table := make([]float64, len(b.rows)*2*nx) // by rows and by columns from -nx
	for dj := range b.rows {
		for i := range 2 * nx {
			x, y := c.place(plane.Point{X: units.Length(float64(i-nx) * b.dx), Y: units.Length(float64(dj) * b.dy)})
			table[dj*2*nx+i] = c.at(x*x + y*y)
		}
	}
	var sum float64
	counts := make([]int, 2*nx+2)
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
		times := b.whole * b.whole
		if dj > 0 {
			times *= 2 // the same pairs seen from the other row
		}
		for i, second := range counts[:2*nx] {
			slope += second
			if count += slope; count != 0 {
				sum += times * float64(count) * table[dj*2*nx+i]
			}
		}
	}
	between := func(p cutCell, col, row int) float64 {
		if row < p.row {
			return table[(p.row-row)*2*nx+nx+p.col-col]
		}
		return table[(row-p.row)*2*nx+nx+col-p.col]
	}
	for i, p := range b.cut {
		for row, runs := range b.rows {
			var part float64
			for _, r := range runs {
				for col := r.from; col < r.to; col++ {
					part += between(p, col, row)
				}
			}
			sum += 2 * p.weight * b.whole * part
		}
		for _, q := range b.cut[:i] {
			sum += 2 * p.weight * q.weight * between(p, q.col, q.row)
		}
		sum += p.weight * p.weight * table[nx]
	}
	return sum
}

// to sets mean to the mean covariance between each place (x, y) on the turned
// plane and the nodes, given on that plane too.
func (b *blockNodes) to(c *covariance, nx, ny, x, y, mean []float64) {
	row := make([]float64, len(nx))
	for i := range mean {
		mean[i] = 0
		if c.row(row, nx, ny, x[i], y[i]) {
			mean[i] = floats.Dot(row, b.weight)
		}
	}
}
