package sludge

import (
	"context"
	"iter"
	"math"
	"slices"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// tracer collects the crossings of levels with sides and the segments between
// them. A node is a place of the mesh or, from len(pt), a crossing.
type tracer struct {
	cells
	levels []float64
	step   []int32            // by place: how many levels lie at its thickness or below
	open   map[[2]int32]int32 // sides met from one side so far, lower place first; see side
	at     []mesh.XY          // of crossings
	level  []int32            // of crossings
	lines  [][][2]int32       // by level: segments with the high side on the left
	rims   [][][2]int32       // by band: parts of the edge
	parent []int32            // union of what is joined within a band; see root

	next []int32 // working space of chains, by node
	ends []bool
	run  []int32
}

func (c cells) contours(ctx context.Context, levels []units.Length) (*Contours, error) {
	t := tracer{cells: c}
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
	t.reserve()
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range c.count {
		if i%(1<<14) == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
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
	var ways [][2]int32
	for k := range len(levels) + 1 {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		b := Band{Low: units.Length(min(lo, t.levels[0])), High: units.Length(max(hi, t.levels[len(levels)-1]))}
		ways = append(ways[:0], t.rims[k]...)
		ways = slices.Grow(ways, len(t.lines[max(k-1, 0)])+len(t.lines[min(k, len(levels)-1)]))
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
		b.Regions, b.Area = t.regions(t.chains(ways), int32(k))
		out.Bands = append(out.Bands, b)
	}
	for k, l := range levels {
		for ch := range t.chains(t.lines[k]) {
			if pts := t.points(ch); len(pts) >= 2 && (!ch.closed || len(pts) >= 3) {
				out.Lines = append(out.Lines, ContourLine{l, pts, ch.closed})
			}
		}
	}
	return out, nil
}

// reserve makes room for the crossings and the segments, which it counts.
func (t *tracer) reserve() {
	crossings := 0 // twice: each side is met from both sides, or from one and as a part of the edge
	side := func(a, b int32) {
		d := int(t.step[a] - t.step[b])
		crossings += max(d, -d)
	}
	segments := make([]int, len(t.levels)+1) // by level, less those of the level before; one more for a saddle
	for i := range t.count {
		cell := t.cell(i)
		if cell == nil {
			continue
		}
		first, last := t.step[cell[0]], t.step[cell[0]]
		for j, a := range cell {
			first, last = min(first, t.step[a]), max(last, t.step[a])
			side(a, cell[(j+1)%len(cell)])
		}
		segments[first]++
		segments[last]--
	}
	for _, e := range t.edge {
		side(e[0], e[1])
	}
	crossings /= 2
	t.lines, t.rims = make([][][2]int32, len(t.levels)), make([][][2]int32, len(t.levels)+1)
	n := 0
	for j := range t.lines {
		n += segments[j]
		t.lines[j] = make([][2]int32, 0, n)
	}
	t.open = map[[2]int32]int32{}
	t.at, t.level = make([]mesh.XY, 0, crossings), make([]int32, 0, crossings)
	t.parent = make([]int32, len(t.pt), len(t.pt)+2*crossings)
	for i := range t.parent {
		t.parent[i] = int32(i)
	}
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
	var at [4]int32 // by side: the node of a level, less the level
	for i, a := range cell {
		b := cell[(i+1)%len(cell)]
		at[i] = t.side(a, b)
		t.joinSide(a, b, at[i])
	}
	for j := first; j < last; j++ {
		var up, down [2]int32
		var ups, downs int
		for i, a := range cell {
			b := cell[(i+1)%len(cell)]
			switch low, high := t.step[a] <= j, t.step[b] <= j; {
			case low && !high:
				up[ups] = at[i] + j
				ups++
			case !low && high:
				down[downs] = at[i] + j
				downs++
			}
		}
		if ups == 1 {
			t.addLine(j, down[0], up[0])
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
		t.addLine(j, down[0], up[0])
		t.addLine(j, down[1], up[1])
	}
}

func (t *tracer) addLine(j, from, to int32) {
	t.lines[j] = append(t.lines[j], [2]int32{from, to})
	t.unite(t.element(from, j), t.element(to, j))
	t.unite(t.element(from, j+1), t.element(to, j+1))
}

// joinSide unites the parts of a side that lie in one band; at is its [tracer.side].
func (t *tracer) joinSide(a, b, at int32) {
	if t.step[b] < t.step[a] {
		a, b = b, a
	}
	from := a
	for j := t.step[a]; j < t.step[b]; j++ {
		n := at + j
		t.unite(t.element(from, j), t.element(n, j))
		from = n
	}
	t.unite(t.element(from, t.step[b]), b)
}

// element returns what stands for a node in a band: the place itself, or one of
// two for the bands below and above a crossing.
func (t *tracer) element(n, band int32) int32 {
	i := n - int32(len(t.pt))
	if i < 0 {
		return n
	}
	return int32(len(t.pt)) + 2*i + band - t.level[i]
}

func (t *tracer) unite(a, b int32) {
	a, b = t.root(a), t.root(b)
	t.parent[max(a, b)] = min(a, b)
}

// root returns the least element that e is joined with: the same for all rings of
// one region, which so find each other without geometry.
func (t *tracer) root(e int32) int32 {
	for t.parent[e] != e {
		t.parent[e] = t.parent[t.parent[e]]
		e = t.parent[e]
	}
	return e
}

// side returns the node where the side between a and b crosses a level, less the
// number of the level: the crossings of a side follow each other. Each side is met
// twice, from two cells or from one and the edge, and is forgotten then, so that
// only the sides that are met once are held.
func (t *tracer) side(a, b int32) int32 {
	if b < a {
		a, b = b, a
	}
	low, high := min(t.step[a], t.step[b]), max(t.step[a], t.step[b])
	if low == high {
		return mesh.None
	}
	key := [2]int32{a, b}
	n, met := t.open[key]
	if met {
		delete(t.open, key)
		return n - low
	}
	n = int32(len(t.pt) + len(t.at))
	t.open[key] = n
	p, q := t.pt[a], t.pt[b]
	for j := low; j < high; j++ {
		part := (t.levels[j] - t.z[a]) / (t.z[b] - t.z[a])
		t.at = append(t.at, mesh.XY{X: p.X + part*(q.X-p.X), Y: p.Y + part*(q.Y-p.Y)})
		t.level = append(t.level, j)
		e := int32(len(t.parent))
		t.parent = append(t.parent, e, e+1)
	}
	return n - low
}

// rim adds the parts of a side on the edge to their bands.
func (t *tracer) rim(a, b int32) {
	from, at := a, t.side(a, b)
	k := t.step[a]
	for k < t.step[b] {
		n := at + k
		t.rims[k] = append(t.rims[k], [2]int32{from, n})
		from, k = n, k+1
	}
	for k > t.step[b] {
		n := at + k - 1
		t.rims[k] = append(t.rims[k], [2]int32{from, n})
		from, k = n, k-1
	}
	t.rims[k] = append(t.rims[k], [2]int32{from, b})
}

// chain is a run of nodes, which lasts until the next one.
type chain struct {
	nodes  []int32
	closed bool
}

// chains joins segments end to end. Each node starts at most one segment and ends
// at most one.
func (t *tracer) chains(ways [][2]int32) iter.Seq[chain] {
	if t.next == nil {
		t.next, t.ends = make([]int32, len(t.pt)+len(t.at)), make([]bool, len(t.pt)+len(t.at))
		for i := range t.next {
			t.next[i] = mesh.None
		}
	}
	for _, w := range ways {
		t.next[w[0]], t.ends[w[1]] = w[1], true
	}
	return func(yield func(chain) bool) {
		for _, w := range ways {
			if !t.ends[w[0]] && !yield(t.follow(w[0])) {
				return
			}
		}
		for _, w := range ways {
			if t.ends[w[1]] = false; t.next[w[0]] != mesh.None && !yield(t.follow(w[0])) {
				return
			}
		}
	}
}

// follow takes the segments that go on from a node.
func (t *tracer) follow(from int32) chain {
	t.run = append(t.run[:0], from)
	for n := from; ; {
		to := t.next[n]
		if to == mesh.None {
			return chain{t.run, false}
		}
		t.next[n] = mesh.None
		if to == from {
			return chain{t.run, true}
		}
		t.run = append(t.run, to)
		n = to
	}
}

func (t *tracer) place(n int32) plane.Point {
	var p mesh.XY
	if i := int(n) - len(t.pt); i >= 0 {
		p = t.at[i]
	} else {
		p = t.pt[n]
	}
	return p.Point()
}

// points returns the places of a chain without those that repeat the one before,
// as a level through a place of the mesh gives.
func (t *tracer) points(c chain) []plane.Point {
	out := make([]plane.Point, 0, len(c.nodes))
	for _, n := range c.nodes {
		if p := t.place(n); len(out) == 0 || p != out[len(out)-1] {
			out = append(out, p)
		}
	}
	for c.closed && len(out) > 1 && out[0] == out[len(out)-1] {
		out = out[:len(out)-1]
	}
	return out
}

// regions sorts the closed chains of a band into outer rings and the holes in
// them.
func (t *tracer) regions(chains iter.Seq[chain], band int32) (list []Region, area units.Area) {
	type hole struct {
		ring plane.Polygon
		root int32
	}
	var holes []hole
	outer := map[int32]int{}
	for c := range chains {
		ring := plane.Polygon(t.points(c))
		if len(ring) < 3 {
			continue
		}
		a, root := ring.SignedArea(), t.root(t.element(c.nodes[0], band))
		area += a
		switch {
		case a > 0:
			outer[root] = len(list)
			list = append(list, Region{Outer: ring})
		case a < 0:
			holes = append(holes, hole{ring, root})
		}
	}
	for _, h := range holes {
		if i, ok := outer[h.root]; ok {
			list[i].Holes = append(list[i].Holes, h.ring)
		}
	}
	return list, area
}
