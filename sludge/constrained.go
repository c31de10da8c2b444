package sludge

// mesh is a triangulation whose sides can be fixed (Sloan, A Fast Algorithm for
// Generating Constrained Delaunay Triangulations, Computers and Structures 47(3),
// 1993: sides that cross a wanted one are flipped away, then those flipped are
// made Delaunay again).
type mesh struct {
	triangulation
	fixed []bool  // by side
	out   []int32 // a side from each place
}

func newMesh(places []xy, workers int) *mesh {
	m := &mesh{triangulation: delaunay(places, workers)}
	m.fixed, m.out = make([]bool, len(m.corner)), make([]int32, len(m.pt))
	for k, c := range m.corner {
		m.out[c] = int32(k)
	}
	return m
}

// prevSide returns the side before side k in its triangle.
func prevSide(k int32) int32 {
	if k%3 == 0 {
		return k + 2
	}
	return k - 1
}

func (m *mesh) from(k int32) int32 { return m.corner[k] }
func (m *mesh) to(k int32) int32   { return m.corner[nextSide(k)] }
func (m *mesh) apex(k int32) int32 { return m.corner[prevSide(k)] }

// around yields the sides from place v until yield returns false.
func (m *mesh) around(v int32, yield func(k int32) bool) {
	first := m.out[v]
	k := first
	for { // clockwise, to the hull or once around
		if !yield(k) {
			return
		}
		t := m.twin[k]
		if t == none {
			break
		}
		if k = nextSide(t); k == first {
			return
		}
	}
	for k = m.twin[prevSide(first)]; k != none; k = m.twin[prevSide(k)] {
		if !yield(k) {
			return
		}
	}
}

// side returns the side from a to b, none when they are not joined that way.
func (m *mesh) side(a, b int32) int32 {
	found := none
	m.around(a, func(k int32) bool {
		if m.to(k) == b {
			found = k
		}
		return found == none
	})
	return found
}

// fix makes sides of the way from a to b, through any places on it, and fixes
// them. The way must not cross a fixed side.
func (m *mesh) fix(a, b int32) {
	for a != b {
		to, crossed := m.crossed(a, b)
		created := m.flipAway(a, to, crossed)
		for _, k := range [2]int32{m.side(a, to), m.side(to, a)} {
			if k != none {
				m.fixed[k] = true
			}
		}
		m.restore(created)
		a = to
	}
}

// crossed returns the first place on the way from a to b and the sides, as pairs
// of places, that the way crosses before it.
func (m *mesh) crossed(a, b int32) (int32, [][2]int32) {
	pa, pb := m.pt[a], m.pt[b]
	reached, cross := none, none
	m.around(a, func(k int32) bool {
		for _, c := range [2]int32{m.to(k), m.apex(k)} {
			p := m.pt[c]
			if c == b || orient(pa, pb, p) == 0 && (p.x-pa.x)*(pb.x-pa.x)+(p.y-pa.y)*(pb.y-pa.y) > 0 {
				reached = c
				return false
			}
		}
		if orient(pa, pb, m.pt[m.to(k)]) < 0 && orient(pa, pb, m.pt[m.apex(k)]) > 0 {
			cross = nextSide(k)
		}
		return true
	})
	var list [][2]int32
	for k := cross; reached == none; {
		list = append(list, [2]int32{m.from(k), m.to(k)})
		t := m.twin[k]
		c := m.apex(t)
		switch o := orient(pa, pb, m.pt[c]); {
		case c == b || o == 0:
			reached = c
		case o > 0:
			k = nextSide(t) // t runs from left to right; the way leaves between its right end and c
		default:
			k = prevSide(t)
		}
	}
	return reached, list
}

// flipAway flips the listed sides until none crosses ab and returns those it made.
func (m *mesh) flipAway(a, b int32, list [][2]int32) (created [][2]int32) {
	pa, pb := m.pt[a], m.pt[b]
	for len(list) > 0 {
		e := list[0]
		list = list[1:]
		k := m.side(e[0], e[1])
		p, q := m.apex(k), m.apex(m.twin[k])
		u, v := m.pt[e[0]], m.pt[e[1]]
		if orient(m.pt[p], u, m.pt[q]) <= 0 || orient(m.pt[q], v, m.pt[p]) <= 0 {
			list = append(list, e) // not convex yet
			continue
		}
		m.flip(k)
		d := [2]int32{p, q}
		if p != a && p != b && q != a && q != b && orient(pa, pb, m.pt[p])*orient(pa, pb, m.pt[q]) < 0 {
			list = append(list, d)
		} else {
			created = append(created, d)
		}
	}
	return created
}

// restore flips sides among those listed until all that are not fixed are
// Delaunay.
func (m *mesh) restore(list [][2]int32) {
	for again := true; again; {
		again = false
		for i, e := range list {
			k := m.side(e[0], e[1])
			if k == none || m.twin[k] == none || m.fixed[k] {
				continue
			}
			p, q := m.apex(k), m.apex(m.twin[k])
			if inCircle(m.pt[e[0]], m.pt[e[1]], m.pt[p], m.pt[q]) {
				m.flip(k)
				list[i] = [2]int32{p, q}
				again = true
			}
		}
	}
}

// flip replaces side a, from u to v with the apex w, and its twin, with the apex
// x, by the other diagonal: w to x and back.
func (m *mesh) flip(a int32) {
	b := m.twin[a]
	wu, xv := prevSide(a), prevSide(b)
	u, v, w, x := m.corner[a], m.corner[b], m.corner[wu], m.corner[xv]
	m.corner[a], m.corner[b] = x, w
	m.move(a, xv)
	m.move(b, wu)
	m.twin[wu], m.twin[xv] = xv, wu
	m.fixed[wu], m.fixed[xv] = false, false
	m.out[u], m.out[v], m.out[w], m.out[x] = nextSide(b), nextSide(a), b, a
}

// move puts the side at from into the slot to.
func (m *mesh) move(to, from int32) {
	t := m.twin[from]
	m.twin[to], m.fixed[to] = t, m.fixed[from]
	if t != none {
		m.twin[t] = to
	}
}

// inside fixes the ways from one place to another, which have an area on their
// left, and reports for each triangle whether it lies in that area.
func (m *mesh) inside(ways [][2]int32) []bool {
	for _, w := range ways {
		m.fix(w[0], w[1])
	}
	in := make([]bool, len(m.corner)/3)
	var stack []int32
	push := func(k int32) {
		if t := k / 3; !in[t] {
			in[t] = true
			stack = append(stack, t)
		}
	}
	for _, w := range ways {
		for a := w[0]; a != w[1]; {
			k := m.along(a, w[1])
			push(k)
			a = m.to(k)
		}
	}
	for len(stack) > 0 {
		t := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for k := 3 * t; k < 3*t+3; k++ {
			if !m.fixed[k] && m.twin[k] != none {
				push(m.twin[k])
			}
		}
	}
	return in
}

// along returns the fixed side from a that runs straight towards b.
func (m *mesh) along(a, b int32) int32 {
	found := none
	pa, pb := m.pt[a], m.pt[b]
	m.around(a, func(k int32) bool {
		p := m.pt[m.to(k)]
		if m.to(k) == b || m.fixed[k] && orient(pa, pb, p) == 0 && (p.x-pa.x)*(pb.x-pa.x)+(p.y-pa.y)*(pb.y-pa.y) > 0 {
			found = k
		}
		return found == none
	})
	return found
}

// places turns ways between original numbers into ways between places of the mesh.
func (m *mesh) places(ways [][2]int32) [][2]int32 {
	to := map[int32]int32{}
	for _, w := range ways {
		to[w[0]], to[w[1]] = none, none
	}
	for i, id := range m.id {
		if _, ok := to[id]; ok {
			to[id] = int32(i)
		}
	}
	out := make([][2]int32, len(ways))
	for k, w := range ways {
		out[k] = [2]int32{to[w[0]], to[w[1]]}
	}
	return out
}

// ways returns the sides of closed rings.
func ways(rings [][]int32) (list [][2]int32) {
	for _, r := range rings {
		for i, a := range r {
			list = append(list, [2]int32{a, r[(i+1)%len(r)]})
		}
	}
	return list
}
