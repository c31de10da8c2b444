package mesh

import "math"

// tree is a binary tree in one array: the places of a node lie next to each other, its
// halves one after the other, and leaves hold up to leafPlaces. Each node is cut
// across its own longer direction and knows a box along it: the places of a line or a
// boat track lie in boxes that are hardly more than the line, so that few of those that
// are about as far as the nearest have to be opened.
type tree struct {
	places []XY
	id     []int32
	box    []turnedBox // by node, the root 1, the halves of node k 2k and 2k+1
}

// turnedBox is a box around places, whose corners are relative to the centre and along
// and across the direction along, of length 1.
type turnedBox struct {
	centre, along, low, high XY
}

const leafPlaces = 8

func newTree(places []XY) *tree {
	t := &tree{places: append([]XY(nil), places...), id: make([]int32, len(places))}
	for i := range t.id {
		t.id[i] = int32(i)
	}
	nodes := 2
	for n := len(places); n > leafPlaces; n = (n + 1) / 2 {
		nodes *= 2
	}
	t.box = make([]turnedBox, nodes)
	t.split(1, 0, int32(len(places)))
	return t
}

func (t *tree) split(node int, from, to int32) {
	t.box[node] = boxAround(t.places[from:to])
	if to-from <= leafPlaces {
		return
	}
	mid := (from + to + 1) / 2
	t.sort(from, to, mid, &t.box[node])
	t.split(2*node, from, mid)
	t.split(2*node+1, mid, to)
}

// boxAround returns a box around places along their principal axis.
func boxAround(places []XY) turnedBox {
	low, high := bounds(places)
	b := turnedBox{centre: XY{low.X + (high.X-low.X)/2, low.Y + (high.Y-low.Y)/2}, along: XY{1, 0}}
	scale := 1 / max(high.X-low.X, high.Y-low.Y, 1e-300) // so that no square overflows
	var mean XY
	var xx, xy, yy float64
	for _, p := range places {
		x, y := (p.X-b.centre.X)*scale, (p.Y-b.centre.Y)*scale
		mean.X, mean.Y = mean.X+x, mean.Y+y
		xx, xy, yy = xx+x*x, xy+x*y, yy+y*y
	}
	n := float64(len(places))
	xx, xy, yy = xx-mean.X*mean.X/n, xy-mean.X*mean.Y/n, yy-mean.Y*mean.Y/n
	b.along.Y, b.along.X = math.Sincos(math.Atan2(2*xy, xx-yy) / 2)
	b.low, b.high = XY{math.Inf(1), math.Inf(1)}, XY{math.Inf(-1), math.Inf(-1)}
	for _, p := range places {
		q := b.turned(p)
		b.low = XY{min(b.low.X, q.X), min(b.low.Y, q.Y)}
		b.high = XY{max(b.high.X, q.X), max(b.high.Y, q.Y)}
	}
	hair := 1e-14 * max(high.X-low.X, high.Y-low.Y) // above the rounding of turned
	b.low, b.high = XY{b.low.X - hair, b.low.Y - hair}, XY{b.high.X + hair, b.high.Y + hair}
	return b
}

// turned returns p in the directions of the box.
func (b *turnedBox) turned(p XY) XY {
	x, y := p.X-b.centre.X, p.Y-b.centre.Y
	return XY{x*b.along.X + y*b.along.Y, y*b.along.X - x*b.along.Y}
}

// distance returns a squared distance from p to the box, by more than rounding too small.
func (b *turnedBox) distance(p XY) float64 {
	q := b.turned(p)
	x, y := max(b.low.X-q.X, q.X-b.high.X, 0), max(b.low.Y-q.Y, q.Y-b.high.Y, 0)
	return x*x + y*y - 1e-13*(q.X*q.X+q.Y*q.Y)
}

// sort puts the place that belongs at mid there by its position along the box, none
// greater before it and none less behind it (Hoare's selection, with the middle of three
// as the pivot).
func (t *tree) sort(from, to, mid int32, b *turnedBox) {
	v := func(i int32) float64 { return b.turned(t.places[i]).X }
	for to-from > 1 {
		p, q, r := v(from), v((from+to)/2), v(to-1)
		pivot := max(min(p, q), min(max(p, q), r))
		i, j := from, to-1
		for i <= j {
			for v(i) < pivot {
				i++
			}
			for v(j) > pivot {
				j--
			}
			if i <= j {
				t.places[i], t.places[j] = t.places[j], t.places[i]
				t.id[i], t.id[j] = t.id[j], t.id[i]
				i, j = i+1, j-1
			}
		}
		switch {
		case mid <= j:
			to = j + 1
		case mid >= i:
			from = i
		default:
			return
		}
	}
}

// find is [Neighbours.Find].
func (t *tree) find(p XY, id []int32, dist []float64) int {
	return t.search(1, 0, int32(len(t.places)), p, id, dist, 0)
}

func (t *tree) search(node int, from, to int32, p XY, id []int32, dist []float64, found int) int {
	if to-from <= leafPlaces {
		return enter(t.places, t.id, from, to, p, id, dist, found)
	}
	mid := (from + to + 1) / 2
	near, far := half{2 * node, from, mid, t.box[2*node].distance(p)}, half{2*node + 1, mid, to, t.box[2*node+1].distance(p)}
	if far.distance < near.distance {
		near, far = far, near
	}
	for _, h := range [2]half{near, far} {
		if found < len(id) || h.distance <= dist[found-1] {
			found = t.search(h.node, h.from, h.to, p, id, dist, found)
		}
	}
	return found
}

// half is a half of a node and the squared distance to its box.
type half struct {
	node     int
	from, to int32
	distance float64
}
