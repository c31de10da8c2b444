package mesh

import "math"

// MaxNeighbours is the most nearest places that an estimate uses: they are kept in
// order by insertion.
const MaxNeighbours = 1000

// Neighbours finds the nearest of many places. gonum's k-d tree answers 12 of
// 100,000 with 16 allocations; a surface of a million cells asks a million times,
// and a bucket lattice answers in a seventh of the time without allocating. Where
// places crowd, on a line, in a cluster or along tracks, a tree of its own kind takes
// its place.
type Neighbours struct {
	l      Lattice
	places []XY    // sorted by cell
	id     []int32 // their original numbers
	start  []int32
	tree   *tree // in place of the lattice where places crowd
}

// NewNeighbours returns the neighbours among places, of which there must be one.
func NewNeighbours(places []XY) *Neighbours {
	l := latticeOver(places, 3)
	n := &Neighbours{l: l, places: make([]XY, len(places)), id: make([]int32, len(places)), start: make([]int32, l.Cols*l.Rows+2)}
	for _, p := range places {
		c, r := l.cell(p)
		n.start[r*l.Cols+c+2]++
	}
	// The mean number of places that share the cell of a place: 4 at random places.
	var crowd float64
	for _, c := range n.start {
		crowd += float64(c) * float64(c)
	}
	if crowd > 12*float64(len(places)) {
		return &Neighbours{tree: newTree(places)}
	}
	for k := 2; k < len(n.start); k++ {
		n.start[k] += n.start[k-1]
	}
	for i, p := range places {
		c, r := l.cell(p)
		to := &n.start[r*l.Cols+c+1]
		n.places[*to], n.id[*to] = p, int32(i)
		*to++
	}
	return n
}

// Find fills id with the numbers of the nearest places to p, nearest first and of
// equally near ones the lower number first, and dist with the squared distances.
// It returns how many there are.
func (n *Neighbours) Find(p XY, id []int32, dist []float64) int {
	found := 0
	if n.tree != nil {
		return n.tree.find(p, id, dist)
	}
	c, r := n.l.cell(p)
	for ring := 0; ; ring++ {
		c0, c1, r0, r1 := c-ring, c+ring, r-ring, r+ring
		for y := max(r0, 0); y <= min(r1, n.l.Rows-1); y++ {
			if y == r0 || y == r1 {
				found = n.scan(p, y*n.l.Cols+max(c0, 0), y*n.l.Cols+min(c1, n.l.Cols-1), id, dist, found)
				continue
			}
			if c0 >= 0 {
				found = n.scan(p, y*n.l.Cols+c0, y*n.l.Cols+c0, id, dist, found)
			}
			if c1 < n.l.Cols {
				found = n.scan(p, y*n.l.Cols+c1, y*n.l.Cols+c1, id, dist, found)
			}
		}
		if c0 <= 0 && r0 <= 0 && c1 >= n.l.Cols-1 && r1 >= n.l.Rows-1 {
			return found
		}
		if found == len(id) {
			// nothing beyond the cells seen so far is closer than their edge
			gap := math.Inf(1)
			if c0 > 0 {
				gap = min(gap, p.X-n.l.X(c0))
			}
			if c1 < n.l.Cols-1 {
				gap = min(gap, n.l.X(c1+1)-p.X)
			}
			if r0 > 0 {
				gap = min(gap, p.Y-n.l.Y(r0))
			}
			if r1 < n.l.Rows-1 {
				gap = min(gap, n.l.Y(r1+1)-p.Y)
			}
			if gap > 0 && gap*gap*(1-1e-9) > dist[found-1] {
				return found
			}
		}
	}
}

// scan enters the places of the cells from a to b, neighbours in one row, into the
// list.
func (n *Neighbours) scan(p XY, a, b int, id []int32, dist []float64, found int) int {
	return enter(n.places, n.id, n.start[a], n.start[b+1], p, id, dist, found)
}

// enter enters the places numbered from from to before to into the list of the
// nearest to p.
func enter(places []XY, ids []int32, from, to int32, p XY, id []int32, dist []float64, found int) int {
	for k := from; k < to; k++ {
		dx, dy := places[k].X-p.X, places[k].Y-p.Y
		d := dx*dx + dy*dy
		if found == len(id) && d > dist[found-1] {
			continue
		}
		i := ids[k]
		j := found
		if found == len(id) {
			if d == dist[found-1] && i > id[found-1] {
				continue
			}
			j--
		} else {
			found++
		}
		for ; j > 0 && (dist[j-1] > d || dist[j-1] == d && id[j-1] > i); j-- {
			dist[j], id[j] = dist[j-1], id[j-1]
		}
		dist[j], id[j] = d, i
	}
	return found
}
