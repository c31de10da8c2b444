package mesh

import (
	"cmp"
	"context"
	"math"
	"math/bits"
	"slices"
	"sync"

	"example.org/earthbasin/sludge/internal/parallel"
)

// The triangulation is Guibas and Stolfi's divide and conquer (Primitives for
// the Manipulation of General Subdivisions and the Computation of Voronoi
// Diagrams, ACM Transactions on Graphics 4(2), 1985) with alternating cuts as
// proposed by Dwyer (A Faster Divide-and-Conquer Algorithm for Constructing
// Delaunay Triangulations, Algorithmica 2, 1987). The cuts are those of a
// quadtree: the points are sorted into the cells of a lattice in Z order, and each
// node of the tree joins its two halves. All links are int32 indices into one
// slice, so that a million points take some 100 MB and no work of the garbage
// collector.

// dirEdge is one direction of an edge; the other is its index ^ 1. next and prev
// are the edges from the same place in turn, counterclockwise and clockwise.
type dirEdge struct{ org, next, prev int32 }

// None stands for no side and no place.
const None = int32(-1)

// part is the triangulation of a subset: le and re are the counterclockwise hull
// edge from its first place and the clockwise hull edge from its last place on the
// axis of the next join. A single place has no edges.
type part struct{ le, re, single int32 }

var nothing = part{None, None, None}

func (p part) empty() bool { return p.le == None && p.single == None }

// divider triangulates pt, which is sorted into cells.
type divider struct {
	ctx   context.Context
	pt    []XY
	edge  []dirEdge
	start []int32 // first place of each cell in Z order, and the end
}

// Triangulation is the result: places without duplicates in an order that keeps
// neighbours close in memory, with their original numbers; corners of triangles
// three by three, counterclockwise; and for each directed side the index of its
// twin, none on the hull.
type Triangulation struct {
	Pt     []XY
	ID     []int32
	Corner []int32
	Twin   []int32
	out    []int32 // a side from each place
}

// Delaunay triangulates places. Of several at one place the first counts. Without
// three places off one line there are no triangles. The result does not depend on
// workers, and the triangles not on the order of the places. When ctx ends there are
// no triangles.
func Delaunay(ctx context.Context, places []XY, workers int) Triangulation {
	d, id := sortCells(places, workers)
	d.ctx = ctx
	t := Triangulation{Pt: d.pt, ID: id}
	if len(d.pt) < 3 {
		return t
	}
	d.edge = make([]dirEdge, 6*len(d.pt))
	all, p := d.cells(0, int32(len(d.start)-1), workers)
	if ctx.Err() != nil {
		return t
	}
	t.Corner, t.Twin, t.out = d.triangles(all, p)
	return t
}

// inBucket is the number of bits of the number of a cell within its bucket: the cells of
// a bucket and their places stay in the cache while they are sorted.
const inBucket = 10

// keyed is a place with its number and that of its cell.
type keyed struct {
	XY
	cell uint32
	id   int32
}

// sortCells sorts the places into about one cell each, in Z order, drops those
// that repeat another and returns the original number of each that is left. Places go
// into buckets of cells first, then each bucket into its cells.
func sortCells(places []XY, workers int) (*divider, []int32) {
	n := len(places)
	if n == 0 {
		return &divider{}, nil
	}
	low, high := bounds(places)
	half := max(0, (bits.Len(uint(n-1))+1)/2) // bits of a cell number per axis
	side := float64(int(1) << half)
	// A long basin gets cells as long: the tree then has no empty upper half.
	sx, sy := scaleTo(side, high.X-low.X), scaleTo(side, high.Y-low.Y)
	last := uint32(side - 1)
	cell := make([]uint32, n)
	parallel.Bands(n, workers, func(from, to int) {
		for i, p := range places[from:to] {
			cell[from+i] = spread(min(uint32((p.X-low.X)*sx), last))<<1 | spread(min(uint32((p.Y-low.Y)*sy), last))
		}
	})
	small := min(2*half, inBucket)
	end := make([]int32, 1<<(2*half-small)) // of each bucket, counted from its start
	for _, c := range cell {
		end[c>>small]++
	}
	total := int32(0)
	for k, count := range end {
		end[k] = total
		total += count
	}
	list := make([]keyed, n)
	for i, p := range places {
		to := &end[cell[i]>>small]
		list[*to] = keyed{p, cell[i], int32(i)}
		*to++
	}
	d := &divider{pt: make([]XY, n), start: make([]int32, 1<<(2*half)+1)}
	id := make([]int32, n)
	var from, to int32
	for k, before := range end {
		to = d.tidyCells(list[from:before], d.start[k<<small:(k+1)<<small], to, id)
		from = before
	}
	d.start[len(d.start)-1] = to
	d.pt = d.pt[:to]
	return d, id[:to]
}

// tidyCells sorts the places of a bucket into its cells, each cell by x, then y, from
// place to on, without those that repeat another, sets the starts of the cells and
// returns the place behind the last.
func (d *divider) tidyCells(bucket []keyed, start []int32, to int32, id []int32) int32 {
	mask := uint32(len(start) - 1)
	for i := range bucket {
		start[bucket[i].cell&mask]++
	}
	at := to
	for k, count := range start {
		start[k] = at
		at += count
	}
	for i := range bucket {
		b := &bucket[i]
		s := &start[b.cell&mask]
		d.pt[*s], id[*s] = b.XY, b.id
		*s++
	}
	a := to
	for k, b := range start { // which has moved on to the end of each cell
		start[k] = to
		if b-a > 1 {
			sortPlaces(d.pt[a:b], id[a:b])
		}
		for i := a; i < b; i++ {
			if i > a && d.pt[i] == d.pt[to-1] {
				continue
			}
			d.pt[to], id[to] = d.pt[i], id[i]
			to++
		}
		a = b
	}
	return to
}

// sortPlaces sorts by x, y and number.
func sortPlaces(pt []XY, id []int32) {
	if len(pt) <= 16 {
		for i := 1; i < len(pt); i++ {
			p, k := pt[i], id[i]
			j := i
			for ; j > 0 && (Less(p, pt[j-1]) || p == pt[j-1] && k < id[j-1]); j-- {
				pt[j], id[j] = pt[j-1], id[j-1]
			}
			pt[j], id[j] = p, k
		}
		return
	}
	type both struct {
		XY
		id int32
	}
	list := make([]both, len(pt))
	for i, p := range pt {
		list[i] = both{p, id[i]}
	}
	slices.SortFunc(list, func(a, b both) int {
		return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y), cmp.Compare(a.id, b.id))
	})
	for i, b := range list {
		pt[i], id[i] = b.XY, b.id
	}
}

func scaleTo(side, extent float64) float64 {
	if s := side / extent; extent > 0 && !math.IsInf(s, 0) {
		return s
	}
	return 0
}

// spread puts a zero bit between the bits of k.
func spread(k uint32) uint32 {
	k = (k | k<<8) & 0x00ff00ff
	k = (k | k<<4) & 0x0f0f0f0f
	k = (k | k<<2) & 0x33333333
	return (k | k<<1) & 0x55555555
}

// parallelPlaces is the size from which the halves of a node have a pool of edges
// each, so that they can be worked on at the same time. It does not depend on
// workers, and neither does anything else.
const parallelPlaces = 1 << 13

// cells triangulates the count cells, a power of two, from first. A node with an
// odd number of halvings below it cuts y, the others x. The part is returned for
// the axis of the node above.
func (d *divider) cells(first, count int32, workers int) (part, *pool) {
	a, b := d.start[first], d.start[first+count]
	if b-a < parallelPlaces || count == 1 {
		p := d.newPool(a, b)
		if d.ctx.Err() != nil {
			return nothing, p
		}
		return d.cellsIn(first, count, p), p
	}
	half := count / 2
	var left, right part
	var pl, pr *pool
	if workers > 1 {
		var wait sync.WaitGroup
		wait.Go(func() { left, pl = d.cells(first, half, workers/2) })
		right, pr = d.cells(first+half, half, workers-workers/2)
		wait.Wait()
	} else {
		left, pl = d.cells(first, half, 1)
		right, pr = d.cells(first+half, half, 1)
	}
	pl.rest = append(append(pl.rest, pr.rest...), pr.free)
	return d.turn(d.join(left, right, pl), count), pl
}

// cellsIn is cells with edges from one pool.
func (d *divider) cellsIn(first, count int32, p *pool) part {
	a, b := d.start[first], d.start[first+count]
	switch {
	case a == b:
		return nothing
	case b-a == 1:
		return part{None, None, a}
	case b-a == 2:
		if d.before(a, a+1, count) {
			return d.two(a, a+1, p)
		}
		return d.two(a+1, a, p)
	case b-a == 3:
		i, j, k := a, a+1, a+2
		if d.before(j, i, count) {
			i, j = j, i
		}
		if d.before(k, j, count) {
			j, k = k, j
			if d.before(j, i, count) {
				i, j = j, i
			}
		}
		return d.three(i, j, k, p)
	case count == 1:
		return d.turn(d.sorted(a, b, p), 1)
	}
	half := count / 2
	j := d.join(d.cellsIn(first, half, p), d.cellsIn(first+half, half, p), p)
	return d.turn(j, count)
}

// before reports whether place i comes before place j on the axis of the node above
// one of count cells.
func (d *divider) before(i, j, count int32) bool {
	a, b := d.pt[i], d.pt[j]
	if cutsX(count) {
		return a.Y < b.Y || a.Y == b.Y && a.X < b.X
	}
	return Less(a, b)
}

// sorted triangulates the places from a to b of one cell, two or more in order of
// x, y.
func (d *divider) sorted(a, b int32, p *pool) part {
	switch b - a {
	case 2:
		return d.two(a, a+1, p)
	case 3:
		return d.three(a, a+1, a+2, p)
	}
	m := (a + b) / 2
	return d.join(d.sorted(a, m, p), d.sorted(m, b, p), p)
}

// NextSide returns the side after side k in its triangle.
func NextSide(k int32) int32 {
	if k%3 == 2 {
		return k - 2
	}
	return k + 1
}

// bounds returns the box around places, of which there must be one.
func bounds(places []XY) (low, high XY) {
	low, high = places[0], places[0]
	for _, p := range places[1:] {
		low = XY{min(low.X, p.X), min(low.Y, p.Y)}
		high = XY{max(high.X, p.X), max(high.Y, p.Y)}
	}
	return low, high
}
