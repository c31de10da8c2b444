package mesh

import (
	"context"
	"math"
	"sync/atomic"
)

// Locator finds the triangles of a mesh by walking to them, from a triangle close by
// that a coarser triangulation of some of the places knows, and so on up (Devillers,
// The Delaunay Hierarchy, International Journal of Foundations of Computer Science 13,
// 2002). So places on a line, in a cluster or along tracks are found in as few steps as
// others. It is safe for concurrent use.
type Locator struct {
	mesh   *Mesh
	in     []bool                   // by triangle: in the area; nil for all
	levels atomic.Pointer[[]*level] // from the coarsest; made by the first search, and made twice it is the same
}

// level is a triangulation of some of the places of the next finer one.
type level struct {
	Triangulation
	finer []int32 // the number of each place in the finer one
}

// coarser is the number of places of which one goes up to the next level.
const coarser = 32

// NewLocator returns a locator in the triangles that in marks, nil for all of
// them. The mesh does not change any more.
func NewLocator(m *Mesh, in []bool) *Locator { return &Locator{mesh: m, in: in} }

// Find returns a side of a triangle in the area that has p inside or on its edge,
// or None.
func (t *Locator) Find(p XY) int32 { return t.FindFrom(None, p) }

// nearBy is how many triangles are looked at for a place that is taken to be close by.
const nearBy = 16

// FindFrom is Find for a place close to that for which Find returned k, None for nowhere:
// it is found from there, or else as any other.
func (t *Locator) FindFrom(k int32, p XY) int32 {
	if t.mesh == nil || len(t.mesh.Corner) == 0 {
		return None
	}
	end := gaveUp
	if k != None {
		k, end, _ = t.mesh.straight(t.mesh.Corner[k], p, nearBy)
	}
	switch end {
	case gaveUp:
		k, _ = t.locate(p)
	case leftMesh:
		k = None
	}
	if k != None && t.in != nil && !t.in[k/3] {
		return t.touching(p, k)
	}
	return k
}

// locate returns a side of a triangle that holds p, or None outside the mesh, and
// the number of triangles looked at.
func (t *Locator) locate(p XY) (k int32, steps int) {
	levels := t.levels.Load()
	if levels == nil {
		levels = new(hierarchy(&t.mesh.Triangulation))
		t.levels.Store(levels)
	}
	from := [3]int32{0, 1, 2} // places near by from which to walk
	for _, l := range *levels {
		var n int
		k, _, n = l.walk(from, p)
		steps += n
		from = [3]int32{l.Corner[k], l.Corner[NextSide(k)], l.Corner[PrevSide(k)]}
		byDistance(&from, l.Pt, p)
		for j, v := range from {
			from[j] = l.finer[v]
		}
	}
	k, inside, n := t.mesh.walk(from, p)
	if !inside {
		k = None
	}
	return k, steps + n
}

// byDistance sorts three places by their distance from p.
func byDistance(at *[3]int32, pt []XY, p XY) {
	var far [3]float64 // squared
	for i, v := range at {
		dx, dy := pt[v].X-p.X, pt[v].Y-p.Y
		far[i] = dx*dx + dy*dy
	}
	for _, c := range [3][2]int{{0, 1}, {1, 2}, {0, 1}} {
		if i, j := c[0], c[1]; far[j] < far[i] {
			at[i], at[j], far[i], far[j] = at[j], at[i], far[j], far[i]
		}
	}
}

// hierarchy returns coarser triangulations of t, the coarsest first: each of every
// so many places, which are in an order that keeps neighbours close, and of those
// farthest out in eight directions, without which a line would be nothing.
func hierarchy(t *Triangulation) []*level {
	var levels []*level
	pt := t.Pt
	for len(pt) > 2*coarser {
		var places []XY
		var finer []int32
		taken := map[int32]bool{}
		add := func(i int32) {
			if !taken[i] {
				taken[i] = true
				places, finer = append(places, pt[i]), append(finer, i)
			}
		}
		for i := 0; i < len(pt); i += coarser {
			add(int32(i))
		}
		for _, i := range extremes(pt) {
			add(i)
		}
		l := &level{Triangulation: Delaunay(context.Background(), places, 1)}
		if len(l.Corner) == 0 {
			break
		}
		l.finer = make([]int32, len(l.Pt))
		for i, id := range l.ID {
			l.finer[i] = finer[id]
		}
		levels = append([]*level{l}, levels...)
		pt = l.Pt
	}
	return levels
}

// extremes returns the places farthest out in eight directions, counterclockwise from
// east.
func extremes(places []XY) (list [8]int32) {
	best := [8]float64{}
	for j := range best {
		best[j] = math.Inf(-1)
	}
	for i, p := range places {
		sum, difference := p.X+p.Y, p.X-p.Y
		if p.X > best[0] {
			best[0], list[0] = p.X, int32(i)
		}
		if sum > best[1] {
			best[1], list[1] = sum, int32(i)
		}
		if p.Y > best[2] {
			best[2], list[2] = p.Y, int32(i)
		}
		if -difference > best[3] {
			best[3], list[3] = -difference, int32(i)
		}
		if -p.X > best[4] {
			best[4], list[4] = -p.X, int32(i)
		}
		if -sum > best[5] {
			best[5], list[5] = -sum, int32(i)
		}
		if -p.Y > best[6] {
			best[6], list[6] = -p.Y, int32(i)
		}
		if difference > best[7] {
			best[7], list[7] = difference, int32(i)
		}
	}
	return list
}

// walk goes to p from each of three places in turn and with more patience each time:
// one of them may be the centre of a fan of thousands. It returns a side of the
// triangle that holds p, or of the last one before p, which then lies outside, and
// the number of triangles looked at.
func (t *Triangulation) walk(from [3]int32, p XY) (k int32, inside bool, steps int) {
	for patience := 64; ; patience *= 2 {
		for _, v := range from {
			k, end, n := t.straight(v, p, patience)
			steps += n
			if end != gaveUp {
				return k, end == arrived, steps
			}
		}
	}
}

type walkEnd int

const (
	arrived walkEnd = iota
	leftMesh
	gaveUp
)

// straight goes along the straight way from place v to p through the triangles that
// it crosses. The predicates are exact, so that it ends in any triangulation.
func (t *Triangulation) straight(v int32, p XY, patience int) (k int32, end walkEnd, steps int) {
	for {
		var leads bool
		k, leads, end = t.leading(t.out[v], p, patience, &steps)
		if !leads {
			return k, end, steps
		}
		at := t.Pt[v]
		e := NextSide(k)
		for {
			a, b := t.Corner[e], t.Corner[NextSide(e)]
			o := Orient(t.Pt[a], t.Pt[b], p)
			if o > 0 || o == 0 && between(t.Pt[a], t.Pt[b], p) {
				return e, arrived, steps
			}
			if o == 0 {
				// The way runs along this side and on beyond its end: go on from there.
				if v = a; ahead(t.Pt[a], t.Pt[b], p) {
					v = b
				}
				break
			}
			w := t.Twin[e]
			if w == None {
				return e, leftMesh, steps
			}
			if steps++; steps > patience {
				return e, gaveUp, steps
			}
			// The apex beyond lies left of the way, which then leaves between it and the
			// right end of the side, or right of it.
			if Orient(at, p, t.Pt[t.Corner[PrevSide(w)]]) >= 0 {
				e = NextSide(w)
			} else {
				e = PrevSide(w)
			}
		}
	}
}

// leading returns the side from a place, of which k is one, in whose triangle the way to
// p begins: clockwise, then from the start the other way where the hull ends the turn.
func (t *Triangulation) leading(k int32, p XY, patience int, steps *int) (side int32, leads bool, end walkEnd) {
	at, first, clockwise := t.Pt[t.Corner[k]], k, true
	for {
		if *steps++; *steps > patience {
			return k, false, gaveUp
		}
		if Orient(at, t.Pt[t.Corner[NextSide(k)]], p) >= 0 && Orient(at, t.Pt[t.Corner[PrevSide(k)]], p) <= 0 {
			return k, true, arrived
		}
		if clockwise {
			w := t.Twin[k]
			if w != None {
				if k = NextSide(w); k == first {
					return k, false, leftMesh // not reached: the turn is full
				}
				continue
			}
			clockwise, k = false, first
		}
		w := t.Twin[PrevSide(k)]
		if w == None {
			return k, false, leftMesh
		}
		k = w
	}
}

// between reports whether p, on the line through a and b, lies from the one to the other.
func between(a, b, p XY) bool {
	return min(a.X, b.X) <= p.X && p.X <= max(a.X, b.X) && min(a.Y, b.Y) <= p.Y && p.Y <= max(a.Y, b.Y)
}

// ahead reports whether p, on the line through a and b, lies from a as b does.
func ahead(a, b, p XY) bool {
	if a.X != b.X {
		return (b.X > a.X) == (p.X > a.X)
	}
	return (b.Y > a.Y) == (p.Y > a.Y)
}

// touching returns a triangle in the area that has p on its edge, where k is one
// outside the area that does, or None.
func (t *Locator) touching(p XY, k int32) int32 {
	m, found := t.mesh, None
	for s := k - k%3; s < k-k%3+3; s++ {
		if m.Pt[m.From(s)] == p {
			m.around(m.From(s), func(j int32) bool {
				if t.in[j/3] {
					found = j
				}
				return found == None
			})
			return found
		}
		if w := m.Twin[s]; w != None && t.in[w/3] && Orient(m.Pt[m.From(s)], m.Pt[m.To(s)], p) == 0 {
			found = w
		}
	}
	return found
}
