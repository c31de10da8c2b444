package sludge

// pool hands out pairs of edges: deleted ones, then those of a range, then those
// of the pools it took over.
type pool struct {
	free       int32 // deleted edges, linked by next
	fresh, end int32
	rest       []pool
}

func (p *pool) get(edge []dirEdge) int32 {
	for p.free == none && p.fresh == p.end {
		last := len(p.rest) - 1
		q := p.rest[last]
		p.free, p.fresh, p.end = q.free, q.fresh, q.end
		p.rest = append(p.rest[:last], q.rest...)
	}
	if e := p.free; e != none {
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
		edge[s].org = none
	}
	edge[e&^1].next = p.free
	p.free = e &^ 1
}

// link puts e, from place org, after edge a in the turn around org.
func link(edge []dirEdge, e, org, a int32) {
	if a == none {
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
	if ri == none {
		link(edge, base, rv, none)
		r.re = base
	} else {
		link(edge, base, rv, edge[ri].prev)
		if rv == edge[r.re].org {
			r.re = base
		}
	}
	link(edge, base^1, lv, li)
	if li == none || lv == edge[l.le].org {
		l.le = base ^ 1
	}
	lp, rp := pt[lv], pt[rv]
	for {
		lc := edge[base^1].next
		lcv := edge[lc^1].org
		lcp := pt[lcv]
		lok := orient(lcp, lp, rp) > 0
		if lok {
			for {
				t := edge[lc].next
				if t == base^1 {
					break
				}
				tv := edge[t^1].org
				tp := pt[tv]
				if !inCircle(lp, rp, lcp, tp) {
					break
				}
				p.remove(edge, lc)
				lc, lcv, lcp = t, tv, tp
			}
		}
		rc := edge[base].prev
		rcv := edge[rc^1].org
		rcp := pt[rcv]
		rok := orient(rcp, lp, rp) > 0
		if rok {
			for {
				t := edge[rc].prev
				if t == base {
					break
				}
				tv := edge[t^1].org
				tp := pt[tv]
				if !inCircle(lp, rp, rcp, tp) {
					break
				}
				p.remove(edge, rc)
				rc, rcv, rcp = t, tv, tp
			}
		}
		switch {
		case !lok && !rok:
			return part{l.le, r.re, none}
		case !lok || rok && inCircle(lp, rp, lcp, rcp):
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
	if li != none {
		lv = edge[li].org
	}
	ri, rv = r.le, r.single
	if ri != none {
		rv = edge[ri].org
	}
	for {
		switch {
		case li != none && orient(pt[lv], pt[edge[li^1].org], pt[rv]) > 0:
			li = edge[li^1].prev
			lv = edge[li].org
		case ri != none && orient(pt[rv], pt[edge[ri^1].org], pt[lv]) < 0:
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
	if p.le == none {
		return p
	}
	edge, pt := d.edge, d.pt
	first, last := p.le, edge[p.re].next // both counterclockwise
	if cutsX(count) {
		for pt[edge[first^1].org].y < pt[edge[first].org].y {
			first = edge[first^1].next
		}
		for pt[edge[last^1].org].y > pt[edge[last].org].y {
			last = edge[last^1].next
		}
		return part{first, edge[last].prev, none}
	}
	for pt[edge[first^1].org].x > pt[edge[first].org].x {
		first = edge[first^1].next
	}
	for pt[edge[last^1].org].x < pt[edge[last].org].x {
		last = edge[last^1].next
	}
	return part{last, edge[first].prev, none}
}

// cutsX reports whether a node of count cells, 1, 2, 4 and so on, is cut between
// columns: the key has the bits of x before those of y.
func cutsX(count int32) bool { return count&0x55555555 != 0 }

// triangles reads the faces out of the edges.
func (d *divider) triangles(all part, p *pool, workers int) (corner, twin []int32) {
	edge := d.edge
	p.forget(edge)
	// side is 1 + the index of the triangle side along an edge, -1 outside the hull.
	side := make([]int32, len(edge))
	hull := 0
	for e := all.le ^ 1; side[e] == 0; e = edge[e^1].prev {
		side[e] = -1
		hull++
	}
	count := 2*len(d.pt) - 2 - hull
	corner, twin = make([]int32, 0, 3*count), make([]int32, 3*count)
	for e := range int32(len(edge)) {
		if edge[e].org == none || side[e] != 0 {
			continue
		}
		f := edge[e^1].prev
		g := edge[f^1].prev
		k := int32(len(corner))
		side[e], side[f], side[g] = k+1, k+2, k+3
		corner = append(corner, edge[e].org, edge[f].org, edge[g].org)
	}
	bands(len(edge)/2, workers, func(from, to int) {
		for e := 2 * from; e < 2*to; e += 2 {
			a, b := side[e], side[e+1]
			if a > 0 {
				twin[a-1] = max(b-1, none)
			}
			if b > 0 {
				twin[b-1] = max(a-1, none)
			}
		}
	})
	return corner, twin
}

// forget marks the edges that were never handed out.
func (p *pool) forget(edge []dirEdge) {
	for e := p.fresh; e < p.end; e++ {
		edge[e].org = none
	}
	for _, q := range p.rest {
		q.forget(edge)
	}
}
