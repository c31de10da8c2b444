package sludge

import (
	"cmp"
	"math"
	"slices"

	"example.org/earthbasin/sludge/internal/field"
	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Lattices of about so many cells stand for the basin; more change the volume by
// less than 0.3 %, which the interval allows for.
const (
	fewCells   = 135
	manyCells  = 240
	manySites  = 60 // from which there are manyCells
	subdivide  = 8  // points of a cell along a side at which the floor is taken
	floorSteps = 4  // levels that the floor of a cell is gathered in
)

// basinCells are the parts of the basin in the cells of a lattice. Places count from the
// low corner of the box around the boundary.
type basinCells struct {
	field.Lattice
	origin plane.Point
	list   []basinCell
	points []subPoint // of all cells, in their order
}

// basinCell is the part of one cell of the lattice that lies in the basin.
type basinCell struct {
	node     int     // of the lattice
	area     float64 // exactly
	dx, dy   float64 // from the node to the centroid
	from, to int     // its sub-points
}

// subPoint is a point of a cell, by steps from the node.
type subPoint struct{ dx, dy float64 }

// newCells cuts the area of the survey into about count cells.
func newCells(s *Survey, count int) *basinCells {
	low, high := s.rings[0].Bounds()
	w, h := float64(high.X-low.X), float64(high.Y-low.Y)
	side := math.Sqrt(s.area / float64(count))
	// A narrow basin at a slant has a box many times its area.
	side = max(side, math.Sqrt(w*h/(8*float64(count))))
	cols, rows := max(1, math.Round(w/side)), max(1, math.Round(h/side))
	l := mesh.Lattice{X0: float64(low.X), Y0: float64(low.Y), DX: w / cols, DY: h / rows, Cols: int(cols), Rows: int(rows)}
	c := &basinCells{origin: low, Lattice: field.Lattice{DX: l.DX, DY: l.DY, Cols: l.Cols, Rows: l.Rows}}
	parts := outline.Parts(s.rings, l)
	slices.SortFunc(parts, func(a, b outline.Part) int { return cmp.Or(a.Row-b.Row, a.Col-b.Col) })
	c.list = make([]basinCell, 0, len(parts))
	c.points = make([]subPoint, 0, len(parts)*subdivide*subdivide)
	for _, p := range parts {
		c.add(s, p)
	}
	return c
}

// add adds a cell with the points of it that lie in the basin: its centroid when none
// does.
func (c *basinCells) add(s *Survey, part outline.Part) {
	p := basinCell{node: part.Row*c.Cols + part.Col, area: part.Area, from: len(c.points)}
	x, y := c.Node(p.node)
	whole := part.Area > (1-1e-9)*c.DX*c.DY
	if !whole {
		p.dx, p.dy = part.At.X-float64(c.origin.X)-x, part.At.Y-float64(c.origin.Y)-y
	}
	for j := range subdivide {
		for i := range subdivide {
			q := subPoint{((float64(i)+0.5)/subdivide - 0.5) * c.DX, ((float64(j)+0.5)/subdivide - 0.5) * c.DY}
			if whole || s.Contains(c.place(x+q.dx, y+q.dy)) {
				c.points = append(c.points, q)
			}
		}
	}
	if len(c.points) == p.from {
		c.points = append(c.points, subPoint{p.dx, p.dy})
	}
	p.to = len(c.points)
	c.list = append(c.list, p)
}

// place returns the point that lies at x, y from the origin.
func (c *basinCells) place(x, y float64) plane.Point {
	return plane.Point{X: c.origin.X + units.Length(x), Y: c.origin.Y + units.Length(y)}
}

// at returns the value of fn at each sub-point.
func (c *basinCells) at(fn func(p plane.Point) float64) []float64 {
	list := make([]float64, len(c.points))
	for _, p := range c.list {
		x, y := c.Node(p.node)
		for k := p.from; k < p.to; k++ {
			list[k] = fn(c.place(x+c.points[k].dx, y+c.points[k].dy))
		}
	}
	return list
}

// targets returns the nodes of the cells and those beside them, which slopes need.
func (c *basinCells) targets() *field.Targets {
	used := make([]bool, c.Len())
	for _, p := range c.list {
		i := p.node
		used[i] = true
		if i%c.Cols > 0 {
			used[i-1] = true
		}
		if i%c.Cols < c.Cols-1 {
			used[i+1] = true
		}
		if i >= c.Cols {
			used[i-c.Cols] = true
		}
		if i+c.Cols < len(used) {
			used[i+c.Cols] = true
		}
	}
	return field.NewTargets(c.Lattice, used)
}

// floorLevel is a part of a cell with about one depth of the floor.
type floorLevel struct {
	depth, share float64
	dx, dy       float64 // mean step from the node
	open         float64 // share of it where the depth is an estimate
}

// levels gathers the depths of the floor at the sub-points of each cell, floorSteps
// levels of as many points each, or one where the floor is flat. Those of cell i are
// list[from[i]:from[i+1]]. Open says at which the depth is an estimate; nil: at none.
func (c *basinCells) levels(depths []float64, open func(k int) bool) (list []floorLevel, from []int) {
	from = make([]int, 1, len(c.list)+1)
	list = make([]floorLevel, 0, 2*len(c.list))
	var order [subdivide * subdivide]float64
	for _, p := range c.list {
		d := depths[p.from:p.to]
		low, high := d[0], d[0]
		for _, v := range d {
			low, high = min(low, v), max(high, v)
		}
		if high-low < 1e-9 {
			l := floorLevel{depth: d[0], share: 1, dx: p.dx, dy: p.dy}
			for k := p.from; open != nil && k < p.to; k++ {
				if open(k) {
					l.open += 1 / float64(len(d))
				}
			}
			list = append(list, l)
			from = append(from, len(list))
			continue
		}
		n := len(d)
		steps := min(floorSteps, n)
		sorted := order[:copy(order[:], d)]
		slices.Sort(sorted)
		// The deepest points of each level and how many as deep belong to it: the first
		// ones of the cell.
		var deepest [floorSteps]float64
		var as [floorSteps]int
		parts := len(list)
		for k := range steps {
			part := sorted[k*n/steps : (k+1)*n/steps]
			deepest[k] = part[len(part)-1]
			for i := len(part); i > 0 && part[i-1] == deepest[k]; i-- {
				as[k]++
			}
			list = append(list, floorLevel{share: float64(len(part)) / float64(n)})
		}
		for i, v := range d {
			k := 0
			for v > deepest[k] || v == deepest[k] && as[k] == 0 {
				k++
			}
			if v == deepest[k] {
				as[k]--
			}
			l := &list[parts+k]
			l.depth += v
			l.dx += c.points[p.from+i].dx
			l.dy += c.points[p.from+i].dy
			if open != nil && open(p.from+i) {
				l.open++
			}
		}
		for k := range list[parts:] {
			l := &list[parts+k]
			m := float64((k+1)*n/steps - k*n/steps)
			l.depth, l.dx, l.dy, l.open = l.depth/m, l.dx/m, l.dy/m, l.open/m
		}
		from = append(from, len(list))
	}
	return list, from
}
