package mesh

import (
	"context"
	"slices"
)

// Mesh is a triangulation whose sides can be fixed (Sloan, A Fast Algorithm for
// Generating Constrained Delaunay Triangulations, Computers and Structures 47(3),
// 1993: sides that cross a wanted one are flipped away, then those flipped are
// made Delaunay again).
type Mesh struct {
	Triangulation
	fixed []bool // by side
}

// New triangulates places as [Delaunay] does.
func New(ctx context.Context, places []XY, workers int) *Mesh {
	m := &Mesh{Triangulation: Delaunay(ctx, places, workers)}
	m.fixed = make([]bool, len(m.Corner))
	return m
}

// PrevSide returns the side before side k in its triangle.
func PrevSide(k int32) int32 {
	if k%3 == 0 {
		return k + 2
	}
	return k - 1
}

// From returns the place where side k starts.
func (m *Mesh) From(k int32) int32 { return m.Corner[k] }

// To returns the place where side k ends.
func (m *Mesh) To(k int32) int32 { return m.Corner[NextSide(k)] }

// Apex returns the place across from side k.
func (m *Mesh) Apex(k int32) int32 { return m.Corner[PrevSide(k)] }

// Fixed reports whether side k is part of a way that was fixed.
func (m *Mesh) Fixed(k int32) bool { return m.fixed[k] }

// around yields the sides from place v until yield returns false.
func (m *Mesh) around(v int32, yield func(k int32) bool) {
	first := m.out[v]
	k := first
	for { // clockwise, to the hull or once around
		if !yield(k) {
			return
		}
		t := m.Twin[k]
		if t == None {
			break
		}
		if k = NextSide(t); k == first {
			return
		}
	}
	for k = m.Twin[PrevSide(first)]; k != None; k = m.Twin[PrevSide(k)] {
		if !yield(k) {
			return
		}
	}
}

// side returns the side from a to b, none when they are not joined that way.
func (m *Mesh) side(a, b int32) int32 {
	found := None
	m.around(a, func(k int32) bool {
		if m.To(k) == b {
			found = k
		}
		return found == None
	})
	return found
}

// fix makes sides of the way from a to b, through any places on it, and fixes
// them. The way must not cross a fixed side.
func (m *Mesh) fix(a, b int32) {
	for a != b {
		to, crossed := m.crossed(a, b)
		created := m.flipAway(a, to, crossed)
		for _, k := range [2]int32{m.side(a, to), m.side(to, a)} {
			if k != None {
				m.fixed[k] = true
			}
		}
		m.restore(created)
		a = to
	}
}

// crossed returns the first place on the way from a to b and the sides, as pairs
// of places, that the way crosses before it.
func (m *Mesh) crossed(a, b int32) (int32, [][2]int32) {
	pa, pb := m.Pt[a], m.Pt[b]
	reached, cross := None, None
	m.around(a, func(k int32) bool {
		for _, c := range [2]int32{m.To(k), m.Apex(k)} {
			p := m.Pt[c]
			if c == b || Orient(pa, pb, p) == 0 && (p.X-pa.X)*(pb.X-pa.X)+(p.Y-pa.Y)*(pb.Y-pa.Y) > 0 {
				reached = c
				return false
			}
		}
		if Orient(pa, pb, m.Pt[m.To(k)]) < 0 && Orient(pa, pb, m.Pt[m.Apex(k)]) > 0 {
			cross = NextSide(k)
		}
		return true
	})
	var list [][2]int32
	for k := cross; reached == None; {
		list = append(list, [2]int32{m.From(k), m.To(k)})
		t := m.Twin[k]
		c := m.Apex(t)
		switch o := Orient(pa, pb, m.Pt[c]); {
		case c == b || o == 0:
			reached = c
		case o > 0:
			k = NextSide(t) // t runs from left to right; the way leaves between its right end and c
		default:
			k = PrevSide(t)
		}
	}
	return reached, list
}

// flipAway flips the listed sides until none crosses ab and returns those it made.
func (m *Mesh) flipAway(a, b int32, list [][2]int32) (created [][2]int32) {
	pa, pb := m.Pt[a], m.Pt[b]
	for len(list) > 0 {
		e := list[0]
		list = list[1:]
		k := m.side(e[0], e[1])
		p, q := m.Apex(k), m.Apex(m.Twin[k])
		u, v := m.Pt[e[0]], m.Pt[e[1]]
		if Orient(m.Pt[p], u, m.Pt[q]) <= 0 || Orient(m.Pt[q], v, m.Pt[p]) <= 0 {
			list = append(list, e) // not convex yet
			continue
		}
		m.flip(k)
		d := [2]int32{p, q}
		if p != a && p != b && q != a && q != b && Orient(pa, pb, m.Pt[p])*Orient(pa, pb, m.Pt[q]) < 0 {
			list = append(list, d)
		} else {
			created = append(created, d)
		}
	}
	return created
}

// restore flips sides among those listed until all that are not fixed are
// Delaunay.
func (m *Mesh) restore(list [][2]int32) {
	for again := true; again; {
		again = false
		for i, e := range list {
			k := m.side(e[0], e[1])
			if k == None || m.Twin[k] == None || m.fixed[k] {
				continue
			}
			p, q := m.Apex(k), m.Apex(m.Twin[k])
			if InCircle(m.Pt[e[0]], m.Pt[e[1]], m.Pt[p], m.Pt[q]) {
				m.flip(k)
				list[i] = [2]int32{p, q}
				again = true
			}
		}
	}
}

// flip replaces side a, from u to v with the apex w, and its twin, with the apex
// x, by the other diagonal: w to x and back.
func (m *Mesh) flip(a int32) {
	b := m.Twin[a]
	wu, xv := PrevSide(a), PrevSide(b)
	u, v, w, x := m.Corner[a], m.Corner[b], m.Corner[wu], m.Corner[xv]
	m.Corner[a], m.Corner[b] = x, w
	m.move(a, xv)
	m.move(b, wu)
	m.Twin[wu], m.Twin[xv] = xv, wu
	m.fixed[wu], m.fixed[xv] = false, false
	m.out[u], m.out[v], m.out[w], m.out[x] = NextSide(b), NextSide(a), b, a
}

// move puts the side at from into the slot to.
func (m *Mesh) move(to, from int32) {
	t := m.Twin[from]
	m.Twin[to], m.fixed[to] = t, m.fixed[from]
	if t != None {
		m.Twin[t] = to
	}
}

// Outermost reports whether place v is a corner of the hull: in no hull of other places.
func (m *Mesh) Outermost(v int32) bool {
	before, after := None, None
	m.around(v, func(k int32) bool {
		if m.Twin[k] == None {
			after = m.To(k)
		}
		if m.Twin[PrevSide(k)] == None {
			before = m.Apex(k)
		}
		return true
	})
	return before != None && after != None && Orient(m.Pt[before], m.Pt[v], m.Pt[after]) > 0
}

// Joined yields the places that place v is joined to.
func (m *Mesh) Joined(v int32) func(yield func(int32) bool) {
	return func(yield func(int32) bool) {
		m.around(v, func(k int32) bool {
			t := m.Twin[PrevSide(k)]
			return yield(m.To(k)) && (t != None || yield(m.Apex(k)))
		})
	}
}

// Inside fixes the ways from one place to another, closed ones that have an area on
// their left, and reports for each triangle whether it lies in that area. What lies
// outside is looked for, since it is less.
func (m *Mesh) Inside(ways [][2]int32) []bool {
	for _, w := range ways {
		m.fix(w[0], w[1])
	}
	var left []int32 // sides of the ways
	for _, w := range ways {
		for a := w[0]; a != w[1]; {
			k := m.along(a, w[1])
			left = append(left, k)
			a = m.To(k)
		}
	}
	slices.Sort(left)
	in := slices.Repeat([]bool{true}, len(m.Corner)/3)
	var stack []int32
	push := func(k int32) {
		if t := k / 3; in[t] {
			in[t] = false
			stack = append(stack, t)
		}
	}
	for _, k := range left {
		if t := m.Twin[k]; t != None {
			if _, both := slices.BinarySearch(left, t); !both {
				push(t)
			}
		}
	}
	for len(stack) > 0 {
		t := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for k := 3 * t; k < 3*t+3; k++ {
			if !m.fixed[k] && m.Twin[k] != None {
				push(m.Twin[k])
			}
		}
	}
	return in
}

// along returns the fixed side from a that runs straight towards b.
func (m *Mesh) along(a, b int32) int32 {
	found := None
	pa, pb := m.Pt[a], m.Pt[b]
	m.around(a, func(k int32) bool {
		p := m.Pt[m.To(k)]
		if m.To(k) == b || m.fixed[k] && Orient(pa, pb, p) == 0 && (p.X-pa.X)*(pb.X-pa.X)+(p.Y-pa.Y)*(pb.Y-pa.Y) > 0 {
			found = k
		}
		return found == None
	})
	return found
}

// Places turns ways between original numbers into ways between places of the mesh.
func (m *Mesh) Places(ways [][2]int32) [][2]int32 {
	to := map[int32]int32{}
	var most int32
	for _, w := range ways {
		to[w[0]], to[w[1]] = None, None
		most = max(most, w[0], w[1])
	}
	wanted := make([]uint8, most/8+1) // bits, that spare most places the map
	for id := range to {
		wanted[id/8] |= 1 << (id % 8)
	}
	for i, id := range m.ID {
		if id <= most && wanted[id/8]>>(id%8)&1 != 0 {
			to[id] = int32(i)
		}
	}
	out := make([][2]int32, len(ways))
	for k, w := range ways {
		out[k] = [2]int32{to[w[0]], to[w[1]]}
	}
	return out
}

// Ways returns the sides of closed rings.
func Ways(rings [][]int32) (list [][2]int32) {
	for _, r := range rings {
		for i, a := range r {
			list = append(list, [2]int32{a, r[(i+1)%len(r)]})
		}
	}
	return list
}
