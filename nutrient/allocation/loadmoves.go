package allocation

import (
	"math"
	"math/bits"
)

// node is what some of the fields, and the heap left behind, offer for one load of
// a lot. The nodes of a lot are a tree in an array, the fields last: the best move
// stands at the root, and a move costs the logarithm of the number of fields.
type node struct {
	add, drop offer
	gain      float64 // of the best move from one place to another among them
	from, to  int
}

// offer is what one load more costs, or one less saves, at a place.
type offer struct {
	money float64
	place int
}

// behind stands for the heap left behind, as a place and as a field.
const behind = -1

// improve moves single loads, the one that saves most first, until none saves
// anything.
func (r *rounder) improve() {
	most := 0
	for i := range r.lots {
		l := &r.lots[i]
		most += movesPerFlow * len(l.places)
		n := 1 << bits.Len(uint(len(r.Blocks))) // leaves, the heap among them
		l.tree = make([]node, 2*n)
		for k := range n {
			l.tree[n+k] = r.leaf(l, k-1)
		}
		for at := n - 1; at >= 1; at-- {
			l.tree[at] = joined(&l.tree[2*at], &l.tree[2*at+1])
		}
	}
	for ; r.moves < most; r.moves++ {
		var best *lot
		for i := range r.lots {
			if l := &r.lots[i]; best == nil || l.tree[1].gain > best.tree[1].gain {
				best = l
			}
		}
		t := best.tree[1]
		if !(t.gain > 0) {
			break
		}
		r.move(best, t.from, -1)
		r.move(best, t.to, 1)
	}
}

// move adds n loads to a place and works out anew what its field offers to every
// lot, and what the heap offers to l.
func (r *rounder) move(l *lot, p, n int) {
	if p != behind {
		r.shift(l, p, n)
		k := l.places[p].k
		for i := range r.lots {
			r.lots[i].update(k+1, r.leaf(&r.lots[i], k))
		}
	}
	l.update(0, r.leaf(l, behind))
}

// leaf returns what block k, or the heap behind, offers to one load of l.
func (r *rounder) leaf(l *lot, k int) node {
	n := node{add: offer{math.Inf(1), behind}, drop: offer{math.Inf(-1), behind}}
	switch {
	case k == behind:
		n.add.money = r.Leave[l.material] * l.size
		if l.free > 0 {
			n.drop.money = n.add.money
		}
		return n
	case k >= len(r.Blocks):
		return n
	}
	for p := l.first[k]; p < l.first[k+1]; p++ {
		at := l.places[p]
		if r.fits(at, l.size) {
			if c := r.cost(at, l.size); c < n.add.money {
				n.add = offer{c, p}
			}
		}
		if l.count[p] == 0 {
			continue
		}
		save := -r.cost(at, -l.size)
		if save > n.drop.money {
			n.drop = offer{save, p}
		}
		// Within the field the load makes room for itself.
		r.put(at, -l.size)
		for q := l.first[k]; q < l.first[k+1]; q++ {
			if to := l.places[q]; q != p && r.fits(to, l.size) {
				n.better(offer{save, p}, offer{r.cost(to, l.size), q})
			}
		}
		r.put(at, l.size)
	}
	return n
}

// better takes a move when it gains more than the best one so far.
func (n *node) better(drop, add offer) {
	if g := gain(drop.money, add.money); g > n.gain {
		n.gain, n.from, n.to = g, drop.place, add.place
	}
}

// gain returns save less cost, and 0 when that is below 0 or noise.
func gain(save, cost float64) float64 {
	if g := save - cost; g > loadSlack*(math.Abs(save)+math.Abs(cost)) {
		return g
	}
	return 0
}

// joined returns what two parts offer together.
func joined(a, b *node) node {
	n := *a
	if b.gain > n.gain {
		n.gain, n.from, n.to = b.gain, b.from, b.to
	}
	n.better(a.drop, b.add)
	n.better(b.drop, a.add)
	if b.add.money < n.add.money {
		n.add = b.add
	}
	if b.drop.money > n.drop.money {
		n.drop = b.drop
	}
	return n
}

// update puts n in place of a leaf.
func (l *lot) update(leaf int, n node) {
	at := len(l.tree)/2 + leaf
	l.tree[at] = n
	for at /= 2; at >= 1; at /= 2 {
		l.tree[at] = joined(&l.tree[2*at], &l.tree[2*at+1])
	}
}
