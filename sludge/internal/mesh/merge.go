package mesh

// pool hands out pairs of edges, those that were deleted first. next of a free pair
// leads to the following one, less the pair behind it: so a range of zeros is free from
// one pair to the next, and only its last has to be set.
type pool struct {
	free int32
	rest []int32 // the first free pairs of the pools that it took over
}

// newPool returns the pool of the edges of the places from a to b: m places have less
// than 3m edges.
func (d *divider) newPool(a, b int32) *pool {
	if a == b {
		return &pool{free: None}
	}
	d.edge[6*b-2].next = None - 6*b
	return &pool{free: 6 * a}
}

func (p *pool) get(edge []dirEdge) int32 {
	e := p.free
	if e == None {
		e = p.takeOver()
	}
	p.free = e + 2 + edge[e].next
	return e
}

// takeOver returns a free pair where nothing is left but pools that were taken over.
func (p *pool) takeOver() int32 {
	e := None
	for e == None {
		last := len(p.rest) - 1
		e, p.rest = p.rest[last], p.rest[:last]
	}
	return e
}

// remove deletes e and puts it in the pool.
func (p *pool) remove(edge []dirEdge, e int32) {
	e &^= 1
	pair := edge[e : e+2]
	a, b := pair[0].prev, pair[0].next
	edge[a].next, edge[b].prev = b, a
	a, b = pair[1].prev, pair[1].next
	edge[a].next, edge[b].prev = b, a
	pair[0].next = p.free - e - 2
	p.free = e
}

// link puts e, from place org, between its neighbours prev and next around org.
func link(edge []dirEdge, e, org, prev, next int32) {
	edge[e] = dirEdge{org, next, prev}
	edge[prev].next, edge[next].prev = e, e
}

// two joins the places a and b, in this order on the axis of the next join.
func (d *divider) two(a, b int32, p *pool) part {
	e := p.get(d.edge)
	d.edge[e], d.edge[e^1] = dirEdge{a, e, e}, dirEdge{b, e ^ 1, e ^ 1}
	return part{e, e ^ 1, None}
}

// three triangulates the places a, b and c, in this order on the axis of the next
// join.
func (d *divider) three(a, b, c int32, p *pool) part {
	edge := d.edge
	ab, bc := p.get(edge), p.get(edge)
	edge[ab^1], edge[bc] = dirEdge{b, bc, bc}, dirEdge{b, ab ^ 1, ab ^ 1}
	turn := Orient(d.pt[a], d.pt[b], d.pt[c])
	if turn == 0 {
		edge[ab], edge[bc^1] = dirEdge{a, ab, ab}, dirEdge{c, bc ^ 1, bc ^ 1}
		return part{ab, bc ^ 1, None}
	}
	ca := p.get(edge)
	edge[ab], edge[ca^1] = dirEdge{a, ca ^ 1, ca ^ 1}, dirEdge{a, ab, ab}
	edge[bc^1], edge[ca] = dirEdge{c, ca, ca}, dirEdge{c, bc ^ 1, bc ^ 1}
	if turn > 0 {
		return part{ab, bc ^ 1, None}
	}
	return part{ca ^ 1, ca, None}
}

// join merges two triangulations of which l lies before r on the axis of both
// parts. It rises from the lower common tangent to the upper one, base being the
// cross edge from r to l reached so far.
//
// The first stage of the predicates is written out here, since most of the work is
// done in this loop: places are taken relative to the end of base that they are
// joined to, and what one test has worked out serves the next.
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
	lc, rc := base^1, base // candidates: edges from the ends of base to the next places
	if ri == None {
		edge[base] = dirEdge{rv, base, base}
		r.re = base
	} else {
		rc = edge[ri].prev
		link(edge, base, rv, rc, ri)
		if rv == edge[r.re].org {
			r.re = base
		}
	}
	if li == None {
		edge[base^1] = dirEdge{lv, base ^ 1, base ^ 1}
		l.le = base ^ 1
	} else {
		lc = edge[li].next
		link(edge, base^1, lv, li, lc)
		if lv == edge[l.le].org {
			l.le = base ^ 1
		}
	}
	lp, rp := pt[lv], pt[rv]
	lcv, rcv := edge[lc^1].org, edge[rc^1].org
	bx, by := rp.X-lp.X, rp.Y-lp.Y
	lx, ly := pt[lcv].X-lp.X, pt[lcv].Y-lp.Y
	rx, ry := pt[rcv].X-rp.X, pt[rcv].Y-rp.Y
	bq, lq, rq := bx*bx+by*by, lx*lx+ly*ly, rx*rx+ry*ry
	for {
		lturn, lok := bx*ly-by*lx, false
		if lc != base^1 {
			bound := turnErr*(bq+lq) + underGuard
			lok = lturn > bound || lturn >= -bound && Orient(lp, rp, pt[lcv]) > 0
		}
		if lok {
			for t := edge[lc].next; t != base^1; t = edge[lc].next {
				tv := edge[t^1].org
				tx, ty := pt[tv].X-lp.X, pt[tv].Y-lp.Y
				tq, tturn := tx*tx+ty*ty, bx*ty-by*tx
				det := lq*tturn - bq*(lx*ty-ly*tx) - tq*lturn
				bound := circleErr*(bq*lq+tq*(bq+lq)) + underGuard
				if det < -bound || det <= bound && !InCircle(lp, rp, pt[lcv], pt[tv]) {
					break
				}
				p.remove(edge, lc)
				lc, lcv, lx, ly, lq, lturn = t, tv, tx, ty, tq, tturn
			}
		}
		rturn, rok := bx*ry-by*rx, false
		if rc != base {
			bound := turnErr*(bq+rq) + underGuard
			rok = rturn > bound || rturn >= -bound && Orient(lp, rp, pt[rcv]) > 0
		}
		if rok {
			for t := edge[rc].prev; t != base; t = edge[rc].prev {
				tv := edge[t^1].org
				tx, ty := pt[tv].X-rp.X, pt[tv].Y-rp.Y
				tq, tturn := tx*tx+ty*ty, bx*ty-by*tx
				det := rq*tturn + bq*(rx*ty-ry*tx) - tq*rturn
				bound := circleErr*(bq*rq+tq*(bq+rq)) + underGuard
				if det < -bound || det <= bound && !InCircle(lp, rp, pt[rcv], pt[tv]) {
					break
				}
				p.remove(edge, rc)
				rc, rcv, rx, ry, rq, rturn = t, tv, tx, ty, tq, tturn
			}
		}
		right := rok
		if lok && rok {
			tx, ty := pt[rcv].X-lp.X, pt[rcv].Y-lp.Y
			tq := tx*tx + ty*ty
			det := lq*(bx*ty-by*tx) - bq*(lx*ty-ly*tx) - tq*lturn
			bound := circleErr*(bq*lq+tq*(bq+lq)) + underGuard
			right = det > bound || det >= -bound && InCircle(lp, rp, pt[lcv], pt[rcv])
		} else if !lok && !rok {
			return part{l.le, r.re, None}
		}
		e := p.get(edge)
		if right { // from the far end of rc to lv
			far := rc ^ 1
			rc = edge[far].prev
			link(edge, e, rcv, rc, far)
			link(edge, e^1, lv, base^1, lc)
			rv, rp, rcv = rcv, pt[rcv], edge[rc^1].org
			rx, ry = pt[rcv].X-rp.X, pt[rcv].Y-rp.Y
			rq = rx*rx + ry*ry
		} else { // from rv to the far end of lc
			far := lc ^ 1
			lc = edge[far].next
			link(edge, e, rv, rc, base)
			link(edge, e^1, lcv, far, lc)
			lv, lp, lcv = lcv, pt[lcv], edge[lc^1].org
			lx, ly = pt[lcv].X-lp.X, pt[lcv].Y-lp.Y
			lq = lx*lx + ly*ly
		}
		base = e
		bx, by = rp.X-lp.X, rp.Y-lp.Y
		bq = bx*bx + by*by
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
		if li != None {
			a, b, c := pt[lv], pt[edge[li^1].org], pt[rv]
			if det, bound := turned(a, b, c); det > bound || det >= -bound && Orient(a, b, c) > 0 {
				li = edge[li^1].prev
				lv = edge[li].org
				continue
			}
		}
		if ri != None {
			a, b, c := pt[lv], pt[rv], pt[edge[ri^1].org]
			if det, bound := turned(a, b, c); det < -bound || det <= bound && Orient(a, b, c) < 0 {
				ri = edge[ri^1].next
				rv = edge[ri].org
				continue
			}
		}
		return li, ri, lv, rv
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
func (d *divider) triangles(all part, p *pool) (corner, twin, out []int32) {
	edge := d.edge
	// Nothing reads next any more: it now holds what lies to the left of an edge, -2 less
	// the index of the triangle side along it or outside.
	p.forget(edge)
	hull := 0
	for e := all.le ^ 1; edge[e].next != outside; e = edge[e^1].prev {
		edge[e].next = outside
		hull++
	}
	count := 2*len(d.pt) - 2 - hull
	corner, twin, out = make([]int32, 3*count), make([]int32, 3*count), make([]int32, len(d.pt))
	k := int32(0)
	for first := range edge {
		if edge[first].next < 0 {
			continue
		}
		e := int32(first)
		for range 3 {
			org := edge[e].org
			corner[k], twin[k], out[org] = org, e^1, k
			edge[e].next = -2 - k
			e = edge[e^1].prev
			k++
		}
	}
	for k, e := range twin { // no branch, which would be hard to foresee
		twin[k] = -2 - edge[e].next
	}
	return corner, twin, out
}

// outside stands for what lies beyond the hull.
const outside = -2 - None

// forget marks the edges that are not in use.
func (p *pool) forget(edge []dirEdge) {
	for _, e := range append(p.rest, p.free) {
		for e != None {
			following := e + 2 + edge[e].next
			edge[e].next, edge[e+1].next = outside, outside
			e = following
		}
	}
}
