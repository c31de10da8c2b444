package sludge

import (
	"fmt"
	"math"
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Region is an area with holes: an outer ring, counterclockwise, and rings inside
// it, clockwise, that are left out.
type Region struct {
	Outer plane.Polygon   `json:"outer"`
	Holes []plane.Polygon `json:"holes,omitempty"`
}

// Band is the area in which the thickness lies from Low to below High.
type Band struct {
	Low     units.Length `json:"low"`  // of the first band the least thickness, if that is below the first level
	High    units.Length `json:"high"` // of the last band the greatest thickness, if that is above the last level
	Area    units.Area   `json:"area"`
	Regions []Region     `json:"regions"`
}

// ContourLine is a line of one thickness with the thicker side on its left. A
// closed line does not repeat its first point; an open one runs from edge to edge.
type ContourLine struct {
	Level  units.Length  `json:"level"`
	Points []plane.Point `json:"points"`
	Closed bool          `json:"closed"`
}

// Contours are the bands between levels and the lines between the bands. The areas
// of the bands add up to the area of the survey.
type Contours struct {
	Levels []units.Length `json:"levels"`
	Bands  []Band         `json:"bands"` // one more than levels, from the thinnest
	Lines  []ContourLine  `json:"lines"`
}

// cells is a mesh of triangles and squares, corners counterclockwise, that fills
// an area, and the sides on its edge with the area on their left.
type cells struct {
	pt    []xy
	z     []float64
	count int
	cell  func(i int) []int32 // nil for a cell outside the area
	edge  [][2]int32
}

// Contours returns the contours of the surface, exact on its triangles.
func (t *TIN) Contours(levels []units.Length) (*Contours, error) {
	if err := checkLevelList(levels); err != nil {
		return nil, err
	}
	m := t.mesh
	c := cells{pt: m.pt, z: t.z, count: len(t.in)}
	c.cell = func(i int) []int32 {
		if !t.in[i] {
			return nil
		}
		return m.corner[3*i : 3*i+3]
	}
	for i := range m.corner {
		k := int32(i)
		if t.in[k/3] && (m.twin[k] == none || !t.in[m.twin[k]/3]) {
			c.edge = append(c.edge, [2]int32{m.from(k), m.to(k)})
		}
	}
	return c.contours(levels), nil
}

func checkLevelList(levels []units.Length) error {
	var f units.Faults
	if len(levels) == 0 {
		f.Missing("levels", "at least 1 level")
	}
	if len(levels) > 1000 {
		f.Add("levels", len(levels), "at most 1000")
		return f.Err()
	}
	for i, l := range levels {
		field := fmt.Sprintf("levels[%d]", i)
		f.Finite(field, l)
		if i > 0 && !(l > levels[i-1]) {
			f.Add(field, l, "more than the level before it")
		}
	}
	return f.Err()
}

// tracer collects the crossings of levels with sides and the segments between
// them. A node is a place of the mesh or, from len(pt), a crossing.
type tracer struct {
	cells
	levels []float64
	step   []int32 // by place: how many levels lie at its thickness or below
	node   map[crossingKey]int32
	at     []xy         // of crossings
	lines  [][][2]int32 // by level: segments with the high side on the left
	rims   [][][2]int32 // by band: parts of the edge
}

// crossingKey is a side, lower place first, and a level.
type crossingKey struct{ a, b, level int32 }

func (c cells) contours(levels []units.Length) *Contours {
	t := tracer{cells: c, node: map[crossingKey]int32{}}
	for _, l := range levels {
		t.levels = append(t.levels, float64(l))
	}
	t.step = make([]int32, len(c.pt))
	for i, z := range c.z {
		k, found := slices.BinarySearch(t.levels, z)
		if found {
			k++
		}
		t.step[i] = int32(k)
	}
	t.lines, t.rims = make([][][2]int32, len(levels)), make([][][2]int32, len(levels)+1)
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range c.count {
		if cell := c.cell(i); cell != nil {
			t.cross(cell)
			for _, v := range cell {
				lo, hi = min(lo, c.z[v]), max(hi, c.z[v])
			}
		}
	}
	for _, e := range c.edge {
		t.rim(e[0], e[1])
	}
	out := &Contours{Levels: slices.Clone(levels)}
	for k := range len(levels) + 1 {
		b := Band{Low: units.Length(min(lo, t.levels[0])), High: units.Length(max(hi, t.levels[len(levels)-1]))}
		ways := slices.Clone(t.rims[k])
		if k > 0 {
			b.Low = levels[k-1]
			ways = append(ways, t.lines[k-1]...)
		}
		if k < len(levels) {
			b.High = levels[k]
			for _, w := range t.lines[k] {
				ways = append(ways, [2]int32{w[1], w[0]})
			}
		}
		b.Regions, b.Area = regions(t.chains(ways))
		out.Bands = append(out.Bands, b)
	}
	for k, l := range levels {
		for _, ch := range t.chains(t.lines[k]) {
			if pts := tidy(ch.points, ch.closed); len(pts) >= 2 && (!ch.closed || len(pts) >= 3) {
				out.Lines = append(out.Lines, ContourLine{l, pts, ch.closed})
			}
		}
	}
	return out
}

// cross adds the segments of all levels in one cell: marching squares, and the
// same on triangles. A thickness equal to the level counts as above it. In a
// saddle, with high corners across from each other, the high corners belong
// together when the mean of the four corners reaches the level.
func (t *tracer) cross(cell []int32) {
	first, last := t.step[cell[0]], t.step[cell[0]]
	for _, v := range cell[1:] {
		first, last = min(first, t.step[v]), max(last, t.step[v])
	}
	for j := first; j < last; j++ {
		var up, down [2]int32
		var ups, downs int
		for i, a := range cell {
			b := cell[(i+1)%len(cell)]
			switch low, high := t.step[a] <= j, t.step[b] <= j; {
			case low && !high:
				up[ups] = t.crossing(a, b, j)
				ups++
			case !low && high:
				down[downs] = t.crossing(a, b, j)
				downs++
			}
		}
		if ups == 1 {
			t.lines[j] = append(t.lines[j], [2]int32{down[0], up[0]})
			continue
		}
		mean := (t.z[cell[0]] + t.z[cell[1]] + t.z[cell[2]] + t.z[cell[3]]) / 4
		together := mean >= t.levels[j]
		// Around the cell up and down alternate; a high corner lies between an up
		// and the down after it, a low corner between a down and the up after it.
		startsHigh := t.step[cell[0]] > j // then down[0] comes before up[0]
		if startsHigh {
			up[0], up[1] = up[1], up[0] // now up[i] is the one before down[i]
		}
		if together {
			up[0], up[1] = up[1], up[0]
		}
		t.lines[j] = append(t.lines[j], [2]int32{down[0], up[0]}, [2]int32{down[1], up[1]})
	}
}

// crossing returns the node where the side between a and b crosses level j.
func (t *tracer) crossing(a, b, j int32) int32 {
	if b < a {
		a, b = b, a
	}
	key := crossingKey{a, b, j}
	n, ok := t.node[key]
	if !ok {
		n = int32(len(t.pt) + len(t.at))
		part := (t.levels[j] - t.z[a]) / (t.z[b] - t.z[a])
		p, q := t.pt[a], t.pt[b]
		t.at = append(t.at, xy{p.x + part*(q.x-p.x), p.y + part*(q.y-p.y)})
		t.node[key] = n
	}
	return n
}

// rim adds the parts of a side on the edge to their bands.
func (t *tracer) rim(a, b int32) {
	from := a
	k := t.step[a]
	for k < t.step[b] {
		n := t.crossing(a, b, k)
		t.rims[k] = append(t.rims[k], [2]int32{from, n})
		from, k = n, k+1
	}
	for k > t.step[b] {
		n := t.crossing(a, b, k-1)
		t.rims[k] = append(t.rims[k], [2]int32{from, n})
		from, k = n, k-1
	}
	t.rims[k] = append(t.rims[k], [2]int32{from, b})
}

type chain struct {
	points []plane.Point
	closed bool
}

// chains joins segments end to end. Each node starts at most one segment and ends
// at most one.
func (t *tracer) chains(ways [][2]int32) (list []chain) {
	next, ends := make(map[int32]int32, len(ways)), make(map[int32]bool, len(ways))
	for _, w := range ways {
		next[w[0]] = w[1]
		ends[w[1]] = true
	}
	follow := func(from int32) chain {
		c := chain{points: []plane.Point{t.place(from)}}
		for n := from; ; {
			to, ok := next[n]
			if !ok {
				return c
			}
			delete(next, n)
			if to == from {
				c.closed = true
				return c
			}
			c.points = append(c.points, t.place(to))
			n = to
		}
	}
	for _, w := range ways {
		if !ends[w[0]] {
			list = append(list, follow(w[0]))
		}
	}
	for _, w := range ways {
		if _, left := next[w[0]]; left {
			list = append(list, follow(w[0]))
		}
	}
	return list
}

func (t *tracer) place(n int32) plane.Point {
	var p xy
	if i := int(n) - len(t.pt); i >= 0 {
		p = t.at[i]
	} else {
		p = t.pt[n]
	}
	return plane.Point{X: units.Length(p.x), Y: units.Length(p.y)}
}

// tidy leaves out points that repeat the one before, as a level through a place of
// the mesh gives.
func tidy(points []plane.Point, closed bool) []plane.Point {
	out := slices.Compact(points)
	for closed && len(out) > 1 && out[0] == out[len(out)-1] {
		out = out[:len(out)-1]
	}
	return out
}

// regions sorts closed chains into outer rings and the holes in them.
func regions(chains []chain) (list []Region, area units.Area) {
	var holes []plane.Polygon
	for _, c := range chains {
		ring := plane.Polygon(tidy(c.points, true))
		if len(ring) < 3 {
			continue
		}
		switch a := ring.SignedArea(); {
		case a > 0:
			list = append(list, Region{Outer: ring})
			area += a
		case a < 0:
			holes = append(holes, ring)
			area += a
		}
	}
	for _, h := range holes {
		best := -1
		p := middle(h)
		for i, r := range list {
			if r.Outer.Contains(p) && (best < 0 || r.Outer.Area() < list[best].Outer.Area()) {
				best = i
			}
		}
		if best >= 0 {
			list[best].Holes = append(list[best].Holes, h)
		}
	}
	return list, area
}

// middle returns the middle of the longest side of a ring: a hole may touch its
// outer ring at corners, but not there.
func middle(ring plane.Polygon) plane.Point {
	var p plane.Point
	var most units.Length
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if d := a.Distance(b); d > most {
			most, p = d, plane.Point{X: a.X + (b.X-a.X)/2, Y: a.Y + (b.Y-a.Y)/2}
		}
	}
	return p
}
