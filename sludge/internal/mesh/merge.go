package mesh

import (
	"math"

	"example.org/earthbasin/sludge/internal/parallel"
)

// pool hands out pairs of edges: deleted ones, then those of a range, then those
// of the pools it took over.
type pool struct {
	free       int32 // deleted edges, linked by next
	fresh, end int32
	rest       []pool
}

func (p *pool) get(edge []dirEdge) int32 {
	for p.free == None && p.fresh == p.end {
		last := len(p.rest) - 1
		q := p.rest[last]
		p.free, p.fresh, p.end = q.free, q.fresh, q.end
		p.rest = append(p.rest[:last], q.rest...)
	}
	if e := p.free; e != None {
		p.free = edge[e].next
		return e
	}
	p.fresh += 2
	return p.fresh - 2
}

// remove deletes e and puts it in the pool.
func (p *pool) remove(edge []dirEdge, e int32) {
	for _, s := range [2]int32{e, e ^ 1} {
		a, b := edge[s].prev, edge[s].next
		edge[a].next, edge[b].prev = b, a
		edge[s].org = None
	}
	edge[e&^1].next = p.free
	p.free = e &^ 1
}

// link puts e, from place org, after edge a in the turn around org.
func link(edge []dirEdge, e, org, a int32) {
	if a == None {
		edge[e] = dirEdge{org, e, e}
		return
	}
	b := edge[a].next
	edge[e] = dirEdge{org, b, a}
	edge[a].next, edge[b].prev = e, e
}

// join merges two triangulations of which l lies before r on the axis of both
// parts. It rises from the lower common tangent to the upper one, base being the
// cross edge from r to l reached so far.
func (d *divider) join(l, r part, p *pool) part {
	if l.empty() {
		return r
	}
	if r.empty() {
		return l
	}
	edge, pt := d.edge, d.pt
	li, ri, lv, rv := d.tangent(l, r)
	base := p.get(edge)
	if ri == None {
		link(edge, base, rv, None)
		r.re = base
	} else {
		link(edge, base, rv, edge[ri].prev)
		if rv == edge[r.re].org {
			r.re = base
		}
	}
	link(edge, base^1, lv, li)
	if li == None || lv == edge[l.le].org {
		l.le = base ^ 1
	}
	lp, rp := pt[lv], pt[rv]
	for {
		lc := edge[base^1].next
		lcv := edge[lc^1].org
		lcp := pt[lcv]
		lok := Orient(lcp, lp, rp) > 0
		if lok {
			for {
				t := edge[lc].next
				if t == base^1 {
					break
				}
				tv := edge[t^1].org
				tp := pt[tv]
				if !InCircle(lp, rp, lcp, tp) {
					break
				}
				p.remove(edge, lc)
				lc, lcv, lcp = t, tv, tp
			}
		}
		rc := edge[base].prev
		rcv := edge[rc^1].org
		rcp := pt[rcv]
		rok := Orient(rcp, lp, rp) > 0
		if rok {
			for {
				t := edge[rc].prev
				if t == base {
					break
				}
				tv := edge[t^1].org
				tp := pt[tv]
				if !InCircle(lp, rp, rcp, tp) {
					break
				}
				p.remove(edge, rc)
				rc, rcv, rcp = t, tv, tp
			}
		}
		switch {
		case !lok && !rok:
			return part{l.le, r.re, None}
		case !lok || rok && InCircle(lp, rp, lcp, rcp):
			// from the far end of rc to lv
			e := p.get(edge)
			link(edge, e, rcv, edge[rc^1].prev)
			link(edge, e^1, lv, base^1)
			base, rv, rp = e, rcv, rcp
		default:
			// from rv to the far end of lc
			e := p.get(edge)
			link(edge, e, rv, edge[base].prev)
			link(edge, e^1, lcv, lc^1)
			base, lv, lp = e, lcv, lcp
		}
	}
}

// tangent returns the places of the lower common tangent, with the hull edges
// from them that lie next to the gap: clockwise on l, counterclockwise on r, none
// for a single place.
func (d *divider) tangent(l, r part) (li, ri, lv, rv int32) {
	edge, pt := d.edge, d.pt
	li, lv = l.re, l.single
	if li != None {
		lv = edge[li].org
	}
	ri, rv = r.le, r.single
	if ri != None {
		rv = edge[ri].org
	}
	for {
		switch {
		case li != None && Orient(pt[lv], pt[edge[li^1].org], pt[rv]) > 0:
			li = edge[li^1].prev
			lv = edge[li].org
		case ri != None && Orient(pt[rv], pt[edge[ri^1].org], pt[lv]) < 0:
			ri = edge[ri^1].next
			rv = edge[ri].org
		default:
			return li, ri, lv, rv
		}
	}
}

// turn brings the part of a node of count cells to the axis of the node above.
// The y axis is the x axis turned to the left: before is below. Each extreme
// place is found from the one a quarter turn before it along the hull.
func (d *divider) turn(p part, count int32) part {
	if p.le == None {
		return p
	}
	edge, pt := d.edge, d.pt
	first, last := p.le, edge[p.re].next // both counterclockwise
	if cutsX(count) {
		for pt[edge[first^1].org].Y < pt[edge[first].org].Y {
			first = edge[first^1].next
		}
		for pt[edge[last^1].org].Y > pt[edge[last].org].Y {
			last = edge[last^1].next
		}
		return part{first, edge[last].prev, None}
	}
	for pt[edge[first^1].org].X > pt[edge[first].org].X {
		first = edge[first^1].next
	}
	for pt[edge[last^1].org].X < pt[edge[last].org].X {
		last = edge[last^1].next
	}
	return part{last, edge[first].prev, None}
}

// cutsX reports whether a node of count cells, 1, 2, 4 and so on, is cut between
// columns: the key has the bits of x before those of y.
func cutsX(count int32) bool { return count&0x55555555 != 0 }

// triangles reads the faces out of the edges.
func (d *divider) triangles(all part, p *pool, workers int) (corner, twin []int32) {
	edge := d.edge
	p.forget(edge)
	// Nothing reads next any more: it now holds what lies to the left of an edge, ^ the
	// index of the triangle side along it or outside.
	hull := 0
	for e := all.le ^ 1; edge[e].next != outside; e = edge[e^1].prev {
		edge[e].next = outside
		hull++
	}
	count := 2*len(d.pt) - 2 - hull
	corner, twin = make([]int32, 0, 3*count), make([]int32, 3*count)
	for e := range int32(len(edge)) {
		if edge[e].org == None || edge[e].next < 0 {
			continue
		}
		f := edge[e^1].prev
		g := edge[f^1].prev
		k := int32(len(corner))
		edge[e].next, edge[f].next, edge[g].next = ^k, ^(k + 1), ^(k + 2)
		corner = append(corner, edge[e].org, edge[f].org, edge[g].org)
	}
	parallel.Bands(len(edge)/2, workers, func(from, to int) {
		for e := 2 * from; e < 2*to; e += 2 {
			if edge[e].org == None {
				continue
			}
			a, b := edge[e].next, edge[e+1].next
			if a != outside {
				twin[^a] = sideOf(b)
			}
			if b != outside {
				twin[^b] = sideOf(a)
			}
		}
	})
	return corner, twin
}

// outside stands for what lies beyond the hull.
const outside = math.MinInt32

// sideOf returns the triangle side for what lies to the left of an edge.
func sideOf(left int32) int32 {
	if left == outside {
		return None
	}
	return ^left
}

// forget marks the edges that were never handed out.
func (p *pool) forget(edge []dirEdge) {
	for e := p.fresh; e < p.end; e++ {
		edge[e].org = None
	}
	for _, q := range p.rest {
		q.forget(edge)
	}
}
